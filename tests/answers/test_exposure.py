"""Who was exposed: the join of outbreaks with stays, moves, stages and temperatures."""

from __future__ import annotations

import pytest

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"


def classes(answer):
    return {(item["name"], item.get("mark", ""), item["enclosure"]): item["class"] for item in answer.items}


def test_a_virus_follows_the_animals_that_were_moved(ask):
    answer = ask("exposure", "who shared box A with the virus", enclosures=("box A",), cues=("who",))
    found = classes(answer)
    assert found["R", "", "box C"] == "likely"
    assert found["fennel-2", "", "box C"] == "likely"
    assert found["fennel-2", "", "box B"] == "possible"  # moved on days before the first sign
    assert ("fennel-2", "", "jar") not in found and ("white-2", "", "box D") not in found
    assert answer.items[0]["watch_until"] == "2031-08-22"  # out of box A on the 8th, and fourteen days


def test_those_who_met_it_before_they_came_are_told_of_where_they_are_now(ask):
    """It was "no case in box B, so nobody is known to be exposed", of a place that exposed ones had been moved to."""
    answer = ask("exposure", "and box B", enclosures=("box B",))
    assert classes(answer)["fennel-2", "", "box B"] == "possible"
    assert answer.values["exposed"].value == "possible"


@pytest.mark.parametrize(
    ("text", "slots", "first", "grade"),
    [
        (
            "are the fennel-2 in box B at risk from the virus",
            {"cohorts": ("fennel-2",), "enclosures": ("box B",)},
            "Possibly",
            "possible",
        ),
        (
            "are the fennel-2 in box C at risk from the virus",
            {"cohorts": ("fennel-2",), "enclosures": ("box C",)},
            "Yes, likely",
            "likely",
        ),
        ("is white-2 clear of the virus", {"cohorts": ("white-2",)}, "Clear", "no"),
        ("is the fennel-2 in box C safe now", {"cohorts": ("fennel-2",), "enclosures": ("box C",)}, "Not yet", "likely"),
        # Who asks leave gets no `yes` that is about something else.
        (
            "may i put the fennel-2 in box C back with the others",
            {"cohorts": ("fennel-2",), "enclosures": ("box C",)},
            "Not yet: watch",
            "likely",
        ),
        ("can we move fennel-2 to the others", {"cohorts": ("fennel-2",), "enclosures": ("box C",)}, "Not yet: watch", "likely"),
        ("could white-2 have caught the virus", {"cohorts": ("white-2",)}, "No", "no"),
        (
            "could white-2 have been stung by the flight cage wasps",
            {"cohorts": ("white-2",), "enclosures": ("flight cage",)},
            "No",
            "no",
        ),
        ("how long do I watch Q 1 for wasps", {"cohorts": ("Q",), "mark": "1"}, "Watch Q1 until", "likely"),
        ("is anything in box C at risk", {"enclosures": ("box C",)}, "Yes, likely", "likely"),
    ],
)
def test_one_group_is_answered_first_and_with_why(ask, text, slots, first, grade):
    answer = ask("exposure", text, **slots)
    assert answer.text.startswith(first)
    assert answer.values["exposed"].value == grade
    assert answer.working


def test_wasps_strike_what_hangs_and_threaten_what_will(ask):
    found = classes(ask("exposure", "wasp contacts"))
    assert found["Q", "1", "flight cage"] == "likely"
    assert found["Q", "2", "flight cage"] == "possible"


WASPS = [
    # a pupa's age on the day that the wasps came out, and how gravely it counts
    ("2031-08-05", "likely"),
    ("2031-08-02", "possible"),
    ("2031-07-30", "unlikely"),
]


@pytest.mark.parametrize(("pupated", "grade"), WASPS)
def test_a_pupa_hardens(ask, keeping, pupated, grade):
    rows = [
        "2031-07-01,found,S,,Vanessa atalanta,larva,4,1,net,,Urtica dioica,,,",
        "2031-07-29T06:00,checked,T,,,,,,net,,,,,",
        f"{pupated}T08:00,checked,T,,,,,,net,,,,,",
        f"{pupated}T12:00,pupated,T,,,,,1,net,,,,,",
        "2031-08-05T18:00,died,S,,,larva,,1,net,,,Pteromalus wasp,,",
        "2031-08-06T08:00,cleaned,,,,,,,shed,,,,,",
    ]
    rows.insert(1, "2031-07-01,found,T,,Vanessa atalanta,larva,5,1,net,,Urtica dioica,,,")
    nursery = keeping.nursery("\n".join([HEAD, *sorted(rows, key=lambda row: row[:16])]), "2031-08-06T09:00")
    assert classes(ask("exposure", "who was exposed to the wasps", nursery=nursery))["T", "", "net"] == grade


