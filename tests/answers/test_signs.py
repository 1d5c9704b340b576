"""Signs from a keeper's own words, with slips of the pen: what they may mean, whether to isolate, and when to ask instead."""

from __future__ import annotations

import pytest

from nurserytui.answers.sign_match import (
    Shown,
    absent,
    beginnings,
    causes,
    clauses_of,
    like,
    may_say,
    says,
    says_not,
    shown,
    words_of,
)
from nurserytui.answers.signs import describe_sign, stages_in, told_by_signs
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.knowledge.facts import Cause, Sign
from nurserytui.language.request import Request
from nurserytui.records.events import Event


@pytest.fixture(autouse=True)
def whole(small):
    """The small nursery with all agents of the shipped knowledge."""
    small.knowledge = load()


CASES = [
    ("my monarch cat went limp and black and hangs upside down dripping", "nuclear polyhedrosis virus", "yes"),
    ("caterpillar turned to black goo overnight", "bacterial infection", "yes"),
    ("not eating and not moving on the cage wall, plump and shiny", "moulting (normal)", "no"),
    ("swallowtail cat did a big runny splat and is now walking round the cage", "gut purge before pupation (normal)", "no"),
    ("they are throwing up green stuff since the new plants, all shaking", "insecticide", "no"),
    ("a maggot came out of my caterpillar on a thread", "tachinid fly", "yes"),
    ("small yellow fluffy cocoons beside a dead cabbage white caterpillar", "Cotesia glomerata", "yes"),
    ("three caterpillars died in the greenhouse when it got too hot", "heat", "no"),
    ("its filaments are limp and twisted and it hangs in a J", "about to pupate (normal)", "no"),
    ("little black wasp sitting on my J caterpillar", "Pteromalus puparum", "yes"),
    ("larva leaks green juice and it turned black after a few minutes", "bleeding wound", "no"),
    ("squashed a caterpillar with the lid and green stuff comes out", "bleeding wound", "no"),
    ("shiny little wasp strolls over a larva that is about to pupate", "Pteromalus puparum", "yes"),
    ("cat is without any movement for 20 hours, swollen head, clings to silk", "moulting (normal)", "no"),
    ("pupa is brown and crisp and weighs next to nothing", "Pteromalus puparum", "yes"),
    ("crysalis went clear this morning", "about to emerge (normal)", "no"),
    ("chrysalis is dark and I can see the wings", "about to emerge (normal)", "no"),
    ("two tiny holes in the side of the pupa, hollow", "Pteromalus puparum", "yes"),
    ("hole in the chrysalis with a thread and a brown capsule below", "tachinid fly", "yes"),
    ("the pupa wiggles when I poke it", "alive: a healthy reflex (normal)", "no"),
    ("chrysalis dropped to the floor and bleeds green", "injury by a fall", "no"),
    ("reddish drops below the new butterfly", "meconium (normal)", "no"),
    ("tape shows lemon shaped spores", "Ophryocystis elektroscirrha", "yes"),
    ("huge caterpillar left the plant and is marching round the lid", "looking for a place to pupate (normal)", "no"),
    ("swallowtail cat went dull purple and sits hunched on a twig, full grown", "about to pupate (normal)", "no"),
    ("my caterpillar spits green when I hold it", "defensive regurgitation", "no"),
    ("old head capsule still on its face after the moult", "air too dry", "no"),
    ("baby caterpillar dangling on a silk thread when I shake the plant", "drops on a silk thread in alarm (normal)", "no"),
    ("one caterpillar bitten in the side by another", "crowding or hunger", "no"),
    ("tiny wasp sitting on a fresh chrysalis", "Pteromalus puparum", "yes"),
    ("ants got in the cage and ate my caterpillars", "predators", "no"),
    ("yellowjacket carried off a caterpillar", "Polistes wasps", "no"),
    ("little white rice cocoons all over the back of a hornworm", "other braconid wasps", "yes"),
    ("brown pills on the cage floor like puparia", "tachinid fly", "yes"),
    ("gut hanging out of its back end", "bacterial infection", "yes"),
    ("brown fluid dripping from the mouth of my caterpillar, weak", "bacterial infection", "yes"),
    ("caterpillar died after the dog had flea drops", "insecticide", "no"),
    ("newly hatched caterpillars won't eat", "just hatched, not hungry yet (normal)", "no"),
    ("caterpillar won't eat the new plant", "wrong food plant", "no"),
    ("swallowtail caterpillar shot out orange horns that stink", "defence horns of a swallowtail (normal)", "no"),
    ("caterpillar sits on the stem with a silk belt around it", "about to pupate (normal)", "no"),
    ("still hanging in a J after three days", "too cool", "yes"),
    ("chrysalis just formed this morning and it is soft and wet", "still hardening (normal)", "no"),
    ("chrysalis fell down but looks intact", "silk gave way", "no"),
    ("chrysalis two weeks overdue and still green, with its golden spots", "too cool", "yes"),
    ("swallowtail caterpillar hanging by a silk thread from a twig", "about to pupate (normal)", "no"),
    ("small white larva roped to the fence by a thread", "about to pupate (normal)", "no"),
    ("larva dangling from the roof of the tub on a thread", "drops on a silk thread in alarm (normal)", "no"),
    ("long threads dangle out of the larva and it is limp", "tachinid fly", "yes"),
    ("chrysalis is held to the stick by one silk thread", "held by its silk (normal)", "no"),
    ("white strands are coming out of the chrysalis", "tachinid fly", "yes"),
    ("larvae went rigid in the cold porch", "too cool", "no"),
    ("the moth has a very fat body", "full of fluid on its first day, or a female full of eggs (normal)", "no"),
    ("butterfly with a crooked feeler", "damage", "no"),
    ("a bit of shell is stuck to the foot of the moth", "air too dry", "no"),
    ("caterpillar dribbled green juice when I held it", "defensive regurgitation", "no"),
    ("36 larvae lie still after a cold snap in the unheated porch", "too cool", "no"),
    ("larva went brown and lies flat with a puddle under it", "bacterial infection", "yes"),
    ("one after another goes missing one by one, no body left", "predators", "no"),
    ("its wings are fine, it came out of the chrysalis and drips red", "meconium (normal)", "no"),
    ("queen larva with a broken filament", "damage", "no"),
    ("do larvae eat their own skin", "eats its cast skin (normal)", "no"),
    ("hawkmoth larva has burrowed into the soil of the pot", "gone underground to pupate (normal)", "no"),
    ("caterpillars were chilled in the shed and hardly stir", "too cool", "no"),
    ("four of my larvae are missing, found an earwig in the jar", "predators", "no"),
    ("gold dots on the chrysalis", "metallic spots of its pattern (normal)", "no"),
    ("butterfly just came out, wings tiny and wet", "wings still filling (normal)", "no"),
    ("two butterflies stuck together tail to tail", "mating pair (normal)", "no"),
    ("monarch abdomen looks grey and dirty", "Ophryocystis elektroscirrha", "yes"),
    ("butterfly keeps banging against the net", "wants out (normal)", "no"),
]


