"""What is no danger to a person or a pet, though its words also stand in lines that are: never taken for an alarm."""

from __future__ import annotations

import pytest
from conversation import nursery

from nurserytui.language.context import Context
from nurserytui.language.understand import understand

HARMLESS = """\
the larvae are chewing the last leaf
baby cats ate the whole leaf since noon
my female collapsed her wings
cut myself some fennel for the tub
a pupa is bleeding badly after the fall
one larva was stung by a wasp
my wife moved the pupae
the kids fed the cats nettles
it fell and cut its skin
our pupae cannot breathe in that box
dog has chewed the handle of the brush
puppy chewed up the date sticker
fingers numb after the cold store
chilly hands after the fridge
500 ml of 5% please, the bottle in my hand says 8.25%
my cats ate all the milkweed
my cat ate its egg shell
the cat ate the whole leaf overnight
my cat has shed its skin and eaten it
cats have eaten all the milkweed stems
a monarch cat ate its own skin
the swallowtail cats are chewing the stems
baby caterpillars ate the milkweed leaf
the babies chewed holes in the leaves
the children found 3 eggs on the milkweed
my son wants to know how many eggs are left
my eyes are tired, just give me the headcount
monarch landed on my hand
a butterfly sat on my face for a minute, is it ready to release
caterpillar has red spots on its skin
black spots on the skin of my monarch caterpillar
my caterpillar is vomiting green stuff
caterpillar throwing up green fluid
caterpillar fell in the water and drank
the larva swallowed its skin after the moult
did the butterfly drink
butterflies drinking sugar water mix
do swallowtails drink from puddles
how much does a cat eat per day
cat food is running low, how many stems do 6 need
how long does cut milkweed last
milkweed sap is dripping in the jar, change the water?
how do i clean the tent with bleach
1:10 bleach 2 litres
70% alcohol 200 ml from 99%
6% peroxide to 3%, 500 ml
which disinfectant is better, bleach or alcohol
alcohol instead of bleach for tools?
bleach or peroxide for tubs
does bleach kill oe
soaked the tent in 10% bleach for 20 minutes
the wasp stung one of my caterpillars
tachinid got my caterpillar
should i give the kids the monarchs to release at school
kid proof lid for a jar
sleeping baby so quick: which pupae come out first
child size net, how many larvae does it hold
i have a headache just tell me what needs doing today
dizzy with all these cohorts, list them
the pupa has eye spots
what are the eye spots on a swallowtail caterpillar for
hawk moth larva with eyes on its back what is it
found 4 cats on the fennel
lemon tree leaves for giant swallowtails
vinegar smell in the jar, frass gone mouldy
my hands smell of fennel, which host do they like best
my mouth waters looking at the parsley, will the swallowtails share
dog rose as food for anything?
cat's ear plant, who eats it
cow parsley what eats it
horse chestnut leaves for io moth?
goat willow for luna moths ok
goat moth larvae live on what
sheeps sorrel who lives on it
chickweed for tiger moths
puss moth caterpillar host
lackey eggs on hawthorn
my monarch is drooling green goo
my caterpillar has been sick
larva got its head stuck in its old skin
caterpillars eat their egg shells?
do cats eat their own skin
one cat bit another one
the cat fell in the water tube
my cats have eaten the eggs of the others
my cat is hanging upside down
the last cat pupated
cats are off their food
swallowtail caterpillar got its horns out and it smells
pupa is dripping red fluid on the floor
she laid 12 eggs on the milkweed
she drank from the sponge this morning
female drank sugar water for ten minutes
will a butterfly drink orange juice
she ate half the fennel and then pupated
my baby caterpillars are eating oak
my sister gave me 6 monarch eggs
gave 3 larvae to my neighbour
kids named two of the caterpillars, which are they
is there enough milkweed for 9 cats
bleach 20% 4 litres for the tent
rinse the milkweed in 5% bleach?
2% bleach for the eggs, 500 ml
how long in bleach for the eggs
does alcohol kill oe spores
vinegar instead of bleach?
should i use peroxide rather than bleach for the mesh
soaked forceps in alcohol
how strong is 1:20 of 6% bleach
how much 3% peroxide do i get from 100 ml of 12%
spider bit one of the larvae
a hand of bananas for adult morphos
monarch has a bent leg
wings stuck on my pupa
face on, the wings look smeared
mouthparts not fused on the adult
the tongue isnt joined on my freshly emerged monarch
butterfly tongue in two halves
larva coughing up green
frass looks like blood
which nectar plants are safe
what do stinging nettle caterpillars eat
painted lady chrysalis has spines is that normal
hairs falling off my woolly bear
woolly bears: how long is the pupal stage
"""


@pytest.mark.parametrize("line", HARMLESS.splitlines())
def test_no_alarm(line):
    assert understand(line, nursery(), Context()).topic != "safety"


ALARMS = """\
our cat has eaten a swallowtail caterpillar
cat ate one of the moths
the cat just licked a chrysalis
spirit of salts with the bleach for a really filthy tub
can i mix the bleach with warm water
2 l of 1:10 bleach and a dash of lemon juice, how much
"""


@pytest.mark.parametrize("line", ALARMS.splitlines())
def test_alarm(line):
    assert understand(line, nursery(), Context()).topic == "safety"
