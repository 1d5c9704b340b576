"""The words records are made of: verb phrases by event, and the small words that steer a clause.

A phrase is words in order. `a|b` is either word, `*` is up to five words between. Capitals stand for a span:
NUMBER, COHORT, ENCLOSURE, SPECIES, PLANT, INSTAR, AMOUNT, or a stage by its name (EGG, LARVA, PREPUPA, PUPA, ADULT). The phrase with
most words wins; among equals the earlier one.
"""

from __future__ import annotations

PHRASES = {
    "returned": """
        found * missing; found * again; found|turned * back again; turned up; turned|showed up again; reappeared
        showed up again; returned; is|are back; came back; crawled back; found the lost|missing|escaped; missing * found
        missing * turned up; missing * back; re-found; refound""",
    "missing": """
        gone missing; went missing; go missing; missing; vanished; disappeared; cant|cannot|couldnt find
        could|can not find; cannot|cant|couldnt be found; not be found; nowhere to be seen|found; nowhere in sight
        unaccounted for; lost track|sight of; NUMBER * are|is gone; no trace|sign of NUMBER; no trace|sign of COHORT
        not there any more|longer; went|gone walkabout|wandering|awol; cant see NUMBER""",
    "escaped": """
        escaped; got out; got away; got loose; flew out; broke out; climbed out; crawled out|off|away; slipped out
        ran away; walked off; wandered off; flown out; made a run for it; made * escape; legged it; scarpered; done|did a runner
        absconded; bolted; shot|whizzed|zoomed|darted * past|out|over|away; squeezed out|through|under; slipped away|through|off; sneaked|snuck out|off; buggered|sodded off
        did one; made off; wriggled out|free; flew the coop""",
    "died": """
        died; dead; has|have passed away; passed away; lost; drowned; squashed; crushed; squished; binned
        threw|thrown|chucked out|away; threw|chucked * out|away; had to euthanise|euthanize|kill|bin|cull|freeze
        bird|spider|wasp|ant|ants|mouse|lizard|AGENT got|ate|took|had; gone to the|a virus|wasp|wasps|disease|parasites|mould|AGENT; tossed; dud; duds; dudded; culled; euthanised; euthanized; killed
        was|were|got|been eaten; ate NUMBER; eaten by; snuffed it; didnt make it; did not make it; havent|hasnt made it
        perished; starved; infertile; never hatched; failed to hatch; didnt hatch * dud; gone mouldy; went mouldy
        rotted; succumbed; trod|stepped on; i|we|got|was|were|been sat on; npv|virus|disease|AGENT took NUMBER; froze to death; froze; found * dead; dropped dead; pegged it; put down
        put to sleep; discarded; composted; kicked the bucket; bit the dust; was|were taken by; taken by; snapped up by
        dried out|up; starved to death; fell to death; picked off by; mark|marked * dead; is|are no more; carked it
        expired; croaked; popped its|their clogs; gave|given up the ghost; copped it; conked out; didnt survive; did not survive
        keeled over; met its|his|her end; curled up and died; is|are deceased; ran over; squidged; squelched; flattened
        went to|in the freezer""",
    "released": """
        released; flown; flown * off|away; let * go; let go; let * out; let * loose; let * fly; flew off|away; flown off|away; set * free; freed
        sent * off; took off; set loose; returned to the wild; liberated; let * off; turned * loose; gone|went free
        said goodbye to; waved off""",
    "given": """
        gave * to; gave away; gave * away; given * to; given away; handed; handed over; passed * on to; passed on
        went|gone|go home with; passed * on to; donated; sold; gifted; posted; passed * to; swapped; dropped * off at|with; rehomed; shared * with
        went to|home|off with|to * school; went to the school|neighbour|club; sent * to; took NUMBER * home|away
        took * to school|class|the school; mailed""",
    "found": """
        found; brought in|home|back|inside; brought * in|home|inside; picked; picked up; picked * up; collected; rescued
        gave|given me; gave us; handed|brought|sent|passed me|us; received; took in; taken in; adopted; was given
        got given; were given; arrived; came in the post; gathered; bought; added; add; new arrival|arrivals; got NUMBER
        got * from; acquired; came home with; harvested NUMBER * EGG; swept|beat|dug up; beaten out; just in; intake; new in
        NUMBER new SPECIES; took home; dropped off * with me|us; discovered; saved; NUMBER new EGG|LARVA|PUPA
        collected in""",
    "laid": """
        laid; layed; just|female|she dropped NUMBER; saw|watched * lay|laying|ovipositing|oviposit; oviposited; was|were seen laying; eggs laid
        NUMBER * laid by; lay NUMBER; laying NUMBER; dropped|deposited NUMBER EGG; deposited""",
    "hatched": """
        hatched; hatched out; have|has hatched; hatching; came|come out of * EGG|shell|shells
        emerged|eclosed from * EGG|shell|shells; turned|become|became into LARVA; became LARVA; popped out of * EGG
        out of * EGG|shell|shells; EGG * are LARVA now; ate * way out""",
    "moulted": """
        moulted; molted; shed * skin|skins; shed * skin again; changed skin|skins; sloughed; INSTAR now; now INSTAR
        now in * INSTAR; now all INSTAR; now at INSTAR; are|is|into|reached|hit|went|gone|turned|became|entered * INSTAR
        COHORT shed; LARVA shed; all|both shed; NUMBER shed; has|have|just shed; shed again|overnight; shed into|to INSTAR
        made it to INSTAR; up to INSTAR; through to INSTAR; moved up to INSTAR; moved on to INSTAR; moved into INSTAR
        moulted to|into; slipped * skin; went through * moult""",
    "prepupated": """
        hung up; hung; hung itself; hung themselves; hung upside down; hanging in|up; hanging upside down; strung up
        in j; in a|the j; in j|js; j shape; j shaped; j hang; j hanging; js; jd; jed; j-ing; hang|hanging|hangs in * j
        made a j; went j; into a|the j; into j; gone j; js now; j now; prepupated; girdled
        spun a|its|his|her girdle|silk|belt; silk girdle; are|is hanging; now PREPUPA; PREPUPA now
        became|turned|gone * PREPUPA; are|is|went|gone into * PREPUPA; is|are a|now|all PREPUPA; is|are PREPUPA
        in|into * PREPUPA; started hanging; attached itself|themselves; purged and wandering; settled to pupate
        set up to pupate; ready to pupate""",
    "pupated": """
        pupated; turned into|to * PUPA; became * PUPA; become * PUPA; made a|its|his|her|their PUPA; made PUPA
        formed * PUPA; gone|went into|to * PUPA; is|are now * PUPA; PUPA now; now * PUPA; spun up; finished * PUPA; cocooned; spun * PUPA
        spun a|its|their cocoon|cocoons; chrysalised; is|are in * PUPA now; turned PUPA; shed * skin * PUPA; went PUPA
        gone PUPA; transformed into * PUPA; turned into * PUPA; changed into|to * PUPA; into * PUPA""",
    "emerged": """
        emerged; eclosed; came out; is|are|r out; male|female|ADULT|SPECIES out; come out; emerging; eclosing; coming out; hatched out of * PUPA
        hatched from * PUPA; turned|changed into * ADULT; became * ADULT; has|have become * ADULT; out of * PUPA
        broke out of * PUPA; came|come out of * PUPA; is|are now * ADULT; now * ADULT; popped out; popped
        has|have just come out; just out; now out; is|are finally|all|both|now out; was|were out; out this morning
        out last night; out today; out overnight""",
    "identified": """
        identified; turned|turns|turn out to be; turned out; COHORT is|are * SPECIES; are|is actually * SPECIES
        is|are in fact * SPECIES; were really * SPECIES; now know * SPECIES; idd as; identify * as
        were actually * SPECIES; have been identified""",
    "counted": """
        counted; recounted; count is; count of; did a count of; headcount; stocktake; stock take; count in|for
        i count NUMBER; count NUMBER; make it|that NUMBER; makes it NUMBER; down to NUMBER; only NUMBER; did a count; there are only|just; there are * left; only * left
        that makes; makes * in all|total; thats * now|altogether; still NUMBER; all NUMBER * still there
        NUMBER in total; NUMBER all told; tally; tallied""",
    "checked": """
        looked at; looked in on|at; looked over; looked in; looked round|through; checked; checked on|over|in; inspected
        no change; no changes; unchanged; nothing to report; nothing new; nothing yet; nothing doing; all well; all fine
        all good|ok|okay; as before; same as yesterday|before; no news; nothing happening|happened; still EGG
        still PUPA; still LARVA; still PREPUPA; still * same; had a look at|in; peeked at|in; had a peek
        looks|look fine|ok|okay|good|healthy|well; went through; still nothing; had a look; no difference; no movement
        all present; present and correct; all there|here; nowt doing|new|yet|happening|changed; nowt; still sat|sitting|hanging * PUPA|PREPUPA; nothing different
        is|are fine|ok|okay|well; still no change; nothing else; looking fine|good|ok|well
        no signs|sign of hatching|movement|change""",
    "merged": """
        merged; merge; combined; combine; put * together; joined; join; pooled; pool; lumped * together; lump * together
        put * with COHORT; added * to COHORT; add * to COHORT; fold|folded * into COHORT; unite; united
        make|made one cohort|group of""",
    "split": """
        split; peeled|hived|peel NUMBER off; split off; split * off; splitting; separated * as|into|off; separate * as; divided; divide; take|took * off as|into
        hived off; set apart as; made * into * cohort|group; move|moved * to|into|as cohort|group
        moved * into a new cohort|group; make|made them|it|these|those COHORT; make|made * new cohort|group""",
    "renamed": """
        renamed; rename; relabelled; relabel; relabeled; is|are called; now called; change the name|label of
        changed the name|label of; re-label; call COHORT
        gets|got|gave|given|has|have * name; COHORT shall|will be called; COHORT shall|will be known as; to be called|named|known; now known as; goes|go by""",
    "moved": """
        moved; move; shifted; shift; shunted; took * out|over|across|down|up to * ENCLOSURE; NUMBER|COHORT|LARVA|PUPA|ADULT|EGG across|over|through * to|into * ENCLOSURE
        COHORT from * ENCLOSURE to|into * ENCLOSURE; ENCLOSURE SPECIES|COHORT to ENCLOSURE; transferred; transfer; rehoused; relocated; relocate; put; placed; place; housed
        popped * in|into; took * to|into; is|are|live|lives|living|sit|sits now in ENCLOSURE; now in ENCLOSURE
        brought * to|into|in ENCLOSURE; tipped * into; swapped * into; carried * to|into; decanted; went into ENCLOSURE
        transplanted; goes|go|went into|to|in ENCLOSURE; now live|lives|living|kept in ENCLOSURE; COHORT into ENCLOSURE; got moved
        was|were moved; all go|went to|into ENCLOSURE; sleeved; set up in; gone into ENCLOSURE; gone to ENCLOSURE
        have|has gone into|to ENCLOSURE; EGG|LARVA|PREPUPA|PUPA|ADULT|SPECIES into ENCLOSURE; put back; went|gone|go|goes|are|is back to|into * ENCLOSURE; back to|into * ENCLOSURE""",
    "cleaned": """
        cleaned; cleaned out; scrubbed; scrubbed out; washed; washed out; wiped; wiped out|down; disinfected; bleached
        sterilised; sterilized; emptied * frass; cleared * frass; frass out; mucked out
        gave|got|had|getting * clean|wash|scrub|wipe|rinse|cleaning; changed * paper|liner|lining|towel|tissue|roll|bedding; rinsed; rinsed out
        swept out; swept; sanitised; sanitized; hosed; hosed out|down; removed * frass; took * frass out
        shook out * frass; cleaned up; deep cleaned; did a clean; new paper in|for|towel
        new|fresh|clean * paper|roll|towel|liner|lining|bedding|tissue in|for|down""",
    "watered": """
        watered; gave * water; gave * drink; gave * soak|soaking|watering; topped up * water; changed * water; fresh water; misted
        sprayed * with|water; sprinkled; refilled * water; gave * misting|spray""",
    "fed": """
        fed; gave ENCLOSURE|COHORT|MARK * PLANT; gave * fresh * PLANT; gave * PLANT; fresh PLANT in|for|to|into
        ENCLOSURE|COHORT fresh|new * PLANT; COHORT now on PLANT; switched|swapped * to|onto PLANT
        topped up * PLANT; topped up * food|leaves|with PLANT; put|added * fresh * PLANT; put * PLANT in|into
        changed * leaves|food|plant|foodplant; changed * PLANT; gave * fresh|new|more leaves|food|plant|foodplant
        refilled; new PLANT in|for; new|fresh PLANT * for; replaced * leaves|food|plant; replaced * PLANT
        put|added|gave * fresh|new leaves|food|foodplant; fresh leaves|food|foodplant in|for|to; offered * PLANT
        added * PLANT to|in; more PLANT in|for|to; swapped * PLANT; new leaves|food for|in""",
    "cut": """
        cut; cut * stems|sprigs|leaves|branches; snipped; trimmed; harvested; pruned; clipped; picked * leaves|stems|sprigs|branches|twigs; lopped
        took cuttings of; cut back; brought in NUMBER stems|leaves|sprigs|branches""",
    "tested": """
        tested; went|put|been through * test; tested for|clear|positive|negative|light|heavy; smear test; spore test; test|tests on|for|of
        oe|spore|spores|virus|npv|AGENT test|check|swab|sample; tape test; COHORT test; spore count; checked * for oe|spores|virus
        checked * under * microscope; smeared; swabbed; took a smear
        came back clear|negative|positive|light|heavy|clean; took * smear""",
    "sign": """
        log|record|note a sign; log|note|record sign; sign on|in|of|for; noticed|spotted|seen|saw; has|have a|an|some
        has|have got; has|have; looks; look; looking; is|are|was|were; found a|an|some; there is|are|was|were; theres
        seems; seem; with a|an|some; stopped eating; not eating|moving; wont eat; refusing to eat""",
    "stocked": """
        in stock; stocked; stocked up; down to; thats|that is all i|we; thats|that is all ive|weve; all i have|ive
        all we have|weve; all ive|weve got; have * left|in; got * left|in; stock of; on hand""",
}  # fmt: skip
"""Sign phrases are weak: they count only beside a sign word, see `SIGN_WORDS`."""

