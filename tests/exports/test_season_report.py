"""The report of a season tells the numbers of the screens and the answers, on a page that is well-formed, accessible and inert."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from datetime import datetime
from html.parser import HTMLParser

import pytest
from hypothesis import HealthCheck, given, settings
from oracle.nurseries import nurseries, random_events

from nurserytui.answers.season_sums import season, seasons_known
from nurserytui.answers.selection import Wanted
from nurserytui.answers.survival import percent, span
from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT, private_copy
from nurserytui.exports.export import export
from nurserytui.exports.page_html import POLICY, shown
from nurserytui.exports.report_sections import pictures_of
from nurserytui.exports.season_report import report
from nurserytui.exports.season_values import gathered, summed
from nurserytui.exports.withholding import Withheld
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages import calendar
from nurserytui.pages import season as season_page
from nurserytui.records.errors import StoreError
from nurserytui.records.events import Event
from nurserytui.records.progress import Stopped
from nurserytui.records.store import Store

VOID = {"meta", "br", "hr", "img", "link", "input"}
RUNS = {"script", "iframe", "object", "embed", "form", "base", "link", "audio", "video", "img", "foreignobject", "animate", "set"}
NOW = datetime(2031, 7, 20, 12)
FOUND = Event("2031-07-10T12:00", "found", "V", species="Vanessa atalanta", stage="larva", count=1, enclosure="tub")


class Read(HTMLParser):
    """A page taken apart: its elements in order, its tables by caption's name, its faults of form."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict]] = []
        self.faults: list[str] = []
        self.texts: dict[str, str] = {}
        self.tables: dict[str, list[list[str]]] = {}
        self._open: list[tuple[str, dict]] = []
        self._name = ""
        self.feed(text)
        self.close()
        self.faults += [f"<{tag}> is not closed" for tag, _ in self._open]

    def handle_starttag(self, tag, pairs) -> None:
        attributes = dict(pairs)
        if len(attributes) != len(pairs):
            self.faults.append(f"an attribute twice in <{tag}>")
        self.elements.append((tag, attributes))
        if tag not in VOID:
            self._open.append((tag, attributes))
        if tag == "table":
            self._name, self._spans = "", {}
        if tag == "caption":
            self._name = attributes["id"].removesuffix("-caption")
            self.tables[self._name] = []
        if tag == "tr":
            self.tables[self._name].append([])
            self._fill()
        if tag in ("td", "th"):
            row = self.tables[self._name][-1]
            if int(attributes.get("rowspan", 1)) > 1:
                self._spans[len(row)] = [int(attributes["rowspan"]), ""]
            row.append("")

    def _fill(self) -> None:
        """What a cell above, that reaches over several rows, says of this row too."""
        row = self.tables[self._name][-1]
        for at, (left, text) in list(self._spans.items()):
            if left > 1 and at == len(row):
                row.append(text)
                self._spans[at][0] -= 1
            else:
                del self._spans[at]

    def handle_startendtag(self, tag, pairs) -> None:
        self.elements.append((tag, dict(pairs)))

    def handle_endtag(self, tag) -> None:
        if not self._open or self._open[-1][0] != tag:
            self.faults.append(f"</{tag}> where {self._open[-1:]} is open")
        else:
            self._open.pop()
        if tag in ("td", "th") and len(self.tables[self._name][-1]) - 1 in self._spans:
            self._spans[len(self.tables[self._name][-1]) - 1][1] = self.tables[self._name][-1][-1]

    def handle_data(self, data) -> None:
        for tag, attributes in self._open:
            if "id" in attributes:
                self.texts[attributes["id"]] = self.texts.get(attributes["id"], "") + data
            if tag in ("td", "th"):
                self.tables[self._name][-1][-1] += data

    def all(self, *tags: str) -> list[dict]:
        return [attributes for tag, attributes in self.elements if tag in tags]

    def rows(self, name: str) -> list[list[str]]:
        """The rows of a table, without its head; [] where there is no such table."""
        return self.tables.get(f"{name}-table", [])[1:]


def nursery(*events, now=NOW) -> Nursery:
    store = Store.memory()
    assert not events or not store.append(events).faults
    return Nursery(store, load(), now)


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    with Store.open(private_copy(tmp_path_factory.mktemp("demo"))) as store:
        yield Nursery(store, load(), MOMENT)


@pytest.fixture(scope="module")
def many() -> Nursery:
    """Three seasons of a made-up nursery, splits, mergers, losses and all."""
    events = random_events(5, 3, 9)
    return nursery(*events, now=datetime.fromisoformat(f"{max(event.when[:10] for event in events)}T20:00"))


