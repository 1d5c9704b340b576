"""Eggs drawn from the cards themselves, with slips: how often the first is right is how sure it says it is."""

from __future__ import annotations

import random

import pytest

from nurserytui.answers import egg_chances, eggs
from nurserytui.answers.egg_candidates import gather
from nurserytui.answers.egg_traits import Seen
from nurserytui.language.request import Request

EMPTY = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
DRAWS = 600


def drawn(card, words, chance: random.Random) -> Seen:
    """A description of an egg with that card: each trait said or left out, in the words that the card makes likely."""

    def one(kind):
        table = egg_chances.distribution(kind, card, words)
        return (chance.choices(list(table), list(table.values()))[0],) if chance.random() < 0.65 else ()

    return Seen(colours=one("colour"), shapes=one("shape"), surface=one("surface"), grouping=one("grouping"), places=one("place"))


@pytest.fixture(scope="module")
def draws(request):
    """(said share, right) of the first, and whether the true one is among the first three, for eggs drawn as often as they are expected."""
    from tests.answers.conftest import nursery as make

    nursery = make(EMPTY, "2031-07-10T09:00")
    chance = random.Random(20310710)
    plants = sorted(
        {pairing.plant for name in nursery.knowledge.all_species() for pairing in nursery.knowledge.pairings_of(name.scientific)}
    )
    found, among = [], 0
    for _ in range(DRAWS):
        plant = chance.choice(plants)
        candidates, none = gather((plant,), Request("", plain=""), nursery)
        words = eggs.word_lists(nursery.knowledge, candidates)
        true = chance.choices([*candidates, None], [*(one.prior for one in candidates), none])[0]
        ranked, _ = eggs.weigh(drawn(true.card if true else None, words, chance), candidates, none, words, nursery)
        found.append((ranked[0][1], true is ranked[0][0]))
        among += true is None or true in [one for one, _ in ranked[:3]]
    return found, among / DRAWS


def test_it_is_right_as_often_as_it_says(draws):
    for low, high in ((0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.01)):
        here = [(said, right) for said, right in draws[0] if low <= said < high]
        assert len(here) >= 30
        said, right = (sum(column) / len(here) for column in zip(*here))
        assert right == pytest.approx(said, abs=0.08 + 2 * (said * (1 - said) / len(here)) ** 0.5)


def test_the_true_one_is_mostly_among_the_first(draws):
    assert draws[1] >= 0.8
