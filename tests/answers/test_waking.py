"""When winter pupae may come out of the cold, and when adults are due."""

from __future__ import annotations

import pytest

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
PUPAE = "2031-08-20,found,T,,{},pupa,,6,tub,,,,,\n"
COLD = "2031-10-20,moved,T,,,pupa,,6,tub,fridge,,,,\n"
ASK = "when will the winter pupae of T come out"


@pytest.fixture
def spring(ask, keeping):
    def asked(rows, now="2031-11-25T09:00", text=ASK, species="Papilio troilus", **slots):
        return ask("overwintering", text, nursery=keeping.nursery(HEAD + rows.format(species), now), cohorts=("T",), **slots)

    return asked


def test_cold_by_the_records_gives_the_dates(spring):
    values = spring(PUPAE + COLD).values
    # 84, 98 and 150 days of cold from 20 October; then 18-36 days at 22 °C.
    assert (values["warm_up"].low, values["warm_up"].value, values["warm_up"].high) == ("2032-01-12", "2032-01-26", "2032-03-18")
    assert values["chill_days"].value == 36 and (values["due"].low, values["due"].high) == ("2032-01-30", "2032-04-23")
    assert values["due"].low < values["due"].value < values["due"].high


def test_a_warmer_room_is_sooner_and_a_cold_one_never(spring, keeping):
    warm, mild, cold = (
        spring(PUPAE + COLD, amounts=(keeping.Amount(at, "degC", "temperature", f"{at} C"),)).values["due"] for at in (26, 18, 14)
    )
    assert warm.value < mild.value and cold.value is None and cold.reason


def test_cold_that_is_not_recorded_is_not_made_up(spring):
    answer = spring(PUPAE)
    assert answer.values["due"].value is None and "cold" in answer.values["due"].reason and "about 25 days (18-36)" in answer.text


@pytest.mark.parametrize(
    ("rows", "species"), [(PUPAE, "Danaus plexippus"), (PUPAE.replace(",pupa,", ",larva,"), "Papilio troilus")]
)
def test_no_winter_pupa(spring, rows, species):
    assert spring(rows, species=species).values["due"].value is None
