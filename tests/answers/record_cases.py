"""Sentences a keeper might type about the little nursery of `record_nursery`, and the events each must write.

An event is written `what key=value …`; `cohort` may stand without its key right after the verb, and a bare number is the count.
"""

from __future__ import annotations

CASES = """
# lists without stops, labels in front or in pieces, and who stays
tubs 1 3 and 4 all cleaned | cleaned enclosure=tub_1 ; cleaned enclosure=tub_3 ; cleaned enclosure=tub_4
new batch: 30 monarch eggs laid today on the milkweed jar 8, call it mon-2 | laid mon-2 30 enclosure=jar_8
pea-9, 8 peacock caterpillars off the nettles, jar 5 | found pea-9 8 stage=larva enclosure=jar_5
received 24 luna pupae, moon-6, into the pop tent | found moon-6 24 stage=pupa enclosure=pop_tent
moved A larvae over to jar 12, eggs stay put | moved A 12 stage=larva to=jar_12
2 fennel-2 larvae from 2 to 5 | moved fennel-2 2 enclosure=tank_2 to=tank_5
3 A larvae short | missing A 3 stage=larva
memo: call the supplier about S | note note=call_the_supplier_about_S
split 6 P eggs off as kale-b, and split 3 more off as kale-c | split P 6 to=kale-b ; split P 3 to=kale-c
# words with a slip of the thumb: verbs, numbers, days and small words
thre A lravae deid yesterady | died A 3 stage=larva when=2025-08-19
binned fuor dud A egsg lats nihgt | died A 4 stage=egg when=2025-08-19
tow S emreged thsi mornign | emerged S 2
mvoed tow fennel-2 frm tank 2 to jar 9 | moved fennel-2 2 enclosure=tank_2 to=jar_9
fde jra 1 the day befroe yesterday | fed enclosure=jar_1 when=2025-08-18
one of fennel-2 in tank 2 was etaen by a spider | died fennel-2 1 enclosure=tank_2
swithc to fahrenheti | setting detail=units=F
a dozne A eggs wnet missign | missing A 12 stage=egg
# a time behind a part of the day, a club called after moths, what is hung up elsewhere, a note in other words
one S emerged this morning about seven, soaking wet | emerged S 1 when=2025-08-20T07:00
watered crate 1 at about eight yesterday | watered enclosure=crate_1 when=2025-08-19T08:00
gave six P eggs to the man from the moth club | given P 6 stage=egg
took two S out of the pop tent and hung them up in jar 9 | moved S 2 enclosure=pop_tent to=jar_9
write this down: roof leaks by the door | note note=roof_leaks_by_the_door
counted 7 fennel-2, two missing from tank 2 | missing fennel-2 2 enclosure=tank_2 ; counted fennel-2
# what there was in front of an arrow, and who can have done it
P 40 eggs -> 11 hatched | hatched P 11
2 A escaped | escaped A 2 stage=larva
1 A drowned | died A 1 stage=larva
# one event told in pieces, and what stood in between
one S emerged and was released at 8 | emerged S 1 when=2025-08-20T08:00 ; released S 1 when=2025-08-20T08:00
bought 20 painted lady caterpillars, mail order, arrived 7.15, put in jar 2, label PL | found PL 20 stage=larva enclosure=jar_2
A all moulted, L2 now, jar 1 | moulted A 12 instar=2
moved 5 A larvae from jar 1 to tub 7, and 1 died on the way | moved A 5 to=tub_7 ; died A 1 enclosure=tub_7
cleaned jars 1 & 2, 1 dead A larva in jar 1 | cleaned enclosure=jar_1 ; cleaned enclosure=jar_2 ; died A 1 stage=larva
fennel-2 moved 2 from tank 2 to tub 6 | moved fennel-2 2 enclosure=tank_2 to=tub_6
# nobody knows what they are, and no verb says that they came
2 unknown larvae in bin 9 | found B 2 species=unknown stage=larva enclosure=bin_9
3 mystery cats off the bramble, jar 5 | found B 3 species=unknown stage=larva enclosure=jar_5
7 eggs, god knows what, on the ivy, cohort ivy-1, jar 5 | found ivy-1 7 species=unknown stage=egg enclosure=jar_5
a caterpillar i dont recognise, in jar 5 | found B 1 species=unknown stage=larva enclosure=jar_5
found 4 eggs on passion flower could be anything, jar 5, cohort E | found E 4 species=unknown enclosure=jar_5
# of another cohort, or called otherwise, from now on
fennel-2 in tank 2 are now fennel-3 | split fennel-2 3 to=fennel-3 enclosure=tank_2
4 A larvae become A-7 | split A 4 stage=larva to=A-7
20 P eggs off into P-2 | split P 20 to=P-2
swamp-1 shall be called swamp-9 | renamed swamp-1 to=swamp-9
put the fennel-2 in tank 2 in cohort fen-9 | split fennel-2 3 to=fen-9 enclosure=tank_2
divide fennel-2: tank 2 ones -> fen-9 | split fennel-2 3 to=fen-9 enclosure=tank_2
rename S moon-5 | renamed S to=moon-5
# the noun alone, where only one place of it holds them
2 fennel-2 died in the tank | died fennel-2 2 enclosure=tank_2
# fewer than there were
there's one fennel-2 less in tank 2, no idea where its gone | missing fennel-2 1 enclosure=tank_2
cannot account for 2 S | missing S 2
tank 2 is 1 short | missing fennel-2 1 enclosure=tank_2
swamp-1 short by 2 | missing swamp-1 2
3 of the P eggs have gone | missing P 3
the missing swamp-1 from the big tent showed up | returned swamp-1 1
# moves
tank 2's lot has gone in with jar 1 | moved enclosure=tank_2 to=jar_1
tank 2 joined the big tent | moved enclosure=tank_2 to=big_tent
everybody in tank 2 is in the glass box now | moved enclosure=tank_2 to=glass_box
moved the 12 A larvae out of jar 1 to tub 10 at 5 | moved A 12 stage=larva enclosure=jar_1 to=tub_10
# animals by their marks
looked at N1, N2 and N3, no change | checked N mark=1 ; checked N mark=2 ; checked N mark=3
N2 died, an earwig had it | died N mark=2 detail=earwig
N3 dead. ants got it. | died N mark=3 detail=ants
found a red admiral caterpillar on the nettles, L2, N4, shelf jar | found N 1 mark=4 instar=2 enclosure=shelf_jar
N2 L4 now | moulted N mark=2 instar=4
all fennel-2 L5 now | moulted fennel-2 5 instar=5 enclosure=blue_cage ; moulted fennel-2 3 instar=5 enclosure=tank_2
# from one place back to another, and on to the next instar
put the two fennel-2 in tank 2 back in the blue cage | moved fennel-2 2 enclosure=tank_2 to=blue_cage
fennel-2 in tank 2: 2 more to the blue cage | moved fennel-2 2 enclosure=tank_2 to=blue_cage
2 fennel-2 in tank 2 to L5 | moulted fennel-2 2 instar=5 enclosure=tank_2
# those left out because they are dead
A eggs all hatched now except 3 duds | hatched A 15 ; died A 3 stage=egg detail=dud
all the A eggs hatched apart from 2 that were infertile | hatched A 16 ; died A 2 stage=egg detail=infertile
all fennel-2 in tank 2 pupated bar 1 dead one | pupated fennel-2 2 ; died fennel-2 1 stage=larva enclosure=tank_2
# the same again on another day
1 A hatched yesterday, 1 today | hatched A 1 when=2025-08-19 ; hatched A 1 when=2025-08-20
# those that become a cohort
split A: 2 larvae become A-west | split A 2 to=A-west
# slips in days, causes and places
4 A htached lsat nigth | hatched A 4 when=2025-08-19
3 A larvae dead yseterday, spdier | died A 3 when=2025-08-19 detail=spider
5 A larvae moved into teh bleu cage | moved A 5 stage=larva to=blue_cage
cleaned tnak 2 satuday | cleaned enclosure=tank_2 when=2025-08-16
# what happened before the hour that is told
one S came out and went, let go at 8:20 | emerged S 1 when=2025-08-20T08:20 ; released S 1 when=2025-08-20T08:20
fed jar 1 at 6 | fed enclosure=jar_1 when=2025-08-20T06:00
# plants as entries of a list
dill stems left: 6 | stocked 6 detail=stems
dill stems 12, nettle stems 30, kale 3 pots | stocked 12 detail=stems host=Anethum_graveolens ; stocked 30 detail=stems ; stocked 3 detail=pots
temps: tank 2 24, jar 1 22 | temperature enclosure=tank_2 detail=24_C ; temperature enclosure=jar_1 detail=22_C
kale pots: 3 | stocked 3 detail=pots
stock: 2 pots fennle | stocked 2 detail=pots
# what gifts travel in
sent a swamp-1 adult to my niece in a shoe box | given swamp-1 1 enclosure=big_tent
# who is the only one
no one has emerged but a single S | emerged S 1
nobody hatched but 3 A | hatched A 3
none of the P hatched but one | hatched P 1
# a home of their own, and new places by words
lifted the fennel-2 out of tank 2 and into the small tent | moved fennel-2 3 enclosure=tank_2 to=small_tent
took the swamp-1 from the big tent and set up net 3 for them | moved swamp-1 6 enclosure=big_tent to=net_3
swamp-1 came out of the big tent and went into the reed basket | moved swamp-1 6 enclosure=big_tent to=reed_basket
# lists behind one word for a place, and kinds beside cohorts
jar 1 and 3 fed | fed enclosure=jar_1 ; fed enclosure=jar_3
wiped out jar 1, 2 and 4 | cleaned enclosure=jar_1 ; cleaned enclosure=jar_2 ; cleaned enclosure=jar_4
fed A and the black swallowtails | fed A ; fed fennel-2
# what is told of animals without the word for it
A eggs, they died | died A 18 stage=egg
N2 has not moved since lunch | sign N mark=2
# remarks behind what happened
1 S emerged, the pop tent needs a wash | emerged S 1 note=the_pop_tent_needs_a_wash
3 fennel-2 in tank 2 pupated, first ones this year | pupated fennel-2 3 note=first_ones_this_year
2 died, tank 2 stank of mould | died fennel-2 2 enclosure=tank_2 note=tank_2_stank_of_mould
# slips in verbs, and who found them
fond 5 monarch eggs | found B 5 note=
# looked for in vain
no sign of the swamp-1 that got away | note swamp-1
the lost swamp-1 is still missing | note swamp-1
# several cohorts, each with its number or all of it
put half a dozen A larvae in jar 9 | moved A 6 stage=larva to=jar_9
two of the S and all swamp-1 moved to the flight cage | moved S 2 to=flight_cage ; moved swamp-1 6 to=flight_cage
# all, of which some
of the 18 A eggs 4 have hatched n 1 is dud | hatched A 4 ; died A 1
moved everything outta jar 1 cept the eggs into jar 9 | moved A 12 stage=larva to=jar_9
both tank 2 and jar 1 cleaned | cleaned enclosure=tank_2 ; cleaned enclosure=jar_1
jar 1 thru 3 fed | fed enclosure=jar_1 ; fed enclosure=jar_2 ; fed enclosure=jar_3
# one death and what came before it, those gone astray, and what came at last
2 of the fennel-2 larvae in tank 2 fell in the vase and drowned | died fennel-2 2 enclosure=tank_2
a swamp-1 adult got into the sink and drowned | died swamp-1 1
3 A larvae escaped and died | died A 3 stage=larva
the lost swamp-1 turned up behind the curtain | returned swamp-1 1
one S emerged at last | emerged S 1
tipped the whole of tank 2 in with the blue cage | moved enclosure=tank_2 to=blue_cage
emptied tank 2 in with jar 1 | moved enclosure=tank_2 to=jar_1
# told in pieces
split 2 of S into a cohort of their own called S-2 | split S 2 to=S-2
shift 2 fennel-2, tank 2 to tub 6 | moved fennel-2 2 enclosure=tank_2 to=tub_6
put the 4 luna cocoons in a bin by themselves, grey bin | moved S 4 to=grey_bin
relocated everything in tank 2 to tub Q2 | moved enclosure=tank_2 to=tub_Q2
jar 1 cleared, all stock to tub 6 | moved enclosure=jar_1 to=tub_6
split 4 A larvae -> A-8 | split A 4 stage=larva to=A-8
split 3 of the A larvae into vine-8 | split A 3 stage=larva to=vine-8
split 3 A larvae to A-7 in jar 9 | split A 3 stage=larva to=A-7 enclosure=jar_1 ; moved A-7 3 to=jar_9
overnight jar 1 dropped down to 61 and back up to 79 F | temperature enclosure=jar_1 detail=61..79_F
separate 3 larvae of A in a new cohort A-2 | split A 3 stage=larva to=A-2
30 monarch pupae in this morning, bought lot, hung in the pop tent. label mon-9 | found mon-9 30 stage=pupa enclosure=pop_tent
2 luna cocoons handed in at the desk -> jar 12, call them moon-9 | found moon-9 2 enclosure=jar_12 place=desk
fennel-2: the prepupae now chrysalids | pupated fennel-2 1 stage=prepupa
A all to 2nd instar | moulted A 12 instar=2
half a doz A eggs hatched | hatched A 6
# parts of a sum, and a verb in front of a list
yesterday 3 dead: 2 in tank 2, 1 in the big tent | died fennel-2 2 enclosure=tank_2 when=2025-08-19 ; died swamp-1 1 enclosure=big_tent when=2025-08-19
12 hatched: A 10, P 2 | hatched A 10 ; hatched P 2
dead today - tank 2: 1, big tent: 2 | died fennel-2 1 enclosure=tank_2 ; died swamp-1 2 enclosure=big_tent
gave 10 A eggs to Ann and 5 to Tom | given A 10 detail=Ann ; given A 5 detail=Tom
jars 1 and 8 cleaned and watered | cleaned enclosure=jar_1 ; cleaned enclosure=jar_8 ; watered enclosure=jar_1 ; watered enclosure=jar_8
counted jar 1: 12 larvae 18 eggs | counted 12 stage=larva ; counted 18 stage=egg
took everything out of tank 2, now all in tub 6 | moved enclosure=tank_2 to=tub_6
# several cohorts and places, and those left out
A and P eggs all hatched | hatched A 18 ; hatched P 40
A, P and X all hatched | hatched A 18 ; hatched P 40 ; hatched X 2
checked everything except the big tent and jar 1 | checked enclosure=crate_1 ; checked enclosure=pop_tent ; checked enclosure=blue_cage ; checked enclosure=tank_2 ; checked enclosure=shelf_jar ; checked enclosure=cup_3
watered everyone but swamp-1 and S | watered enclosure=crate_1 ; watered enclosure=blue_cage ; watered enclosure=tank_2 ; watered enclosure=shelf_jar ; watered enclosure=cup_3 ; watered enclosure=jar_1
cleaned jars 1 to 3 | cleaned enclosure=jar_1 ; cleaned enclosure=jar_2 ; cleaned enclosure=jar_3
fed jars 1, 4-6 | fed enclosure=jar_1 ; fed enclosure=jar_4 ; fed enclosure=jar_5 ; fed enclosure=jar_6
moved tank 2 to 5 | moved enclosure=tank_2 to=tank_5
room 3, 21 C | temperature detail=21_C
# a new cohort and where it is
split 4 A larvae off as A9 in jar 9 | split A 4 to=A9 enclosure=jar_1 ; moved A9 4 to=jar_9
moved 4 A larvae to jar 9, call them A9 | split A 4 to=A9 ; moved A9 4 to=jar_9
one swamp butterfly died | died swamp-1 1 stage=adult
# where they came from and where they went
took 2 fennel-2 out of tank 2 and put them in jar 9 | moved fennel-2 2 enclosure=tank_2 to=jar_9
swamp-1 out of the big tent and into the flight cage | moved swamp-1 6 enclosure=big_tent to=flight_cage
3 fennel-2 tank 2 > tub 6 | moved fennel-2 3 enclosure=tank_2 to=tub_6
tank 2 cleared, all to tub 6 | moved enclosure=tank_2 to=tub_6
tank 2 and blue cage larvae all went to tub 6 | moved fennel-2 3 enclosure=tank_2 to=tub_6 ; moved fennel-2 5 enclosure=blue_cage
moved everyone out of the pop tent into one big tub 7 | moved enclosure=pop_tent to=tub_7
I have brought the two fennel-2 larvae from tank 2 in tub 8 | moved fennel-2 2 enclosure=tank_2 to=tub_8
put A and P eggs in crate 5 | moved A 18 stage=egg to=crate_5 ; moved P 40 stage=egg
all S have gone over to the lime sleeve | moved S 4 to=lime_sleeve
# what came in, and from whom
a batch of 30 peacock eggs off the nettles, calling them nest-1 | found nest-1 30 stage=egg
was given 3 luna cocoons by a friend, label moon-9, they are in the porch cage | found moon-9 3 stage=pupa enclosure=porch_cage
a pupil handed in 2 painted lady caterpillars, cohort V, jar 12 | found V 2 stage=larva enclosure=jar_12
12 painted lady larvae in, jar 12 | found 12 stage=larva enclosure=jar_12
watched a painted lady laying this morning, 34 eggs when I counted, cohort V | laid V 34
found 4 larvae on sallow, haven't a notion what they are, put them in the biscuit tin | found 4 species=unknown enclosure=biscuit_tin
# more of the same line
counted jar 1: 12 larvae, 18 eggs | counted 12 stage=larva enclosure=jar_1 ; counted 18 stage=egg enclosure=jar_1
stocktake: jar 1 30, tank 2 3, big tent 6 | counted 30 enclosure=jar_1 ; counted 3 enclosure=tank_2 ; counted 6 enclosure=big_tent
gave year 5 two of the S | given S 2 detail=year_5
from now on call cohort S lamp-1 | renamed S to=lamp-1
put down that one S pupa has a dark mark on the wing case | sign S stage=pupa enclosure=pop_tent
# who is left out of all
all but 4 of the A eggs hatched | hatched A 14
every A egg hatched, bar 3 | hatched A 15
A eggs all hatched except two | hatched A 16
all of S emerged, 1 did not | emerged S 3
all A larvae but one died | died A 11 stage=larva
moved everything in jar 1 apart from 5 larvae to jar 9 | moved A 18 stage=egg to=jar_9 ; moved A 7 stage=larva
put everything in the blue cage save the prepupa into tub 8 | moved fennel-2 5 stage=larva to=tub_8
moved all of N except N2 to tub 9 | moved N mark=1 to=tub_9 ; moved N mark=3 to=tub_9
none of the S cocoons opened apart from one | emerged S 1
no A eggs hatched, except 2 | hatched A 2
all A hatched but 2 died | hatched A 18 ; died A 2
gave all of jar 1 away except 3 eggs and 2 larvae | given A 15 stage=egg ; given A 10 stage=larva
# sums up to now, and what comes on top
A: 15 hatched so far | hatched A 3
in all 20 A have hatched by now | hatched A 8
2 more A hatched, 14 altogether | hatched A 2
another S emerged, making 1 | emerged S 1
another swamp-1 died, that is two now | died swamp-1 1
fennel-2 in blue cage: 3 prepupae now | prepupated fennel-2 2 enclosure=blue_cage
# figures that tell which year, room or table it was
year 6 found 3 peacock caterpillars on the nettles, jar 12, cohort V | found V 3 enclosure=jar_12
in period 4 2 A hatched | hatched A 2
lab 3 had 2 of the A eggs hatch | hatched A 2
counted the big tent with class 9: 6 swamp-1 | counted swamp-1 6
# several places side by side
looked at jar 1 and tank 2, nothing new | checked enclosure=jar_1 ; checked enclosure=tank_2
checked tank 2 and the blue cage just now, no change | checked enclosure=tank_2 ; checked enclosure=blue_cage
one fennel-2 larva died in each of tank 2 and the blue cage | died fennel-2 1 enclosure=tank_2 ; died fennel-2 1 enclosure=blue_cage
1 in tank 2 and 2 in the blue cage died, all virus | died fennel-2 1 enclosure=tank_2 ; died fennel-2 2 enclosure=blue_cage
binned 3 P eggs, gone mouldy | died P 3 stage=egg detail=gone_mouldy
# as many as a word says, and where `there` is
jar 1: couple hatched this morning | hatched A 2
one fennel-2 in tank 2 died, two of the fennel-2 there hung up | died fennel-2 1 enclosure=tank_2 ; prepupated fennel-2 2 enclosure=tank_2
A hatched in jar 1 and it is 26 C there | hatched A 18 ; temperature enclosure=jar_1 detail=26_C
one A egg hatched; 2 A eggs were shrivelled and i binned them | hatched A 1 ; died A 2 stage=egg
counted tank 2: 3 animals, which agrees with the book | counted 3 enclosure=tank_2
split A: 4 caterpillars become silk-c | split A 4 stage=larva to=silk-c
both of the S cocoons opened overnight | emerged S 2
one S chrysalis has split open | emerged S 1
gave my brother in law six of the A eggs | given A 6 stage=egg
gave my neighbour 2 S | given S 2
just eclosed, one S, still dripping | emerged S 1
cleared the droppings from tank 2 | cleaned enclosure=tank_2
full disinfect of tank 2 because of the mess | cleaned enclosure=tank_2
2 A larvae not found when i looked | missing A 2 stage=larva
the missing swamp-1 was behind the curtain | returned swamp-1 1
one of swamp-1 resurfaced | returned swamp-1 1
had to put one fennel-2 from tank 2 in the freezer | died fennel-2 1
npv swab on A, came out clean | tested A detail=clear
a painted lady put 9 eggs under the mallow leaf, cohort mal-3 | laid mal-3 9
# where they were and where they went
moved fennel-2 from tank 2 and the blue cage all to tub 8 | moved fennel-2 3 enclosure=tank_2 to=tub_8 ; moved fennel-2 5 enclosure=blue_cage ; moved fennel-2 1 stage=prepupa
moved everything from jar 1 and tank 2 into the big tent | moved enclosure=jar_1 to=big_tent ; moved enclosure=tank_2 to=big_tent
moved S from the pop tent to tub 6 and swamp-1 to tub 7 | moved S 4 to=tub_6 ; moved swamp-1 6 enclosure=big_tent to=tub_7
tank 2 fennel-2 put in with the blue cage ones | moved fennel-2 3 enclosure=tank_2 to=blue_cage
two of the A have gone to ground n one is a chrysalis | pupated A 1
N2 finally shed its skin and is now a green pupa | pupated N mark=2
2 A larvae lost, no idea where they went | missing A 2
A: 1 larva died, rest still eating | died A 1 detail=
N1 refuses its nettle since last night | sign N mark=1
found 3 larvae on kale which i cannot identify; they are cohort K9, in jar 12 | found K9 3 species=unknown
P 12/40 hatched | hatched P 12
tank 2: fed. jar 1: cleaned | fed enclosure=tank_2 ; cleaned enclosure=jar_1
fennel-2 tank 2: 2 pupated. blue cage: 1 pupated | pupated fennel-2 2 enclosure=tank_2 ; pupated 1 enclosure=blue_cage
moved N1 N2 to tub 9 | moved N mark=1 to=tub_9 ; moved N mark=2 to=tub_9
fennel-2 on dill now | fed fennel-2
# sentences that run on
3 A hatched 2 P eggs died n jar 1 cleaned | hatched A 3 ; died P 2 stage=egg ; cleaned enclosure=jar_1
N2 pupated fennel-2 is fine tank 2 fed | pupated N mark=2 ; checked fennel-2 ; fed enclosure=tank_2
swamp-1 1 released S 1 emerged | released swamp-1 1 ; emerged S 1
scrubbed jar 1 fed tank 2 24c in the pop tent | cleaned enclosure=jar_1 ; fed enclosure=tank_2 ; temperature enclosure=pop_tent detail=24_C
one S is out N3 pupated | emerged S 1 ; pupated N mark=3
3 hatched in jar 1 moved them to jar 9 | hatched A 3 ; moved A 3 stage=larva to=jar_9
one S emerged n i let it go | emerged S 1 ; released S 1 stage=adult
short night shift but cleaned tank 2, 2 A hatched | cleaned enclosure=tank_2 ; hatched A 2
just in from the allotment n 2 A larvae are limp | sign A 2 stage=larva
moved 2 A larvae to jar 8 and 3 to jar 9 | moved A 2 to=jar_8 ; moved A 3 to=jar_9
N1 is dead, found it behind the lid | died N mark=1
fed A, all good | fed A
one painted lady flew out of the window as i watered them | escaped swamp-1 1 stage=adult
# what is planned behind something told, and what was only feared
2 S emerged, i will let them go on sunday | emerged S 2
5 A hatched, i thought they were duds | hatched A 5
one S is out and i nearly trod on it | emerged S 1
N2 pupated, the others will follow i guess | pupated N mark=2
# said twice, in two words
one fennel-2 got out of tank 2, escaped behind the shelf | escaped fennel-2 1 enclosure=tank_2
binned 3 A eggs, gone soft | died A 3 stage=egg
the missing swamp-1 turned up, it is back in the big tent | returned swamp-1 1
9 A hatched, 2 A eggs flat and thrown away | hatched A 9 ; died A 2 stage=egg
1 more S out, 2 emerged altogether | emerged S 1
# all but some
all the A eggs but 3 hatched | hatched A 15
released all the swamp-1 but two | released swamp-1 4
# several places
one larva died in each of tank 2 and blue cage | died fennel-2 1 enclosure=tank_2 ; died fennel-2 1 enclosure=blue_cage
2 in tank 2 and 1 in pop tent died | died fennel-2 2 enclosure=tank_2 ; died S 1 enclosure=pop_tent
looked at jar 1 and crate 1 | checked enclosure=jar_1 ; checked enclosure=crate_1
# out, gone over, given
S: 2 more out | emerged S 2
the last S pupae all out now | emerged S 4
S 1 em. overnight | emerged S 1
the fennel-2 prepupa has gone over to chrysalis | pupated fennel-2 1 stage=prepupa
have given 4 A eggs to my colleague | given A 4 stage=egg
# times that nothing leads to
fed jar 1, 8.40 | fed enclosure=jar_1 when=2025-08-20T08:40
tank 2 cleaned 7.15 | cleaned enclosure=tank_2 when=2025-08-20T07:15
7.05 jar 1: 2 A hatched | hatched A 2 when=2025-08-20T07:05
0730 one S out | emerged S 1 when=2025-08-20T07:30
one S out at 0645 | emerged S 1 when=2025-08-20T06:45
2 A hatched, ten to eight this morning | hatched A 2 when=2025-08-20T07:50
2 A hatched a quarter of an hour ago | hatched A 2 when=2025-08-20T08:45
07:15 - 23 C in jar 1 | temperature enclosure=jar_1 detail=23_C when=2025-08-20T07:15
23 C in jar 1 (07:15) | temperature enclosure=jar_1 detail=23_C when=2025-08-20T07:15
2 A hatched at 0730 | hatched A 2 when=2025-08-20T07:30
fed tank 2 630a | fed enclosure=tank_2 when=2025-08-20T06:30
one S emerged at 7a | emerged S 1 when=2025-08-20T07:00
78 F in the pop tent at 8 o clock | temperature enclosure=pop_tent when=2025-08-20T08:00
8.30 h jar 1 23.5 C | temperature enclosure=jar_1 detail=23.5_C when=2025-08-20T08:30
# sentences that run on about others, and those that were away for a moment
3 fennel-2 in tank 2 hung up 2 still eating | prepupated fennel-2 3 enclosure=tank_2
A hatched 4 this morning 2 more at lunch | hatched A 4 ; hatched A 2
A: 4 hatched, 2 more to go | hatched A 4
one fennel-2 in tank 2 got loose, caught it again | checked fennel-2 enclosure=tank_2
2 swamp-1 gone walkabout, cant find em | missing swamp-1 2
jar 1: 1 larva gone | missing A 1 stage=larva
pop tent: 2 out 1 crippled | emerged S 2
one swamp-1 flew off as i opened the tent | escaped swamp-1 1 stage=adult
the one that hung up in the blue cage is now a pupa | pupated fennel-2 1 stage=prepupa
gave the vicar a S cocoon | given S 1 detail=the_vicar
let my aunt have 2 S | given S 2
2 S went home with my nephew | given S 2 detail=my_nephew
sprayed jar 1 at 7, wiped tank 2 at 8, both dry again | watered enclosure=jar_1 when=2025-08-20T07:00 ; cleaned enclosure=tank_2 when=2025-08-20T08:00
watched one S come out at 7.10, wonderful | emerged S 1 when=2025-08-20T07:10
2 A hatched, when i looked at breakfast | hatched A 2
i saw that N2 had pupated when i got in | pupated N mark=2
# what the line itself puts right
5 A hatched, no wait 4 | hatched A 4
2 A hatched, sorry, 2 P | hatched P 2
fed jar 1, no, tank 2 | fed enclosure=tank_2
3 swamp-1 died, oops, S not swamp-1 | died S 3
another 2 A pup... sorry, another 2 P hatched | hatched P 2
2 A hatched, sorry for the delay | hatched A 2
# which ones
that hung up fennel-2 pupated last night | pupated fennel-2 1 stage=prepupa
the dangling one of fennel-2 died | died fennel-2 1 stage=prepupa
# parts of an animal are no places, and a split is a look
put down that one S pupa has a dark mark on the wing case | sign S stage=pupa
one S pupa has a split in its wing case | sign S stage=pupa
smashing, one S came out at 7 am | emerged S 1
the last luna came out | emerged S 1
the first painted lady died, which is a pity | died swamp-1 1
# several readings in one line
jar 1 26C tank 2 24.5C | temperature enclosure=jar_1 detail=26_C ; temperature enclosure=tank_2 detail=24.5_C
24 C in jar 1 and 22 in tank 2 | temperature enclosure=jar_1 detail=24_C ; temperature enclosure=tank_2 detail=22_C
crate 1 and tank 2 both 21 C | temperature enclosure=crate_1 detail=21_C ; temperature enclosure=tank_2 detail=21_C
19 C in the big tent and in the pop tent | temperature enclosure=big_tent detail=19_C ; temperature enclosure=pop_tent detail=19_C
# hanging up, and those that hang
2 fennel-2 in tank 2 strung themselves up to pupate | prepupated fennel-2 2
one fennel-2 in tank 2 has fixed itself to the lid ready to pupate | prepupated fennel-2 1
N2 is doing the J thing | prepupated N mark=2
N3 hangs with its head down | prepupated N mark=3
the hanging fennel-2 has turned into a chrysalis | pupated fennel-2 1 enclosure=blue_cage
the dangling one of fennel-2 pupated | pupated fennel-2 1 enclosure=blue_cage
the first of fennel-2 has pupated | pupated fennel-2 1
first fennel-2 pupated | pupated fennel-2 1
tank 2 down to 58 F and up to 79 F | temperature enclosure=tank_2 detail=58..79_F
found one red admiral caterpillar on nettle, jar 7, her name is Edith | found Edith 1 enclosure=jar_7
N1 is a chrysalis now, came home to it | pupated N mark=1
the remaining A eggs have all hatched | hatched A 18
# who ate them, what was tidied, what was given
a blackbird has taken 2 of the fennel-2 in tank 2 | died fennel-2 2 detail=blackbird
earwigs have eaten one A larva | died A 1 stage=larva detail=earwigs
frass tipped out of jar 1 and tank 2 | cleaned enclosure=jar_1 ; cleaned enclosure=tank_2
fresh fennel given to tank 2 | fed enclosure=tank_2
tank 2 got some new fennel before lunch | fed enclosure=tank_2
inspected swamp-1: nothing changed | checked swamp-1
taped one S up in tank 2 | moved S 1 to=tank_2
put N2 in net pot 4 | moved N mark=2 to=net_pot_4
found 4 comma eggs on hop, call the batch hop-b, jar 6 | found hop-b 4 stage=egg enclosure=jar_6
2 comma caterpillars off the hop, jar 6. label: hop-c | found hop-c 2 stage=larva
# as keepers say it
two fennel-2 in tank 2 died 18/8 | died fennel-2 2 when=2025-08-18
16/8: N3 pupated | pupated N mark=3 when=2025-08-16
swamp-1 spore swab came back light | tested swamp-1 detail=light
no sign of oe in swamp-1 | checked swamp-1
no mould on the P eggs | checked P stage=egg
N2 is not limp any more | checked N mark=2
fennel-2 in tank 2 wont eat | sign fennel-2 enclosure=tank_2
2 of fennel-2 in tank 2 are hanging upside down and black | sign fennel-2 stage=larva
one S pupa fell | sign S 1 stage=pupa
3 of the A eggs r out | hatched A 3
picked up 9 small white eggs, label em kale-9 | found kale-9 9 stage=egg
swamp-1 male released, 3 to go | released swamp-1 1 detail=male
S: a luna came out with crumpled wings | emerged S 1 note=crumpled_wings
binned 4 A eggs, duds | died A 4 stage=egg detail=dud
A larvae into tub 11, eggs stay in jar 1 | moved A 12 stage=larva to=tub_11
2 fennel-2 in tank 2 chrysalised | pupated fennel-2 2
A now on swamp milkweed | fed A
new kitchen roll in crate 1 | cleaned enclosure=crate_1
S all present and correct | checked S
down to 5 stems of fennel | stocked 5 detail=stems
3 swamp-1 across from the big tent to the pop tent | moved swamp-1 3 to=pop_tent
shunted the whole of tank 2 into blue cage | moved enclosure=tank_2 to=blue_cage
4 little ones out of their shells in jar 1 | hatched A 4
gave the fennel a proper soaking | watered
a day ago one S died, forgot to write it down | died S 1
first luna out at 5am, huge | emerged S 1
released 2 | released swamp-1 2
two of swamp-1 have flown | released swamp-1 2
one of swamp-1 shot past me and over the hedge | escaped swamp-1 1
peeled 2 off S and called them jar-b | split S 2 to=jar-b
swamp-1 went through the spore test, clear | tested swamp-1 detail=clear
the rest of swamp-1 went home with a visitor | given swamp-1 6
N2 croaked | died N mark=2 detail=croaked
two of the fennel-2 in tank 2 scarpered through the zip | escaped fennel-2 2 enclosure=tank_2
4 painted ladies did a runner | escaped swamp-1 4
N1 shed, 4th instar now | moulted N mark=1 instar=4
all three in tank 2 have shed | moulted fennel-2 3
2 fennel-2 in tank 2 hanging in a J since monday | prepupated fennel-2 2 when=2025-08-18
3 A eggs missing since yesterday | missing A 3 when=2025-08-19
S nowt doing, still hanging in their cocoons | checked S
S gone back to the cellar fridge | moved S 4 to=cellar_fridge
S gets a proper name: moonlit | renamed S to=moonlit
fennel-2 goes by dillies | renamed fennel-2 to=dillies
jar 1 got a good scrub on sunday | cleaned enclosure=jar_1 when=2025-08-17
fennel-2 was never a black swallowtail, its an anise swallowtail | identified fennel-2 species=Papilio_zelicaon
take 5 of the P eggs off as dapple-1 | split P 5 to=dapple-1
another 3 A out of the egg, thats 15 hatched now | hatched A 3
2 in tank 2 pupated, that makes 2 | pupated fennel-2 2
2 A eggs died, npv | died A 2 stage=egg detail=npv
trod on one of the tank 2 ones, its dead | died fennel-2 1 enclosure=tank_2
2 fennel-2 in tank 2 pupated, 1 died | pupated fennel-2 2 ; died fennel-2 1 stage=larva
found 4 monarch eggs (dew-1, jar 30) and 2 red admiral cats that i put in jar 31 as dew-2 | found dew-1 4 enclosure=jar_30 ; found dew-2 2 enclosure=jar_31 host=
fat monarch caterpillar on the milkweed, found at 8 this morning | found 1 species=Danaus_plexippus stage=larva
nearly 60 small white eggs found on the kale | found 60 estimate=True
# laid and found
watched a monarch lay 4 eggs on the milkweed, call them Q | laid Q 4 species=Danaus_plexippus stage=egg host=Asclepias_spp.
saw a painted lady laying, 7 eggs on the thistle | laid 7 species=Vanessa_cardui stage=egg
14 luna eggs laid yesterday in jar 9 | laid 14 species=Actias_luna when=2025-08-19 enclosure=jar_9
found 3 monarch eggs on the milkweed this morning | found B 3 species=Danaus_plexippus stage=egg
found a monarch caterpillar, 3rd instar, in the garden, put it in jar 4 | found 1 species=Danaus_plexippus stage=larva instar=3 enclosure=jar_4
brought in 5 red admiral cats off the nettles, L2 | found 5 species=Vanessa_atalanta stage=larva instar=2 host=Urtica_dioica
picked up two black swallowtail chrysalises | found 2 species=Papilio_polyxenes stage=pupa
collected eleven painted lady larvae from the mallow, cohort mallow-3, in tub 12 | found mallow-3 11 species=Vanessa_cardui stage=larva enclosure=tub_12
my aunt gave me 6 luna cocoons, label them aunt-1 | found aunt-1 6 species=Actias_luna stage=pupa
a friend handed me 2 monarch eggs | found 2 species=Danaus_plexippus stage=egg
rescued one red admiral caterpillar from a spider web | found 1 species=Vanessa_atalanta stage=larva
20 painted lady larvae arrived in the post today, they go in tank 5, group post | found post 20 species=Vanessa_cardui stage=larva enclosure=tank_5
bought 3 luna cocoons | found 3 species=Actias_luna stage=pupa
found about 40 small white eggs on the kale | found 40 species=Pieris_rapae stage=egg estimate=True
found 2 larvae on the oak, no idea what they are, tub 20 | found 2 species=unknown stage=larva enclosure=tub_20
found 4 unknown caterpillars in tub 21 | found 4 species=unknown stage=larva enclosure=tub_21
added 5 monarch eggs to jar 8 | found 5 species=Danaus_plexippus stage=egg enclosure=jar_8
new cohort pond-1: 8 painted lady eggs, jar 6 | found pond-1 8 species=Vanessa_cardui stage=egg enclosure=jar_6
please record that I found six monarch eggs on 17 August | found 6 species=Danaus_plexippus stage=egg when=2025-08-17
# hatched
3 A hatched | hatched A 3
two of the A eggs have hatched | hatched A 2
hatched: 5 of A | hatched A 5
A: four hatchd this morning | hatched A 4 when=2025-08-20
all the A eggs hatched overnight | hatched A 18
6 eggs hatched in jar 1 on monday | hatched A 6 when=2025-08-18
half of the P eggs hatched | hatched P 20
another 3 A eggs hatched | hatched A 3
a dozen small whites hatched today | hatched P 12
3 came out of their eggs in jar 1 | hatched A 3
the rest of the A eggs hatched yesterday | hatched A 18 when=2025-08-19
all but 2 of the A eggs hatched | hatched A 16
can you note that 2 more A eggs hatched | hatched A 2
# moulted
4 of the A caterpillars moulted to 2nd instar | moulted A 4 instar=2
fennel-2 in tank 2 are L5 now | moulted fennel-2 3 instar=5 enclosure=tank_2
all three in tank 2 shed their skins last night | moulted fennel-2 3
N2 moulted to 4th instar | moulted N mark=2 instar=4
two fennel-2 moulted in tank 2 | moulted fennel-2 2 enclosure=tank_2
2 of fennel-2 in tank 2 went into 5th instar yesterday | moulted fennel-2 2 instar=5 when=2025-08-19
# prepupated and pupated
one fennel-2 in tank 2 hung up last night | prepupated fennel-2 1 enclosure=tank_2
2 fennel-2 in the blue cage are in a J | prepupated fennel-2 2 enclosure=blue_cage
N3 strung itself up, hanging in J | prepupated N mark=3
N1 has turned into a chrysalis | pupated N mark=1
the fennel-2 prepupa in the blue cage pupated at 5 am | pupated fennel-2 1 when=2025-08-20T05:00
2 pupated in tank 2 yesterday | pupated fennel-2 2 enclosure=tank_2 when=2025-08-19
N2 made its chrysalis on sunday | pupated N mark=2 when=2025-08-17
# emerged
a luna came out at 7 this morning | emerged S 1 when=2025-08-20T07:00
S: one male eclosed | emerged S 1 detail=male
two luna moths emerged last night | emerged S 2 when=2025-08-19
one of the S cocoons hatched, a female | emerged S 1 detail=female
all four S are out | emerged S 4
3 of S eclosed on 18 Aug | emerged S 3 when=2025-08-18
# looks
checked the blue cage, no change | checked enclosure=blue_cage
looked in on A, nothing new | checked A
nothing has hatched in crate 1 | checked enclosure=crate_1
no change in tank 2 | checked enclosure=tank_2
A still not hatched | checked A
S looks fine | checked S
inspected jar 1 - all well | checked enclosure=jar_1
had a look at P, same as yesterday | checked P
none of the S have emerged yet | checked S
counted 3 in tank 2, all there | counted 3 enclosure=tank_2
counted 5 painted ladies in the big tent, one is missing | counted 5 detail=missing
did a count of S: 4 | counted S 4
counted 45 P eggs | counted P 45
# moved, split, merged, renamed
moved 2 fennel-2 larvae from tank 2 to jar 12 | moved fennel-2 2 enclosure=tank_2 to=jar_12
move all of tank 2 to the blue cage | moved enclosure=tank_2 to=blue_cage
shifted the A caterpillars to tub 3 | moved A 12 stage=larva to=tub_3
transferred S to the big tent | moved S 4 to=big_tent
put N2 in jar 14 | moved N mark=2 to=jar_14
everyone in the big tent went into crate 5 | moved enclosure=big_tent to=crate_5
took 3 fennel-2 out of the blue cage and put them in jar 2 | moved fennel-2 3 to=jar_2
moved the swallowtail larvae in tank 2 into a new home, tub 31 | moved fennel-2 3 to=tub_31
split 5 of the A larvae off as A-late | split A 5 to=A-late
split 3 fennel-2 larvae in the blue cage off as cohort fen-3 | split fennel-2 3 to=fen-3
separated 2 of S as S-2 | split S 2 to=S-2
rename S to luna-25 | renamed S to=luna-25
change the name of S to moonlit-a | renamed S to=moonlit-a
renamed fennel-2 to dill | renamed fennel-2 to=dill
X are painted ladies | identified X species=Vanessa_cardui
X turned out to be monarchs | identified X species=Danaus_plexippus
identified X as black swallowtail | identified X species=Papilio_polyxenes
# leaving
2 A larvae died | died A 2 stage=larva
one dead caterpillar in tank 2 | died fennel-2 1 enclosure=tank_2
lost 3 A eggs to ants | died A 3 stage=egg detail=ants
squashed one of the fennel-2 in tank 2 by accident | died fennel-2 1 enclosure=tank_2
N1 drowned in the water pot | died N mark=1 detail=drowned_in_the_water_pot
binned 4 dud A eggs | died A 4 stage=egg
threw out two infertile P eggs | died P 2 stage=egg detail=infertile
found one of the A caterpillars dead this morning | died A 1 stage=larva
5 P eggs never hatched, binned them | died P 5 stage=egg
on saturday 2 of the P eggs died | died P 2 when=2025-08-16
a spider ate one of the A caterpillars | died A 1 stage=larva
two painted ladies died in the big tent | died swamp-1 2 stage=adult
one S pupa is dead, black and smelly | died S 1
released all the painted ladies | released swamp-1 6
let 2 painted ladies go this morning | released swamp-1 2
3 swamp-1 flew off | released swamp-1 3
released 4 females and 2 males of swamp-1 | released swamp-1 4 detail=female ; released swamp-1 2 detail=male
set the swamp-1 free at 8 am | released swamp-1 6 when=2025-08-20T08:00
one painted lady escaped | escaped swamp-1 1
two of the swamp-1 got out when I opened the door | escaped swamp-1 2
gave 5 A eggs to the school | given A 5 stage=egg detail=the_school
handed 2 S cocoons over to my neighbour | given S 2
passed 3 A caterpillars on to a friend | given A 3 stage=larva
donated 4 P eggs | given P 4
3 A caterpillars have vanished | missing A 3 stage=larva
cannot find 2 of the fennel-2 in tank 2 | missing fennel-2 2 enclosure=tank_2
one S cocoon disappeared | missing S 1
one of A's eggs went missing on monday | missing A 1 when=2025-08-18
the lost painted lady turned up again | returned swamp-1 1
found one of the missing swamp-1 | returned swamp-1 1
# signs and tests
log a sign: one of the fennel-2 in tank 2 is limp and brown | sign fennel-2 enclosure=tank_2
one of the A caterpillars has a dark patch on its back | sign A 1 stage=larva
N3 looks pale and is not eating | sign N mark=3
note a dent in one of the S cocoons | sign S
spotted green vomit on two fennel-2 in tank 2 | sign fennel-2 2
tested swamp-1 for OE, clear | tested swamp-1 detail=clear
smear test on swamp-1: heavy | tested swamp-1 detail=heavy
OE test for swamp-1 came back light | tested swamp-1 detail=light
checked swamp-1 for spores, negative | tested swamp-1 detail=clear
# care
cleaned jar 1 | cleaned enclosure=jar_1
washed out jar 1 and tank 2 with 10% bleach | cleaned enclosure=jar_1 ; cleaned enclosure=tank_2
scrubbed tubs 4, 5 and 6 | cleaned enclosure=tub_4 ; cleaned enclosure=tub_5 ; cleaned enclosure=tub_6
emptied the frass out of the blue cage yesterday | cleaned enclosure=blue_cage when=2025-08-19
gave tank 2 a good scrub | cleaned enclosure=tank_2
fed the blue cage with fennel | fed enclosure=blue_cage host=Foeniculum_vulgare
put fresh milkweed in jar 1 | fed enclosure=jar_1 host=Asclepias_spp.
gave A fresh milkweed | fed A host=Asclepias_spp.
fed jar 1 and the blue cage | fed enclosure=jar_1 ; fed enclosure=blue_cage
cut 9 stems of fennel | cut 9 detail=stems host=Foeniculum_vulgare
snipped a dozen nettle stems | cut 12 detail=stems host=Urtica_dioica
watered the fennel | watered host=Foeniculum_vulgare
gave the milkweed a drink | watered host=Asclepias_spp.
watered the fennel, the dill and the kale | watered host=Foeniculum_vulgare ; watered host=Anethum_graveolens ; watered host=Brassica_oleracea
cut fennel and kale | cut host=Foeniculum_vulgare ; cut host=Brassica_oleracea
cut 6 stems of fennel and 4 of dill | cut 6 detail=stems host=Foeniculum_vulgare ; cut 4 detail=stems host=Anethum_graveolens
fed A with milkweed and P with kale | fed A host=Asclepias_spp. ; fed P host=Brassica_oleracea
fed fennel to fennel-2 and milkweed to A | fed fennel-2 host=Foeniculum_vulgare ; fed A host=Asclepias_spp.
fed jar 1 milkweed and crate 1 kale | fed enclosure=jar_1 host=Asclepias_spp. ; fed enclosure=crate_1 host=Brassica_oleracea
2 male and 1 female swamp-1 released | released swamp-1 2 detail=male ; released swamp-1 1 detail=female
tested A clear and fennel-2 heavy | tested A detail=clear ; tested fennel-2 detail=heavy
rename A to M1 and P to W1 | renamed A to=M1 ; renamed P to=W1
split 2 larvae off A as A2 and 3 off P as P2 | split A 2 to=A2 ; split P 3 to=P2
gave 2 swamp-1 and 1 S to the school | given swamp-1 2 detail=the_school ; given S 1 detail=the_school
A: 2 moulted to 2nd, 3 to 3rd | moulted A 2 instar=2 ; moulted A 3 instar=3
P ok, N2 dead | checked P ; died N mark=2
2 A larvae died, P fine | died A 2 ; checked P
P and S ok, N2 limp | sign N mark=2 detail=N2_limp ; checked P ; checked S
mushy frass in A and P | sign A ; sign P
fed P with kale and nasturtium | fed P host=Brassica_oleracea ; fed P host=Tropaeolum_majus
misted the pop tent | watered enclosure=pop_tent
# plants on hand
I have 9 stems of fennel, cut this morning | stocked 9 detail=stems host=Foeniculum_vulgare
we have 9 stems of fennel, cut yesterday | stocked 9 detail=stems host=Foeniculum_vulgare ; cut 9 detail=stems host=Foeniculum_vulgare when=2025-08-19
i have 9 stems of fennel and 4 of dill | stocked 9 detail=stems host=Foeniculum_vulgare ; stocked 4 detail=stems host=Anethum_graveolens
got 2 pots of milkweed and 8 stems of fennel | stocked 2 detail=pots host=Asclepias_spp. ; stocked 8 detail=stems host=Foeniculum_vulgare
I have 5 pots of milkweed, 40 leaves of kale and 120 g of fennel | stocked 5 detail=pots host=Asclepias_spp. ; stocked 40 detail=leaves host=Brassica_oleracea ; stocked 120 detail=g host=Foeniculum_vulgare
finished off the fennel this morning | stocked 0 detail=stems host=Foeniculum_vulgare when=2025-08-20
there's no kale left | stocked 0 detail=stems host=Brassica_oleracea
the last of the milkweed is gone | stocked 0 detail=stems host=Asclepias_spp.
we're all out of fennel | stocked 0 detail=stems host=Foeniculum_vulgare
kale has run out | stocked 0 detail=stems host=Brassica_oleracea
cut 7 more stems of fennel | cut 7 detail=stems host=Foeniculum_vulgare
I have 14 pots of milkweed left | stocked 14 detail=pots host=Asclepias_spp.
got 30 stems of fennel in stock | stocked 30 detail=stems host=Foeniculum_vulgare
only 3 fennel plants left | stocked 3 detail=pots host=Foeniculum_vulgare
# readings, settings, notes
26.5 C in the blue cage | temperature enclosure=blue_cage detail=26.5_C
blue cage is 79F | temperature enclosure=blue_cage detail=79_F
tank 2 low 18 high 27 c yesterday | temperature enclosure=tank_2 detail=18..27_C when=2025-08-19
its 24 degrees in the big tent | temperature enclosure=big_tent detail=24_C
tank 2 holds 12 litres | setting enclosure=tank_2 detail=volume=12_L
the volume of jar 1 is 900 ml | setting enclosure=jar_1 detail=volume=900_mL
use fahrenheit | setting detail=units=F
temperatures in fahrenheit please | setting detail=units=F
switch to celsius please | setting detail=units=C
our latitude is 43.2 | setting detail=latitude=43.2
site latitude 31.4 N | setting detail=latitude=31.4
we're at latitude 46 north | setting detail=latitude=46
nursery latitude -27.5 | setting detail=latitude=-27.5
the house is at about 37 degrees south | setting detail=latitude=-37
the volume of tank 2 is 14 litres, measured it with a jug | setting enclosure=tank_2 detail=volume=14_L
set tank 2 to 25 litres | setting enclosure=tank_2 detail=volume=25_L
tank 2 50 by 50 by 80 cm | setting enclosure=tank_2 detail=volume=200_L
american dates please | setting detail=dates=month
time zone is london | setting detail=timezone=Europe/London
name of the place: mill end | setting detail=place=mill_end
we think in fahrenheit | setting detail=units=F
dates are day first | setting detail=dates=day
the season starts in March | setting detail=season-start=3
set the timezone to Europe/Paris | setting detail=timezone=Europe/Paris
note: neighbour is away until friday | note note=neighbour_is_away_until_friday
make a note that the milkweed came from the market | note note=the_milkweed_came_from_the_market
# several in one line
4 of A hatched, 2 duds, moved the hatchlings to jar 2 | hatched A 4 ; died A 2 stage=egg ; moved A to=jar_2
one S emerged yesterday and I released it this morning | emerged S 1 when=2025-08-19 ; released S 1 stage=adult
2 A larvae died and 3 A eggs hatched | died A 2 stage=larva ; hatched A 3
fed jar 1, cleaned tank 2 and watered the fennel | fed enclosure=jar_1 ; cleaned enclosure=tank_2 ; watered host=Foeniculum_vulgare
mon 1 fennel-2 in tank 2 died, tue another one died there | died fennel-2 1 when=2025-08-18 ; died fennel-2 1 when=2025-08-19
2 fennel-2 pupated in tank 2, the other one died | pupated fennel-2 2 ; died fennel-2 1
3 hatched in jar 1, 2 in crate 1 | hatched A 3 ; hatched P 2
checked A, 3 hatched | hatched A 3
released 2 swamp-1, one escaped | released swamp-1 2 ; escaped swamp-1 1
a luna emerged this morning, it is a girl, 2 more are still cocoons | emerged S 1 detail=female
N1, N2 and N3 pupated | pupated N mark=1 ; pupated N mark=2 ; pupated N mark=3
moved S, N1 and N2 to tub 40 | moved S 4 to=tub_40 ; moved N mark=1 to=tub_40 ; moved N mark=2 to=tub_40
yesterday: 1 N1 died, 2 A eggs hatched | died N mark=1 when=2025-08-19 ; hatched A 2 when=2025-08-19
2 A hatched on monday and one on tuesday | hatched A 2 when=2025-08-18 ; hatched A 1 when=2025-08-19
3 A larvae died, 2 of virus and 1 drowned | died A 2 detail=virus ; died A 1 detail=drowned
gave tank 2 a clean and fresh fennel | cleaned enclosure=tank_2 ; fed enclosure=tank_2 host=Foeniculum_vulgare
3 A eggs and 2 P eggs hatched | hatched A 3 ; hatched P 2
saw a monarch laying on the milkweed, got 5 eggs | laid 5 species=Danaus_plexippus
25 C in the blue cage, 22 C in tank 2 | temperature enclosure=blue_cage detail=25_C ; temperature enclosure=tank_2 detail=22_C
two spicebush swallowtail chrysalises turned up under the sill, log them as bush-5 in jar 3 | found bush-5 2 species=Papilio_troilus stage=pupa
thats 14 A larvae now | hatched A 2
thats 2 adults for S now | emerged S 2
make that 14 A larvae, i had the number wrong | counted A 14 stage=larva detail=estimate
S shall be known as porch-9 from today | renamed S to=porch-9
4 A eggs hathced | hatched A 4
4 of the A eggs hachted | hatched A 4
weve got 80 g of fennel bagged in the fridge | stocked 80 host=Foeniculum_vulgare detail=g
# the last instar, names that only caterpillars have, one that is most of its kind
picked up 2 luna caterpillars under the walnut, ultimate instar, tub 6 | found 2 stage=larva instar=5 enclosure=tub_6
a last-instar fennel-2 in tank 2 died | died fennel-2 1 enclosure=tank_2
collected 4 parsley worms off the dill, tub 6 | found 4 stage=larva enclosure=tub_6
moved the smallest fennel-2 in tank 2 to jar 9 | moved fennel-2 1 enclosure=tank_2 to=jar_9
took the two fattest fennel-2 out of tank 2 and into jar 9 | moved fennel-2 2 enclosure=tank_2 to=jar_9
moved 2 big black swallowtails from tank 2 into jar 9 | moved fennel-2 2 enclosure=tank_2 to=jar_9
# those that hang, and what a single word tells
1 more fennel-2 j-hanging in tank 2 | prepupated fennel-2 1 enclosure=tank_2
one of the J's in the blue cage has died | died fennel-2 1 stage=prepupa
hatchlings: 4, P | hatched P 4
4 hatchlings from P | hatched P 4
losses: fennel-2 1, tank 2 | died fennel-2 1 enclosure=tank_2
casualties today 2 fennel-2 in tank 2 | died fennel-2 2 enclosure=tank_2 when=2025-08-20
first moth out of the pop tent today | emerged S 1 when=2025-08-20
moved: 3 S from pop tent to jar 9 | moved S 3 enclosure=pop_tent to=jar_9
# eggs that somebody laid on the animals
found a white egg on one of the fennel-2 in tank 2 | sign fennel-2 1 enclosure=tank_2
fennel-2 in tank 2, white egg stuck behind the head of one | sign fennel-2 1 enclosure=tank_2 stage=larva
found 3 eggs on one leaf of milkweed, monarch, jar 9 | found 3 stage=egg enclosure=jar_9
# labels: in front of a find, wished for, and of those that part
Q9 - 4 peacock caterpillars found on the nettles, in jar 9 | found Q9 4 stage=larva enclosure=jar_9
R1: one red admiral egg found on nettle, goes in the tin | found R1 1 stage=egg
I want to rename P to kalies | renamed P to=kalies
P's new name is Kale | renamed P to=Kale
the label of S is Sue from now on | renamed S to=Sue
rename: P -> kale-9 | renamed P to=kale-9
let's call fennel-2 giants | renamed fennel-2 to=giants
3 of the A larvae become a new cohort, milk-b | split A 3 stage=larva to=milk-b
2 fennel-2 from tank 2 form a new group called dill-b | split fennel-2 2 enclosure=tank_2 to=dill-b
# one a day, and how many of each sex
mon 1 fennel-2 in tank 2 died, tue another | died fennel-2 1 when=2025-08-18 ; died fennel-2 1 when=2025-08-19 enclosure=tank_2
1 S emerged on monday and another on tuesday | emerged S 1 when=2025-08-18 ; emerged S 1 when=2025-08-19
released 3 swamp-1, two females and a male | released swamp-1 2 detail=female ; released swamp-1 1 detail=male
3 S out, 2f 1m | emerged S 2 detail=female ; emerged S 1 detail=male
1 swamp-1 got past me when I opened the tent | escaped swamp-1 1 stage=adult
# what came in beside what else is told, and what is called by a label
today at lunch a painted lady laid 6 on thistle, jar 9, add as T-9 | laid T-9 6 enclosure=jar_9
monarch laid 9 eggs this morning, put down as M9, jar 9 | laid M9 9 enclosure=jar_9
laid by the S female last night: 40 eggs, tin 3 | laid 40 parent=S
S: a female laid 40, call them S2, tin 3 | laid S2 40 parent=S enclosure=tin_3
Ann gave me 10 red admiral eggs, call R, jar 4 | found R 10 enclosure=jar_4
found a peacock nest, about 60 caterpillars on nettles, tub 6 | found 60 estimate=True enclosure=tub_6
split 2 fennel-2 in tank 2 off as L2 | split fennel-2 2 to=L2
# given in parts, taken by somebody, and what is no day of it
gave 2 fennel-2 larvae in tank 2 and 4 A eggs to Petra | given fennel-2 2 ; given A 4 stage=egg
an oriole nabbed two fennel-2 in tank 2 | died fennel-2 2 detail=oriole
one A larva stopped eating 2 days ago | sign A 1 stage=larva
put fennel-2 from tank 2 all together in the blue cage | moved fennel-2 3 enclosure=tank_2 to=blue_cage
tank 2: small one died | died fennel-2 1 enclosure=tank_2
# a find put with others, and one told without a verb
found a caterpillar on the rail, monarch, 5th instar, put with A in jar 1 | found 1 enclosure=jar_1 instar=5
Q: 12 monarch eggs, milkweed, jar 9, 18 aug | found Q 12 stage=egg enclosure=jar_9 when=2025-08-18
S: 1 cocoon brown and hollow, tossed | died S 1 stage=pupa
gave Mr Dale's class 4 fennel-2 from the blue cage | given fennel-2 4 enclosure=blue_cage
S now lives in the flight cage, moved it there at breakfast | moved S 4 to=flight_cage
popped some fresh fennel leaves in with the tank 2 lot | fed enclosure=tank_2
a monarch laid another ten on the milkweed in jar 9, make those milk-9 | laid milk-9 10 enclosure=jar_9
"""

