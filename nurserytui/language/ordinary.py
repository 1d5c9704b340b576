"""Ordinary words, which are never taken for a misspelt name, and the words that stand around cohorts, enclosures and animals."""

from __future__ import annotations

from functools import lru_cache

STAGE_WORDS = {
    "egg": "egg eggs egs ova ovum",
    "larva": "caterpillar caterpillars cat cats larva larvae larvas larval catterpillar catapillar catapillars caterpiller caterpillers pillars",
    "prepupa": "prepupa prepupae prepupas pre-pupa pre-pupae",
    "pupa": "chrysalis chrysalises chrysalides chrysalids chrysalid crysalis crysalises cocoon cocoons pupa pupae pupas pupal",
    "adult": "butterfly butterflies moth moths adult adults imago imagos imagoes imagines flutterby flutterbies",
}
STAGES = {word: stage for stage, words in STAGE_WORDS.items() for word in words.split()}

EVENT_WORDS = frozenset(
    "hatch hatched hatches hatching moult moulted moults molt molted molts shed pupate pupated pupates prepupated emerge emerged emerges eclose "
    "eclosed ecloses die died dies dead dying drowned released release escaped escape gave given lost missing found came come hung hangs turned "
    "went got moved looks looked has have had is are was were will died alive left counted checked".split()
)
"""Words that tell that a bare letter before them is a cohort."""
SURE_EVENT_WORDS = EVENT_WORDS - frozenset(
    "has have had is are was were will found came come went got left gave given looks looked lost".split()
)

HEADS = frozenset(
    "tub tubs cage cages jar jars box boxes tent tents sleeve sleeves tank tanks vivarium vivaria aquarium terrarium container containers bin bins "
    "bucket buckets tray trays bag bags net nets carton cartons crate crates basket baskets dish dishes shelf pot pots bottle bottles "
    "enclosure enclosures cup cups habitat habitats".split()
)
"""Nouns of enclosures: with a number or a letter after them they are the label of one."""
BARE_UNITS_AFTER = frozenset(
    {"ml", "l", "litre", "litres", "liter", "liters", "%", "ppm", "cm", "mm", "gal", "gallon", "gallons", "c", "f"}
)

CALLING = frozenset("call called name named label labelled labeled labelling naming dub".split())
"""Verbs that give a label: `call them H`."""
COHORT_WORDS = frozenset("cohort group batch cohorts groups batches".split())

PLANT_PARTS = frozenset(
    "leaf leaves tree trees stem stems plant plants cutting cuttings pot pots twig twigs branch branches bush bushes flower flowers sprig sprigs "
    "seedling seedlings sapling saplings root roots shoot shoots tendril tendrils patch bunch".split()
)
NAME_ENDINGS = (
    "wing",
    "wings",
    "tail",
    "tails",
    "spot",
    "streak",
    "streaks",
    "back",
    "tip",
    "tips",
    "fly",
    "mark",
    "shade",
    "veil",
)
"""What the made-up first word of a butterfly's name ends with."""
THINGS = frozenset(
    "oval ovals ball balls dot dots spot spots speck specks thing things string strings worm worms maggot maggots grain grains lump lumps sphere "
    "spheres cylinder oblong capsule capsules cocoon cocoons fly flies hair hairs fluff powder patch patches mark marks round blob blobs bead beads "
    "rice thread threads mould fuzz bits object objects bugs bug insect insects".split()
)
"""What a `small white` is not the butterfly before."""
NAME_HEADS = frozenset(
    "swallowtail swallowtails fritillary fritillaries skipper skippers hairstreak hairstreaks admiral admirals butterfly butterflies moth moths "
    "blue blues copper coppers white whites sulphur sulphurs sulfur sulfurs lady ladies emperor checkerspot crescent satyr hawkmoth hawkmoths".split()
)
NOT_PREFIXES = ("un", "non-", "over", "under")
DESCRIBING = (
    "y",
    "ed",
    "ing",
    "ish",
    "less",
    "ful",
    "ous",
    "en",
    "er",
    "est",
    "al",
    "ive",
    "ic",
    "ly",
    "coloured",
    "colored",
    "like",
    "ese",
    "ian",
    "able",
    "ible",
    "ise",
    "ize",
    "ate",
    "ify",
    "ant",
    "ent",
    "some",
)
"""Endings of words that describe or do rather than name."""

