"""The small words that steer a clause of a record. What tells of an event lies in knowledge/phrases/records.toml."""

from __future__ import annotations

import re

WEAK = frozenset(["sign", "stocked", "counted"])
"""Read only where no stronger phrase stands in the clause."""

NEGATIONS = frozenset(
    """
    not no none nothing nothings never hasnt havent hadnt didnt dont doesnt isnt arent wasnt werent wont cant cannot neither nobody
    """.split()
)
FUTURE = frozenset(
    """
    will shall ill well theyll itll gonna should must need needs want wants plan planning might could would if unless wish
    let's lets suppose supposing imagine imagining assume assuming pretend pretending hypothetically provided dreamt dreamed
    dreaming hopefully hoping expecting expect theoretically thinking thought considering contemplating intend intending
    tempted debating feared
    """.split()
)
"""Words in front of a verb by which it tells of what is to come, or of what is only thought of."""
NEARLY = frozenset("nearly almost practically".split())
"""In front of a verb these deny it; in front of a number they make it an estimate."""
UNREAL = frozenset("dream dreams nightmare nightmares book textbook".split())
"""A line with one of these tells of no animals that are there."""
PERHAPS = frozenset(
    "maybe perhaps possibly prob probably prolly think reckon guess suspect presumably seemingly apparently".split()
)
"""A line with one of these in front of its verb is not certain enough to be written without asking."""
OUTSIDERS = frozenset(
    """
    neighbour neighbours neighbor neighbors friend friends school schools club clubs colleague colleagues someone somebody
    theirs cousin cousins brother brothers sister sisters mother father mum mom dad uncle aunt
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
    ("more", "to"),
    ("still", "to"),
    ("yet", "to"),
    ("left", "to"),
    ("others", "to"),
    ("meant", "to"),
    ("meaning", "to"),
    ("supposed", "to"),
    ("trying", "to"),
    ("tried", "to"),
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
    "also", "i should like", "i would like", "id like", "i want to", "i want", "we want to", "id like to", "i would like to", "i wish to", "i found that", "i see that", "i saw that", "i noticed that", "found that", "noticed that",
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
    hanging-limp motionless unmoving feeding sour orange-ish reddish greenish droopy drooping shrinking smaller
    stunted lesion lesions sore scab bruise bruised wrinkly frass puparia pinprick trembling convulsing paralysed lopsided
    fell fallen rattles rattling detached dangling thru see-thru seethrough pattern green fuzzy dusty flaky speckled spotted streaks streaky hard stiff cracked split leaked v-shaped
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
FLYING = frozenset("flew flown fly flies flying fluttered flapped".split())
"""What only adults do."""
PREDATORS = frozenset(
    """
    bird birds robin wren tit blackbird sparrow thrush magpie crow starling spider spiders wasp wasps hornet hornets ant ants earwig
    earwigs mouse mice rat rats shrew frog toad gecko lizard hedgehog chicken hen hens beetle bug lacewing ladybird ladybug mantis
    harvestman squirrel dog oriole grackle jay cardinal warbler cuckoo mockingbird bluebird chickadee titmouse catbird phoebe
    """.split()
)
BIN_WORDS = frozenset("binned threw thrown chucked tossed discarded composted culled euthanised euthanized froze".split())
DUD_WORDS = frozenset("dud duds dudded infertile never failed".split())

CONTAINERS = frozenset(
    """
    tub jar box cage tent sleeve pot net tank bin bucket tray cup pod aquarium terrarium crate basket bag popup pop-up
    container tupperware vase dish hutch case chamber cabinet drum vivarium bowl carton punnet tube vial castle cube
    enclosure shelf dome cylinder tin tote drawer incubator fridge bottle mesh greenhouse
    """.split()
)
UNITS = {
    "stem": "stems", "stems": "stems", "stalk": "stems", "stalks": "stems", "sprig": "stems", "sprigs": "stems",
    "cutting": "stems", "cuttings": "stems", "shoot": "stems", "shoots": "stems", "frond": "stems", "fronds": "stems",
    "spray": "stems", "sprays": "stems", "rod": "stems", "rods": "stems", "top": "stems", "tops": "stems", "branch": "branches", "branches": "branches", "twig": "stems",
    "twigs": "stems", "leaf": "leaves", "leaves": "leaves", "pot": "pots", "pots": "pots", "plant": "pots",
    "plants": "pots", "bunch": "bunches", "bunches": "bunches", "handful": "handfuls", "handfuls": "handfuls", "g": "g",
    "gram": "g", "grams": "g", "bag": "bags", "bags": "bags", "tray": "trays", "trays": "trays",
}  # fmt: skip
NO_COUNT_AFTER = frozenset(
    """
    am pm hours hour hrs hr h min mins minute minutes day days week weeks oclock ml l litre litres cm mm c f degrees percent
    % instar times second spore spores
    """.split()
)
NO_COUNT_BEFORE = frozenset("at number no group cohort latitude by since past until till before after around:".split())

NUMBERED = frozenset(
    """
    year yr years grade period lesson class room lab week day page row bench bed house flat floor step table
    ward chapter trial plot block bay hive site station route locker
    """.split()
)
"""Nouns whose number tells which one it is (`year 8 found 2 pupae`, `in period 5`)."""
ALL_WORDS = frozenset("all everyone everybody everything every whole".split())
REST_WORDS = frozenset("rest remaining remainder others".split())
BACK_WORDS = frozenset(
    """
    him her it them they she he these those another other others too there also rest more remaining again ones else otherwise
    """.split()
)
SINGLE_BEFORE = frozenset("a an another new single first last other lone solitary".split())
MALE, FEMALE = (
    frozenset("male males boy boys him he".split()),
    frozenset("female females girl girls her she lady-butterfly".split()),
)
PLURAL_STAGES = frozenset(
    """
    eggs larvae larvas caterpillars cats catterpillars catapillars caterpilars pillars pupae pupas chrysalises chrysalids
    chrysalides chrysalis's cocoons prepupae prepupas adults butterflies moths hatchlings babies worms imagos imagines js j's
    """.split()
)
FIXERS = frozenset(
    """
    no oops sorry actually wait correct correction scrap whoops mistake typo wrong meant nope ooops argh hang rather doh
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
    hooray them self themselves itself same else otherwise time day days week am pm ago got get gone went come came have having half dozen
    couple pair single lone extra well though anyway leaf leaves plant plants food water stem stems
    """.split()
)
"""Words that say nothing about what the line is about."""
NO_IDEA = re.compile(
    r"\b(?:(?:no (?:idea|clue)|not sure|dont know|don't know|unsure|who knows)(?! (?:where|why|how|when|if|whether))"
    r"|unknown|unidentified|mystery|unk\b|idk|dunno(?! (?:where|why|how|when))|(?:god|goodness|heaven|lord) knows what|could be any(?:thing| species)"
    r"|of (?:some|an unknown) (?:sort|kind|type)|some \w+ or (?:an)?other"
    r"|(?:cant|can't|cannot|can not|couldnt|couldn't|could not) (?:tell|identify|name|place|recognise|recognize|id)"
    r"|(?:dont|don't|do not) (?:know|recognise|recognize)(?! (?:where|why|how|when|if|whether))"
    r"|(?:havent|haven't|have not) (?:a|the|any|got a) (?:clue|notion|idea)|not a clue|(?:we|i)(?:'ll| will|ll) see|time will tell|what (?:they|these|those) are|what (?:it|this) is)\b"
)
MOST = frozenset(
    "smallest biggest largest tiniest littlest fattest plumpest longest shortest slowest fastest youngest oldest weakest sickest strongest palest darkest greenest".split()
)
"""Which one of its kind is meant."""