@pytest.fixture(scope="module")
def south() -> Nursery:
    """Seasons from April on, in Fahrenheit, under the southern sun."""
    told = [Event("2020-01-01", "setting", detail=one) for one in ("units=F", "season-start=4", "latitude=-33", "limit=40")]
    return nursery(*told, *random_events(8, 2, 4), now=datetime(2021, 7, 6, 9))


CASES = [
    ("south", 2020),
    ("south", 2021),
    ("demo", 2025),
    ("demo", 2026),
    ("many", 2020),
    ("many", 2021),
    ("many", 2022),
    ("one", 2031),
    ("none", 2031),
]


@pytest.fixture(scope="module", params=CASES, ids=[f"{name}-{year}" for name, year in CASES])
def told(request, demo, many, south):
    """(a nursery, the season, the page of it read)"""
    name, year = request.param
    of = {"demo": demo, "many": many, "south": south}.get(name) or (nursery(FOUND) if name == "one" else nursery())
    text, told_year, _, lacking = report(of, year=year)
    assert told_year == year and not lacking
    return of, year, Read(text), text


# Numbers -------------------------------------------------------------------------------------------------------------------


def test_its_numbers_are_those_of_the_season_screen(told):
    of, year, read, _ = told
    page = season_page.read(of, str(year))
    died = sum(count for _, count in page.causes)
    assert read.rows("losses") == [[shown(cause), str(count), percent(count / died)] for cause, count in page.causes]
    assert [row[:5] for row in read.rows("stages")] == [
        [
            f"{one.first} to {one.last}",
            f"{one.reached} of {one.known}" if one.known else "none known yet",
            f"{percent(one.share)}{' (too early to judge)' if one.early else ''}" if one.known else "",
            span(one.low, one.high) if one.known else "",
            one.unknown,
        ]
        for one in page.stages
    ]
    assert [row[1:5] for row in read.rows("survival")] == [
        [f"{share.days:.1f}".removesuffix(".0"), percent(share.alive), span(share.low, share.high), str(share.standing)]
        for group in page.groups
        for share in group.table
    ]
    if len(page.beside) > 1:
        assert [row[1:4] for row in read.rows("seasons")] == [
            [str(row.came), str(row.died), str(row.adults)] for row in page.beside
        ]
    assert [row[4:] for row in read.rows("warmth")] == [[str(len(place.days)), str(place.readings)] for place in page.places]
    assert [float(row[1]) for row in read.rows("heat")] == [pytest.approx(row.total, abs=0.051) for row in page.heats]
    assert len(read.rows("days")) == sum(len(place.days) for place in page.places)
    assert [row[2:] for row in read.rows("dates")] == [[row.first[:10], row.last[:10], str(row.animals)] for row in page.dates]


def test_the_cohorts_add_up_to_the_season(told):
    of, year, read, _ = told
    values = gathered(of, year)
    one, total = season(of, year), summed(values.cohorts)
    assert (total["came"], total["adult"], total["here"]) == (one.total, one.reached["adult"], one.here.total())
    assert all(total[what] == one.ended[what] for what in ("died", "released", "given", "escaped", "missing", "counted"))
    rows = read.rows("cohorts")
    if rows:
        columns = [[int(row[at]) for row in rows if not row[3].startswith("with ")] for at in range(3, 10)]
        assert all(column[-1] == sum(column[:-1]) for column in columns)
        assert columns[0][-1] == one.total and columns[6][-1] == one.here.total()
        assert one.total == sum(total[what] for what in ("died", "released", "given", "escaped", "missing", "counted", "here"))


@settings(max_examples=int(os.environ.get("NURSERY_EXAMPLES", "1")) * 12, deadline=None, suppress_health_check=list(HealthCheck))
@given(nurseries())
def test_on_any_records_the_cohorts_add_up_and_pictures_can_be_made(events):
    of = nursery(*events, now=datetime.fromisoformat(f"{max((event.when[:10] for event in events), default='2020-06-01')}T20:00"))
    for year in seasons_known(of):
        values = gathered(of, year)
        one, total = values.sums, summed(values.cohorts)
        assert (total["came"], total["adult"], total["here"]) == (one.total, one.reached["adult"], one.here.total())
        assert all(total[what] == count for what, count in one.ended.items())
        names = [picture.name for picture in pictures_of(values)]
        assert len(names) == len(set(names)) and all(re.fullmatch("[a-z]+(-[0-9]+)?", name) for name in names)