def test_a_clean_empty_enclosure_ends_it(ask, keeping):
    rows = [
        "2031-07-01,found,S,,Pieris rapae,larva,4,2,tub,,Brassica oleracea,,,",
        "2031-07-10,died,S,,,larva,,1,tub,,,virus,,",
        "2031-07-11T09:00,moved,,,,,,,tub,jar,,,,",
        "2031-07-11T10:00,cleaned,,,,,,,tub,,,,,",
        "2031-07-12,laid,U,,Pieris rapae,egg,,5,tub,,Brassica oleracea,,,",
    ]
    for kept in (rows, [row for row in rows if "cleaned" not in row]):
        nursery = keeping.nursery("\n".join([HEAD, *kept]), "2031-07-13T09:00")
        found = classes(ask("exposure", "virus contacts", nursery=nursery))
        assert (("U", "", "tub") in found) == (kept is not rows)


def test_enclosures_that_share_air_share_the_wasps(ask, keeping):
    rows = [
        "2031-07-01,found,S,,Pieris rapae,larva,5,1,tub,,Brassica oleracea,,,",
        "2031-07-03,pupated,S,,,,,1,tub,,,,,",
        "2031-07-01,found,T,,Pieris rapae,larva,4,1,net,,Brassica oleracea,,,",
        "2031-07-22,prepupated,T,,,,,1,net,,,,,",
        "2031-07-22,died,S,,,pupa,,1,tub,,,Pteromalus wasp,,",
    ]
    air = ["2031-06-01,setting,,,,,,,tub,,,air=shed,,", "2031-06-01,setting,,,,,,,net,,,air=shed,,"]
    for shared in (True, False):
        nursery = keeping.nursery("\n".join([HEAD, *sorted((air if shared else []) + rows)]), "2031-07-23T09:00")
        found = classes(ask("exposure", "who was exposed to the wasps", nursery=nursery))
        assert (found.get(("T", "", "net")) == "likely") == shared


def test_flies_struck_those_that_were_found_together(ask, keeping):
    rows = [
        "2030-07-05,found,S,,Aglais io,larva,3,9,net,,Urtica dioica,,,",
        "2030-07-12,died,S,,,larva,,3,net,,,tachinid fly,,",
        "2030-07-16,pupated,S,,,,,6,net,,,,,",
        "2030-07-28,emerged,S,,,,,6,net,,,,,",
        "2030-07-29,released,S,,,adult,,6,net,,,,,",
        "2032-07-01,found,V,,Aglais io,larva,3,4,net,,Urtica dioica,,,",
    ]
    nursery = keeping.nursery("\n".join([HEAD, *rows]), "2032-07-10T09:00")
    found = classes(
        ask("exposure", "who was in with the flies in 2030", nursery=nursery, period=("2030-01-01", "2031-01-01"), said="2030")
    )
    assert found == {("S", "", "net"): "likely"}  # and not those of two years later


def test_no_case_is_said_plainly(ask):
    answer = ask("exposure", "who was exposed to OE", cues=("who",))
    assert answer.status == "answered" and answer.text.startswith("No: no case of OE")
    assert answer.values["count"].value == 0


def test_a_clear_test_is_no_case(ask, keeping):
    rows = [
        "2031-07-01,found,S,,Danaus plexippus,adult,,1,net,,,,,",
        "2031-07-02,tested,S,,,,,,net,,,clear,,",
    ]
    found = {}
    for result in ("clear", "heavy"):
        nursery = keeping.nursery("\n".join([HEAD, *rows]).replace("clear", result), "2031-07-03T09:00")
        found[result] = ask("exposure", "who was exposed to OE", nursery=nursery).items
    assert not found["clear"] and found["heavy"]


def test_what_shows_only_in_the_adult_is_watched_until_its_test(ask, keeping):
    rows = [
        "2031-07-01,found,S,,Danaus plexippus,larva,3,4,net,,,,,",
        "2031-07-02,found,T,,Danaus plexippus,adult,,1,net,,,,,",
        "2031-07-02,tested,T,,,,,,net,,,heavy,,",
    ]
    nursery = keeping.nursery("\n".join([HEAD, *rows]), "2031-07-03T09:00")
    answer = ask("exposure", "is S at risk", nursery=nursery, cohorts=("S",))
    assert answer.values["exposed"].value == "likely"
    assert answer.values["watch_until"].value is None and "tested" in answer.values["watch_until"].reason
