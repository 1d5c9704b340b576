"""Back from the coming out of a parasitoid to when and where its host was struck, and on to whom it threatens, worked out by hand."""

from __future__ import annotations

from datetime import date

import pytest

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.contacts import contacts
from nurserytui.answers.loose import loose
from nurserytui.answers.outbreak_chains import chains
from nurserytui.answers.stings import origins
from nurserytui.answers.watches import open_watches, rows_of

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"


def row(when, what, cohort="", **more):
    cells = {"when": when, "what": what, "cohort": cohort, **{name: str(value) for name, value in more.items()}}
    return ",".join(cells.get(name, "") for name in HEAD.split(","))


def found(when, cohort, stage, place, count=1, species="Pieris rapae", **more):
    return row(
        when, "found", cohort, species=species, stage=stage, count=count, enclosure=place, host="Brassica oleracea", **more
    )


def wasps(when, cohort, place, **more):
    return row(when, "died", cohort, stage="pupa", count=1, enclosure=place, detail="Pteromalus wasp", **more)


WARM = row("2031-06-01", "temperature", detail="22 C")
"""At a steady 22 °C the wasp takes 213.7 / 9.8 = 21.8 days; nine in ten between 18.2 and 25.4 (10 % about the mean)."""
HOST = [
    WARM,
    found("2031-07-01", "S", "larva", "tub", instar=5),
    row("2031-07-07T08:00", "checked", "S", enclosure="tub"),
    row("2031-07-07T20:00", "pupated", "S", count=1, enclosure="tub"),
]
"""Hangs from the 6th (a day before the look that saw a larva), soft until the 8th 20:00, hard from the 10th 20:00."""
EXIT = wasps("2031-07-29T08:00", "S", "tub")


@pytest.fixture
def of(keeping):
    def made(rows, now="2031-07-30T08:00"):
        return keeping.nursery("\n".join([HEAD, *sorted(rows, key=lambda line: line.split(",")[0])]), now)

    return made


def grades(nursery, which=-1):
    met = contacts(nursery, outbreaks(nursery)[which])
    return {(one.group.cohort, one.group.enclosure): one.grade for one in met}


def test_back_to_the_sting_and_where(of):
    (origin,) = origins(of([*HOST, EXIT]), outbreaks(of([*HOST, EXIT]))[0])
    # Out between the 28th and the 29th: from 25.4 days before the first to 18.2 before the last, the middle 21.8 days before.
    assert (origin.window.low.date(), origin.window.high.date()) == (date(2031, 7, 2), date(2031, 7, 11))
    assert origin.window.at.date() == date(2031, 7, 7)  # the 28th, 20:00, less 21 days and 19 hours
    (strike,) = origin.strikes
    assert (strike.place, strike.outdoors, strike.grade) == ("tub", False, "likely")
    assert (strike.first.date(), strike.last.date()) == (date(2031, 7, 6), date(2031, 7, 10))
    assert origin.fits and strike.share == pytest.approx(1.0)


def test_struck_where_it_stood_then_not_where_it_came_out(of):
    rows = [
        *HOST,
        row("2031-07-15", "moved", "S", stage="pupa", count=1, enclosure="tub", to="jar"),
        wasps("2031-07-29", "S", "jar"),
    ]
    rows += [
        found("2031-07-01", "T", "larva", "tub", instar=5),
        row("2031-07-08", "pupated", "T", count=1, enclosure="tub"),
        found("2031-07-01", "U", "larva", "jar", instar=5),
        row("2031-07-08", "pupated", "U", count=1, enclosure="jar"),
    ]
    nursery = of(rows)
    assert {strike.place for strike in origins(nursery, outbreaks(nursery)[0])[0].strikes} == {"tub"}
    met = grades(nursery)
    assert met["T", "tub"] == "likely"  # hung beside it when it was struck
    assert (
        met.get(("U", "jar"), "unlikely") == "unlikely"
    )  # stood in the jar, which the host only came to when hard; hard now itself


def test_a_larva_at_the_time_is_no_sibling_in_danger_and_a_pupa_of_then_is(of):
    rows = [*HOST, EXIT, found("2031-07-05", "L", "larva", "tub", instar=2), found("2031-07-04", "P", "pupa", "tub")]
    rows.append(found("2031-07-01", "H", "pupa", "tub"))
    nursery = of(rows)
    met = {one.group.cohort: one for one in contacts(nursery, outbreaks(nursery)[0])}
    assert met["L"].grade == "possible" and not met["L"].together and met["L"].vulnerable_from is not None
    assert met["P"].grade == "possible"  # found as pupa on the 4th, of unknown age: soft until the 7th at the latest
    assert met["P"].together and met["H"].grade == "unlikely"  # found on the 1st: hard by the 5th, the host hung from the 6th


