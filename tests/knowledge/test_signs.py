"""A keeper's own words lead to the sign they describe."""

from __future__ import annotations

import pytest

from nurserytui.answers.causes import HEALTHY, PHYSICAL, normal, spread_of
from nurserytui.answers.sign_match import shown
from nurserytui.knowledge.base import load

DESCRIBED = [
    ("egg has turned completely black and shiny", "egg", "egg-black-all-over"),
    ("grey point at the tip of the egg, the rest see-through", "egg", "egg-dark-spot-at-top"),
    ("the egg is dented", "egg", "egg-caved-in"),
    ("there is a minute opening in the shell and nothing inside", "egg", "egg-round-hole"),
    ("furry white growth on an egg", "egg", "egg-fuzzy"),
    ("draped over a stem by its prolegs, dark and oozing", "larva", "larva-inverted-v"),
    ("hangs in an upside-down V", "larva", "larva-inverted-v"),
    ("is hanging in a v from the lid", "larva", "larva-inverted-v"),
    ("has not eaten today, motionless on a pad of silk", "larva", "larva-moulting"),
    ("maggots dangling on slimy strands from its body", "larva", "larva-white-strings"),
    ("all of them suddenly throwing up green and jerking", "larva", "larva-green-vomit"),
    ("pale oval glued to its neck", "larva", "larva-eggs-on-skin"),
    ("pile of golden cocoons under a dead one", "larva", "larva-yellow-cocoons"),
    ("a big wet green splat and now it is pacing round the tub", "larva", "larva-gut-purge"),
    ("runny droppings and it is getting smaller", "larva", "larva-wet-frass"),
    ("feelers have gone curly and limp", "prepupa", "prepupa-limp-filaments"),
    ("no longer in a j, stretched out and turning dark", "prepupa", "prepupa-hangs-straight"),
    ("pin holes in the wing case, and it is empty", "pupa", "pupa-small-holes"),
    ("orange and black wings show through", "pupa", "pupa-dark-with-wings"),
    ("squirms when I nudge it", "pupa", "pupa-wiggles"),
    ("black and stinking fluid leaks out", "pupa", "pupa-black-and-leaking"),
    ("wings are shrivelled", "adult", "adult-crumpled-wings"),
    ("orange puddle under it", "adult", "adult-meconium"),
    ("trembling wings on a cold morning", "adult", "adult-shivers"),
]


@pytest.mark.parametrize(("words", "stage", "sign"), DESCRIBED)
def test_the_sign_is_the_most_telling(knowledge, words, stage, sign):
    best = shown(words, knowledge.signs(), (stage,))[0]
    assert best.sign.id == sign
    assert best.strength >= 0.6


@pytest.fixture(scope="module")
def whole():
    return load()


def test_every_cause_is_an_agent_or_listed_as_physical_or_healthy(whole):
    names = {cause.name for sign in whole.signs() for cause in sign.causes}
    left = [name for name in sorted(names) if not normal(name) and name not in PHYSICAL and whole.agent(name) is None]
    assert left == []
    assert all(spread_of(name, whole).words for name in names)


def test_nothing_is_listed_as_physical_that_is_an_agent_or_no_cause(whole):
    names = {cause.name for sign in whole.signs() for cause in sign.causes}
    assert [name for name in PHYSICAL if whole.agent(name) is not None] == []
    assert [name for name in PHYSICAL if name not in names] == []


def test_physical_causes_say_that_they_are_not_contagious():
    assert all(words.startswith("Not contagious") for words in PHYSICAL.values()) and HEALTHY.startswith("Not contagious")


def test_a_contagious_agent_says_how_and_how_long(whole):
    for agent in whole.all_agents():
        if agent.contagious:
            assert agent.how_it_spreads, agent.name
            assert agent.stays, agent.name
            assert agent.watch_days or agent.grades, agent.name
        if agent.days_low and agent.days_high:
            assert 0 < agent.days_low <= agent.days_high
        if agent.watch_days and agent.days_high:
            assert agent.watch_days >= agent.days_low


def test_causes_are_ranked_and_every_sign_says_what_to_do(whole):
    for sign in whole.signs():
        weights = [cause.weight for cause in sign.causes]
        assert all(weight > 0 for weight in weights) and sign.action and sign.sources, sign.id
        assert len({cause.name for cause in sign.causes}) == len(weights), sign.id
        assert sign.normal or sign.healthy or not sign.isolate or sign.stage == "egg" or sign.id in NO_LOOK_ALIKE, sign.id
        if sign.normal:
            assert not sign.isolate and max(sign.causes, key=lambda cause: cause.weight), sign.id


NO_LOOK_ALIKE = {"pupa-second-year", "larva-no-leaf"}
"""Signs of trouble that look like no healthy state."""
