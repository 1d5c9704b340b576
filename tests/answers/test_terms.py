"""What words of the trade mean, and what is asked of the keeper's own animals in such words."""

from __future__ import annotations

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from tests.answers.conftest import nursery

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note\n"
ROWS = "2031-06-02,found,J,,Vanessa cardui,larva,2,4,jug,,Cirsium vulgare,,\n"
MEANT = """\
whats an instar | instar
what does L3 mean | instar
what's a fourth instar? | instar
frass, what is that | frass
define eclosion please | eclosion
what do you mean by prepupa | prepupa
what does J stand for | hanging-j
sorry, silly question, what is a cremaster | cremaster
the meaning of imago | imago
no idea what an osmeterium is | osmeterium
what's the difference between a moult and an instar | moult instar
difference of cocoon and chrysalis | cocoon chrysalis
what are prolegs good for | prolegs
what is a degree day | degree-day
"""


@pytest.mark.parametrize("row", MEANT.splitlines())
def test_what_a_word_means(row):
    line, ids = row.split(" | ")
    answer = Assistant(nursery(HEAD + ROWS, "2031-06-05T09:00")).reply(line)
    assert (answer.status, answer.topic) == ("answered", "help")
    assert [item["name"] for item in answer.items] == ids.split() and answer.sources


def test_a_word_of_winter_is_told_with_what_the_trade_knows_of_it():
    answer = Assistant(nursery(HEAD + ROWS, "2031-06-05T09:00")).reply("what does diapause mean")
    assert answer.topic == "overwintering" and answer.text.startswith("Diapause is a rest")


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        ("what is J", "headcount"),
        ("what are the larvae", "help"),
        ("what is the host plant of monarchs", "hosts-of-species"),
        ("what is OE", "about-agent"),
    ],
)
def test_what_is_no_question_for_a_word(line, topic):
    answer = Assistant(nursery(HEAD + ROWS, "2031-06-05T09:00")).reply(line)
    assert answer.topic == topic and not any(item.get("name") in load().terms for item in answer.items)


def test_every_way_of_writing_belongs_to_one_term():
    terms = set(load().terms.values())
    words = [word for term in terms for word in term.words]
    assert len(words) == len(set(words)) and all(term.text.endswith(".") for term in terms)
