"""Which parasitoid or disease a recorded cause, sign or test speaks of, and what is known of it for tracing."""

import re
from typing import NamedTuple

KINDS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    (
        "wasp",
        ("parasitoid wasp",),
        r"wasps?\b|pteromal|trichogramma|telenomus|chalci|brachymeria|ichneumon|braconid|cotesia|trogus|eulophid",
    ),
    (
        "fly",
        ("parasitoid fly",),
        r"\bfl(?:y|ies)\b|tachinid|\bmaggots?\b|white (?:silky )?strings|puparia|puparium|lespesia|sturmia",
    ),
    ("virus", ("virus",), r"virus|\bviral\b|\bnpv\b|baculo|polyhedr|black wilt"),
    ("OE", ("protozoan",), r"\boe\b|ophryocystis|\bspores?\b|protozoa"),
    ("bacteria", ("bacterium",), r"bacteri|septicaemia|flacherie|pseudomonas|serratia"),
    ("microsporidia", ("microsporidian",), r"microsporid|nosema|pebrine"),
    ("fungus", ("fungus",), r"fung(?:us|al|i)\b|beauveria|metarhizium"),
)
"""A kind of trouble that is traced, the `Agent.type` words of it, and the words it is written down with."""
PARASITOIDS = ("wasp", "fly")
GENERAL = {"disease": ("virus", "OE", "bacteria", "microsporidia", "fungus"), "parasite": PARASITOIDS, "parasitoid": PARASITOIDS}
OTHERS = (
    (
        "predator",
        r"\bpredators?\b",
        r"spider|\bants?\b|earwig|\bbirds?\b|\bmouse\b|\bmice\b|lacewing|\bmantis|lizard|wasps? (?:ate|took)|paper wasp|hornet|yellowjacket|bugs?\b",
    ),
    ("accident", r"\baccident", r"drown|squash|crush|trapp|caught in|zip|fell|stood on|dropped|lid"),
    ("heat", r"\bheat\b|\b(?:over)?heated\b|\bcooked\b|\bsunstroke\b", r"heat|overheat|too hot|\bsun|cooked"),
    ("cold", r"\bfr[eo]ez\w*|\bfroze\w*|\bcold\b|\bfrost\w*", r"fr[eo]z|frost|cold"),
    (
        "drowning",
        r"\bdrown\w*",
        r"drown|(?:fell|fallen|walked|crawled|got) in(?:to)?\b.*(?:water|jar|vase|bottle)|in (?:the )?water",
    ),
    (
        "crushing",
        r"\b(?:crush|squash|squish|trod|tramp)\w*|\bstood on\b",
        r"crush|squash|squish|trod|tramp|stood on|stepped on|\blid\b|zip|door",
    ),
    (
        "drying out",
        r"\b(?:dried|dry|drying)\b|\bd[ei]s+ic+at\w*|\bdehydrat\w*|\bshrivel\w*",
        r"\bdr(?:y|ied)\b|d[ei]s+ic+at|dehydrat|shrivel",
    ),
    ("starving", r"\bstarv\w*|\bhunger\b", r"starv|hunger|hungry|no food|ran out"),
    ("cannibals", r"\bcannibal\w*|\beach other\b", r"cannibal|sibling|each other|bigger one"),
    ("poison", r"\bpoison\w*|\b(?:pest|insect)icides?\b", r"poison|icide|spray|chemical|neonic"),
    ("infertility", r"\binfertil\w*|\bunfertili\w*|\bduds?\b", r"infertil|unfertil|\bduds?\b"),
    ("mould", r"\bmou?ld\w*", r"mou?ld"),
    *(
        (name, rf"\b{said}\b", rf"\b{said}\b")
        for name, said in (
            ("spiders", "spiders?"),
            ("ants", "ants?"),
            ("earwigs", "earwigs?"),
            ("birds", "birds?"),
            ("mice", "(?:mice|mouse|rats?)"),
            ("lacewings", "lacewings?"),
            ("bugs", "(?:stink|assassin|shield|soldier)?\\s?bugs?"),
            ("mantises", "mantis(?:es)?"),
            ("social wasps", "(?:paper wasps?|hornets?|yellowjackets?)"),
        )
    ),
)
"""Kinds of loss that do not spread: asked about, but not traced. A name, how it is asked about, how it is written down."""
UNNAMED = "parasitoid"
"""The type of the entry that stands for parasitoids of no kind: the kind is then read from the other words."""
CLEAR = re.compile(r"\b(clear|clean|negative|none|free|no)\b|^\s*0\b")
FLIERS = {
    "wasp": r"(?:wasps?|parasitoids?|parasites?)",
    "fly": r"(?:fl(?:y|ies)|maggots?|pupari(?:um|a)|parasitoids?|parasites?)",
}
_TOOK, _KIND = (
    r"(?:caught|killed|removed|got|took out|let out|swatted)",
    r"(?:(?:of|the|those|loose|last|tiny|little|small|living) )*",
)
CAUGHT = (
    r"\b(?:no|zero) (?:(?:more|other|further|loose|living|live|flying) )*{them}\b(?! (?:yet|so far))",
    rf"\b{_TOOK} (?:all|every|the last|the rest) {_KIND}{{them}}\b",
    rf"\b{_TOOK} the (?:loose )?{{them}}\b",
    rf"\b(?:all|every|the last|the rest) {_KIND}{{them}}\b[^,.;]*\b(?:caught|gone|killed|removed)\b",
    r"\b(?:the|those|loose) (?:loose )?{them}\b(?: in [\w' -]{{1,30}}?)? (?:are|were|was|have been|have|is) (?:all )?(?:caught|gone|killed|removed|dead)\b",
)
"""What a look or a note says when the last one is caught."""
NOT_ALL = re.compile(r"\b(?:not|some|most|except|but|nearly|almost|hope|probably|maybe|think|half)\b|n't\b|\?")
PREDATORY = re.compile(r"\b(paper wasps?|social wasps?|yellowjackets?|hornets?|polistes)\b")
STOP = frozenset(
    "died dead death deaths from with that this year many were have been them they most what killed which when caught could".split()
)