@pytest.mark.parametrize(("text", "cause", "isolate"), CASES)
def test_what_a_sign_means(ask, text, cause, isolate):
    answer = ask("health-sign", text)
    assert answer.status == "answered" and answer.items[0]["name"] == cause and answer.values["isolate"].value == isolate
    assert sum(item["probability"] for item in answer.items) < 1 and answer.about["sign"] and answer.sources and answer.working


@pytest.mark.parametrize("text", ["my caterpillar looks funny", "something is wrong with it", "the caterpillar is green", "help"])
def test_too_little_is_asked_about(ask, text):
    answer = ask("health-sign", text)
    assert answer.status == "clarify" and answer.options and not answer.items and answer.cautions


@pytest.mark.parametrize(
    "text", ["is the pupa dead or asleep", "do I throw the old cocoon away", "should we give up on this chrysalis"]
)
def test_a_pupa_is_not_given_up_on_time_alone(ask, text):
    answer = ask("health-sign", text)
    assert answer.status == "answered" and "time alone" in answer.text and "rattling" in answer.text and answer.sources
    assert ask("egg-viability", text, stages=("pupa",)).text == answer.text


@pytest.mark.parametrize(
    ("text", "days", "first"),
    [
        ("our painted ladies have been in chrysalis for 12 days at 20 C and none came out, is that normal?", 14.4, "Wait"),
        ("my monarch has been a chrysalis for 18 days, is it dead", 10.4, "That is late"),
        ("monarch caterpillar has not changed for 20 days, what is wrong with it", 15.8, "Wait"),
    ],
)
def test_days_told_stand_beside_the_days_that_the_stage_takes(small, text, days, first):
    answer = Assistant(small).reply(text)
    assert answer.status == "answered" and answer.text.startswith(first), answer.text
    assert answer.values["days"].value == pytest.approx(days, abs=0.1)


