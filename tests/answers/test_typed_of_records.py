"""Short lines about a keeper's own records, as thumbs type them: letters that own something, several single animals in one line, what lies
behind and what ahead, and bare numbers above which degree-days are asked for."""

from __future__ import annotations

import pytest

from nurserytui.assistant import Assistant

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by,parent\n"
NOW = "2032-07-20T09:00"
ROWS = """2031-06-01,found,A,,Vanessa cardui,larva,2,10,bath,,Cirsium vulgare,,,,
2031-06-20,pupated,A,,,,,9,bath,,,,,,
2031-06-22,died,A,,,larva,,1,bath,,,drowned,,,
2031-07-01,emerged,A,,,,,9,bath,,,,,,
2031-07-02,released,A,,,adult,,5,bath,,,female,,,
2031-07-02,released,A,,,adult,,4,bath,,,male,,,
2031-08-01,found,E,,Papilio polyxenes,larva,4,8,round tent,,Anethum graveolens,,,,
2031-08-12,pupated,E,,,,,8,round tent,,,,,,
2031-10-01,moved,E,,,pupa,,8,round tent,crypt,,,,,
2032-04-01,moved,E,,,pupa,,8,crypt,round tent,,,,,
2032-05-01,emerged,E,,,,,5,round tent,,,,,,
2032-05-02,released,E,,,adult,,5,round tent,,,,,,
2032-06-20,found,B,,Aglais urticae,larva,2,18,box 1,,Urtica dioica,,,,
2032-06-28,split,B,,,larva,,6,box 1,D,,,,,
2032-06-28,moved,D,,,larva,,6,box 1,box 2,,,,,
2032-06-30,found,H,1,Aglais io,larva,4,1,box 3,,Urtica dioica,,,,
2032-06-30,found,H,2,Aglais io,larva,4,1,box 3,,Urtica dioica,,,,
2032-06-30,found,H,3,Aglais io,larva,3,1,box 3,,Urtica dioica,,,,
2032-07-04,pupated,H,1,,,,1,box 3,,,,,,
2032-07-06,died,B,,,larva,,2,box 1,,,virus,,,
2032-07-08,pupated,B,,,,,4,box 1,,,,,,
2032-07-15,cleaned,,,,,,,box 1,,,bleach,,,
2032-07-16,temperature,,,,,,,box 2,,,18..26 C,,,
2032-07-17,temperature,,,,,,,box 2,,,20..26 C,,,
2032-07-18T10:00,laid,cress-32,,Pieris rapae,egg,,30,jar,,Brassica oleracea,,,,
2032-07-19,emerged,B,,,,,2,box 1,,,,,,
"""


@pytest.fixture(scope="module")
def assistant():
    from tests.answers.conftest import nursery

    return lambda: Assistant(nursery(HEAD + ROWS, NOW))


CASES = """
B's headcount | headcount | 10 animals of B
how many Ds | headcount | 6 larvae of D
D's survival so far | survival | for D
when do B's pupae come out | stage-forecast | B (2 pupae
A what share got to adult | survival | 9 of 10
A survival | survival | 9 of 10
no. in box 2 pls | headcount | 6 larvae in box 2
no. of pupae | headcount | 6 pupae
are H1 and H3 still in box 3 | headcount | 2 animals of H1 and H3
when did H1 and H2 pupate | history | none of H2 has pupated
H2, H3 which stage | headcount | 1 larva of H3
small torts how many | headcount | 16 animals of small tortoiseshell
torts in box 2 | headcount | 6 larvae
where did D come from | history | D was split from B
D origin | history | D was split from B
first B butterfly when | history | 2 pupae emerged
small white hatch date | stage-forecast | should hatch
how many A were female | history | 5 females of A
where were the E pupae over the winter | history | to crypt
when did we last wipe down box 1 | history | box 1: cleaned
how did I do last year | survival | season 2031
pupa to adult for E | survival | 5 of 5 pupae
who was with B when they went limp | exposure | virus
which ones might have the virus | exposure | virus
what has D been exposed to | exposure | D
D exposed to anything? | exposure | D
degree days box 2 since the 16th base 10 | temperature | above 10 °C
heat sum box 2 over 8 | temperature | above 8 °C
degree days above 50 in box 2 | temperature | above 10 °C
anything to release today | release | 2 adults of cohort B
what's urgent / and after that | round | task
busy day? | round | task
box 1 - what's in it, I forget | headcount | in box 1
how many animals do I have that aren't eggs | headcount | 22 larvae
anything in box 1 thats not a larva | headcount | 4 eggs, prepupae, pupae and adults
how many B haven't gone into chrysalis | headcount | 6 larvae
small white unhatched | headcount | 30 eggs
box 1 population | headcount | 10 animals
dead since 1 july | survival | 2 deaths
died this month | survival | 2 deaths
any drownings last year | survival | 1 animal died of drowning
how many E got thru the winter | survival | 5 of 5
who had animals off me in 2031 | history | given away
should I keep box 2 apart | exposure | box 2
which lots should be kept separate for now | exposure | virus
how long have I to watch D | exposure | D
any parasites going round | exposure | of wasp or fly
virus: who, till when | exposure | virus
box 1 last cleaned, what with | hygiene | (bleach)
monday's jobs | round | by Mon 26 July
jobs for sunday / and monday | round | by Mon 26 July
what's on the rota | round | task
any watering to do | round | by the records
bxo 2 temp | temperature | Box 2
box 2's mean | temperature | mean 22.5
box 2 mean / in F | temperature | 72.5 °F
D moved to box 2 when | history | moved from box 1 to box 2
B emergence / D? | stage-forecast | D (6 larvae
what have I done this week | history | 2 pupae emerged
"""


@pytest.mark.parametrize("case", [case for case in CASES.splitlines() if case])
def test_line(case, assistant):
    lines, topic, said = case.split(" | ")
    talk = assistant()
    for line in lines.split(" / "):
        answer = talk.reply(line)
    assert (answer.status, answer.topic) == ("answered", topic), answer.text
    assert said in answer.text, answer.text


def test_what_comes_after_leaves_out_what_was_told(assistant):
    talk = assistant()
    whole, rest = talk.reply("todo"), talk.reply("and then?")
    assert [item["name"] for item in rest.items] == [item["name"] for item in whole.items[1:]]


def test_counts_of_several_animals_are_added(assistant):
    answer = assistant().reply("where are H1, H2 and B")
    assert answer.values["count"].value == 12 and "box 1" in answer.text and "box 3" in answer.text
