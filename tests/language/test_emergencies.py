"""Somebody hurt is heard first, in few words and in many, whatever did it."""

from __future__ import annotations

import pytest
from conversation import nursery

from nurserytui.language.context import Context
from nurserytui.language.emergencies import grave
from nurserytui.language.understand import understand

HURT = """\
she cant breathe
my throat is closing after that sting
lips swelling since i cleaned the tussock tub
grandad passed out in the shed
i fainted
my niece collapsed next to the bleach bucket
cant stop coughing, did the tubs an hour ago
the heater in the damp cage gave me a shock
sliced my finger on the tank glass
jabbed myself with a pin
a saddleback stung my daughter
my son got stung by some fuzzy caterpillar
hives everywhere after the moth tub
spurge milk in her face
the baby is sucking a cocoon
a wasp out of a pupa stung my ear
I got a faceful of steam off the hot bleach
picked aconite leaves with bare hands
hedgehog ate the slug pellets by the cages
our puppy keeps licking the bleach tray
pony got at the yew
the cat nibbled a lily leaf
our cat is chewing a chrysalis
breathed in the ethyl acetate
moth balls, the toddler swallowed one
"""
HELP_FIRST = (
    "he cant breathe",
    "her lips are swollen",
    "dad collapsed",
    "bleeding a lot, i cut my arm on the glass",
    "allergic reaction to hairs",
)
NOT_GRAVE = ("the pupa cannot breathe in there", "she spread her wings and collapsed one", "bit my tongue", "a bleeding larva")


@pytest.mark.parametrize("line", HURT.splitlines())
def test_somebody_hurt_is_heard(line):
    assert understand(line, nursery(), Context()).topic == "safety"


@pytest.mark.parametrize("line", HELP_FIRST)
def test_help_is_called_first(line):
    assert grave(line)


@pytest.mark.parametrize("line", NOT_GRAVE)
def test_no_help_is_called_for_an_animal(line):
    assert not grave(line)
