"""What whole conversations write, told in the keeper's own order: no look where none was, nobody of whom nothing was said."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_cases import expected_event  # noqa: E402
from test_dialogues import said  # noqa: E402

WRITTEN = """\
one S died / everything else is fine | checked S
N2 died / otherwise all well | checked N
how many swamp-1 are there / lost 2 | died swamp-1 2
fed tank 2 / one died | died fennel-2 1 enclosure=tank_2
what is in the pop tent / 2 emerged | emerged S 2
took the 3 out of tank 2 and gave them a cage of their own, cage 5 | moved fennel-2 3 enclosure=tank_2 to=cage_5
took 2 fennel-2 out of tank 2, they now have their own jar, jar 4 | moved fennel-2 2 enclosure=tank_2 to=jar_4
the P eggs have gone a bit flat | sign P stage=egg
N3 is sitting still with dull skin | sign N mark=3
2 of the P eggs dide | died P 2
2 girls found 6 monarch eggs | found B 6
nobody moulted but N1 | moulted N 1
moved 2 / A larvae from jar 1 to jar 9 | moved A 2 enclosure=jar_1 to=jar_9
moved 2 fennel-2 / from tank 2 to jar 9 | moved fennel-2 2 enclosure=tank_2 to=jar_9
3 A hatched / 2 more right now | hatched A 2
2 S emerged / let them both go | released S 2 stage=adult
split 2 fennel-2 in tank 2 off as dill-1 and put them in jar 9 | split fennel-2 2 to=dill-1 ; moved dill-1 2 to=jar_9
split 3 fennel-2 in tank 2 off as dill-1, jar 9 | split fennel-2 3 to=dill-1 ; moved dill-1 3 to=jar_9
3 of the A larvae become a new cohort, A-5 | split A 3 stage=larva to=A-5
moved cohort X to jar 9 | moved X 2 enclosure=cup_3 to=jar_9
shifted the two smallest A larvae out of jar 1 and into jar 9 | moved A 2 stage=larva enclosure=jar_1 to=jar_9
mon 1 swamp-1 died, tue another | died swamp-1 1 when=2025-08-18 ; died swamp-1 1 when=2025-08-19
scrubbed jar 1 the day befor yesterday | cleaned enclosure=jar_1 when=2025-08-18
N2 pupated this morning about four | pupated N 1 mark=2
gave 3 A larvae to the moth lady | given A 3 stage=larva
lsot one of the X | died X 1
K7: 3 monarch eggs found on milkweed | found K7 3 stage=egg
found 2 polyphemus caterpillars in the last instar | found B 2 instar=5
counted 7 fennel-2, two missing from tank 2 | missing fennel-2 2 enclosure=tank_2 ; counted fennel-2 7
jar 1: 2 A hatched, 1 larva died | hatched A 2 enclosure=jar_1 ; died A 1 enclosure=jar_1
in tank 2: 1 fennel-2 died, 1 fennel-2 hung up | died fennel-2 1 enclosure=tank_2 ; prepupated fennel-2 1 enclosure=tank_2
tank 2 empty now, the fennel-2 went to jar 9 | moved fennel-2 3 enclosure=tank_2 to=jar_9
swamp-1 to net 4, S to net 5 | moved swamp-1 6 to=net_4 ; moved S 4 to=net_5
2 fennel-2 in tank 2 now L5, 1 in the blue cage L5 too | moulted fennel-2 2 enclosure=tank_2 instar=5 ; moulted fennel-2 1 enclosure=blue_cage instar=5
N1 now 4th instar | moulted N 1 instar=4
A got new leaves, 2 larvae had hung up | fed A ; prepupated A 2
jar 1 and crate 1 cleaned, S fed | cleaned enclosure=jar_1 ; cleaned enclosure=crate_1 ; fed S
"""


@pytest.mark.parametrize("row", WRITTEN.splitlines())
def test_what_the_last_line_writes(row):
    dialogue, events = row.split(" | ")
    answer = said(dialogue)
    assert answer.status == "recorded", answer.text
    wanted = [expected_event(text) for text in events.split(" ; ")]
    kept = [{key: item.get(key) and str(item[key]) for key in want} for item, want in zip(answer.items, wanted)]
    assert kept == [{key: str(value) for key, value in want.items()} for want in wanted]
    assert len(answer.items) == len(wanted)


@pytest.mark.parametrize(
    "dialogue",
    [
        "moved the 3 fennel-2 in tank 2 / took both N out of the shelf jar",  # another move, and no place of the first
        "2 died / took both of the S from the pop tent",
        "how many swamp-1 are there / 2 hatched",  # adults do not
        "N2 well or ill",
        "A alive or dead",
        "all good otherwise",
        "last 6 A eggs, at what point do i write them off",
    ],
)
def test_what_tells_of_nobody_surely_writes_nothing(dialogue):
    assert said(dialogue).status != "recorded"


@pytest.mark.parametrize(
    ("line", "count"),
    [
        ("eggs of A not yet hatched", 18),
        ("fennel-2 larvae that have not pupated", 8),
        ("unhatched eggs", 60),
        ("pupae not emerged yet", 4),
    ],
)
def test_those_that_have_not_changed_are_counted(line, count):
    answer = said(line)
    assert (answer.topic, answer.values["count"].value) == ("headcount", count)
