"""The chance that a cohort's animals rest as pupae, over the days in which its larvae feed."""

from __future__ import annotations

import pytest

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"


def fed(start: str, hatched: str, pupated: str, species: str = "Papilio troilus", latitude: str = "41.5") -> str:
    rows = f"2030-01-01,setting,,,,,,,,,,latitude={latitude},,\n" if latitude else ""
    return (
        rows
        + f"{start},laid,T,,{species},egg,,6,tub,,,,,\n{hatched},hatched,T,,,,,6,tub,,,,,\n{pupated},pupated,T,,,,,6,tub,,,,,\n"
    )


@pytest.fixture
def rests(ask, keeping):
    def asked(rows: str, now: str, text: str = "will T diapause"):
        return ask("overwintering", text, nursery=keeping.nursery(HEAD + rows, now), cohorts=("T",))

    return asked


@pytest.mark.parametrize(
    ("hatched", "pupated", "least", "most"),
    [
        ("2031-06-05", "2031-06-25", 0.0, 0.2),
        ("2031-07-18", "2031-08-08", 0.3, 0.9),
        ("2031-08-20", "2031-09-12", 0.9, 1.0),
    ],
)
def test_later_broods_rest(rests, hatched, pupated, least, most):
    answer = rests(fed("2031-06-01" if hatched < "2031-07" else "2031-07-14", hatched, pupated), f"{pupated}T20:00")
    chance = answer.values["probability"]
    assert least <= chance.value <= most and chance.low <= chance.value <= chance.high
    assert answer.values["daylength"].low < answer.values["daylength"].value < answer.values["daylength"].high
    assert answer.text.startswith("About") and any("by the records" in step for step in answer.working) and answer.sources


def test_the_south_has_its_own_season(rests):
    early = rests(fed("2030-12-01", "2030-12-05", "2030-12-25", latitude="-41.5"), "2030-12-25T20:00").values["probability"]
    late = rests(fed("2031-02-10", "2031-02-20", "2031-03-12", latitude="-41.5"), "2031-03-12T20:00").values["probability"]
    assert early.value < 0.2 and late.value > 0.9


def test_larvae_still_feeding_are_forecast(rests):
    rows = "2030-01-01,setting,,,,,,,,,,latitude=41.5,,\n2031-07-20,laid,T,,Papilio troilus,egg,,6,tub,,,,,\n"
    answer = rests(rows, "2031-07-22T09:00")
    assert any("6 now egg" in step and "forecast" in step for step in answer.working)
    assert 0 < answer.values["probability"].low < answer.values["probability"].high


def test_a_pupa_long_overdue_is_likelier_to_rest(rests):
    rows = fed("2031-07-01", "2031-07-05", "2031-07-28")
    soon, late = (rests(rows, now).values["probability"] for now in ("2031-07-28T20:00", "2031-10-28T20:00"))
    assert soon.value < late.value <= 1 and late.low < late.high


@pytest.mark.parametrize("latitude", ["69", "-69", "0", "89"])
def test_poles_and_equator_are_answered(rests, latitude):
    answer = rests(fed("2031-06-01", "2031-06-05", "2031-06-25", latitude=latitude), "2031-06-25T20:00")
    assert answer.status == "answered" and 0 <= answer.values["probability"].value <= 1


def test_no_latitude_is_asked_for_once_and_the_rest_answered(rests):
    answer = rests(fed("2031-07-01", "2031-07-05", "2031-07-28", latitude=""), "2031-07-28T20:00")
    assert answer.text.count("my latitude is 42") == 1 and "winters as a pupa" in answer.text
    assert answer.values["probability"].value is None and answer.values["probability"].reason


@pytest.mark.parametrize(
    ("species", "value", "words"),
    [
        ("Speyeria cybele", None, "never as a pupa"),
        ("Vanessa atalanta", 0.0, "do not rest"),
        ("Danaus plexippus", 0.0, "do not rest"),
        ("Actias luna", None, "no critical day length has been published"),
    ],
)
def test_species_without_resting_pupae_or_numbers(rests, species, value, words):
    answer = rests(fed("2031-09-01", "2031-09-08", "2031-09-28", species), "2031-09-28T20:00")
    assert answer.values["probability"].value == value and words in answer.values["half_from"].reason


def test_one_brood_rests_without_a_latitude(rests):
    answer = rests(fed("2031-05-01", "2031-05-08", "2031-05-28", "Euchloe ausonides", ""), "2031-05-28T20:00")
    assert answer.values["probability"].value >= 0.95


def test_a_relatives_day_length_is_said_and_wider(rests):
    own, borrowed = (
        rests(fed("2031-07-01", "2031-07-12", "2031-08-05", species), "2031-08-05T20:00")
        for species in ("Papilio troilus", "Papilio glaucus")
    )
    width = [one.values["probability"].high - one.values["probability"].low for one in (own, borrowed)]
    assert width[1] > width[0] and "No critical day length of its own" in borrowed.text


def test_lateness_in_an_unmeasured_fridge_tells_nothing(rests):
    rows = fed("2031-07-01", "2031-07-05", "2031-07-28")
    rows += "2031-07-29,moved,T,,,pupa,,6,tub,fridge,,,,\n"
    soon, late = (rests(rows, now) for now in ("2031-07-30T20:00", "2031-11-28T20:00"))
    assert soon.values["probability"] == late.values["probability"] and any("tells nothing" in step for step in late.working)


def test_a_relative_s_day_length_is_not_reckoned_without_a_latitude(ask, keeping):
    bare = keeping.nursery(HEAD, "2031-07-01T09:00")
    answer = ask("overwintering", "does it diapause", nursery=bare, species=("Papilio zelicaon",))
    assert answer.values["probability"].value is None and "latitude" in answer.values["probability"].reason