@pytest.mark.parametrize(("species", "rests"), [("painted lady", False), ("monarch", False), ("eastern black swallowtail", True)])
def test_no_winter_rest_is_laid_to_a_pupa_of_a_species_that_winters_otherwise(small, species, rests):
    answer = Assistant(small).reply(f"my {species} chrysalis stays a chrysalis after 5 weeks, is that normal")
    assert ("winter rest" in answer.text or "Pupae that are to winter rest" in answer.text) is rests, answer.text


def test_the_action_or_the_all_clear_comes_first(ask):
    assert ask("health-sign", "white strings hang from the caterpillar").text.startswith(("Keep it apart", "Isolate"))
    assert ask("health-sign", "pupa wiggles when touched").text.startswith("Most likely normal")


def test_words_of_alarm_speak_against_a_healthy_reading(ask):
    assert ask("health-sign", "caterpillar still for a day, firm on its silk pad").values["isolate"].value == "no"
    assert ask("health-sign", "caterpillar still for three days, limp, smells").values["isolate"].value == "yes"


def test_a_disease_of_monarchs_is_not_laid_to_another_species(ask):
    def share(species):
        found = {item["name"]: item["probability"] for item in ask("health-sign", "crumpled wings", species=[species]).items}
        return found.get("Ophryocystis elektroscirrha", 0.0)

    assert share("Danaus plexippus") > 0.2 > 0.05 > share("Vanessa cardui")


def test_describing_a_sign_for_the_record(small):
    assert describe_sign("white strings hanging from the body", "larva", small).items[0]["name"] == "tachinid fly"
    assert describe_sign("a nice day", "larva", small) is None


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("the caterpillar", ("larva",)),
        ("hanging caterpillar", ("larva", "prepupa")),
        ("butterfly stuck in its chrysalis", ("pupa",)),
        ("crumpled wings", ("adult",)),
        ("it", ()),
    ],
)
def test_stages_named(text, stages):
    assert stages_in(text) == stages


@pytest.mark.parametrize(
    ("stem", "line", "said"),
    [
        ("mush", "all mushy now", True),
        ("strings", "no strings on it", False),
        ("not move", "it hasn't moved", True),
        ("not move", "it hasnt moved", True),
        ("tachinid", "a tachnid fly", True),
        ("red", "redundant words", False),
        ("vomit", "they keep puking", True),
        ("vomit", "it threw up", True),
        ("limp", "all saggy", True),
        ("light", "I lightly squeezed it", False),
        ("yellow", "a yellow jacket came", False),
    ],
)
def test_words_match_by_stem_slip_and_denial(stem, line, said):
    assert bool(says(stem, words_of(line))) is said


def test_short_stems_do_not_swallow_longer_words():
    assert like("ant", "ants") and not like("ant", "antenna")


def sign(name, shares, **more):
    rest = {
        "words": ((name,),),
        "how_sure": "high",
        "healthy": "",
        "check": "",
        "action": "",
        "isolate": False,
        "spreads": "",
    } | more
    return Sign(name, "larva", name, causes=tuple(Cause(*pair) for pair in shares), **rest)


def test_two_signs_together_favour_the_cause_that_they_share():
    one = Shown(sign("limp", [("virus", 1), ("hunger", 1)]), 1.0, True, 3.0)
    two = Shown(sign("black", [("virus", 1), ("mould", 1)]), 1.0, True, 3.0)
    alone, _ = causes([one])
    both, other = causes([one, two])
    assert alone[0].probability == alone[1].probability
    assert both[0].name == "virus" and both[0].probability > 0.7
    assert sum(cause.probability for cause in both) + other == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize(
    ("stem", "line", "denied"),
    [
        ("limp", "it is not limp", True),
        ("smell", "no bad smell", True),
        ("smell", "not limp or smelly", True),
        ("limp", "not moving, limp", False),
        ("limp", "not moving limp", False),
        ("limp", "no smell but limp", False),
        ("limp", "limp and not limp", False),
    ],
)
def test_what_is_denied(stem, line, denied):
    assert says_not(stem, clauses_of(line)) is denied