def test_its_summary_is_that_of_the_answer(told):
    of, year, _, text = told
    answer = Assistant(of).reply(f"summary of season {year}", of.now)
    words = re.sub(r"<[^>]*>", "", text[text.index("<header>") : text.index("</header>")])
    if answer.status != "answered":
        assert f"No cohort began in season {year}" in words
        return
    values = answer.values
    figures = dict(re.findall(r"<dt>([^<]*)</dt><dd>(\d+)</dd>", text))
    one = season(of, year)
    assert int(figures["came in"]) == values["count"].value == one.total
    assert figures["released"] == str(one.ended["released"]) and figures["died"] == str(one.ended["died"])
    assert figures["still here"] == str(one.here.total()) and figures["became adult"] == str(one.reached["adult"])
    if values["n"].value:
        share = f"{values['reached'].value} of {values['n'].value} with a known fate reached adult ({percent(one.adult.reached / one.adult.known)}"
        assert share in words and span(values["rate"].low, values["rate"].high) in words
    for sentence in answer.text.split("\n")[:1]:
        assert sentence in words


def test_the_calendar_is_that_of_the_screen(told):
    of, year, read, _ = told
    page = calendar.read(of, str(year))
    assert [row[0] for row in read.rows("calendar")] == [row.label for row in page.rows]
    for row, shown_row in zip(page.rows, read.rows("calendar"), strict=True):
        assert shown_row[2] == "; ".join(calendar.past_parts(row, of.now))
        assert all(calendar.wave_words(wave, of.now) in shown_row[3] for wave in row.waves)
    coming = {row[0]: row for row in read.rows("next")}
    assert set(coming) == {row.label for row in page.rows if row.waves}


def test_a_cohort_parted_from_another_is_counted_where_it_came_in(many):
    values = gathered(many, 2021)
    parted = [cohort for cohort in values.cohorts if cohort.parted]
    assert parted and all(cohort.sums.total == 0 for cohort in parted)
    assert season(many, 2021, Wanted(cohorts=(parted[0].parted,))).total > 0


# Which season --------------------------------------------------------------------------------------------------------------


def test_without_a_season_it_is_the_running_one_or_the_last_with_cohorts(many):
    assert report(many)[1] == 2022
    later = Nursery(many.store, many.knowledge, datetime(2025, 3, 1))
    assert report(later)[1] == 2022
    assert report(nursery())[1] == 2031


def test_a_season_that_nobody_knows_is_said_in_a_line(many):
    with pytest.raises(StoreError, match=r"^No cohort began in season 1999: there are 2020, 2021 and 2022\.$"):
        report(many, year=1999)


def test_the_place_is_kept_back_where_places_are(tmp_path):
    of = nursery(FOUND, Event("2031-07-01", "setting", detail="place=Hidden Hollow"))
    for locations, told_of in (("exact", True), ("coarse", False), ("none", False)):
        export(of, tmp_path / "r.html", "html", withheld=Withheld(locations))
        assert ("Hidden Hollow" in (tmp_path / "r.html").read_text(encoding="utf-8")) is told_of


# The page ------------------------------------------------------------------------------------------------------------------


def test_it_is_well_formed_and_every_name_is_its_own(told):
    read = told[2]
    assert read.faults == []
    names = [attributes["id"] for _, attributes in read.elements if "id" in attributes]
    assert len(names) == len(set(names))
    meant = [attributes["href"] for _, attributes in read.elements if "href" in attributes]
    meant += [f"#{one}" for _, attributes in read.elements for one in attributes.get("aria-labelledby", "").split()]
    meant += re.findall(r"url\((#[^)]*)\)", told[3])
    assert meant and {one.removeprefix("#") for one in meant} <= set(names)


def test_headings_and_landmarks_are_in_order(told):
    read = told[2]
    assert read.all("html") == [{"lang": "en"}] and len(read.all("main")) == len(read.all("nav")) == len(read.all("h1")) == 1
    levels = [int(tag[1]) for tag, _ in read.elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in zip(levels, levels[1:]))
    links = [one["href"].removeprefix("#") for one in read.all("a")]
    assert links == [one["id"] for one in read.all("section")]


def test_tables_say_what_they_hold(told):
    read = told[2]
    assert len(read.all("caption")) == len(read.all("table")) and all("scope" in one for one in read.all("th"))
    for rows in read.tables.values():
        assert len({len(row) for row in rows}) == 1 and len(rows) > 1


def test_every_picture_says_in_words_with_numbers_what_it_shows(told):
    read = told[2]
    figures, pictures = read.all("figure"), read.all("svg")
    assert len(figures) == len(pictures) == len(read.all("figcaption"))
    for one in (*figures, *pictures):
        assert all(read.texts[name].strip() for name in one["aria-labelledby"].split())
    for one in pictures:
        title, words = one["aria-labelledby"].split()
        assert one["role"] == "img" and read.texts[title] and re.search(r"\d", read.texts[words])


