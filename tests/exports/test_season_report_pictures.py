"""Pictures of a season's report: they can be read by everyone, hold any text as text, and never stand in the way of the page."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from datetime import date, datetime

import pytest
from oracle.nurseries import random_events

from nurserytui.exports import calendar_picture, page_html, picture, warmth_picture
from nurserytui.exports import drawn as drawn_module
from nurserytui.exports.drawn import drawn
from nurserytui.exports.picture import Area, Dot, Line, Panel, Picture, Words, dates_along, round_numbers
from nurserytui.exports.report_sections import pictures_of
from nurserytui.exports.season_report import report
from nurserytui.exports.season_values import gathered
from nurserytui.exports.survival_picture import BAND
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages.coming_changes import Change, Rest, Wave
from nurserytui.records.events import Event
from nurserytui.records.progress import Stopped
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

NOW = datetime(2031, 7, 20, 12)
HOSTILE = (
    "$\\frac{", "</svg><script>alert(1)</script>", "</text><image href=x onerror=y>", "&lt;b&gt; & \"quoted\" 'so'", "🦋🐛 👩‍🌾", "ضفدع فراشة",
    "\u202eevil\u202c", "e" + "\u0301\u0302\u0303\u0304\u0305" * 4, "W7W", "V3V", "a" * 10_000, "]]><!--", "﷽ 漢字 \U0001f3fb", "\x1b[31mred",
)  # fmt: skip


def nursery(*events, readings=(), now=NOW) -> Nursery:
    store = Store.memory()
    assert not events or not store.append(events).faults
    if readings:
        store.add_readings(readings)
    return Nursery(store, load(), now)


@pytest.fixture(scope="module")
def pictures() -> list[Picture]:
    events = random_events(11, 3, 8)
    last = max(event.when[:10] for event in events)
    of = nursery(*events, now=datetime.fromisoformat(f"{last}T20:00"))
    found = [one for year in (2021, 2022) for one in pictures_of(gathered(of, year))]
    assert {re.sub(r"-\d", "", one.name) for one in found} == {"survival", "stages", "calendar", "warmth", "heat", "seasons"}
    return found


# Who sees it ---------------------------------------------------------------------------------------------------------------


def luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio by WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_computed_as_published():
    assert contrast("#000000", "#ffffff") == pytest.approx(21) and contrast("#777777", "#ffffff") == pytest.approx(
        4.48, abs=0.005
    )


def test_words_and_lines_stand_out(pictures):
    """WCAG 2.2, 1.4.3: text 4.5 to 1; 1.4.11: graphics 3 to 1. What has less has an edge that has it."""
    marks = [mark for one in pictures for panel in one.panels for mark in panel.marks]
    fills = {mark.fill for mark in marks if isinstance(mark, Area) and mark.fill}
    for mark in marks:
        if isinstance(mark, Words):
            assert contrast(mark.colour, picture.PAPER) >= 4.5
        elif isinstance(mark, Line | Dot):
            assert contrast(mark.colour, picture.PAPER) >= 3
        elif mark.edge:
            assert contrast(mark.edge, picture.PAPER) >= 3
        else:
            assert mark.fill == BAND  # its bounds are drawn as lines
    assert all(contrast(picture.INK, fill) >= 4.5 for fill in fills)


def test_words_of_the_page_stand_out():
    colours = dict(re.findall(r"--(\w+):(#[0-9a-f]{6})", page_html.STYLE))
    for ground in ("paper", "shade"):
        assert all(contrast(colours[name], colours[ground]) >= 4.5 for name in ("ink", "quiet", "green", "rust"))


def test_lines_are_told_apart_without_colour(pictures):
    assert len({style.dash for style in picture.STYLES}) == len({style.dot for style in picture.STYLES}) == len(picture.STYLES)
    for one in pictures:
        if one.name == "survival":
            words = [mark.text for panel in one.panels for mark in panel.marks if isinstance(mark, Words)]
            keys = {mark.shape for mark in one.panels[-1].marks if isinstance(mark, Dot)}
            curves = {mark.shape for mark in one.panels[0].marks if isinstance(mark, Dot)}
            assert curves <= keys and sum("animals" in text for text in words) == len(keys)


def test_what_is_recorded_uncertain_and_forecast_differ_in_kind(pictures):
    areas = [
        mark for one in pictures if one.name.startswith("calendar") for mark in one.panels[0].marks if isinstance(mark, Area)
    ]
    recorded = {(mark.hatch, mark.dash) for mark in areas if mark.fill in calendar_picture.FILLS.values()}
    others = {(mark.hatch, mark.dash, mark.fill) for mark in areas if mark.fill not in calendar_picture.FILLS.values()}
    assert recorded == {("", ())} and others >= {("////", (2, 1.5), picture.PAPER), ("", (4, 2), "")}
    assert all(hatch or dash for hatch, dash, _ in others)


def test_no_words_of_a_picture_lie_over_each_other_in_a_row(pictures):
    """The words in the bars of one row, by the room that a sign takes."""
    for one in (each for each in pictures if each.name.startswith("calendar")):
        panel = one.panels[0]
        per = (panel.x[1] - panel.x[0]) / panel.width
        rows: dict[float, list[tuple[float, float]]] = {}
        for mark in (each for each in panel.marks if isinstance(each, Words)):
            wide = len(mark.text) * 5.6 * per
            start = mark.x - wide / 2 if mark.anchor == "middle" else mark.x
            rows.setdefault(mark.y, []).append((start, start + wide))
        for places in rows.values():
            places.sort()
            assert all(before[1] <= after[0] for before, after in zip(places, places[1:]))


# What it holds -------------------------------------------------------------------------------------------------------------


def test_any_text_is_text(capfd):
    """In all places of the records at once, also where the plot library would read it as a formula, or has no letter for it."""
    events = [Event("2031-06-01", "setting", detail=f"place={HOSTILE[1]}")]
    for number, text in enumerate(HOSTILE):
        label, place = f"{number} {text}", f"in {text}"
        events += [
            Event("2031-06-01T12:00", "laid", label, species="Pieris rapae", stage="egg", count=9, enclosure=place, host=text),
            Event("2031-06-05T12:00", "hatched", label, count=9, enclosure=place),
            Event("2031-06-07T12:00", "died", label, stage="larva", count=3, enclosure=place, detail=text),
            Event("2031-06-07T12:00", "temperature", enclosure=place, detail="12..24 C"),
            Event("2031-06-08T12:00", "temperature", enclosure=place, detail="14..26 C"),
        ]
    of = nursery(*[event for event in events if "\x1b" not in "".join(map(str, event))])
    text, _, _, lacking = report(of)
    assert capfd.readouterr() == ("", "") and not lacking
    assert len(text) < 3_000_000 and "<script" not in text and "onerror=y>" not in text and "\x1b" not in text
    assert "\u202e" not in text and text.count("\u0301\u0302\u0303\u0304") == 0
    for svg in re.findall(r"<svg.*?</svg>", text, re.DOTALL):
        ElementTree.fromstring(svg)
    for sign in ("$\\frac{", "&lt;/svg&gt;&lt;script&gt;alert(1)", "🦋🐛 👩‍🌾", "ضفدع", "漢字"):
        assert sign in text


def test_words_are_put_where_their_signs_are_and_never_read_again():
    words = (Words(1, 1, "W1W"), Words(2, 2, "<b>", over=True), Words(3, 3, r"\1 \g<0>"))
    one = Picture("p", 80, (Panel(40, 10, 600, 40, (0, 4), (0, 4), words, ((1.0, "one"),), ((2.0, "two"),)),), "T", "<t> 1", "c")
    (svg,) = drawn([one])
    root = ElementTree.fromstring(svg)
    texts = [element.text for element in root.iter() if element.tag.endswith("text")]
    assert texts == ["one", "two", "W1W", "<b>", r"\1 \g<0>"]
    assert root.find("title").text == "T" and root.find("desc").text == "<t> 1"
    assert [element.get("class") for element in root.iter() if element.text == "<b>"] == ["over"]


def test_two_pictures_share_no_name(pictures):
    first = pictures[:4]
    names = [name for svg in drawn(first) for name in re.findall(r'\bid="([^"]*)"', svg)]
    assert len(names) == len(set(names)) and {name.rpartition("-")[0] for name in names} >= {one.name for one in first}
    assert not [svg for svg in drawn(first) if re.search(r"<style|<metadata|<!--|xmlns|http", svg)]


# When it cannot be drawn ---------------------------------------------------------------------------------------------------

FOUND = Event("2031-07-10T12:00", "found", "V", species="Vanessa atalanta", stage="larva", count=1, enclosure="tub")


def test_without_the_plot_library_the_page_says_so_and_has_its_tables(monkeypatch):
    monkeypatch.setattr(drawn_module, "PROGRAM", ("-c", "import no_such_library"))
    text, _, _, lacking = report(nursery(FOUND))
    assert lacking == "ModuleNotFoundError: No module named 'no_such_library'"
    assert "<figure" not in text and "The pictures could not be drawn here" in text and 'id="calendar-table-caption"' in text


@pytest.mark.parametrize("cache", ["/dev/null/cache", "/proc/cache"])
def test_where_the_cache_cannot_be_written_pictures_are_drawn_all_the_same(cache, monkeypatch, capfd):
    monkeypatch.setenv("NURSERYTUI_CACHE", cache)
    assert report(nursery(FOUND))[3] == "" and capfd.readouterr() == ("", "")


def test_a_keepers_own_set_up_of_the_plot_library_is_neither_read_nor_written(tmp_path, tmp_path_factory, monkeypatch, capfd):
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path_factory.mktemp("cache")))
    before = report(nursery(FOUND))[0]
    home, other = tmp_path / "home", tmp_path / "other"
    for folder in (home, home / ".config" / "matplotlib", other):
        folder.mkdir(parents=True)
        (folder / "matplotlibrc").write_bytes(b"svg.fonttype: path\nlines.linewidth: 9\nfont.size: 3\n# \xff\n")
    files = sorted(tmp_path.rglob("*"))
    for name, value in {"HOME": home, "USERPROFILE": home, "XDG_CONFIG_HOME": home / ".config", "XDG_CACHE_HOME": home / ".cache", "MPLCONFIGDIR": other, "MATPLOTLIBRC": other}.items():  # fmt: skip
        monkeypatch.setenv(name, str(value))
    monkeypatch.chdir(home)
    assert report(nursery(FOUND))[0] == before and capfd.readouterr() == ("", "")
    assert sorted(tmp_path.rglob("*")) == files


def test_stopped_while_drawing_it_leaves_no_process(monkeypatch):
    begun = []

    class Seen(subprocess.Popen):
        def __init__(self, *arguments, **named):
            super().__init__(*arguments, **named)
            begun.append(self)

    def stop(done, total, what):
        raise Stopped

    monkeypatch.setattr(drawn_module, "PROGRAM", ("-c", "import time; time.sleep(60)"))
    monkeypatch.setattr(subprocess, "Popen", Seen)
    with pytest.raises(Stopped):
        drawn([Picture("p", 10, (), "", "", "")], stop)
    assert begun[0].poll() not in (None, 0)


def test_many_pictures_are_drawn_also_where_the_drawing_begins_late(monkeypatch):
    late = "import pickle, sys, time; time.sleep(0.5); given = pickle.load(sys.stdin.buffer); "
    late += "pickle.dump([f'<svg {len(one.name)}>' for one in given], sys.stdout.buffer)"
    looks = iter(range(100))

    def look(done, total, what):
        if next(looks, None) is None:
            raise Stopped

    monkeypatch.setattr(drawn_module, "PROGRAM", ("-c", late))
    name = "p" * 1_000_000  # more than a pipe holds
    (picture,) = drawn([Picture(name, 10, (), "", "", "")], look)
    assert "1000000" in picture


def test_the_plot_library_is_never_loaded_here():
    script = (
        "import sys; from nurserytui.exports import season_report, drawing, export; "
        "print(*{name.partition('.')[0] for name in sys.modules} & {'matplotlib', 'numpy', 'textual'})"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout.strip()) == (0, "")


# Axes ----------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2031, 6, 1), date(2031, 6, 5), "1 Jun 2031, 2 Jun, 3 Jun, 4 Jun, 5 Jun"),
        (date(2031, 6, 1), date(2031, 7, 10), "2 Jun 2031, 9 Jun, 16 Jun, 23 Jun, 30 Jun, 7 Jul"),
        (date(2030, 11, 12), date(2031, 4, 2), "Dec 2030, Jan 2031, Feb, Mar, Apr"),
        (date(2025, 5, 28), date(2026, 4, 13), "Jul 2025, Sep, Nov, Jan 2026, Mar"),
    ],
)
def test_ticks_of_days(first, last, words):
    ticks = dates_along(first.toordinal(), last.toordinal())
    assert ", ".join(text for _, text in ticks) == words
    assert all(first.toordinal() <= at <= last.toordinal() for at, _ in ticks)


@pytest.mark.parametrize(
    ("low", "high", "most", "words"),
    [(0, 100, 5, "0 20 40 60 80 100"), (16.8, 28.2, 3, "15 20 25 30"), (3, 3, 4, "2 2.5 3 3.5 4")],
)
def test_ticks_of_numbers(low, high, most, words):
    assert " ".join(text for _, text in round_numbers(low, high, most)) == words


SPRING = Rest("pupa", 1.0, 1.0, date(2032, 3, 1))
PUPATE = Change("pupate", datetime(2031, 9, 20), datetime(2031, 9, 22), datetime(2031, 9, 25))
EMERGE = Change("emerge", datetime(2032, 3, 10), datetime(2032, 3, 20), datetime(2032, 4, 1))


@pytest.mark.parametrize(
    ("wave", "before", "after"),
    [
        (Wave("pupa", (("pupa", 9),), (EMERGE._replace(woken=True),), rest=SPRING), 0, 1),
        (Wave("larva", (("larva", 9),), (PUPATE, EMERGE), rest=SPRING), 1, 0),
        (Wave("pupa", (("pupa", 9),), (EMERGE,), rest=SPRING), 0, 0),
    ],
)
def test_a_rest_is_drawn_where_it_is_taken(wave, before, after):
    """Pupae in the cold rest first and emerge then; larvae pupate first, and what hardly any does instead of resting is not drawn."""
    now = datetime(2031, 9, 11, 12)
    marks = calendar_picture._ahead(
        wave, 0.5, calendar_picture._Scale(picture.at(date(2031, 7, 1)), picture.at(date(2032, 4, 1)), now)
    )
    areas = [mark for mark in marks if isinstance(mark, Area)]
    (rest,) = (mark for mark in areas if mark.hatch == "---")
    assert rest.corners[1][0] == picture.at(SPRING.until)
    assert len([one for one in areas if one.corners[1][0] <= rest.corners[0][0]]) == before
    assert len([one for one in areas if one.corners[0][0] >= rest.corners[1][0]]) == after
    assert len(areas) == before + after + 1
    assert [mark.text for mark in marks if isinstance(mark, Words)][-1] == "rest to 1 Mar 2032"


def test_a_single_day_is_no_run_of_days():
    of = nursery(FOUND, readings=[Reading(datetime(2031, 6, 1, 12), "tub", 20.0, 24.0)])
    assert {one.name for one in pictures_of(gathered(of, 2031))} == {"calendar-1"}


def test_nothing_is_drawn_over_days_that_nobody_measured():
    days = [Reading(datetime(2031, 6, day, 12), "tub", 20.0 + day, 20.0 + day) for day in (1, 2, 5, 6)]
    of = nursery(FOUND, readings=days)
    (one,) = warmth_picture.days(gathered(of, 2031).page)
    lines = [mark for mark in one.panels[0].marks if isinstance(mark, Line)]
    assert [(line.points[0][0], line.points[-1][0]) for line in lines] == [
        (date(2031, 6, first).toordinal(), date(2031, 6, last).toordinal() + 1) for first, last in ((1, 2), (5, 6))
    ]
