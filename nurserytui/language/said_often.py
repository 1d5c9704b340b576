"""Sentences that keepers ask and tell, with places for their own names: what completion offers. Each can be sent as it is once filled."""

from __future__ import annotations

from collections.abc import Mapping

SENTENCES = """
What needs doing today?
What is due by Monday?
How many animals do I have?
How many eggs do I have?
How many are in {enclosure}?
How many {cohort} are there?
When will {egg} hatch?
When will {larva} pupate?
When will {pupa} emerge?
How long until {egg} hatches?
How long until {larva} pupates?
How long until {pupa} emerges?
Is {pupa} overdue?
What happened to {cohort}?
What happened yesterday?
Where is {cohort}?
Who was exposed to {cohort}?
Who was exposed to a parasitoid?
How do I isolate {cohort}?
How much plant does {larva} still need?
Which cohort will be short of food?
Will the food last until Sunday?
How many large larvae fit {enclosure}?
Is {enclosure} overcrowded?
When did I last clean {enclosure}?
How often should I clean out frass?
How do I disinfect {enclosure}?
What do {species} larvae eat?
What eats {plant}?
Which host plant suits a {species} egg?
How long do {plant} cuttings keep?
How long is the pupa stage of the {species} at 22 C?
How long does a {species} egg take to hatch?
How does the {species} winter?
When should I give up on a {species} egg?
Whose egg is this: single, pale yellow, round, on {plant}?
How much bleach for 2 litres at 5000 ppm from 6 % bleach?
Can I release {cohort} today?
Is 12 C too cold for release?
How many survived this season?
What did animals die of this season?
What was the mean temperature this week?
Convert 72 F to C
Can I mix bleach and vinegar?
Do I need a permit to release butterflies?
Make me an isolation plan
Labels for the cages
What can I ask you?
Why?
{number} of {egg} hatched
{number} of {larva} moulted
{number} of {larva} pupated
{number} of {pupa} emerged
{number} of {larva} died
{number} of {cohort} are missing
released {number} of {adult}
found {number} {species} eggs on {plant}
found {number} {species} larvae on {plant}
{number} {species} eggs laid on {plant}
moved {cohort} to {enclosure}
checked {cohort}
counted {number} in {enclosure}
fed {fed}
cleaned {cleaned}
cut {number} stems of {plant}
{number} stems of {plant} on hand
the room is 22 C
{enclosure} is 22 C
{enclosure} holds 10 L
note: 
undo
""".strip("\n").split("\n")
"""Places: `cohort`, and one of the cohorts with animals of a stage (`egg`, `larva`, `pupa`, `adult`); `enclosure`, and where larvae were `fed` or
it was `cleaned` longest ago; `species`, `plant`, `number`."""
AGAIN = ("fed {fed}", "cleaned {cleaned}")
"""What is done in one place after the other."""


def filled(names: Mapping[str, str], sentences=SENTENCES) -> list[str]:
    """The sentences with these names in their places; those for which there is none are left out."""
    return [sentence.format(**names) for sentence in sentences if all(names.get(place) for place in places(sentence))]


def places(sentence: str) -> list[str]:
    """The places in a sentence, in their order."""
    return [part.split("}")[0] for part in sentence.split("{")[1:]]
