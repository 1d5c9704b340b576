"""Typed records from the sentence to the events written, to the question asked back, to the undo."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from record_cases import ASKED, CASES, NOTHING, expected_event, rows  # noqa: E402
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.answers import record as records  # noqa: E402
from nurserytui.answers import taking_back  # noqa: E402
from nurserytui.answers.answer import Answer  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.language.context import Context  # noqa: E402
from nurserytui.language.record_grammar import drafts  # noqa: E402
from nurserytui.language.request import Request  # noqa: E402
from nurserytui.language.spans import scan  # noqa: E402
from nurserytui.language.vocabulary import Vocabulary  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.ledger import replay  # noqa: E402

KNOWLEDGE = load()


class Talk:
    """A conversation about a fresh nursery, records only."""

    def __init__(self) -> None:
        self.nursery = Nursery(MemoryStore(), KNOWLEDGE, NOW)
        self.context = Context()
        self.before = len(self.nursery.store.events())

    def say(self, text: str) -> Answer:
        line = scan(text, Vocabulary.of(self.nursery), self.nursery.now, self.nursery.settings)
        request = drafts(line, self.nursery, self.context)
        if request is None:
            request, answer = Request(text), Answer("unknown", "", "no record")
        else:
            answer = (taking_back.undo if request.topic == "undo" else records.record)(request, self.nursery)
        self.context.remember(request, answer)
        return answer

    def written(self):
        return self.nursery.store.events()[self.before :]

    def heads(self, cohort: str, stage: str | None = None) -> int:
        return sum(count for _, count in self.nursery.heads(cohort=cohort, stage=stage))


@pytest.mark.parametrize(("said", "expected"), rows(CASES))
def test_sentence_writes_its_events(said, expected):
    talk = Talk()
    answer = talk.say(said)
    wanted = [expected_event(text) for text in expected.split(" ; ")]
    written = talk.written()
    assert answer.status == "recorded", answer.text
    assert [{key: getattr(event, key) for key in want} for event, want in zip(written, wanted)] == wanted
    assert len(written) == len(wanted)
    assert len({event.group for event in written}) == 1 and written[0].group
    assert answer.about["event"] == wanted[0]["what"]
    assert answer.text.startswith("Recorded: ") and written[0].day in answer.text and "undo" in answer.text
    assert [item["id"] for item in answer.items] == [event.id for event in written]


@pytest.mark.parametrize(("said", "word"), rows(ASKED))
def test_what_is_not_certain_is_asked(said, word):
    talk = Talk()
    answer = talk.say(said)
    assert (answer.status, answer.topic) == ("clarify", "record")
    assert word.casefold() in (answer.text + " ".join(answer.options)).casefold()
    assert talk.written() == []


@pytest.mark.parametrize("said", [said for said, _ in rows(ASKED)])
def test_every_option_can_be_sent_as_it_is(said):
    for option in Talk().say(said).options:
        answer = Talk().say(option)
        assert answer.status in ("recorded", "clarify"), (option, answer.text)
        assert answer.status == "recorded" or answer.text != Talk().say(said).text, option


@pytest.mark.parametrize(
    "said",
    [
        "one S pupa has a ridge on its back, is that normal",
        "jar 9 smells off, was it ever cleaned",
    ],
)
def test_a_question_behind_what_is_told_is_answered_and_nothing_is_written(said):
    talk = Talk()
    assert talk.say(said).status in ("answered", "clarify", "unknown")
    assert talk.written() == []


@pytest.mark.parametrize("said", [said for said, _ in rows(NOTHING)])
def test_what_is_no_record_writes_nothing(said):
    talk = Talk()
    assert talk.say(said).status in ("unknown", "clarify")
    assert talk.written() == []


@pytest.mark.parametrize(
    ("lines", "cohort", "stage", "heads"),
    [
        (["3 A hatched", "no, 4 not 3"], "A", "egg", 14),
        (["3 A hatched", "oops, it was 5"], "A", "egg", 13),
        (["3 A hatched", "make that 2"], "A", "egg", 16),
        (["3 A hatched yesterday", "make it monday"], "A", "egg", 15),
        (["3 A hatched", "sorry, that was yesterday"], "A", "egg", 15),
        (["3 A hatched", "no, 3 P"], "A", "egg", 18),
        (["3 A hatched", "undo"], "A", "egg", 18),
        (["3 A hatched", "scrap that"], "A", "larva", 12),
        (["3 A hatched", "undo that, wrong cage"], "A", "larva", 12),
        (["3 A hatched", "scrap that, it was 4"], "A", "larva", 16),
        (["3 A hatched", "no, 4 not 3", "undo"], "A", "egg", 15),
        (["3 A hatched", "2 more hatched"], "A", "egg", 13),
        (["2 A eggs died", "wait, they were larvae"], "A", "larva", 10),
        (["4 died", "the A eggs"], "A", "egg", 14),
        (["4 died", "A", "larvae"], "A", "larva", 8),
        (["4 died", "never mind"], "A", None, 30),
        (["moved 4 P eggs", "sorry meant A not P", "to jar 9"], "P", "egg", 40),
        (["14 P eggs died", "sorry meant A not P"], "A", "egg", 4),
        (["30 A eggs hatched", "18"], "A", "egg", 0),
        (["30 A eggs hatched", "yes"], "A", "larva", 30),
        (["counted only 15 A eggs", "missing"], "A", "egg", 15),
        (["counted only 15 A eggs", "they died"], "A", "egg", 15),
        (["found 6 eggs in jar 3", "monarch"], "B", "egg", 6),
        (["found 6 eggs in jar 3", "no idea"], "B", "egg", 6),
        (["found some monarch eggs", "12"], "B", "egg", 12),
        (["found 5 monarch eggs", "call them Z"], "Z", "egg", 5),
        (["split 3 of the A larvae off", "call it A-2"], "A-2", "larva", 3),
        (["3 of zebra-7 hatched", "A"], "A", "egg", 15),
        (["a luna emerged", "released her"], "S", None, 3),
        (["3 A hatched", "and 2 more"], "A", "egg", 13),
        (["2 A eggs died", "escaped, not died"], "A", "egg", 16),
        (["counted only 15 A eggs", "2 died"], "A", "egg", 16),
        (["3 A hatched", "it was on friday", "undo"], "A", "egg", 15),
        (["N1 hung up", "no, N2 pupated"], "N", "pupa", 1),
        (["rename S", "porch"], "porch", "pupa", 4),
        (["one S emerged", "it escaped"], "S", None, 3),
        (["2 swamp-1 escaped", "found one of the missing swamp-1"], "swamp-1", None, 5),
    ],
)
def test_conversations(lines, cohort, stage, heads):
    talk = Talk()
    for line in lines:
        talk.say(line)
    assert talk.heads(cohort, stage) == heads


def test_a_reply_keeps_the_other_clauses():
    talk = Talk()
    assert talk.say("one fennel-2 died yesterday, cleaned jar 1").status == "clarify"
    assert talk.say("the one in tank 2").status == "recorded"
    died, cleaned = talk.written()
    assert (died.what, died.enclosure, died.when, cleaned.what) == ("died", "tank 2", "2025-08-19", "cleaned")


def test_a_correction_is_a_withdrawal_and_a_new_event_in_one_group():
    talk = Talk()
    talk.say("moved S to tub 9")
    talk.say("make that tub 8")
    moved, withdrawn, again = talk.written()
    assert (withdrawn.what, withdrawn.withdraws, again.to) == ("withdrawn", moved.id, "tub 8")
    assert withdrawn.group == again.group != moved.group


def test_a_correction_that_changes_nothing_is_asked():
    talk = Talk()
    talk.say("2 A eggs died")
    assert talk.say("sorry, I meant kale").status == "clarify"
    assert len(talk.written()) == 1


def test_undo_takes_back_all_events_of_the_line_and_reads_them_back():
    talk = Talk()
    talk.say("3 A hatched, 1 A egg is a dud and cleaned jar 1")
    answer = talk.say("undo that")
    assert (answer.status, answer.topic) == ("recorded", "undo")
    assert [item["what"] for item in answer.items] == ["hatched", "died", "cleaned"]
    assert "3 of A hatched" in answer.text
    assert talk.heads("A", "egg") == 18


def test_a_second_undo_does_not_reach_past_what_was_typed():
    talk = Talk()
    talk.say("3 A hatched")
    talk.say("undo")
    assert "nothing more" in talk.say("undo").text
    assert talk.heads("A", "egg") == 18


def test_undo_without_a_conversation_takes_the_newest():
    talk = Talk()
    answer = talk.say("undo")
    assert answer.items[0]["what"] == "hatched" and talk.heads("A", "egg") == 30


def test_an_undo_that_later_events_rest_on_is_refused_and_names_them():
    talk = Talk()
    talk.say("found 2 monarch pupae, cohort M1")
    group = talk.context.last_group
    talk.say("one M1 emerged")
    talk.context.last_group = group
    answer = talk.say("undo")
    assert answer.status == "clarify" and "emerged" in answer.text
    assert talk.heads("M1") == 2


def test_a_sign_says_at_once_what_it_may_mean():
    answer = Talk().say("log a sign: one of the fennel-2 in tank 2 hangs upside down in a V, limp, black and leaking")
    assert answer.status == "recorded" and answer.about["event"] == "sign"
    assert answer.values["isolate"].value == "yes" and answer.sources and answer.cautions


def test_an_animal_without_a_label_gets_the_next_letter_and_hears_it():
    answer = Talk().say("found 3 monarch eggs")
    assert answer.about["cohort"] == "B" and "as cohort B" in answer.text


def test_a_backdated_event_is_weighed_at_its_own_moment():
    talk = Talk()
    assert talk.say("2 A larvae died on 14 August").status == "clarify"
    assert talk.say("2 A eggs died on 14 August").status == "recorded"


SUBJECTS = [
    "A",
    "P",
    "S",
    "fennel-2",
    "swamp-1",
    "N1",
    "X",
    "zulu-9",
    "monarch",
    "luna",
    "eggs",
    "larvae",
    "pupae",
    "",
    "in jar 1",
    "in tank 2",
    "A eggs",
    "A larvae",
]
VERBS = [
    "hatched",
    "moulted",
    "hung up",
    "pupated",
    "emerged",
    "died",
    "escaped",
    "vanished",
    "moved to tub 77",
    "have a dark spot",
    "released",
    "gone missing",
]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.sampled_from(["", "1", "3", "all", "both", "500", "half", "the rest of"]),
    st.sampled_from(SUBJECTS),
    st.sampled_from(VERBS),
    st.sampled_from(["", "yesterday", "on 1 August", "tomorrow"]),
)
def test_whatever_is_said_the_ledger_stays_sound(count, subject, verb, when):
    talk = Talk()
    answer = talk.say(f"{count} {subject} {verb} {when}")
    assert answer.status in ("recorded", "clarify", "unknown")
    assert not replay(talk.nursery.store.events()).faults
    assert (answer.status == "recorded") == bool(talk.written())


def test_a_cause_after_a_death_is_no_second_death():
    """`one D died, drowned` once asked how many more had drowned."""
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from nurserytui.assistant import Assistant
    from nurserytui.demo import MOMENT, private_copy
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.store import Store

    with TemporaryDirectory() as folder, Store.open(private_copy(Path(folder))) as store:
        answer = Assistant(Nursery(store, load(), MOMENT)).reply("one D died, drowned")
    assert answer.status == "recorded" and len(answer.items) == 1
    assert answer.items[0]["detail"] == "drowned" and answer.values["count"].value == 1


@pytest.mark.parametrize(
    ("said", "detail", "note"),
    [
        ("tank 2 is 12 x 12 x 24 inch", "volume=56.63 L", "12 x 12 x 24 inch"),
        ('tank 2 is 12" x 12" x 24"', "volume=56.63 L", "12 inch x 12 inch x 24 inch"),
        ("jar 1 is 10 cm across and 15 cm tall", "volume=1.18 L", "10 cm across and 15 cm tall"),
        ("crate 1 holds 5 gallons", "volume=18.93 L", "5 gallons"),
        ("crate 1 holds 10 L", "volume=10 L", ""),
    ],
)
def test_a_volume_is_told_as_it_is_measured(said, detail, note):
    """12 × 12 × 24 × 2.54³ = 56,634 ml; π/4 × 10² × 15 = 1,178 ml; 5 × 3.785 L."""
    talk = Talk()
    assert talk.say(said).status == "recorded"
    (event,) = talk.written()
    assert (event.detail, event.note) == (detail, note)


def test_sides_without_a_unit_are_asked_about():
    talk = Talk()
    answer = talk.say("tank 2 is 30 x 20 x 15")
    assert answer.status == "clarify" and not talk.written() and talk.say(answer.options[0]).status == "recorded"
    assert talk.written()[0].detail == "volume=9 L"