ASKED = """
prob lost one S | 1 S died
i think 2 S emerged | 2 S emerged
2-3 A eggs hatched | How many
maybe 2 of S emerged | 2 S emerged
perhaps 3 A eggs died | 3 A eggs died
4 died | which
all the larvae died | which
moved the caterpillars to tub 60 | which
16 June 3 A hatched | begins on
7 hatched | which
hatched | which
A died | eggs
moved 3 from the blue cage | where
found 6 eggs, in jar 3 | species
found some monarch eggs | how many
30 A eggs hatched | 18
N2 emerged | larva
released 5 luna moths | luna
moved 9 from tank 2 to jar 1 | 3
3 of zebra-7 hatched | zebra-7
2 A eggs hatched tomorrow | still to come
cleaned jar 1 on 31 April | 31 April
counted only 15 A eggs | missing
counted 14 A larvae | 2 A hatched
thats 40 A larvae now | 28
one fennel-2 died | which
tested swamp-1 | result
merge A and P | species
split 3 of the A larvae off | called
4 swamp-1 came back | missing
counted 25 A eggs | 18
released A | adult
gave 3 A to the school | A
fed | which
rename S to A | already
2 died in the big tent at 11 tonight | still to come
one N in the shelf jar died | N2
2 N pupated on friday next week | still to come
one luna flew out of the pop tent | no adults
"""