def test_struck_outdoors_only_those_found_with_it_share_it(of):
    rows = [
        WARM,
        found("2031-07-10", "W", "pupa", "tub", count=3),
        found("2031-07-10", "X", "pupa", "jar", count=2),
        found("2031-07-10", "Y", "pupa", "jar", species="Vanessa atalanta"),
        wasps("2031-07-14", "W", "tub"),
    ]
    nursery = of(rows, "2031-07-20T08:00")
    (origin,) = origins(nursery, outbreaks(nursery)[0])
    assert origin.outdoors and origin.strikes[0].outdoors and origin.strikes[0].last.date() <= date(2031, 7, 10)
    met = {one.group.cohort: one for one in contacts(nursery, outbreaks(nursery)[0]) if one.together}
    assert met["W"].grade == "likely" and met["X"].grade == "possible" and "Y" not in met


def test_an_attack_that_was_seen_is_not_traced_back(of):
    rows = [
        WARM,
        found("2031-07-01", "S", "larva", "tub", instar=5),
        row("2031-07-08", "prepupated", "S", count=1, enclosure="tub"),
        row(
            "2031-07-08T12:00",
            "sign",
            "S",
            stage="prepupa",
            enclosure="tub",
            detail="small black wasp walking on the hanging larva",
        ),
    ]
    nursery = of(rows, "2031-07-08T14:00")
    (origin,) = origins(nursery, outbreaks(nursery)[0])
    assert origin.window is None and origin.strikes[0].place == "tub"
    assert grades(nursery)["S", "tub"] == "likely"


# Forwards -----------------------------------------------------------------------------------------------------------------

YOUNG = found("2031-07-25", "Y", "larva", "tub", instar=4, count=4, species="Vanessa atalanta")


def test_who_will_be_at_risk_and_from_when(of):
    nursery = of([*HOST, EXIT, YOUNG])
    young = next(one for one in contacts(nursery, outbreaks(nursery)[0]) if one.group.cohort == "Y")
    assert young.grade == "possible" and young.vulnerable_from > nursery.now
    assert young.watch_until > young.vulnerable_from


ENDS = [
    # what is written after the exit, and whether wasps still count as about
    ([], True),
    ([row("2031-07-29T12:00", "checked", enclosure="tub", note="caught all the wasps")], False),
    ([row("2031-07-29T12:00", "checked", enclosure="tub")], True),
    ([row("2031-07-29T12:00", "note", note="no more wasps in the tub")], False),
    ([row("2031-07-29T12:00", "cleaned", enclosure="tub")], True),  # cleaned around the animals: they are still about
    ([row("2031-07-29T10:00", "moved", enclosure="tub", to="jar"), row("2031-07-29T12:00", "cleaned", enclosure="tub")], False),
    ([row("2031-07-28T12:00", "checked", enclosure="tub", note="no wasps")], True),  # that was before they came out
]


@pytest.mark.parametrize(("later", "about"), ENDS)
def test_what_ends_the_danger(of, later, about):
    nursery = of([*HOST, EXIT, YOUNG, *later])
    one = loose(nursery, outbreaks(nursery)[0])
    assert one.about is about
    young = [contact for contact in contacts(nursery, outbreaks(nursery)[0]) if contact.group.cohort == "Y"]
    at_risk = any(contact.grade != "unlikely" for contact in young)
    assert at_risk is about


def test_the_sentence_that_ends_it_does(of, ask):
    nursery = of([*HOST, EXIT, YOUNG])
    said = loose(nursery, outbreaks(nursery)[0]).record()
    assert said == "checked tub: no wasps"
    assert not loose(
        of([*HOST, EXIT, YOUNG, row("2031-07-29T12:00", "checked", enclosure="tub", note=said.split(": ")[1])]),
        outbreaks(nursery)[0],
    ).about


def test_wasps_die_in_a_month(of):
    nursery = of([*HOST, EXIT, YOUNG], "2031-09-05T08:00")
    one = loose(nursery, outbreaks(nursery)[0])
    assert not one.about and one.until.date() == date(2031, 8, 29)  # 31 days on


def test_moves_and_splits_carry_it_along_and_larvae_do_not(of):
    rows = [
        *HOST,
        found("2031-07-01", "T", "larva", "tub", count=6, instar=4),
        row("2031-07-08", "pupated", "T", count=3, enclosure="tub"),
        row("2031-07-10", "moved", "T", stage="pupa", count=2, enclosure="tub", to="box"),
        row("2031-07-10", "moved", "T", stage="larva", count=3, enclosure="tub", to="net"),
        row("2031-07-12", "split", "T", stage="pupa", count=1, enclosure="box", to="V"),
        EXIT,
        row("2031-07-29T10:00", "checked", enclosure="tub", note="no wasps"),
    ]
    met = grades(of(rows))
    assert met["T", "box"] == "likely" and met["V", "box"] == "likely" and met["T", "tub"] == "likely"
    assert met.get(("T", "net"), "unlikely") == "unlikely"