WORDS = frozenset(
    word for block in PHRASES.values() for part in block.replace(";", " ").split() for word in part.split("|") if word.islower()
)
"""Every word of the phrases: known words, never a slip for another (`binned` is not `banned`)."""

WEAK = frozenset(["sign", "stocked", "counted"])
"""Read only where no stronger phrase stands in the clause."""

NEGATIONS = frozenset(
    """
    not no none nothing never hasnt havent hadnt didnt dont doesnt isnt arent wasnt werent wont cant cannot neither nobody
    """.split()
)
FUTURE = frozenset(
    """
    will shall ill well theyll itll gonna should must need needs want wants plan planning might could would if unless wish
    let's lets suppose supposing imagine imagining assume assuming pretend pretending hypothetically provided dreamt dreamed
    dreaming hopefully hoping expecting expect theoretically
    """.split()
)
"""Words in front of a verb by which it tells of what is to come, or of what is only thought of."""
NEARLY = frozenset("nearly almost practically".split())
"""In front of a verb these deny it; in front of a number they make it an estimate."""
UNREAL = frozenset("dream dreams nightmare nightmares book textbook".split())
"""A line with one of these tells of no animals that are there."""
PERHAPS = frozenset("maybe perhaps possibly".split())
"""A line with one of these in front of its verb is not certain enough to be written without asking."""
OUTSIDERS = frozenset(
    """
    neighbour neighbours neighbor neighbors friend friends school schools club clubs colleague colleagues someone somebody
    theirs cousin cousins
    """.split()
)
"""People whose animals are not the keeper's."""
FUTURE_PAIRS = (
    ("going", "to"),
    ("about", "to"),
    ("due", "to"),
    ("have", "to"),
    ("has", "to"),
    ("got", "to"),
    ("hope", "to"),
    ("hoping", "to"),
    ("ready", "to"),
    ("remind", "me"),
    ("in", "case"),
    ("as", "if"),
    ("in", "theory"),
    ("for", "example"),
)
ASKING = frozenset(
    """
    how what whats when whens where wheres which who whos whose whom why is are do does did can could should would will any
    has am may shall was were what're hows whatever isnt arent dont doesnt didnt cant couldnt shouldnt wouldnt wont hasnt
    havent explain show list tell give compare convert calculate help wat wot wen hw wht hoe advice advise id identify
    """.split()
)
ASKING_INSIDE = (
    "how many", "how much", "how long", "how do", "how often", "how old", "should i", "should we", "can i", "can we",
    "shall i", "do i", "do they", "is it ok", "is that ok", "is this normal", "is that normal", "what should", "what do",
    "what is", "whats wrong", "what can", "is it", "are they", "will it", "will they", "what now", "whats this",
    "any idea", "any ideas", "what it eats", "what they eat", "what to feed", "what to give", "now what",
    "wondering", "what does", "why is", "why are", "whose", "what else", "which one",
    "what happened", "when will", "worried", "help please", "what to do", "please advise", "must i", "is he", "is she",
    "are these", "need to know", "have i", "did i", "did we", "would it", "could it", "could they", "does it", "does this",
    "emergency food", "is that enough", "is this enough", "is that plenty", "will that last", "will that do", "will that be",
    "will this last", "will this do", "will this be", "is that going to", "enough to last", "does that last",
)  # fmt: skip
POLITE = (
    "please", "pls", "can you", "could you", "would you", "will you", "hi", "hello", "hey", "ok", "okay", "right", "so",
    "just", "today i", "i have to report that", "i just", "note that", "record that", "log that", "write down that",
    "record this", "log this", "for the record", "for the log", "update", "new record", "new entry", "record", "log",
    "enter", "write down", "yay", "hooray", "good news", "bad news", "sad news", "great news", "oh no", "oh dear",
    "finally", "hurrah", "woohoo", "morning", "evening", "sadly", "unfortunately", "well", "put down that",
    "make a note that", "jot down that", "mark down that", "i want to record that", "id like to record that", "um", "er",
    "also",
)  # fmt: skip

