"""A keeper's own words lead to the sign they describe."""

from __future__ import annotations

import pytest

from nurserytui.answers.sign_match import shown

DESCRIBED = [
    ("egg has turned completely black and shiny", "egg", "egg-black-all-over"),
    ("grey point at the tip of the egg, the rest see-through", "egg", "egg-dark-spot-at-top"),
    ("the egg is dented", "egg", "egg-caved-in"),
    ("there is a minute opening in the shell and nothing inside", "egg", "egg-round-hole"),
    ("furry white growth on an egg", "egg", "egg-fuzzy"),
    ("draped over a stem by its prolegs, dark and oozing", "larva", "larva-inverted-v"),
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