def test_a_sign_said_to_be_absent_lowers_its_causes():
    signs = load().signs("larva")
    text = "caterpillar still and limp for days"
    there = shown(text, signs, ("larva",))[:1]
    before = {one.name: one.probability for one in causes(there)[0]}
    missing = absent("not hanging, no prolegs, not dark, not mushy", signs, ("larva",))
    after = {one.name: one.probability for one in causes(there, None, missing)[0]}
    assert missing and after["nuclear polyhedrosis virus"] < before["nuclear polyhedrosis virus"]


def test_a_denial_takes_a_sign_away():
    signs = load().signs("larva")
    ids = {one.sign.id: one.strength for one in shown("black but not mushy, no smell", signs, ("larva",))}
    assert ids.get("larva-black-and-mushy", 0) < 0.5


def test_several_signs_in_one_line_narrow_the_ranking(ask):
    def virus(text):
        return next(
            (item["probability"] for item in ask("health-sign", text).items if item["name"] == "nuclear polyhedrosis virus"), 0
        )

    one = virus("caterpillar limp and still")
    assert virus("caterpillar limp and still, hanging in an upside down V, dark and soft") > one + 0.2


def test_what_was_written_down_before_is_reckoned_with(small):
    cohort = next(label for label, one in small.ledger.cohorts.items() if small.heads(cohort=label))
    plain = describe_sign("limp and still, not eating", "larva", small)
    when = small.now.isoformat(timespec="minutes")
    _also(small, Event(when, "sign", cohort=cohort, stage="larva", detail="hanging upside down by its prolegs, dark and oozing"))
    with_it = describe_sign("limp and still, not eating", "larva", small, cohort)
    share = {item["name"]: item["probability"] for item in with_it.items}["nuclear polyhedrosis virus"]
    assert share > {item["name"]: item["probability"] for item in plain.items}["nuclear polyhedrosis virus"]
    assert "wrote down before" in with_it.text and any("half weight" in step for step in with_it.working)
    assert any(source.kind == "own records" for source in with_it.sources)


def test_a_question_without_a_sign_is_answered_from_the_records(ask, small):
    cohort = next(label for label, one in small.ledger.cohorts.items() if small.heads(cohort=label))
    assert ask("health-sign", f"what is wrong with {cohort}", cohorts=(cohort,)).status == "clarify"
    when = small.now.isoformat(timespec="minutes")
    _also(small, Event(when, "sign", cohort=cohort, stage="larva", detail="white strings hanging from the body"))
    answer = ask("health-sign", f"what is wrong with {cohort}", cohorts=(cohort,))
    assert answer.items[0]["name"] == "tachinid fly" and answer.values["isolate"].value == "yes"


SPREADING = [
    ("caterpillar hanging in an upside down V, dark and soft", "yes", ("14 days", "How long it stays")),
    ("three caterpillars died in the greenhouse when it got too hot", "no", ("Not contagious",)),
    ("two tiny holes in the side of the pupa, hollow", "yes", ("30 days",)),
    ("they are throwing up green stuff, all shaking", "no", ("share the leaf",)),
]


@pytest.mark.parametrize(("text", "contagious", "told"), SPREADING)
def test_whether_and_how_long_it_spreads(ask, text, contagious, told):
    answer = ask("health-sign", text)
    line = next(line for line in answer.text.split("\n") if line.startswith("Does it spread"))
    assert answer.values["contagious"].value == contagious and all(each in line for each in told)
    assert "Isolate: " in answer.text


def test_signs_that_are_passed_over_could_not_be_said():
    lines = (
        "the caterpillar isn't eating, limp and leaking since yesterday",
        "one wing on the new butterfly is shorter",
        "egg blackend",
    )
    for words in map(clauses_of, lines):
        begin = beginnings(words)
        said = {stem for sign in load().signs() for group in sign.words for stem in group if says(stem, words)}
        assert said and all(may_say(stem, begin) for stem in said)


@pytest.mark.parametrize(
    ("line", "sign"),
    [
        ("the tongue is in two halves and does not join", "adult-split-tongue"),
        ("everyone is vomiting green since the new leaves", "larva-green-vomit"),
        ("the lamp is leaking", ""),
    ],
)
def test_a_line_without_a_stage_is_told_by_a_whole_sign_only(small, line, sign):
    found = told_by_signs(Request(line, plain=line), small)
    assert (found.about["sign"] if found else "") == sign


def test_a_stem_in_e_meets_its_ing():
    assert like("move", "moving") and not like("move", "movies")


def _also(nursery, event: Event) -> None:
    nursery.store.put(*nursery.store.events(), event)
    nursery.refresh()