SIGN_WORDS = frozenset(
    """
    limp floppy mushy soft leaking leaky oozing ooze black blackened blackening dark darkened darkening brown brownish
    yellow yellowish pale discoloured discolored spot spots blotch blotches patch patches mark marks droppings diarrhoea
    diarrhea runny wet vomit vomiting vomited regurgitating twitching shaking sluggish listless lethargic shrivelled
    shriveled shrunken wrinkled swollen bloated deformed crumpled bent twisted stuck mould mouldy mold fuzzy furry fungus
    hole holes maggot maggots wasp wasps fly flies larvae-like string strings thread threads cocoon-like mite mites smell
    smells smelly stinks stinking foul goo gooey slime slimy bleeding blood fluid liquid drip dripping dented dent collapsed
    caved sunken transparent see-through clear-looking translucent grey gray eating appetite off-colour lump lumps bump
    bumps wound injured injury torn damaged crippled weak dying sick ill sickly poorly unwell strange odd funny weird
    hanging-limp motionless unmoving still feeding sour orange-ish reddish greenish droopy drooping shrinking smaller
    stunted lesion lesions sore scab bruise bruised wrinkly frass puparia pinprick trembling convulsing paralysed lopsided
    fell fallen rattles rattling detached dangling thru see-thru seethrough pattern green fuzzy dusty flaky speckled spotted streaks streaky hard stiff cracked split leaked
    """.split()
)
SIGN_STATES = frozenset("eating moving feeding growing hatching eat move feed grow".split())
"""With a negation these are signs too."""

