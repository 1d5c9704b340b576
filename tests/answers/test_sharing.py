"""Animals that should not share an enclosure."""

from __future__ import annotations

from nurserytui.answers import sharing

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"


def test_adults_are_taken_out_from_larvae(keeping):
    rows = (
        "2031-08-08,found,A,,Papilio polyxenes,adult,,2,tent,,,,,\n",
        "2031-08-08,found,B,,Papilio polyxenes,larva,4,3,tent,,Anethum graveolens,,,\n",
        "2031-08-08,found,C,,Papilio polyxenes,larva,4,3,tub,,Anethum graveolens,,,\n",
    )
    (one,) = sharing.frictions(keeping.nursery(HEAD + "".join(rows)))
    assert (one.kind, one.animals, one.enclosure, one.rule) == ("adults-with-larvae", ("A", "B"), "tent", "adults-apart")
    assert (one.record, one.priority) == ("released 2 A", 1)