def test_nothing_is_run_loaded_or_sent(told):
    """Content Security Policy Level 3; the page has to be inert also where a reader does not know it."""
    _, _, read, text = told
    assert not {tag for tag, _ in read.elements} & RUNS
    assert [one["content"] for one in read.all("meta") if one.get("http-equiv") == "Content-Security-Policy"] == [POLICY]
    assert "default-src 'none'" in POLICY and "script-src" not in POLICY
    for _, attributes in read.elements:
        assert not [name for name in attributes if name.startswith("on") or name in ("src", "action", "data", "srcset")]
        assert all(attributes[name].startswith("#") for name in ("href", "xlink:href") if name in attributes)
    assert not re.search(r"@import|url\((?!#)|https?://|javascript:", re.sub(r"<li>.*?</li>", "", text, flags=re.DOTALL))


def test_an_empty_nursery_and_a_single_find_have_a_page():
    none, one = (Read(report(of)[0]) for of in (nursery(), nursery(FOUND)))
    assert "how" in none.texts and "cohorts" not in none.texts and not none.all("figure")
    assert one.rows("cohorts")[0][:4] == ["V", "red admiral (Vanessa atalanta)", "2031-07-10", "1"]
    assert "Small numbers" in one.texts["how"] and "Still open" in one.texts["how"]


def test_tables_and_pictures_keep_to_a_phone_and_to_paper(told):
    text = told[3]
    assert 'name="viewport" content="width=device-width, initial-scale=1"' in text
    assert re.search(r"\.box\{overflow-x:auto", text) and re.search(r"@page\{[^}]*margin", text)
    assert re.search(r"@media print\{.*tr,figure[^{]*\{break-inside:avoid\}", text, re.DOTALL)
    boxes = [at for at, (tag, attributes) in enumerate(told[2].elements) if attributes.get("class") == "box"]
    inside = [at for at, (tag, _) in enumerate(told[2].elements) if tag in ("table", "svg")]
    assert [at - 1 for at in inside] == boxes  # each in a box of its own that scrolls


# What is written -----------------------------------------------------------------------------------------------------------


def test_the_same_records_and_moment_give_the_same_bytes(demo, tmp_path, monkeypatch):
    written = []
    for zone in ("UTC", "Asia/Tokyo"):
        monkeypatch.setenv("TZ", zone)
        again = Nursery(demo.store, demo.knowledge, demo.now)
        assert export(again, tmp_path / "r.html", "html") == f"{tmp_path / 'r.html'}: report of season 2026, 8 cohorts"
        written.append((tmp_path / "r.html").read_bytes())
    assert written[0] == written[1]


def test_stopped_at_any_step_it_leaves_nothing(tmp_path):
    of, steps = nursery(FOUND), []
    export(of, tmp_path / "whole.html", "html", lambda done, total, what: steps.append((done, total, what)))
    assert {what for _, _, what in steps} >= {"cohorts counted", "cohorts looked ahead", "parts worked out", "pictures drawn"}
    fresh = nursery(FOUND)
    for last in {*range(0, len(steps), 1 + len(steps) // 10), len(steps) - 1}:  # every one would take minutes
        left = iter(range(last))

        def stop(done, total, what, left=left):
            if next(left, None) is None:
                raise Stopped

        # How often it is told while pictures are drawn hangs on how long that takes.
        with suppress(Stopped):
            export(fresh, tmp_path / "r.html", "html", stop)
            (tmp_path / "r.html").unlink()
        assert [one.name for one in tmp_path.iterdir()] == ["whole.html"]


def test_three_hundred_cohorts_and_twenty_seasons_have_pages_of_some_megabytes(capsys):
    """By cohort the page grows no faster than for few, and pictures are cut where they would be longer than a printed page."""
    sizes = {}
    for seasons, cohorts in ((2, 20), (2, 150), (20, 3)):
        events = random_events(3, seasons, cohorts, looks_per_day=0.05, animals=(3, 9))
        of = nursery(*events, now=datetime(2020 + seasons, 6, 1))
        text, _, _, lacking = report(of, year=2020)
        read = Read(text)
        assert not lacking and not read.faults
        names = [one["aria-labelledby"] for one in read.all("svg")]
        assert len(names) == len(set(names))
        assert sum(name.startswith("calendar") for name in names) == -(-len(read.rows("calendar")) // 30)
        sizes[cohorts] = len(text) / len(read.rows("calendar"))
    assert sizes[150] < 1.2 * sizes[20] and sizes[150] < 12_000