CAUSE_WORDS = SIGN_WORDS | frozenset(
    """
    virus npv wasp fly tachinid spider spiders ant ants bird birds mouse mice wren earwig earwigs predator parasitoid
    parasite parasitoids oe bacteria disease drowned drowning heat overheated cold frost starved starvation dried dehydrated
    squashed crushed infertile dud unknown poison pesticide moult moulting fell fall zip lid vase water cat dog lacewing
    ladybird bug pteromalus trichogramma
    """.split()
)
DARK_WORDS = frozenset(
    """
    limp floppy black blackened blackening mushy leaking leaky oozing dripping goo gooey melted melting dying dead droopy drooping
    deflated stinking smelly
    """.split()
)
"""What hangs and looks like this is ill and does not hang up to pupate."""
BIN_WORDS = frozenset("binned threw thrown chucked tossed discarded composted culled euthanised euthanized froze".split())
DUD_WORDS = frozenset("dud duds dudded infertile never failed".split())

CONTAINERS = frozenset(
    """
    tub jar box cage tent sleeve pot net tank bin bucket tray cup pod aquarium terrarium crate basket bag popup pop-up
    container tupperware vase dish hutch case chamber cabinet drum vivarium bowl carton punnet tube vial castle cube
    enclosure shelf dome cylinder incubator fridge bottle mesh greenhouse
    """.split()
)
UNITS = {
    "stem": "stems", "stems": "stems", "stalk": "stems", "stalks": "stems", "sprig": "stems", "sprigs": "stems",
    "cutting": "stems", "cuttings": "stems", "branch": "branches", "branches": "branches", "twig": "stems",
    "twigs": "stems", "leaf": "leaves", "leaves": "leaves", "pot": "pots", "pots": "pots", "plant": "pots",
    "plants": "pots", "bunch": "bunches", "bunches": "bunches", "handful": "handfuls", "handfuls": "handfuls", "g": "g",
    "gram": "g", "grams": "g", "bag": "bags", "bags": "bags", "tray": "trays", "trays": "trays",
}  # fmt: skip
NO_COUNT_AFTER = frozenset(
    """
    am pm hours hour hrs hr h min mins minute minutes day days week weeks oclock ml l litre litres cm mm c f degrees percent
    % instar times second
    """.split()
)
NO_COUNT_BEFORE = frozenset("at number no group cohort latitude by since past until till before after around:".split())

