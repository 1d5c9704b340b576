"""Room for larvae by the house rule: 1 L for a large one (last two instars), a quarter of a litre for a small one."""

from __future__ import annotations

from math import pi

import pytest

from nurserytui.answers import fullness

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
NOW = "2031-08-10T09:00"
LARVAE = "2031-08-10T08:00,found,{},,Papilio polyxenes,larva,{},{},{},,Anethum graveolens,,,\n"
HOLDS = "2031-08-01,setting,,,,,,,{},,,volume={},{},\n"


@pytest.fixture
def kept(keeping):
    """`kept(rows…)`: a nursery of those rows; `(cohort, instar, count, enclosure)` are larvae, `(enclosure, volume)` its volume."""

    def made(*rows):
        text = "".join(
            HOLDS.format(row[0], row[1], row[2] if len(row) > 2 else "")
            if isinstance(row[1], str) and " " in row[1]
            else LARVAE.format(*row)
            for row in rows
        )
        return keeping.nursery(HEAD + text, NOW)

    return made


@pytest.mark.parametrize(
    ("amount", "text", "capacity"),
    [
        ((10, "liter", "10 litre"), "how many big caterpillars fit a 10 litre tub", 10),
        ((10, "liter", "10 litre"), "how many small ones fit a 10 litre tub", 40),
        ((500, "milliliter", "500 ml"), "how many large larvae in 500 ml", 0),
        ((5, "gallon", "5 gallon"), "how many caterpillars in a 5 gallon bucket", 18),
    ],
)
def test_capacity_of_a_volume(ask, keeping, amount, text, capacity):
    value, unit, said = amount
    answer = ask("density", text, amounts=(keeping.Amount(value, unit, "volume", said),))
    assert answer.values["capacity"].value == capacity and answer.working and answer.sources


def test_three_sides_make_a_volume(ask):
    assert ask("density", "how many large larvae in a 20 x 20 x 25 cm box").values["capacity"].value == 10


def test_an_enclosure_of_known_volume_says_who_is_in_it(ask, small):
    small.settings = small.settings._replace(volumes={"jar": 10_000.0})
    answer = ask("density", "is the jar too full", enclosures=("jar",))
    assert (
        answer.values["present"].value == 18
        and answer.values["capacity"].value == 10
        and answer.sources[-1].kind == "own records"
    )


def test_an_enclosure_of_unknown_volume_is_asked_about(ask):
    answer = ask("density", "is the jar too full", enclosures=("jar",))
    assert answer.status == "clarify" and "18 larvae" in answer.text
    assert answer.values["present"].value == 18 and answer.values["capacity"].value is None


@pytest.mark.parametrize(("count", "litres"), [(1, 1000), (20, 20000), (None, 1000)])
def test_room_is_told_by_the_rule_where_no_enclosure_is_named(ask, count, litres):
    answer = ask("density", "how big a cage for so many caterpillars", count=count)
    assert answer.status == "answered" and answer.values["capacity"].value is None
    assert answer.values["volume"].value == litres and answer.values["volume"].low == litres / 4


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("how many larvae fit a 12 x 12 x 24 inch cage", 12 * 12 * 24 * 2.54**3 / 1000),
        ("how many larvae fit a 30 cm cube", 27),
        ("how many larvae fit a jar 10 cm across and 15 cm tall", pi / 4 * 1.5),
        ("how many larvae fit in a 4 x 6 inch jar", pi / 4 * 96 * 2.54**3 / 1000),
    ],
)
def test_sides_are_told_in_inches_or_centimetres(ask, text, litres):
    answer = ask("density", text)
    assert answer.values["capacity"].value == int(litres) and "No unit" not in answer.text


def test_sides_without_a_unit_are_read_as_centimetres_and_it_is_said(ask):
    answer = ask("density", "how many larvae in a 12 x 12 x 24 box")
    assert answer.values["capacity"].value == 3 and "in inches it would be 56.6 L" in answer.text