NOTHING = """
1 A egg is black, hatching soon
10 more to hatch in jar 1
two more to pupate in tank 2
did the N2 chrysalis wriggle today
the sick one in tank 2
the S pupa that died on monday, what was it
those 2 A eggs that went mouldy what happened to them
one A larva died, what got it
2 A larvae drowned, was it the vase
N2 hung up, when will it pupate
thinking of moving S to jar 9
meant to release the swamp-1
if the S emerge i will release them, and cleaned the pop tent
was tempted to bin 3 A eggs
diary for friday
the fennel will be gone by friday
do not let the fennel run out
nearly out of fennel
half a bunch of kale left
14 badgers hatched in tank 2
let the hounds out, all 4
tank 2 is about 40 litres, will all of A fit
i will rename S to porch-9
if it rains i'll bring S in
unless it clears S looks limp to me
3 of A hatched in my dream
the book says 2 of S emerged
test: 2 of S emerged
supposing all of S emerged
suppose 3 A eggs died
imagine 2 of S emerged on monday
assuming N2 pupated today
say 4 of the A eggs hatched
hopefully all the A eggs hatched by friday
i dreamt that S emerged
nearly lost 2 of A today
almost released the painted ladies
in case the A eggs died
my neighbour lost 3 monarchs
my friend's painted ladies died
the school's monarch eggs hatched
one of the glimmerwing moths died
2 frumple caterpillars pupated
did 2 A eggs hatch?
have the A eggs hatched
how many A hatched
should I move N2 to jar 5
don't move S
I will release the painted ladies tomorrow
going to clean jar 1
need to feed A
when did S emerge
12 wombats pupated in the bath
found 5 euros on the street
moved house last week
my dog died
show the average temperature in the big tent in fahrenheit
mean temp of tank 2 in celsius please
latest reading in F
watered the lawn
what killed the A caterpillars
is N3 dead
fed the dog
can I release the painted ladies
3 hatched in jar 1, is that normal
if A hatches tell me
remind me to clean tank 2
cut my finger
lost my keys
my sister got 5 A eggs
the train was cleaned
"""


def rows(table: str) -> list[tuple[str, str]]:
    found = []
    for row in table.strip().splitlines():
        if row and not row.startswith("#"):
            said, _, expected = row.partition(" | ")
            found.append((said.strip(), expected.strip()))
    return found


def expected_event(text: str) -> dict:
    """{"what": "hatched", "cohort": "A", "count": 3} of `hatched A 3`."""
    words = text.split()
    event: dict = {"what": words[0]}
    for word in words[1:]:
        key, equals, value = word.partition("=")
        if equals:
            value = value.replace("_", " ")
            event[key] = int(value) if key == "instar" else value == "True" if key == "estimate" else value
        elif word.isdigit():
            event["count"] = int(word)
        else:
            event["cohort"] = word
    return event