ALL_WORDS = frozenset("all everyone everybody everything every whole".split())
REST_WORDS = frozenset("rest remaining remainder others".split())
BACK_WORDS = frozenset(
    """
    him her it them they she he these those another other others too there also rest more remaining again ones
    """.split()
)
SINGLE_BEFORE = frozenset("a an another single first last other lone solitary".split())
MALE, FEMALE = (
    frozenset("male males boy boys him he".split()),
    frozenset("female females girl girls her she lady-butterfly".split()),
)
PLURAL_STAGES = frozenset(
    """
    eggs larvae larvas caterpillars cats catterpillars catapillars caterpilars pillars pupae pupas chrysalises chrysalids
    chrysalides chrysalis's cocoons prepupae prepupas adults butterflies moths hatchlings babies worms imagos imagines
    """.split()
)
FIXERS = frozenset(
    """
    no oops sorry actually wait correction scrap whoops mistake typo wrong meant nope ooops argh hang rather doh
    """.split()
)

COMMON = frozenset(
    """
    a an the this that these those my our his her its their of in on at to from into out off up down over with without by
    for and or but then so as is are was were be been has have had do did i we you he she they it me us him them one ones
    two few several more another other others all both each every some any no not none nothing only just also too still
    already now here there today yesterday morning evening afternoon night last this noon midnight overnight again back
    about around egg eggs larva larvae cat cats pupa pupae cohort group batch label called call name named mark finally
    really very lovely nice little wee tiny big small new old fresh first second third own whole lot rest remaining together left
    total count counted at least sorry please thanks thank dead live alive away inside outside under above near next male
    female males females boy girl because when while after before since until though think ive weve im thats its theres yay
    hooray them self themselves itself same time day days week am pm ago got get gone went come came have having half dozen
    couple pair single lone extra leaf leaves plant plants food water stem stems
    """.split()
)
"""Words that say nothing about what the line is about."""