@pytest.mark.parametrize(
    ("inside", "litres", "need", "share", "more"),
    [
        ([("A", 5, 3, "tub 1")], "10 L", 3.0, 0.3, (7, 28)),
        ([("A", 4, 3, "tub 1"), ("B", 2, 4, "tub 1")], "10 L", 4.0, 0.4, (6, 24)),
        ([("A", 3, 8, "tub 1")], "2 L", 2.0, 1.0, (0, 0)),
        ([("A", 5, 3, "tub 1")], "2 L", 3.0, 1.5, (0, 0)),
        ([], "500 mL", 0.0, 0.0, (0, 2)),
    ],
)
def test_how_full_an_enclosure_is(kept, inside, litres, need, share, more):
    own = fullness.fill("tub 1", kept(*inside, ("tub 1", litres)))
    assert (own.need, own.share) == (pytest.approx(need), pytest.approx(share))
    assert own.too_full == (share > 1) and (own.room(1.0), own.room(0.25)) == more


def test_larvae_that_grew_since_they_were_seen_count_as_large(keeping):
    """Hatched three weeks ago at 25 °C and not looked at since: no longer small."""
    rows = (
        "2031-07-01,temperature,,,,,,,,,,25 C,,\n2031-07-15,laid,A,,Papilio polyxenes,egg,,6,tub,,Anethum graveolens,,,\n"
        "2031-07-20,hatched,A,,,,,6,tub,,,,,\n2031-08-01,setting,,,,,,,tub,,,volume=8 L,,\n"
    )
    own = fullness.fill("tub", keeping.nursery(HEAD + rows, NOW))
    assert (own.large, own.small) == (6, 0)


@pytest.mark.parametrize(
    ("text", "count", "fits", "room_left"),
    [
        ("can I put 6 more big ones into tub 1", 6, "yes", 7),
        ("can I put 8 more into tub 1", 8, "no", 7),
        ("will 28 more small ones fit in tub 1", 28, "yes", 28),
    ],
)
def test_whether_so_many_more_fit(ask, kept, text, count, fits, room_left):
    nursery = kept(("A", 5, 3, "tub 1"), ("tub 1", "10 L"))
    answer = ask("density", text, nursery=nursery, enclosures=("tub 1",), count=count)
    assert (answer.values["fits"].value, answer.values["room"].value, answer.values["present"].value) == (fits, room_left, 3)
    assert answer.text.startswith("Yes" if fits == "yes" else "No")


def test_the_keepers_own_measure_is_kept(ask, kept):
    nursery = kept(("A", 5, 3, "tub 1"), ("tub 1", "56.63 L", "12 x 12 x 24 inch"))
    answer = ask("density", "how full is tub 1", nursery=nursery, enclosures=("tub 1",))
    assert "12 x 12 x 24 inch, 56.6 L" in answer.text and answer.values["full"].value == pytest.approx(3 / 56.63, abs=0.001)


def test_all_enclosures_are_gone_through(ask, kept):
    nursery = kept(("A", 5, 3, "tub 1"), ("B", 5, 4, "tub 2"), ("C", 5, 1, "tub 3"), ("tub 1", "2 L"), ("tub 2", "10 L"))
    crowded = ask("density", "is any cage overcrowded", nursery=nursery)
    assert crowded.text.startswith("Yes: tub 1 is too full.") and crowded.values["too_full"].value == 1
    assert [item["name"] for item in crowded.items] == ["tub 1", "tub 2", "tub 3"]
    assert crowded.items[-1]["record"] == "tub 3 holds 10 L" and "tub 3 holds 10 L" in crowded.text
    roomy = ask("density", "which cage has room", nursery=nursery)
    assert roomy.text.startswith("tub 2 has room") and roomy.items[0]["room_large"] == 6


def test_without_a_volume_nothing_is_said_of_room_but_what_is_needed(ask, kept):
    answer = ask("density", "which cage has room", nursery=kept(("A", 5, 3, "tub 1"), ("B", 2, 4, "tub 1")))
    assert answer.status == "unknown" and "need 4 L" in answer.text and "tub 1 holds 10 L" in answer.text