class Suspect(NamedTuple):
    """What a text names. `agent` is the knowledge base's entry, None where only the kind is clear."""

    kind: str
    agent: object | None
    """knowledge.facts.Agent"""
    named: bool
    """True where the text names it; False where a sign's likeliest cause was taken."""
    share: float = 1.0
    """The chance that it is this, where a sign's cause was taken."""

    @property
    def name(self) -> str:
        return self.agent.name if self.agent is not None else self.kind


def kind_of_agent(agent) -> str:
    """The traced kind that an agent belongs to, "" for predators, poisons and the like."""
    kind = next((kind for kind, types, _ in KINDS if agent.type.casefold() in types), "")
    return kind if kind in PARASITOIDS or agent.contagious else ""


def kind_of_words(text: str) -> str:
    """The traced kind that a text names first, "" for none."""
    text = PREDATORY.sub(" ", text.casefold())
    hits = [(found.start(), kind) for kind, _, pattern in KINDS if (found := re.search(pattern, text))]
    return min(hits)[1] if hits else ""


def kinds_said(text: str) -> tuple[str, ...]:
    """All the traced kinds that a line names; `disease` and `parasite` stand for several."""
    low = PREDATORY.sub(" ", text.casefold())
    found = [kind for kind, _, pattern in KINDS if re.search(pattern, low)]
    for word, kinds in GENERAL.items():
        if re.search(rf"\b{word}", low):
            found.extend(kinds)
    return tuple(dict.fromkeys(found))


def suspect(text: str, knowledge, stage: str = "") -> Suspect | None:
    """The parasitoid or disease behind a recorded cause of death or sign, None where the text points to none."""
    named = _agent_named(text, knowledge)
    if named is not None:
        kind = kind_of_agent(named)
        return Suspect(kind, named, True) if kind else None
    kind = kind_of_words(text)
    return Suspect(kind, usual_agent(kind, knowledge, stage), True) if kind else None


def suspect_of_sign(text: str, knowledge, stage: str = "") -> Suspect | None:
    """As `suspect`, and where the words name nothing, the likeliest cause of the sign they describe, if that one is traced."""
    if any(all_caught(text, kind) for kind in PARASITOIDS):
        return None
    found = suspect(text, knowledge, stage)
    if found is not None:
        return found
    weighed = _weighed(text, knowledge, stage)
    return _cause(weighed[0], knowledge, stage) if weighed else None


def suspects_of_sign(text: str, knowledge, stage: str = "") -> list[Suspect]:
    """All the traced causes of the sign that a text describes, likeliest first, with their chances."""
    found = (_cause(one, knowledge, stage) for one in _weighed(text, knowledge, stage))
    return [one for one in found if one is not None]


