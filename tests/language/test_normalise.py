"""Lines made plain, with offsets into the line as typed, and nothing left in a span that could harm a screen."""

from __future__ import annotations

import pytest

from nurserytui.language.normalise import LONGEST, breaks, cut, key, normalise, one_line, said, stem, tokenise, unsteered


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("24.5c in the tent", "24.5 c in the tent"),
        ("2½ litres", "2 1/2 litres"),
        ("75 °F", "75 ° f"),
        ("℃", "° c"),
        ("68–79 F", "68 - 79 f"),
        ("68..79 F", "68 .. 79 f"),
        ("− 4", "4"),
        ("−4 c", "-4 c"),
        ("5 mg/L", "5 mg/l"),
        ("at 7:40 a.m., fine", "at 7:40 am fine"),
        ("3 U.S. gallons", "3 us gallons"),
        ("tub\u200b 1\u202e", "tub 1"),
        ("tub\x1b[31m 1", "tub 31 m 1"),
        ("“cohort B”", "cohort b"),
        ("1 , 2", "1 2"),
        ("14 × 4", "14 * 4"),
        ("K & L", "k and l"),
        ("CAFE\u0301", "café"),
        ("", ""),
    ],
)
def test_plain(text, plain):
    assert normalise(text) == plain


@pytest.mark.parametrize("text", ["Straße 5 ½ cup, é́ tub", "ﬁve 10％ ＢＬＥＡＣＨ", "  a  b\t\nc "])
def test_offsets_lie_in_the_line_in_order(text):
    tokens = tokenise(text)
    places = [place for token in tokens for place in (token.start, token.end)]
    assert places == sorted(places) and places[-1] <= len(text)
    assert all(token.end > token.start for token in tokens)


def test_a_span_as_typed_holds_no_control_or_direction_marks():
    text = "coh\u202eort \x07zulu-9"
    tokens = tokenise(text)
    assert said(text, tokens, 0, len(tokens) - 1).isprintable()


def test_clauses_end_at_punctuation():
    text = "5 hatched, cleaned tub 3. fine"
    assert breaks(text, tokenise(text)) == {1, 4}


@pytest.mark.parametrize(
    ("word", "single"),
    [
        ("fritillaries", "fritillary"), ("tomatoes", "tomato"), ("tomatos", "tomato"), ("monarch's", "monarch"), ("nettles", "nettle"),
        ("iris", "iris"), ("cactus", "cactus"), ("grass", "grass"), ("oak", "oak"), ("finches", "finch"),
    ],
)  # fmt: skip
def test_stems(word, single):
    assert stem(word) == single


def test_hyphens_are_spaces_in_keys():
    assert key("swallow-worts") == "swallow wort"


def test_a_long_line_is_cut():
    assert tokenise("a" * 3 * LONGEST)[-1].end == LONGEST


def test_letters_that_are_folded_to_capitals_are_small_all_the_same():
    assert not any(token.text.isupper() for token in tokenise("\u13a0\uabbf and \u13f0 X"))


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("fennel, 3 – “two”", "fennel, 3 – “two”"),
        ("a\tb\r\nc\x1b[31m\u2028d\x85", "a b  c [31m d "),
        ("\u202eback\u202c to \u2067front\u2069", "back to front"),
        ("caf\udce9", "caf\ufffd"),
        ("\U0001f469\u200d\U0001f33e noted it", "\U0001f469\u200d\U0001f33e noted it"),
    ],
)
def test_a_text_on_one_line_keeps_all_that_is_seen(text, kept):
    assert one_line(text) == kept


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("how long " * 60, 540),
        ("caterpillar " * 400, 2000),
        ("1/" * 1000, 500),
        ("&lt;" * 500, 667),
        ("9" * 3000, 2000),
        ("a" * 2001, 2000),
    ],
    ids=lambda value: str(value)[:8],
)
def test_no_more_is_read_than_a_line_of_words_has(text, read):
    assert cut(text) == text[:read]


def test_a_run_of_figures_is_no_longer_than_any_number():
    assert normalise("9" * 2000) == "9" * 64


SEQUENCES = (
    "\x1b[2J", "\x1b[31;1m", "\x1b[?25l", "\x1b[38;2;10;20;30m", "\x1b[4 q", "\x1b[200~", "\x1b[>4;2m", "\x1b[15~", "\x1b[[A",
    "\x9b7m", "\x1b]0;title 12\x07", "\x1b]8;;http://x.test/42\x1b\\", "\x9d52;c;MTI=\x9c", "\x1bP1$r0m\x1b\\", "\x1b_G12\x1b\\",
    "\x1b^13\x1b\\", "\x1bX14\x1b\\", "\x1b7", "\x1b8", "\x1bc", "\x1b(B", "\x1b)0", "\x1b#8", "\x1b F", "\x1bOP", "\x1bO2P", "\x1b=",
)  # fmt: skip
"""By ECMA-48 and ECMA-35, of every kind, as terminals send and take them."""


@pytest.mark.parametrize("before", SEQUENCES)
@pytest.mark.parametrize("after", SEQUENCES)
def test_a_sequence_that_steers_a_terminal_is_taken_out_whole(before, after):
    assert unsteered(f"{before}found {after}4 eggs{before}{after}") == "found 4 eggs"


def test_a_string_that_is_not_ended_goes_to_the_end_of_its_line():
    assert unsteered("4 eggs \x1b]0;12 and more\njar 2") == "4 eggs \njar 2"
    assert unsteered("4 eggs \x1b]0;12\x1b[3m5") == "4 eggs 5"


def test_many_sequences_are_taken_out_in_a_moment():
    import time

    began = time.process_time()
    for one in ("\x1b]", "\x1b[1;", "\x1b[[", "\x1b!", "\x1bO1"):
        unsteered(one * 100_000)
        unsteered(one + one[-1] * 300_000)
    assert time.process_time() - began < 2