def test_exposed_ones_that_show_it_later_are_the_same_outbreak(of):
    rows = [
        *HOST,
        EXIT,
        found("2031-07-20", "T", "larva", "tub", instar=5),
        row("2031-07-29T06:00", "pupated", "T", count=1, enclosure="tub"),
        row("2031-07-31", "moved", "T", stage="pupa", count=1, enclosure="tub", to="jar"),
        wasps("2031-08-20", "T", "jar"),
    ]
    apart = [
        found("2031-07-20", "Z", "larva", "far cage", instar=5),
        row("2031-07-29", "pupated", "Z", count=1, enclosure="far cage"),
    ]
    linked = of([*rows, *apart, wasps("2031-08-19", "Z", "far cage")], "2031-08-21T08:00")
    assert [[one.place for one in chain] for chain in chains(linked, outbreaks(linked))] == [["tub", "jar"], ["far cage"]]


# The watch ----------------------------------------------------------------------------------------------------------------


def test_a_watch_closes_when_they_come_through_or_when_it_passes(of):
    rows = [
        *HOST,
        EXIT,
        found("2031-07-20", "T", "larva", "tub", instar=5),
        row("2031-07-29T06:00", "pupated", "T", count=1, enclosure="tub"),
        row("2031-07-29T10:00", "checked", enclosure="tub", note="no wasps"),
    ]
    assert [one.contact.group.cohort for one in open_watches(of(rows))] == ["T"]
    out = of([*rows, row("2031-08-09", "emerged", "T", count=1, enclosure="tub")], "2031-08-09T20:00")
    assert not open_watches(out)
    late = of(rows, "2031-09-20T08:00")
    assert not open_watches(late)
    (closed,) = [one for one in rows_of(late, outbreaks(late)) if one.living and one.contact.grade != "unlikely"]
    assert closed.closed.startswith("it passed on")


def test_a_watch_closes_on_a_clear_test(of):
    rows = [
        found("2031-07-01", "S", "larva", "tub", count=2, instar=3, species="Danaus plexippus"),
        row("2031-07-10", "died", "S", stage="larva", count=1, enclosure="tub", detail="virus"),
        row("2031-07-11", "moved", "S", stage="larva", count=1, enclosure="tub", to="jar"),
    ]
    assert [one.contact.group for one in open_watches(of(rows, "2031-07-13T08:00"))] == [("S", "", "jar")]
    for result, left in (("clear", 0), ("heavy OE", 1)):
        nursery = of([*rows, row("2031-07-12", "tested", "S", count=1, enclosure="jar", detail=result)], "2031-07-13T08:00")
        virus = [one for one in open_watches(nursery) if one.outbreak.kind == "virus"]
        assert len(virus) == left


# What is asked ------------------------------------------------------------------------------------------------------------

SIBLING = [found("2031-07-01", "T", "larva", "tub", instar=5), row("2031-07-08", "pupated", "T", count=1, enclosure="tub")]
ASKED = [
    ("when was S stung", {"cohorts": ("S",)}, "S was struck in tub, between Sun 6 July (2031-07-06)"),
    ("where did S get the wasps", {"cohorts": ("S",)}, "S was struck in tub"),
    ("when was T stung", {"cohorts": ("T",)}, "T shows nothing yet. If it was struck, then between"),
    ("which siblings share the exposure", {}, "1 group of siblings or cage-mates share it: T in tub."),
    ("is the watch on T over", {"cohorts": ("T",)}, "Not yet: watch T until"),
    ("when can I stop watching tub", {"enclosures": ("tub",)}, "Not yet: watch the animals in tub until"),
    ("is tub safe again", {"enclosures": ("tub",)}, "Not yet: parasitoid wasps may be about until Fri 29 August"),
    ("is jar safe again", {"enclosures": ("jar",)}, "Yes: no disease and no parasitoid is recorded in jar"),
]


@pytest.mark.parametrize(("text", "slots", "first"), ASKED)
def test_first_lines(of, ask, text, slots, first):
    nursery = of([*HOST, EXIT, *SIBLING, row("2031-07-29", "cleaned", enclosure="jar")])
    answer = ask("exposure", text, nursery=nursery, **slots)
    assert answer.text.startswith(first), answer.text
    assert answer.working and answer.sources and answer.cautions


def test_where_it_was_struck_as_values(of, ask):
    answer = ask("exposure", "when was S stung", nursery=of([*HOST, EXIT]), cohorts=("S",))
    struck = answer.values["struck"]
    assert (struck.low, struck.value, struck.high) == ("2031-07-06", "2031-07-07", "2031-07-10")
    assert answer.values["place"].value == "tub"


