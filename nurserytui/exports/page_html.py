"""One self-contained page: its frame, headings, paragraphs, tables and figures. Everything that goes in is text, and is escaped here."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from html import escape
from itertools import groupby

LONGEST = 300
"""Signs of one name that are shown."""
SENTENCES = 3000
"""Signs of one paragraph or cell that are shown."""
WIDE = 60
"""Signs from which a cell is kept wide where there is little room, and to which endless ones are cut."""
STACKED = 3
"""Marks over one letter that are shown: more of them climb over other lines."""
STEERING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that turn the direction of what comes after them, also outside of their own text (Unicode Standard Annex 9)."""
DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
RUN = re.compile(r"\S{90,}")
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Nothing is loaded, run or sent (Content Security Policy Level 3)."""

STYLE = """
:root{color-scheme:light;--ink:#2b2a26;--quiet:#5f5a4c;--paper:#fffdf6;--shade:#f4eeda;--rule:#cbbf9f;--green:#33523d;--rust:#8a3b12;
--plain:"Segoe UI","Helvetica Neue",Arial,"DejaVu Sans",sans-serif;--book:Georgia,"DejaVu Serif",serif}
*{box-sizing:border-box}
html{background:var(--shade)}
body{margin:0 auto;max-width:60rem;padding:1.5rem clamp(1rem,4vw,3.5rem) 3rem;background:var(--paper);color:var(--ink);
font:1rem/1.55 var(--book);overflow-wrap:break-word;border:solid var(--rule);border-width:0 1px}
h1,h2,h3{line-height:1.25;color:var(--green);text-wrap:balance}
h1{font-size:1.9rem;margin:.2em 0;border-bottom:3px double var(--green);padding-bottom:.3em}
h2{font-size:1.35rem;margin:2.6em 0 .5em;border-bottom:1px solid var(--rule)}
h3{font-size:1.08rem;margin:1.8em 0 .3em}
ul.groups{font:.86rem/1.5 var(--plain);padding-left:1.2em}
p,ul,dl{margin:.6em 0;max-width:44rem}
a{color:var(--rust)}
:focus-visible{outline:3px solid var(--rust);outline-offset:2px}
summary{font:.92rem/1.5 var(--plain);cursor:pointer;padding:.3em 0}
.quiet{color:var(--quiet)}
.lead{font-size:1.12rem}
nav{margin:1.2em 0;font-family:var(--plain);font-size:.92rem}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.3em 1.1em;max-width:none}
nav a{display:inline-block;padding:.15em 0}
.figures{display:flex;flex-wrap:wrap;gap:.7em;margin:1.2em 0;max-width:none}
.figures div{flex:1 1 7rem;background:var(--shade);border:1px solid var(--rule);border-radius:4px;padding:.5em .8em}
.figures dt{font:.82rem/1.3 var(--plain);color:var(--quiet)}
.figures dd{margin:0;font-size:1.75rem;line-height:1.2;font-variant-numeric:lining-nums}
.figures dd+dd{font:.78rem/1.3 var(--plain);color:var(--quiet)}
.box{overflow-x:auto;margin:1em 0}
table{border-collapse:collapse;font:.88rem/1.4 var(--plain);font-variant-numeric:tabular-nums lining-nums;min-width:60%}
caption{text-align:left;font-weight:bold;padding:.3em 0;color:var(--green)}
th,td{border-bottom:1px solid var(--rule);padding:.32em .7em .32em 0;text-align:left;vertical-align:top;max-width:22rem}
thead th{border-bottom:2px solid var(--green);vertical-align:bottom}
tbody th{font-weight:600}
.n{text-align:right;white-space:nowrap}
.d{white-space:nowrap}
thead .n{white-space:normal}
tr.all>*{border-top:2px solid var(--green);font-weight:bold}
figure{margin:1.6em 0}
figcaption{font:.86rem/1.45 var(--plain);color:var(--quiet);max-width:44rem}
.picture{display:block;width:100%;min-width:40rem;height:auto}
.picture text{font-family:var(--plain)!important}
.picture .over{paint-order:stroke;stroke:var(--paper);stroke-width:3px}
.picture *{stroke-linejoin:round;stroke-linecap:butt}
.t{min-width:14rem;max-width:none}
@media (max-width:44rem){tbody th,tbody td:not([class]){min-width:6.5rem}}
footer{margin-top:3em;border-top:1px solid var(--rule);color:var(--quiet);font-size:.9rem}
@page{size:A4;margin:16mm 15mm}
@media print{
html,body{background:#fff;color:#000;border:0;padding:0;max-width:none;font-size:10pt}
h1,h2,h3,caption,a{color:#000}
nav,details:not([open]){display:none}
h2,h3,caption{break-after:avoid}
tr,figure,.figures div{break-inside:avoid}
thead{display:table-header-group;break-after:avoid}
tbody:first-of-type>tr:nth-child(-n+2){break-before:avoid}
.box{overflow:visible}
.picture{min-width:0}
.figures div{background:none}
.quiet,figcaption,footer,.figures dt,.figures dd+dd{color:#333}
}
"""


def shown(text: str, longest: int = LONGEST) -> str:
    """Text as it can stand on a page: no sign that XML does not have or that steers, no tower of marks, not endlessly long."""
    found, marks = [], 0
    for sign in text[:longest]:
        kind = unicodedata.category(sign)
        marks = marks + 1 if kind in ("Mn", "Me") else 0
        if marks <= STACKED:
            bad = kind in ("Cc", "Cs", "Zl", "Zp") or sign in STEERING or ord(sign) & 0xFFFE == 0xFFFE
            found.append(" " if sign in "\n\t\r" else "\ufffd" if bad else sign)
    return "".join(found) + (f"… ({len(text):,} signs)" if len(text) > longest else "")


def sentence(text: str) -> str:
    """A paragraph's text, escaped; a name in it that is endless is cut, so that what is told of it can be read."""
    return words(RUN.sub(lambda found: f"{found[0][:WIDE]}…", text), SENTENCES)


def words(text: str, longest: int = LONGEST) -> str:
    """One piece of text, of the program or of the records."""
    return escape(shown(text, longest))


def paragraph(text: str, kind: str = "") -> str:
    """A paragraph of sentences; "" where there is no text."""
    opening = f'<p class="{kind}">' if kind else "<p>"
    return f"{opening}{sentence(text)}</p>" if text else ""


def listing(texts: Sequence[str], kind: str = "") -> str:
    """A list of sentences; "" without any."""
    opening = f'<ul class="{kind}">' if kind else "<ul>"
    return f"{opening}{''.join(f'<li>{sentence(text)}</li>' for text in texts)}</ul>" if texts else ""


def table(
    name: str,
    caption: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    left: Sequence[int] = (0,),
    total: bool = False,
    grouped: bool = False,
) -> str:
    """A table in a box of its own that scrolls; the first cell of a row names it. All columns but those of `left` stand to the right;
    the last row is a sum where `total`; where `grouped`, rows that begin with the same cell share it."""
    sides = ["" if column in left else ' class="n"' for column in range(len(heads))]
    head = "".join(f'<th scope="col"{side}>{words(text)}</th>' for text, side in zip(heads, sides, strict=True))
    groups = [list(same) for _, same in groupby(rows, key=lambda row: row[0])] if grouped else [[row] for row in rows]
    body = []
    for group in groups:
        over = f' scope="rowgroup" rowspan="{len(group)}"' if len(group) > 1 else ' scope="row"'
        for number, row in enumerate(group):
            cells = [] if number else [f'<th{over} dir="auto"{sides[0]}>{words(row[0])}</th>']
            cells += [_cell(cell, side) for cell, side in zip(row[1:], sides[1:], strict=True)]
            body.append(f"<tr>{''.join(cells)}</tr>")
        if grouped:
            body[-len(group)] = f"<tbody>{body[-len(group)]}"
            body[-1] += "</tbody>"
    if total:
        body[-1] = body[-1].replace("<tr>", '<tr class="all">', 1)
    inside = "".join(body) if grouped else f"<tbody>{''.join(body)}</tbody>"
    return (
        f'<div class="box" role="group" tabindex="0" aria-labelledby="{name}-caption"><table>'
        f'<caption id="{name}-caption">{words(caption)}</caption><thead><tr>{head}</tr></thead>{inside}</table></div>'
    )


def _cell(text: str, side: str) -> str:
    if DAY.fullmatch(text):
        return f'<td class="n">{text}</td>' if side else f'<td class="d">{text}</td>'
    side = ' class="t"' if len(text) > WIDE and not side else side
    return f'<td dir="auto"{side}>{words(text, SENTENCES)}</td>' if text else f"<td{side}></td>"


def figure(name: str, svg: str, caption: str) -> str:
    """A drawn picture with what says how to read it; the picture tells in words what it shows."""
    return (
        f'<figure aria-labelledby="{name}-caption"><div class="box" role="group" tabindex="0" aria-labelledby="{name}-caption">{svg}'
        f'</div><figcaption id="{name}-caption">{words(caption, SENTENCES)}</figcaption></figure>'
    )


def section(name: str, title: str, *parts: str) -> str:
    """A part of the page that the list of contents leads to."""
    inside = "\n".join(part for part in parts if part)
    return (
        f'<section id="{name}" aria-labelledby="{name}-title">\n<h2 id="{name}-title">{words(title)}</h2>\n{inside}\n</section>'
    )


def page(title: str, head: str, contents: Sequence[tuple[str, str]], sections: Sequence[str], foot: str) -> str:
    """The whole page; `head` is what stands before the contents, (name, title) of each section."""
    links = "".join(f'<li><a href="#{name}">{words(text)}</a></li>' for name, text in contents)
    nav = f'<nav aria-label="Contents"><ul>{links}</ul></nav>'
    inside = "\n".join(sections)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="generator" content="nurserytui">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta name="referrer" content="no-referrer">\n'
        f"<title>{words(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<main>\n<header>\n{head}\n</header>\n{nav}\n{inside}\n</main>\n<footer>{foot}</footer>\n</body>\n</html>\n"
    )