EVERYDAY = frozenset(
    "wall map wood sister old lady ladies dash dun hermit snout soldier drinker lackey herald footman ghost harvester question julia sprawler "
    "satyr argus apollo heath dryad sylph cardinal pasha owl owls tiger tigers cracker gem brimstone grass".split()
)
"""Words that are the whole name of some butterfly, moth or plant and are said every day of something else."""
ORDINARY = frozenset(
    """
    spawn spawned walk walks german american whales incl inclusive
    marvellous marvelous brilliant fantastic splendid smashing superb terrific gorgeous wonderful delighted thrilled hurrah crikey blimey
    diapause diapauses diapaused dormant dormancy overwinter overwinters overwintered hibernate hibernates quarantine
    cohort cohorts headcount instar instars prepupate
    a about above across add added adult after again against ago all alive almost alone along already also altogether always am among an and animal
    animals annual another answer any anybody anyone anything apart april are area around arrive as ask asked at ate august autumn average away
    baby back bad bag ball bar bark barely base basket batch bath be became because become been before began begin behind being below bench best
    better between beyond big bin binned bit bite bitten black blanket bleach blood bloody blow blue body book both bottle bottom bought bowl box
    boy branch break bright bring broke broken brood brought brown brush bucket bud bug bugs build built bunch burn bus bush busy but buy by cage
    cages call called came can cannot car care careful carpet carry case catch caught cause causes cellar centre certain chance change changed
    check checked child children choose circle city class clean cleaned cleaner cleaners clear clip close closed cloth cloud clump cluster coat cold collar collect
    colour coloured colours come comes coming common compare container cool cooler corner correct cost cotton cough could count counted country
    couple course cover covered crack cream crisp crowd crumb crumpled cup curl curled cut cutting cuttings daily damp dark date day daylight days
    dead deal dear death deaths december deep degree degrees dented depend deserve detail did die died difference different dig dip dirt dirty
    disease dish do does dog doing done door dot dots double doubt down drain drank drawer dried drink drip dripping drop dropping droppings drops
    drown drowned drowning dry dud due dull during dying each ear early earth easily east easy eat eaten eating eats edge effect egg eight either
    eleven else emerge emerged emergence emergency empty end enough equal escape escaped even evening ever every everyone everything example
    except expect explain extra eye face fact fail fall false family far farm farmer fast fat fate father february fed feed feeding feet fell felt
    female females few field fifth fig fill filled final finally find finger finish fire firm first fit five flat flew flies float floor flow fly
    fold follow food foot for forecast forget fork form forty found four fourth frass free fresh friday fridge friend from front frost full fully
    fume fumes fun future gap garden gas gather gauze gave gentle get gets getting girl give given glass glove gloves go goes going gold gone good
    got grass great green grew grey ground group grow grown growing guess had hair half hall hand hands hang hanging happen happened happens hard
    has hatch hatched hatching have having he head health healthy hear heat heavy held hello help hen her here herself high him himself his history
    hit hold hole holes hollow home hope hot hour hours house how however huge hundred hung hurt i ice if ill in indoor indoors infect infected
    insect inside instar instead into is it its itself j jar january job join july june just keep keeping kept kid kids kill killed kind kitchen
    knew know label lady laid lamp large larvae last late later law lay layer laying leaf leaking least leave leaves left leg legs length less let
    letter level lid lie lies life lift light like likely limit limp line lip list litre little live lived lives living local log long longer look
    looked looking looks lose loss losses lost lot lots love lovely low lower luck lump lunch made mail main make makes making male males many
    march mark match material may me mean means measure meat median member mend mesh met metal metallic middle might milk milky mind mine minus
    minute missing mistake mix mixed mixture moist moment monday month months more morning most mother mould mouldy moult moulted mouth move moved
    much mud mum mush mushy must my name named narrow nasty native near nearly neat necessary neck need needed needs neighbour neither net never
    new next nice night nine no nobody noise none normal normally north not note nothing notice noticed november now number numbers nursery object
    october odd of off offer often oh oil ok okay old older on once one ones only onto open opened or orange order other others otherwise our out
    outdoor outdoors outside oval over overnight own pad page paint pair pale pan paper part parts pass past patch path pattern pay pen people per
    percent perfect perhaps period permit person pet pets pick picked picture piece pin pinch pink place plain plan plant plants plastic plate
    play please plenty plus point pointed pointy poison poisonous pole pollen poor porch position possible post pot pots powder prefer pregnant
    prepupa prepupae present press pretty price probably problem proper protect protected proud pull pupa pupae pupate pupated purple push put
    quarter question quick quickly quiet quite rain raining raise raised range rate rather ratio raw reach read reading ready real really rear
    reared rearing reason record recorded records red refuse release released releasing remain remember remove removed rename renamed repeat reply
    rescue rest result return returned rib ribbed ridge ridges right ring rinse ripe rise risk river road rock roof room root rope rot rotten
    rough round row rub rubbish rule run running rust sad safe said salad salt same sample sand sat saturday save saw say says scale school
    scrap scratch scrub scrubbed sea season second see seed seem seems seen self sell send sense sent separate september set settle settled seven several
    shade shady shake shall shape share shared sharp she shed shell shelter shift shifted shine shiny ship shoe shook shop short should show shrink
    shrivelled shut sick side sight sign silk silky silver since single sink sister sit site sits six size skin sky sleep sleeve slept slice slime
    slimy slip slow slowly small smaller smear smell smells smooth snow so soak soaked soap soft soggy soil sold solid solution some someone
    something sometimes son soon sore sorry sort sound south space spare speak special species speck specks speed spend spent spider spike spill
    spilt spiky spin spindle split spoon spot spots spotted spray sprayed spread spring squash squashed stage stages stain stand standing star start
    started state stay stayed steady steam stem stems step stick sticks sticky stiff still sting stings stir stock stone stood stop stopped store
    storm story straight strange straw stream street string strings stripe striped stripes strong stuck stung such sudden suddenly sugar suit
    summer sun sunday sunny supply support sure surface surprise surprising survival survive survived swap sweet swell swim swing swollen system
    table tail take taken takes taking talk tall tank tape task taste tea tell ten tend tent term test tested than thank thanks that the their them
    then there these they thick thin thing things think third this those though thought thousand thread three threw through throw thumb thursday
    thus tidy tie tight till time times tin tiny tip tips tired to today together told tomorrow tonight too took tool top total totally touch
    toward town track trap tray treat tree trees tried trip trouble true trust try trying tub tube tubs tuesday turn turned turning twelve twenty
    twice twig twist twitch twitching two type ugly under underside unless until up upon upper upside us use used useful useless usual usually
    valley value van various vase very vet violent visit vinegar voice vomit vomiting wait wake walk wall wander wandering want wanted wants warm
    warmer was wash washed waste watch watched water watered watering wave wax way we weak wear weather wednesday week weeks weigh weight weird well went were west
    wet what whatever whats wheel when where whether which while whisper white who whole whom whose why wicked wide wild will wilt wilting wind window
    wing wings winter wipe wire wise wish with within without woke woman wonder wood word work works world worm worried worry worse worst worth
    would wound wrap wrapped wriggle wriggles write wrong wrote yard year years yellow yes yesterday yet you young younger your zip zone
    after easter faster master matter cover clever cloves lover over sliver slave pillow billow below fellow mellow follow hallow shallow swallow
    wallow cheery berry merry ferry hurry carry party partly early barley poppies happy kettle settled mettle nestle metal petal pedal detail
    function funnel tunnel kennel channel whistle bristle castle hustle muscle people purple ripple apple ample maple simple temple staple
    settler aspect asking basket border board boarder older holder mothers brother father feather leather mustard custard lettuce
    beetle beetles spider spiders ants ant slug slugs snail snails mite mites earwig bird birds mouse wasp wasps
    forewing forewings hindwing hindwings underwing underwings fingertip fingertips houseflies housefly dragonfly whitefly hoverfly caddisfly
    greenfly blackfly fruitfly horsefly earmark bookmark landmark benchmark feedback setback humpback drawback paperback comeback playback rollback
    current graph apply image basic basis skipped closer popular alter arise grave grade roman polar commas pipeline
    monthly monarchy month cocoon raccoon lagoon admire admired adding painter painting painted pointed lady lacy lazy
    viola viral vital virus viruses bacteria fungus parasite parasites parasitic spores spore infection treatment
    attack attacks attacking parasites diseases disease illness predators predator fertile infertile fertilised fertilized mist misting misted misty spraying damp moist humid humidity temperature belly tongue trick tricks lamp lamps
    chill chilled tag tagging tagged hairy fuzzy fluffy furry woolly sticky beside besides between kind kindest humane pinky reddish greenish yellowish
    brownish whitish greyish orangey stunted crispy brittle papery powdery kitchen oven fridge freezer supermarket grocery market school classroom
    neighbour neighbor neighbours friend cousin sister aunt uncle pupils teacher helper visitor volunteer wedding birthday holiday vacation weekend
    photo photos camera picture pictures video phone tablet screen app website internet online google youtube facebook forum leaflet
    ignore nudge breakfast lunchtime teatime dinner supper bedtime connect connected conservatory gutted heartbroken cruel thump sulk crinkle slot
    handle transport dispose isolate quarantine rehome nurture inspect examine attract invite lure capture adopt trade photograph film
    draw host summon sedate preserve mount exhibit dissect sacrifice comatose lame infirm faint orphan random entire fragile gravid
    virgin robust plump feeble upright bald mega mini juvenile mature immature senior rare dawn stubborn defunct extinct albino immobile
    mobile newborn multiple loads heap heaps tons masses oodles zillion gang crew squad herd gaggle brand hybrid crook suspect bizarre
    regular standard premium cheap wholesale amateur novice intact torn tepid strap strapped poke poked evict import export buy order
    raid rob steal hoard house home foot move hatch mist deliver courier drive fly carry lift hug pat stroke tickle prod peel unpack
    pack wrap parcel scoop brush tip sweep vacuum hose rinse bathe spook scare startle frighten calm soothe comfort cheer name dub crush
    stomp squish swat squirt ditch dump chuck toss bin burn boil roast bake microwave zap fry gas choke smother starve overfeed
    underfeed trim shade cram squeeze decent dumb smart lucky blind deaf mute fierce tame timid shy bold brave meek lone solo twin
    triplet vintage exotic foreign alien native pure raw crude bland
    doomed bodies tentacle tentacles trace mesh cocoons socket soup
    stress stressed stretch stretching sluggish listless lethargic hollowed darkening canister canisters jerrycan flask drum clarify translate train printer joke poem match
    abel abort adapted adapter adaptor akin alice aloe altitude amid anger anibal aptitude attaches await bands bass beard beast beta beth binds blank
    blob bonne booth boring botch bough boughs bowel brake breach bred bron brook broth brunch buck bull buncha bunk bust caching calc calf callee
    camel cape caret carl carrier carriers cart carve cash cask cease charge chase chat chorus chose chris clamp clan clarity clasp classy clause
    claws closet clutter coal codes coke comb comet comps contract cores cpus crane crash crashed creak cropped crumped cuppa curdled curry cute cyan
    dagger dairy dale dame dancer danglers dans dave davy daze dean decrease decreased deed dell denied depth depths derive diner disk dividend docs
    doer doers dole donor dove doves dread driven drone drove drover dune dyed elsie enclosed ether ever exposes fave fella fend fertiliser fertilizer
    fest feud fist flair flaw flesh flex fling flood font ford fore forge fort forth fred fringe fro fuel gain gene genera gloss gong goof goto greed
    greek greet groan gross gull halt halve hams handed hangover hare harp harvester hash haste haven haze heave heck heir heirs hero hers hoist hood
    hosta howl identity infected inflected injected instead intro jaws jean kissing lace lake lash latent launch lay lean leap lends libel liked linen
    link lint lisa loaf loom loops loosen loot lotus luke lying marek marge mast medina meet megan mere mesa midst mile moan moat mole moles mono
    monty mort movie mules mutter naive naked newt nina noose norman oily omen ontop opts otter owen oxen pace palace pant pants pasta paste peaked
    pecking peeped peer perch perf perl phones pickled pickling pier pitch plaid plank planks plat plats plopped poem poems poets poisson polo pork
    ported ports preset pride prob projected promises properly rage raisin rally ranger ration rattle rattled receiver receives recite rend repot
    reset resort rick rind roach role roles rook ruins rung sage sane sans satin seams seek seeks seize shard shark shire shirt shock shores shout
    shred sing sixth skates skill skim slick snare snort spade spar sparse splay splint spoil spout sprint stag stale stall stan stank stare stat
    statue steven stile stilt stingy stitch stitches stoop stork strain strand stuart stun super swear sweat tabs tart tempo theme thirsty thong
    thread toddy token tone trail tram tread tropics troy tuned tuning turfed tusks twine tying udder unmatched untie untied vast vince wail walt wand
    ware wart wedge weep welding wheat whine widow width wield wigs wines wink winner witch women wrung
    """.split()
)
ENDINGS = ("ing", "ed", "ly", "es", "s")


@lru_cache(maxsize=8192)
def ordinary(word: str) -> bool:
    """Whether a word, or the one that it is a regular form of, is an ordinary one: `wandered`, `slipping`, `carries`."""
    if word in ORDINARY:
        return True
    for ending in ENDINGS:
        base = word.removesuffix(ending)
        if base != word and len(base) >= 3:
            doubled = base[:-1] if base[-1] == base[-2] else base
            if not ORDINARY.isdisjoint((base, base + "e", doubled, base[:-1] + "y" if base.endswith("i") else base)):
                return True
    return False
