"""What is answered to a line that leans on the lines before it: wishes to take something back, corrections, replies, follow-ups."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.answers import respond  # noqa: E402
from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.language.request import Request  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402

KNOWLEDGE = load()


def said(dialogue: str):
    """The last answer of a dialogue, its lines parted by ` / `."""
    talk = Assistant(Nursery(MemoryStore(), KNOWLEDGE, NOW))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


TAKEN_BACK = """\
fed jar 1 / cancel | jar 1 fed
2 A larvae missing / undo - found them | 2 A larvae gone missing
fed jar 1 / how many A are there / undo | jar 1 fed
fed jar 1 / how many A are there / take back what i put in | jar 1 fed
one A larva died / hang on she moves, take that back | 1 A larva died
one A larva died / sorry, she is alive, scrap that | 1 A larva died
one A larva died / it was not dead after all | 1 A larva died
one A larva died / nah wrong one | 1 A larva died
3 A hatched / they have not hatched | 3 of A hatched
one A larva died / pardon, none died | 1 A larva died
cleaned jar 1 / cleaned tank 2 / undo the cleaning | tank 2 cleaned
cleaned jar 1 / fed tank 2 / undo the cleaning / yes | jar 1 cleaned
2 A hatched / one A larva died / take back the hatching of A / 1 | 2 of A hatched
cleaned jar 1, fed tank 2 / undo the feeding | tank 2 fed
cleaned jar 1 and tank 2 / no, only tank 2 | jar 1 cleaned
"""
SEVERAL = """\
3 A hatched, cleaned jar 1 / undo both | 3 of A hatched in jar 1; jar 1 cleaned
3 A hatched / cleaned jar 1 / undo the last two | 3 of A hatched in jar 1; jar 1 cleaned
3 A hatched / cleaned jar 1 / fed tank 2 / take back both | jar 1 cleaned; tank 2 fed
3 A hatched / cleaned jar 1 / fed tank 2 / delete the last 3 records | 3 of A hatched in jar 1; jar 1 cleaned; tank 2 fed
"""


@pytest.mark.parametrize("row", SEVERAL.splitlines())
def test_several_are_taken_back_at_once(row):
    dialogue, what = row.split(" | ")
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("recorded", "undo") and answer.text.startswith(f"Taken back: {what} ("), answer.text


@pytest.mark.parametrize("row", TAKEN_BACK.splitlines())
def test_taken_back(row):
    dialogue, what = row.split(" | ")
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("recorded", "undo"), answer.text
    assert answer.text.startswith(f"Taken back: {what}") and ";" not in answer.text


@pytest.mark.parametrize(
    "dialogue",
    [
        "cleaned jar 1 / fed tank 2 / undo the cleaning",
        "one A larva died / undo released S",
        "2 A hatched / 1 swamp-1 died / undo the hatching of A",
        "delete the last entry for fennel-2",
    ],
)
def test_what_was_written_last_is_not_what_is_to_be_taken_back(dialogue):
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("clarify", "undo") and "Nothing was changed" in answer.text


@pytest.mark.parametrize("last", ["no", "never mind", "nah", "forget it"])
@pytest.mark.parametrize(
    "before", ["cleaned jar 1 / fed tank 2 / undo the cleaning", "found 3 caterpillars", "how many in jar 9"]
)
def test_a_question_that_was_asked_back_is_given_up(before, last):
    answer = said(f"{before} / {last}")
    assert answer.status == "answered" and answer.text.startswith("All right, nothing was")


CORRECTED = """\
2 S emerged / only 1 sorry | 1 of S emerged
3 A hatched / that should say 5 | 5 of A hatched
one A larva died / it escaped rather | 1 A larva escaped
3 A hatched / was 5 | 5 of A hatched
3 A hatched / no yesterday | 2025-08-19
one fennel-2 in tank 2 died / in the blue cage, not the tank | died in blue cage
N1 died / N2, sorry | 1 N2 larva died
found 3 caterpillars, no idea what, jar 9 / turns out they are commas | identified as
3 A hatched / sorry, should be 5 | 5 of A hatched
3 A hatched / should have been four | 4 of A hatched
3 A hatched / the others have not hatched | A checked
3 A hatched / no more hatched today | A checked
all 4 S emerged / only one did | 1 of S emerged
all 4 S emerged / only two, in fact | 2 of S emerged
one A larva died / i must correct myself: two of A died | 2 A
jar 1 24 C / i misread it, 26 | 26 C in jar 1
jar 1 24 C / and 22 in tank 2 | 22 C in tank 2
all 4 S emerged / not all, 2 of them | 2 of S emerged
all 4 S emerged / all but one | 3 of S emerged
2 A hatched / no i tell a lie, just the one | 1 of A hatched
one A larva died / it did not die, it escaped | 1 A larva escaped
3 A hatched / four actually, one was hiding | 4 of A hatched
3 A hatched / the rest of them did too, just now | 15 of A hatched
one fennel-2 in tank 2 died / yesterday that was, not today / and another one this morning | 1 fennel-2 larva died
3 A hatched / undo that, 4 hatched | 4 of A hatched
3 A hatched / yesterday i mean | 2025-08-19
found 6 painted lady eggs / in jar 7 | found, jar 7
found 6 painted lady eggs / they sit in cup 3 | found, cup 3
one fennel-2 died in the blue cage / same in tank 2 | died in tank 2
2 fennel-2 died in the blue cage / ditto tank 2 | 2 fennel-2 larvae died in tank 2
fed jar 1 / also tank 2 | tank 2 fed
1 S emerged / last night | 2025-08-19
fed A / with milkweed | A fed with milkweed
found 2 buckeye larvae / on plantain | found on plantain
one fennel-2 in tank 2 died / that was yesterday / and another one this morning | 1 fennel-2 larva died in tank 2
moved 2 fennel-2 from tank 2 to cup 5 / sorry, cup 8 not 5 | from tank 2 to cup 8
one S died / it didnt die, it escaped | 1 S pupa escaped
2 A hatched / they have not hatched, they died | 2 A eggs died
found 6 painted lady eggs / seven actually, one was under the leaf | 7 painted lady
3 A hatched / cleaned jar 1 / the hatch was 4 not 3 | 4 of A hatched
one S died / cleaned jar 1 / that death was yesterday | 2025-08-19
3 A hatched / the rest of them did too, just now | 15 of A hatched
3 A hatched / 2 more did as well | 2 of A hatched
what is in jar 1 / 3 of thoes eggs hatched | 3 of A hatched
2 swamp-1 released / and released the other 3 as well | 3 swamp-1 adults released
split 2 of fennel-2 in tank 2 off as dill-1 / move them to cup 5 | 2 dill-1 larvae moved from tank 2 to cup 5
moved the S and fennel-2 to cup 5 | Also:
3 A hatched / oh no thats 4 | 4 of A hatched
one A larva died / it was a spider | (spider)
2 fennel-2 in tank 2 died / both virus | (virus)
one A larva died / that was a fennel-2 in tank 2 | 1 fennel-2 larva died in tank 2
3 A hatched / oh wait 4 A | 4 of A hatched
found 6 painted lady eggs / cup 7, cohort M | found, cup 7
1 S emerged / released it before breakfast | 1 S adult released
1 S emerged / let her go at dusk | 1 S adult released
"""


@pytest.mark.parametrize("row", CORRECTED.splitlines())
def test_what_a_second_line_writes(row):
    dialogue, what = row.split(" | ")
    answer = said(dialogue)
    assert answer.status == "recorded" and answer.topic == "record" and what in answer.text, answer.text


REPLIES = """\
moved 2 / from tank 2 to cup 9 | 2 fennel-2 larvae moved from tank 2 to cup 9
2 fennel-2 died / they escaped, not died / tank 2 | 2 fennel-2 larvae escaped
moved 2 fennel-2 from tank 2 / to crate 1 | from tank 2 to crate 1
moved two / fennel-2 from tank 2 to cup 9 | 2 fennel-2 larvae moved from tank 2 to cup 9
moved 2 from tank 2 / to cup 9 | from tank 2 to cup 9
moved 2 from tank 2 / jar 2 | from tank 2 to jar 2
moved 2 fennel-2 / from tank 2 / to crate 1 | 2 fennel-2 larvae moved from tank 2 to crate 1
moved some fennel-2 from the blue cage / 2 / to cup 3 | 2 fennel-2 larvae moved from blue cage to cup 3
found 3 caterpillars / i cannot name them | 3 unidentified larvae
2 larvae died / half of them were A | 1 A larva died
moved some of fennel-2 from tank 2 to cup 9 / all of them | 3 fennel-2 larvae moved
some S emerged / the whole lot | 4 of S emerged
7 S emerged / all four i mean | 4 of S emerged
9 S emerged / oh, just 2 actually | 2 of S emerged
14 swamp-1 released / sorry not 14, 4 | 4 swamp-1 adults released
2 S emerged and 20 of A hatched / make it 5 for A | 5 of A hatched
one S emerged and one fennel-2 larva died / tank 2 | 1 fennel-2 larva died in tank 2
2 died / only 1 then / S | 1 S pupa died
2 Q hatched / no Q? then A | 2 of A hatched
one fennel-2 larva died / the one in tank 2, i mean the big tank | 1 fennel-2 larva died in tank 2
fed jar 1 on 31 june / i meant the 3rd | 2025-08-03
one fennel-2 larva died / in the second one | 1 fennel-2 larva died in tank 2
lost a few fennel-2 larvae / tank 2 / two | 2 fennel-2 larvae died in tank 2
2 died / one S and one fennel-2 in tank 2 | Also: 1 fennel-2 larva died in tank 2
one died / not sure, maybe an S / yes | 1 S pupa died
found 3 caterpillars / can't tell yet | 3 unidentified larvae
found 3 caterpillars / dunno | 3 unidentified larvae
found 3 caterpillars / not sure yet | 3 unidentified larvae
moved 2 larvae / A to cup 9 | 2 A larvae moved from jar 1 to cup 9
split A larvae / 3 to AA | 3 A larvae split off as cohort AA
split A larvae / 3 off as milk-b | 3 A larvae split off as cohort milk-b
gave 2 larvae away / A, to the school | 2 A larvae given away in jar 1 (the school)
cleaned it / tank 2 and jar 1 | Also: jar 1 cleaned
fed / A and P | Also: P fed
emerged / all of S | 4 of S emerged
counted 4 fennel-2 in tank 2 / i must have miscounted before | corrected estimate
counted 1 fennel-2 in tank 2 / they went missing | the difference is missing
counted 1 fennel-2 in tank 2 / gone, no idea where | the difference is missing
counted 1 fennel-2 in tank 2 / the others starved | 2 fennel-2 larvae died in tank 2 (starved)
counted 1 fennel-2 in tank 2 / not missing, they escaped | 2 fennel-2 larvae escaped
"""


@pytest.mark.parametrize("row", REPLIES.splitlines())
def test_parts_that_were_missing_come_one_at_a_time(row):
    dialogue, what = row.split(" | ")
    answer = said(dialogue)
    assert answer.status == "recorded" and what in answer.text, answer.text


WAITING = """\
one died / hang on a minute / it was an S | 1 S pupa died
one died / er, the phone / the one in the pop tent | 1 S pupa died
2 died / no idea which yet / the swallowtails / in tank 2 | 2 fennel-2 larvae died in tank 2
one died / how many are in the blue cage / it was a P | 1 P egg died
2 hatched / what do small whites eat / they were A | 2 of A hatched
"""


@pytest.mark.parametrize("row", WAITING.splitlines())
def test_what_comes_in_between_does_not_lose_what_was_asked(row):
    dialogue, what = row.split(" | ")
    answer = said(dialogue)
    assert answer.status == "recorded" and what in answer.text, answer.text


@pytest.mark.parametrize(
    "dialogue",
    [
        "one died / how many in the big tent / tank 2",
        "2 hatched / what do small whites eat / how many A",
        "one died / never mind / it was a P",
        "2 hatched / fed jar 1 / which are they",
        "lost a few fennel-2 larvae / tank 2",
        "3 died / one S and one fennel-2 in tank 2",
        "one died / not sure, maybe an S",
        "5 dead in tank 2 / tank 2",
        "50 P hatched / P eggs?",
        "in 2 days 5 P eggs hatch",
    ],
)
def test_what_is_no_answer_to_what_was_asked_writes_nothing(dialogue):
    assert said(dialogue).status != "recorded"


FOLLOWED = """\
how long do small white eggs take at 20 C / and at 25? | stage-duration | 25 °C
how long do small white eggs take / at 18 i should say | stage-duration | 18 °C
when will A pupate at 25 C / what about at 20 | stage-forecast | 20 °C
10% bleach, 500 ml / and 1:20? | dilution | Pour 25 mL of bleach into 475 mL
1:10 bleach, 500 ml / make that 750 | dilution | 750 mL in all
2 l at 500 ppm / the bottle is 8.25 | dilution | label of 8.25 %
2 l at 500 ppm / 6 | dilution | label of 6 %
77 F in C / and the other way round, 30 | convert | 86 °F
when was fennel-2 found / and what happened to them after that | history | prepupa
when did A hatch / what happened next | history | laid
have the A eggs all hatched / and when will the rest | stage-forecast | A
all A hatched / how many eggs are left in the whole house | headcount | P
when was jar 1 last cleaned / and fed? | history | fed
what does A eat / can i give them nettle | species-on-host | No
rename S to fluffy / where are fluffy | headcount | fluffy
rename S to fluffy / how many pupae has it got | headcount | 4 pupae of fluffy
what needs doing today / how come that one is first | explain | rank 1
what do small whites eat / how long as an egg | stage-duration | egg stage of small white
2 fennel-2 moved from tank 2 to cup 3 / how many are in it now | headcount | 4 animals in cup 3
3 A hatched / and when do the others | stage-forecast | A (15 eggs
is jar 1 overcrowded / what is in there now | headcount | jar 1
how many fennel-2 in tank 2 / and in the blue cage / total | headcount | 9 animals of fennel-2
moved 2 fennel-2 from tank 2 to tank 5 / how many in tank 2 / and 5? | headcount | 2 larvae in tank 5
how many in jar 1 / just the eggs / and the larvae / both together | headcount | 18 eggs and 12 larvae
how many are in tank 2 / and in the blue cage / the two together | headcount | 9 animals
where are the fennel-2 / how many in the second of those | headcount | 3 larvae
how many fennel-2 / who is in jar 1 / and in the first of them | headcount | in blue cage
black swallowtail / only in tank 2 | headcount | 3 larvae
when did A hatch / how many was that | history | 12 eggs hatched
when did A hatch / out of how many | survival | 30
hatch rate of A / and how many is that | survival | 12 of
when was fennel-2 moved / how many went over | history | 3 larvae moved
when was swamp-1 moved / with what | history | swamp-1
when will S emerge / since when have they been pupae | history | 2 August
when will S emerge / how many are there as pupae | headcount | 4 pupae
how does the luna winter / how many S are there | headcount | 4 pupae of S
one A larva died / 11 left then? | headcount | 11 larvae
moved 2 fennel-2 from tank 2 to cup 5 / how many stayed in tank 2 | headcount | 1 larva in tank 2
what died this year / how many of those drowned | survival | drown
when was A laid / has anyone looked at them since? | history | check
how many in the big tent / and of those how many are painted ladies | headcount | in big tent
"""


@pytest.mark.parametrize("row", FOLLOWED.splitlines())
def test_followed(row):
    dialogue, topic, what = row.split(" | ")
    answer = said(dialogue)
    assert answer.topic == topic and answer.status == "answered", answer.text
    assert what in " ".join((answer.text, *answer.working)), answer.text


@pytest.mark.parametrize(("line", "mark"), [("fed N b4 bed", ""), ("N b4 breakfast: fed", ""), ("N2 died", "2")])
def test_before_is_no_mark(line, mark):
    answer = said(line)
    assert answer.status == "recorded" and answer.about.get("mark", "") == mark, answer.text


def test_them_may_be_others_than_the_cohort_that_was_asked_about():
    answer = said(
        "who is in jar 1 with A / fed jar 1 / 2 A larvae moved to tank 2 / who is in tank 2 with A / moved them to cup 3"
    )
    assert answer.status == "clarify" and answer.topic == "record"


@pytest.mark.parametrize(
    "dialogue",
    ["when will A hatch / and come out as adults", "how long until B pupates / and emerge", "A in which stage / or hatch"],
)
def test_what_goes_on_asking_writes_nothing(dialogue):
    assert said(dialogue).status != "recorded"


def test_a_question_about_nothing_understood_is_given_up_too():
    talk = Assistant(Nursery(MemoryStore(), KNOWLEDGE, NOW))
    assert respond(Request("cancel", cues=frozenset(("dropped",))), talk.nursery).topic
