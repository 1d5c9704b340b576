"""Plant on hand against the mouths that eat it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from nurserytui.answers import shortage

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
LARVAE = "2031-08-08T09:00,found,{label},,Papilio polyxenes,larva,{instar},{count},{place},,{host},,,\n"
FENNEL, DILL = "Foeniculum vulgare", "Anethum graveolens"


def larvae(label, host=FENNEL, count=5, instar=4, place="tub 1"):
    return LARVAE.format(label=label, host=host, count=count, instar=instar, place=place)


def stocked(when, count, detail="stems", host=FENNEL, what="stocked"):
    return f"{when},{what},,,,,,{count},,,{host},{detail},,\n"


@pytest.fixture
def short(keeping):
    """`short(rows…)`: the shortages of the next ten days."""

    def found(*rows, now="2031-08-10T09:00"):
        small = keeping.nursery(HEAD + "".join(rows), now)
        return shortage.shortages(small, small.now + timedelta(days=10))

    return found


def test_without_a_word_on_what_is_on_hand_nothing_is_short(short):
    assert short(larvae("A")) == []


def test_used_up_is_short_at_once(short):
    (one,) = short(larvae("A"), stocked("2031-08-10T08:00", 0))
    assert (one.cohorts, one.enclosure, one.host, one.priority) == (("A",), "tub 1", FENNEL, 1)
    assert one.short_from == one.due == one.runs_out and str(one.due) == "2031-08-10"
    assert one.record.startswith("cut ") and one.record.endswith("of fennel")


def test_the_dill_of_others_is_no_fennel(short):
    assert short(larvae("A"), stocked("2031-08-10T08:00", 0, host=DILL)) == []


def test_all_on_one_plant_share_its_stock(short):
    few = stocked("2031-08-10T08:00", 3)
    (alone,) = short(larvae("A"), few)
    (together,) = short(larvae("A"), larvae("B", place="tub 2", count=30), few)
    assert together.cohorts == ("A", "B") and together.enclosure == ""
    assert together.short_from < alone.short_from