def _weighed(text: str, knowledge, stage: str) -> list:
    """The causes of the clearest sign in a text, likeliest first; none where it shows none, or one of health."""
    from nurserytui.answers.sign_match import causes, enough, shown

    signs = enough(shown(text, knowledge.signs(), (stage,) if stage else ()), 0.75)
    return causes(signs)[0] if signs and not signs[0].sign.normal else []


def _cause(weighed, knowledge, stage: str) -> Suspect | None:
    agent = knowledge.agent(weighed.name)
    kind = kind_of_agent(agent) if agent is not None else kind_of_words(weighed.name)
    return Suspect(kind, agent or usual_agent(kind, knowledge, stage), False, weighed[1]) if kind else None


def all_caught(text: str, kind: str) -> bool:
    """Whether a note says that no parasitoid of that kind is left (`no wasps left`, `caught all the wasps`)."""
    low = text.casefold().strip()
    return bool(low) and not NOT_ALL.search(low) and any(re.search(one.format(them=FLIERS[kind]), low) for one in CAUGHT)


def _agent_named(text: str, knowledge):
    """The agent whose name stands in the text: the longest name, else a genus; None where there is none."""
    low = text.casefold()
    best, longest = None, 0
    for agent in knowledge.all_agents():
        if agent.type == UNNAMED:
            continue
        genus = agent.name.split()[0].casefold()
        for name in (agent.name, *agent.common, genus if agent.name[:1].isupper() and " " in agent.name else ""):
            name = name.casefold()
            if len(name) > max(2, longest) and name in low and re.search(rf"(?<!\w){re.escape(name)}(?:e?s)?(?!\w)", low):
                best, longest = agent, len(name)
    return best


def usual_agent(kind: str, knowledge, stage: str = ""):
    """The best described agent of a kind that attacks `stage`: its numbers stand in where the records only say the kind."""
    able = [agent for agent in knowledge.all_agents() if kind_of_agent(agent) == kind]
    fitting = [agent for agent in able if not stage or stage in agent.attacks] or able
    if kind not in PARASITOIDS:
        # The knowledge base has the one that is met most in front: `virus` is the nuclear polyhedrosis, not the rarer ones.
        return fitting[0] if fitting else None
    # A measured rule first, then what attacks little else than that stage, then the widest span of days.
    # Where no stage is given, what leaves pupae is met most.
    return min(
        fitting,
        key=lambda a: (
            not stage and "pupa" not in a.attacks,
            not a.degree_days,
            len(a.attacks),
            (a.days_low or 0) - (a.days_high or 0),
        ),
        default=None,
    )


def others_said(plain: str) -> tuple[str, ...]:
    """The kinds of loss that do not spread and that a line names (`how many drowned`)."""
    return tuple(kind for kind, asked, _ in OTHERS if re.search(asked, plain))


def cause_words(request, nursery) -> tuple[str, ...]:
    """What a line asks about by its cause: traced kinds, and words that stand in the causes of death in these records."""
    kinds = kinds_said(request.plain) or others_said(request.plain)
    if kinds:
        return kinds
    recorded = nursery.until_written("words of deaths", lambda: _words_of_deaths(nursery))
    asked = [word for word in re.findall(r"[a-z]{4,}", request.plain) if word not in STOP]
    return tuple(dict.fromkeys(word for word in asked if any(alike(word, other) for other in recorded)))


def _words_of_deaths(nursery) -> set[str]:
    """The words in which causes of death are told."""
    details = {event.detail.casefold() for event in nursery.ledger.chronicle.events_of("died")}
    return {word for detail in details for word in re.findall(r"[a-z]{4,}", detail) if word not in STOP}


def alike(word: str, other: str) -> bool:
    """`drown` and `drowned`, `spiders` and `spider`: one begins with the other, give or take an ending."""
    short, long = sorted((word, other), key=len)
    return long.startswith(short) and len(long) - len(short) <= 3


def same_cause(detail: str, agents, words, nursery) -> bool:
    """Whether a recorded cause is one of the agents, kinds or words asked about."""
    found = suspect(detail, nursery.knowledge)
    kind = found.kind if found else kind_of_words(detail)
    asked = {kind_of_agent(agent) for name in agents if (agent := nursery.knowledge.agent(name)) is not None}
    if kind and (kind in words or kind in asked):
        return True
    if any(kind in words and re.search(pattern, detail.casefold()) for kind, _, pattern in OTHERS):
        return True
    return any(alike(word, other) for word in words for other in re.findall(r"[a-z]{4,}", detail.casefold()))