def test_a_question_of_all_does_not_lean_on_the_enclosure_before(ask, kept):
    nursery = kept(("A", 5, 3, "tub 1"), ("B", 5, 4, "tub 2"), ("tub 1", "2 L"), ("tub 2", "10 L"))
    assert len(ask("density", "which cage has room", nursery=nursery, enclosures=("tub 1",)).items) == 2
    assert ask("density", "has tub 1 any room", nursery=nursery, enclosures=("tub 1",)).about == {"enclosure": "tub 1"}


SEEN = (
    "2031-07-01,temperature,,,,,,,,,,25 C,,\n2031-08-01T08:00,found,A,,Papilio polyxenes,larva,{instar},6,tub,,Anethum graveolens,,,\n"
    "2031-08-01,setting,,,,,,,tub,,,volume=4 L,,\n"
)


def test_the_instar_on_record_counts_and_what_they_may_have_grown_to_is_said(ask, keeping):
    """Six of the third instar need 1.5 L; were they of the fourth by now, 6 L."""
    nursery = keeping.nursery(HEAD + SEEN.format(instar=3), NOW)
    own = fullness.fill("tub", nursery)
    assert (own.large, own.small, own.need, own.grown) == (0, 6, 1.5, 6.0) and own.perhaps_too_full and not own.too_full
    answer = ask("density", "how full is the tub", nursery=nursery, enclosures=("tub",))
    assert answer.text.startswith("Look first: tub is 38 % full by the record, 150 % if they have grown")
    assert ask("density", "which cage has room", nursery=nursery).text.startswith("None")


@pytest.mark.parametrize(
    ("stage", "count", "text", "first"),
    [
        ("egg", 8, "can I put 8 more eggs in tub 1", "Yes for now: 8 more eggs need no room by the rule, but as hatched larvae all in tub 1 need 5 of its 10 L, and 11 L"),
        ("egg", 40, "can I put 40 more eggs in tub 1", "No: 40 more eggs"),
        ("pupa", 3, "can I put 3 more pupae in tub 1", "I cannot say by litres whether 3 pupae more fit"),
    ],
)  # fmt: skip
def test_eggs_and_pupae_are_told_of_as_such(ask, kept, stage, count, text, first):
    nursery = kept(("A", 5, 3, "tub 1"), ("tub 1", "10 L"))
    assert ask("density", text, nursery=nursery, enclosures=("tub 1",), count=count, stages=(stage,)).text.startswith(first)


def test_prepupae_are_no_larvae_but_need_their_room(keeping):
    rows = (
        "2031-08-10T08:00,found,P,,Papilio polyxenes,prepupa,,2,tub,,,,,\n"
        + LARVAE.format("A", 5, 3, "tub")
        + HOLDS.format("tub", "10 L", "")
    )
    own = fullness.fill("tub", keeping.nursery(HEAD + rows, NOW))
    assert (own.present, own.prepupae, own.need) == (3, 2, 5.0)
    assert fullness.inside_words(own) == "3 large larvae and 2 prepupae"


@pytest.mark.parametrize(("inside", "litres"), [(("A", 3, 8, "tub 1"), 8), (("A", 5, 3, "tub 1"), 3)])
def test_the_size_of_cage_that_a_cohort_needs(ask, kept, inside, litres):
    answer = ask("density", "how big a cage do I need for A", nursery=kept(inside), cohorts=("A",))
    assert (
        answer.text.startswith(f"{litres} L by the house rule for A, once all are large")
        and answer.values["volume"].value == litres * 1000
    )


def test_nothing_fits_in_nothing(ask, keeping):
    answer = ask("density", "how many larvae fit in 0 litres", amounts=(keeping.Amount(0, "liter", "volume", "0 litres"),))
    assert answer.status == "clarify" and "0 L holds nothing" in answer.text
