"""A season as values and as text, against numbers worked out by hand, and its curves against lifelines."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import sin

import pytest
from rich.cells import cell_len

from nurserytui.answers.lifetimes import watched
from nurserytui.answers.selection import Wanted
from nurserytui.answers.survival import of_seasons
from nurserytui.biology import degree_days, degree_days_of_readings
from nurserytui.demo import MOMENT, private_copy
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages.season import plain, read
from nurserytui.pages.season_text import SECTIONS, section
from nurserytui.pages.show import show
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

NOW = datetime(2031, 7, 20, 12)
EVENTS = (
    Event("2031-06-01T12:00", "laid", "S1", species="Pieris rapae", stage="egg", count=20, enclosure="jar"),
    Event("2031-06-04T12:00", "died", "S1", stage="egg", count=2, enclosure="jar", detail="infertile"),
    Event("2031-06-06T12:00", "hatched", "S1", count=18, enclosure="jar"),
    Event("2031-06-11T12:00", "died", "S1", stage="larva", count=3, enclosure="jar", detail="drowned"),
    Event("2031-06-16T12:00", "escaped", "S1", stage="larva", count=1, enclosure="jar"),
    Event("2031-06-21T12:00", "pupated", "S1", count=14, enclosure="jar"),
    Event("2031-07-01T12:00", "emerged", "S1", count=14, enclosure="jar"),
    Event("2031-07-02T12:00", "released", "S1", stage="adult", count=14, enclosure="jar"),
    Event("2031-07-10T12:00", "found", "V", species="Vanessa atalanta", stage="larva", count=1, enclosure="tub"),
)
"""20 eggs: 2 dead on day 3, 3 on day 10, 1 out of sight on day 15, 14 released on day 31; and one larva of another species."""
EARLIER = (
    Event("2030-06-01T12:00", "laid", "S0", species="Pieris rapae", stage="egg", count=10, enclosure="jar"),
    Event("2030-06-05T12:00", "died", "S0", stage="egg", count=10, enclosure="jar", detail="dried up"),
)


def nursery(*events, readings=(), now=NOW) -> Nursery:
    store = Store.memory()
    assert not events or not store.append(events).faults
    if readings:
        store.add_readings(readings)
    return Nursery(store, load(), now)


def test_what_came_in_and_what_it_died_of():
    page = read(nursery(*EVENTS))
    assert [(row.species, row.laid, row.found) for row in page.came] == [("Pieris rapae", 20, 0), ("Vanessa atalanta", 0, 1)]
    assert page.causes == (("drowned", 3), ("infertile", 2)) and page.astray == (("escaped", 1),)
    assert page.running and page.seasons == (2031,) and page.choices == ("Pieris rapae", "Vanessa atalanta")


def test_survival_by_stage_is_counted_of_known_fates():
    rows = {(row.first, row.last): row for row in read(nursery(*EVENTS), "Pieris rapae").stages}
    assert (rows["egg", "larva"].reached, rows["egg", "larva"].known) == (18, 20)
    assert (rows["larva", "pupa"].reached, rows["larva", "pupa"].known) == (14, 17)
    assert rows["larva", "pupa"].unknown == "1 escaped before"
    assert (rows["pupa", "adult"].reached, rows["pupa", "adult"].known) == (14, 14)
    # Wilson 1927 of 18 in 20 at 95 %: 0.699 to 0.972.
    assert (rows["egg", "larva"].low, rows["egg", "larva"].high) == (
        pytest.approx(0.699, abs=5e-4),
        pytest.approx(0.972, abs=5e-4),
    )


def test_the_curve_by_hand():
    group = read(nursery(*EVENTS), "Pieris rapae").groups[0]
    # 20 at risk, 2 die: 18/20. 18 at risk, 3 die: times 15/18.
    assert [(one.days, round(one.alive, 6), one.standing) for one in group.deaths] == [(3.0, 0.9, 18), (10.0, 0.75, 15)]
    assert (group.animals, group.died, group.few) == (20, 5, False)
    # The fifth of those watched longest was watched for 31 days: no further is the curve drawn.
    assert group.drawn[0].days == 0 and group.drawn[-1].days == 31
    assert [one.days for one in group.drawn if one.days in (3.0, 10.0)] == [3.0, 10.0]


def test_the_curve_and_its_interval_are_those_of_lifelines():
    lifelines = pytest.importorskip("lifelines")
    days = [3] * 2 + [10] * 3 + [15] + [31] * 14
    fit = lifelines.KaplanMeierFitter(alpha=0.05).fit(days, [True] * 5 + [False] * 15)
    _same(read(nursery(*EVENTS), "Pieris rapae").groups[0], fit)


def test_every_curve_of_the_demo_is_that_of_lifelines(tmp_path):
    lifelines = pytest.importorskip("lifelines")
    with Store.open(private_copy(tmp_path)) as store:
        here = Nursery(store, load(), MOMENT)
        groups = read(here, "2025").groups
        assert len(groups) == 5
        for group in groups:
            want = of_seasons(here, Wanted(species=(group.name,) if group.name else ()), (2025,))
            fit = lifelines.KaplanMeierFitter(alpha=0.05).fit(*watched(here, want).durations())
            _same(group, fit)


def _same(group, fit) -> None:
    bounds = fit.confidence_interval_
    assert group.deaths
    for one in (*group.deaths, *group.table, *group.drawn):
        assert one.alive == pytest.approx(float(fit.predict(one.days)), abs=1e-9)
        row = bounds[bounds.index <= one.days].iloc[-1]
        if 0 < one.alive < 1:
            assert one.low == pytest.approx(row.iloc[0], abs=1e-6) and one.high == pytest.approx(row.iloc[1], abs=1e-6)
    for one in group.deaths:
        before = fit.event_table.loc[fit.event_table.index == one.days].iloc[0]
        assert one.standing == before.at_risk - before.removed


def test_one_animal_is_too_few_for_a_curve():
    page = read(nursery(EVENTS[-1]))
    (group,) = page.groups
    assert group.few and not (group.deaths or group.table or group.drawn)
    assert "1 animal, 0 dead: too few for a curve, which needs 5 at least." in plain(page)


def test_a_curve_is_not_drawn_where_hardly_any_were_watched():
    """One of six lives on for 60 days and dies: no median and no drop to nothing is told of that one."""
    events = (
        Event("2031-05-01T12:00", "found", "S", species="Pieris rapae", stage="larva", count=6, enclosure="jar"),
        Event("2031-05-11T12:00", "released", "S", stage="larva", count=5, enclosure="jar"),
        Event("2031-06-30T12:00", "died", "S", stage="larva", count=1, enclosure="jar", detail="old"),
    )
    group = read(nursery(*events)).groups[0]
    assert group.deaths[-1].alive == 0 and group.drawn[-1].days == 10 and group.drawn[-1].alive == 1
    assert "100 % of season 2031 were alive on day 10" in group.words[0] and "too few" in group.words[0]


def test_seasons_stand_side_by_side_as_on_the_same_date_and_in_the_end():
    page = read(nursery(*EARLIER, *EVENTS))
    assert [(row.year, row.when, row.came, row.died, row.adults) for row in page.beside] == [
        (2031, "so far", 21, 5, 14),
        (2030, "by 20 Jul", 10, 10, 0),
        (2030, "", 10, 10, 0),
    ]
    assert page.seasons == (2030, 2031) and "hardly chance" in page.compared
    assert [row.year for row in read(nursery(*EARLIER, *EVENTS), "2030").beside] == [2030]


@pytest.mark.parametrize(
    ("which", "year", "whose", "strange"),
    [
        ("", 2031, "", ""),
        ("2030", 2030, "", ""),
        ("season 2030", 2030, "", ""),
        ("2030 small white", 2030, "Pieris rapae", ""),
        ("pieris RAPAE", 2031, "Pieris rapae", ""),
        ("2031 S1", 2031, "S1", ""),
        ("cohort s1", 2031, "S1", ""),
        ("2030 S1", 2030, "", "S1"),
        ("1850", 2031, "", "1850"),
        ("[/b] \x1b[31m", 2031, "", "[/b] \x1b[31m"),
    ],
)
def test_which_season_and_whose(which, year, whose, strange):
    page = read(nursery(*EARLIER, *EVENTS), which)
    assert (page.year, page.whose, page.strange) == (year, whose, strange)


def test_a_year_without_animals_can_be_turned_to():
    page = read(nursery(*EVENTS), "2040")
    assert page.empty and page.seasons == (2031, 2040) and not page.running
    assert any(line.startswith("Nothing came in in season 2040. Write down") for line in plain(page))


def test_an_empty_nursery_says_what_to_write_down():
    lines = show("season", nursery())
    text = " ".join(lines)
    assert "Nothing came in in season 2031 yet. Write down the first ones as you would say it" in text
    assert "No temperature was recorded in season 2031. Write one down" in text and "no degree-days" in text


# Warmth --------------------------------------------------------------------------------------------------------------------


def logged(hours: int, celsius, place="jar") -> list[Reading]:
    start = datetime(2031, 6, 1)
    return [Reading(start + timedelta(hours=at), place, celsius(at), celsius(at)) for at in range(hours)]


def test_a_day_has_its_lowest_its_mean_and_its_highest():
    page = read(nursery(*EVENTS, readings=logged(24, lambda at: 20.0 if at < 12 else 24.0)))
    (place,) = page.places
    (day,) = place.days
    assert (day.day, day.low, round(day.mean, 6), day.high) == (date(2031, 6, 1), 20.0, 22.0, 24.0)
    assert (place.name, place.readings) == ("jar", 24)


def test_in_fahrenheit_both_temperatures_and_sums():
    unit = Event("2031-05-01", "setting", detail="units=F")
    readings = logged(49, lambda at: 20.0)
    warm, cool = read(nursery(unit, *EVENTS, readings=readings)), read(nursery(*EVENTS, readings=readings))
    assert warm.unit == "F" and warm.places[0].mean == pytest.approx(68)
    assert warm.heats[0].total == pytest.approx(cool.heats[0].total * 1.8)
    assert warm.heats[0].base == pytest.approx(cool.heats[0].base * 1.8 + 32)


def test_degree_days_of_a_steady_room_by_hand():
    page = read(nursery(*EVENTS, readings=logged(73, lambda at: 22.0)), "Pieris rapae")
    (row,) = page.heats
    # Three days of 22 °C: each gives what it is above the threshold.
    assert [round(total, 6) for _, total in row.so_far[:3]] == [
        pytest.approx(22 - row.base),
        pytest.approx(2 * (22 - row.base)),
        pytest.approx(3 * (22 - row.base)),
    ]


def test_degree_days_of_a_low_and_a_high_are_those_of_a_sine():
    page = read(nursery(*EVENTS, Event("2031-06-02", "temperature", enclosure="jar", detail="12..26 C")), "Pieris rapae")
    (row,) = page.heats
    assert row.total == pytest.approx(degree_days(12, 26, row.base)) and row.so_far == ((date(2031, 6, 2), row.total),)


def test_three_thousand_readings_add_up_day_by_day_to_the_sum_of_them_all():
    readings = logged(3000, lambda at: 18 + 9 * sin(at / 3.8))
    page = read(nursery(*EVENTS, readings=readings, now=datetime(2031, 12, 1)), "2031 Pieris rapae")
    (row,) = page.heats
    whole = degree_days_of_readings([one.when for one in readings], [one.mean for one in readings], row.base)
    assert row.total == pytest.approx(whole.degree_days) and len(row.so_far) == 125 and page.places[0].readings == 3000
    totals = [total for _, total in row.so_far]
    assert totals == sorted(totals)
    assert all(cell_len(line) <= 80 for line in plain(page))


def test_no_readings_no_sums_but_everything_else():
    page = read(nursery(*EVENTS))
    assert not page.places and not page.heats and page.groups
    text = " ".join(section(page, "heat", 80))
    assert "no degree-days" in text and "Write one down, for example: temperature in tub 1 24 C" in text


def test_the_cohort_that_is_alive_has_the_warmth_of_where_it_stood():
    later = [one._replace(when=one.when + timedelta(days=39)) for one in logged(73, lambda at: 22.0, "tub")]
    page = read(nursery(*EVENTS, readings=later))
    (own,) = page.own
    assert round(own.total, 6) == pytest.approx(3 * (22 - page.heats[0].base))
    assert own.cohort == "V" and own.days == 4 and own.lacking == 7  # 10 to 13 July of 10 to 20, today among them


# Text ----------------------------------------------------------------------------------------------------------------------

NASTY = "[/b]\x1b[31m\u202e" + "蝶" * 300


@pytest.mark.parametrize("width", [20, 38, 51, 80])
@pytest.mark.parametrize("name", SECTIONS)
def test_no_line_is_wider_than_told_nor_steers_a_terminal(name, width):
    cause = Event("2031-06-12T12:00", "died", "S1", stage="larva", count=1, enclosure="jar", detail=NASTY)
    hot = Event("2031-06-13", "temperature", enclosure=NASTY, detail="24 C")
    page = read(nursery(*EARLIER, *EVENTS[:5], cause, hot))
    lines = section(page, name, width)
    assert lines and all(cell_len(line) <= width for line in lines)
    assert not any("\x1b" in line or "\u202e" in line for line in lines)


def test_all_of_the_demo_as_text(tmp_path):
    with Store.open(private_copy(tmp_path)) as store:
        here = Nursery(store, load(), MOMENT)
        for which in ("", "2025", "2025 monarch", "A"):
            lines = show("season", here, which)
            assert all(cell_len(line) <= 80 for line in lines)
            assert [line for line in lines if line.isupper()][:5] == ["ANIMALS", "SURVIVAL", "LOSSES", "WARMTH", "DEGREE-DAYS"]
        lines = show("season", here, "2025")
        assert lines[0] == "Season 2025: all species"
        assert "day  alive  95 % interval  at risk" in lines and " 10   82 %        70-89 %       49" in lines
        assert "dried up             4   27 %" in lines and "15 died." in lines
        assert sum(line.startswith("Alive by days since coming in") for line in lines) == 5


def test_a_season_that_begins_in_july_holds_the_summer_of_two_years():
    begin = Event("2029-01-01", "setting", detail="season-start=7")
    page = read(nursery(begin, *EARLIER, *EVENTS, now=datetime(2031, 7, 20, 12)))
    # June 2030 and June 2031 lie in the seasons that began the July before; the find of 10 July begins the next.
    assert (page.year, page.start, page.end) == (2031, date(2031, 7, 1), date(2032, 6, 30))
    assert page.seasons == (2029, 2030, 2031) and [row.species for row in page.came] == ["Vanessa atalanta"]


def test_a_cohort_by_itself_is_compared_with_no_season():
    page = read(nursery(*EARLIER, *EVENTS), "S1")
    assert page.title == "cohort S1" and len(page.groups) == 1 and not page.compared and len(page.beside) == 1
    assert page.causes == (("drowned", 3), ("infertile", 2))