def test_an_enclosure_that_was_cleared_is_safe(of, ask):
    rows = [*HOST, EXIT, row("2031-07-29T12:00", "cleaned", enclosure="tub")]
    answer = ask("exposure", "is tub safe again", nursery=of(rows), enclosures=("tub",))
    assert answer.values["safe"].value == "yes" and "cleaned empty" in answer.text


YOUNGER = [
    found("2031-07-25", "Y", "larva", "tub", instar=4, count=4, species="Vanessa atalanta"),
    found("2031-07-25", "F", "larva", "far cage", instar=4, count=4, species="Vanessa atalanta"),
]


def test_who_comes_to_be_at_risk(of, ask):
    answer = ask("exposure", "which will be at risk and when", nursery=of([*HOST, EXIT, *YOUNGER]))
    assert [one["cohort"] for one in answer.items] == ["Y"]
    assert answer.values["vulnerable_from"].value >= "2031-07-30" and answer.text.startswith("1 group will come to be at risk")
    caught = row("2031-07-29T12:00", "checked", enclosure="tub", note="no wasps")
    none = ask("exposure", "which will be at risk and when", nursery=of([*HOST, EXIT, *YOUNGER, caught]))
    assert not none.items and none.text.startswith("Nobody else will come to be at risk")


@pytest.mark.parametrize(("now", "over"), [("2031-07-30T08:00", "no"), ("2031-10-30T08:00", "yes")])
def test_whether_an_outbreak_is_over(of, ask, now, over):
    answer = ask("exposure", "is the wasp outbreak over", nursery=of([*HOST, EXIT, *YOUNGER], now))
    assert answer.values["over"].value == over
    assert answer.text.startswith("Not over yet" if over == "no" else "Yes, it is over")


def test_whom_a_question_about_it_means(of, ask):
    answer = ask("exposure", "when was it stung", nursery=of([*HOST, EXIT]), layer="dangling")
    assert answer.text.startswith("S was struck in tub")
    asked = ask("exposure", "is it at risk", nursery=of([*HOST, EXIT, *YOUNGER]), layer="dangling")
    assert asked.status == "clarify"


WINTER = [
    row("2031-05-01", "temperature", detail="21 C"),
    found("2031-08-20", "S", "larva", "tub", count=2, instar=5, species="Papilio polyxenes"),
    row("2031-08-30", "pupated", "S", count=2, enclosure="tub"),
    row("2031-09-25", "moved", "S", stage="pupa", count=2, enclosure="tub", to="fridge"),
    row("2032-04-05", "moved", "S", stage="pupa", count=2, enclosure="fridge", to="net"),
    wasps("2032-04-27", "S", "net"),
]


def test_what_rested_over_winter_is_traced_to_the_autumn_before(of):
    """At 21 °C the wasp takes 24.3 days (20.3 to 28.3), of which the host had 22 since the fridge: by warmth it was struck in the last
    days before the fridge, or after it. It was soft until the 3rd of September only, so the wasp had rested."""
    nursery = of(WINTER, "2032-04-28T08:00")
    (origin,) = origins(nursery, outbreaks(nursery)[0])
    assert {one.place for one in origin.strikes} == {"tub"}
    assert all(date(2031, 8, 19) <= one.first.date() <= one.last.date() <= date(2031, 9, 3) for one in origin.strikes)
    met = {(one.group.cohort, one.group.enclosure): one for one in contacts(nursery, outbreaks(nursery)[0])}
    assert met["S", "net"].grade in ("likely", "possible")  # its sibling that is left
    assert origin.late and not origin.fits
    # As long from the first exit as a whole development at the most: 28.3 days from the 27th of April.
    assert met["S", "net"].watch_until.date() == date(2032, 5, 26)


def test_holes_and_the_death_told_after_are_one_exit_and_the_host_no_sibling_of_itself(of, ask):
    holes = row("2031-07-28T08:00", "sign", "S", stage="pupa", enclosure="tub", detail="small round holes and tiny wasps")
    seen = of([*HOST, holes], "2031-07-28T20:00")
    assert ask("exposure", "which siblings share the exposure", nursery=seen).text.startswith("None: nobody else was there")
    both = of([*HOST, holes, EXIT])
    (origin,) = origins(both, outbreaks(both)[0])
    assert [one.date().isoformat() for one in origin.exit] == ["2031-07-27", "2031-07-29"]
    later = of([WARM, found("2031-07-01", "S", "larva", "tub", count=2, instar=5), row("2031-07-07", "pupated", "S", count=2, enclosure="tub"),
                EXIT, wasps("2031-08-03", "S", "tub")], "2031-08-04T08:00")  # fmt: skip
    assert len(origins(later, outbreaks(later)[0])) == 2
