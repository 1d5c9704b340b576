"""Whose egg it is: Bayes' rule over what a line says, from the plant, the region, the season and the keeper's own animals on."""

from __future__ import annotations

import re
from collections.abc import Sequence

from nurserytui.answers import egg_chances, egg_checks, egg_traits, naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.egg_candidates import Candidate, gather
from nurserytui.answers.wording import ask, cite, listed, lower, number, percent, sentence
from nurserytui.biology.identification import entropy, posterior

TOPIC = "egg-identification"
ANYWHERE = "anywhere"
"""In the place of a region, where it is not to be asked for."""
FAINT = 0.12
"""Below this share even the likeliest is only named, and more is asked."""
LEAST, WEIGHED = 0.01, 0.002
"""Shares below the first are not listed, below the second not weighed for the next look."""
MOST = 8
"""As many candidates are weighed for the next look."""
CHANGED = re.compile(r"\b(?:turn(?:ed|ing)|has gone|have gone|gone|went|changed|now|becoming|became)\b")
LIKENED = (
    r"\b(?:like|as|resembl\w+)\s+(?:an? |the |tiny |little )*{said}\b|\b{said}s?[ -](?:like|shaped?|sized?|colou?red|coloured)\b"
)
WAIT = "Squash or wipe off nothing while it may be an egg that you want: keep it on its bit of leaf in a closed cup and see what hatches."
ASKS = (
    "A single cream egg with ridges under a milkweed leaf",
    "A batch of green eggs under a nettle leaf",
    "A single pale yellow round egg on dill",
)


def egg_identification(request, nursery) -> Answer:
    """Species and look-alikes with probabilities, and the one next look that would tell the most."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    hosts = [host for host in request.hosts if not likened(host.said, text, len(request.hosts))]
    plants = tuple(dict.fromkeys(plant for host in hosts for plant in naming.plants_among(host, knowledge)))
    names = tuple(named.said for named in (*hosts, *request.species))
    seen = egg_traits.read(text, knowledge.traits, names)
    candidates, none = gather(plants, request, nursery)
    if not plants and not seen.anything and not any(one.telling for one in candidates):
        settled = naming.settle(request.species[0], request, nursery) if request.species else None
        asked = next((one for one in candidates if settled and one.name == settled.name), None)
        if asked:
            return looks_of(asked, settled, request, knowledge)
        return ask(
            TOPIC,
            "Tell me the plant, and what you see: colour, shape, ribs or smooth, how many together, and where on the plant.",
            ASKS,
        )
    words = word_lists(knowledge, candidates)
    ranked, none = weigh(seen, candidates, none, words, nursery)
    leading = [pair for pair in ranked[:MOST] if pair[1] >= LEAST]
    near = [pair for pair in ranked[:MOST] if pair[1] >= WEIGHED]
    unlisted = max(1 - sum(share for _, share in near), 0.0)
    open_checks = egg_checks.checks(
        near, unlisted, egg_checks.unsaid(seen, plants, naming.region_of(text, nursery)), words, knowledge
    )
    if not leading or leading[0][1] < FAINT:
        return not_told(leading, open_checks, seen, plants)
    return identified(seen, plants, leading, open_checks, words, request, nursery)


def looks_of(one: Candidate, settled, request, knowledge) -> Answer:
    """What the egg of a species looks like, where only the species is named."""
    other = naming.also_means(settled, request.species[0].said, knowledge)
    lines = [f"{sentence(one.card.looks)}", *([other] if other else [])]
    return Answer(
        "answered",
        TOPIC,
        "\n".join([f"The egg of {one.label}: {lower(lines[0])}", *lines[1:]]),
        about={"stage": "egg", "species": one.name},
        items=({"name": one.name, "label": knowledge.common(one.name), "check": sentence(one.card.looks)},),
        sources=cite(knowledge, one.sources),
        next=(f"How long do {naming.spoken(one.name, knowledge)} eggs take to hatch?",),
    )


def likeliest(request, nursery) -> tuple[str, float]:
    """The species that eggs on that plant, as the line says they were, most likely are of, and its share; "" where it is not a species."""
    hosts = [host for host in request.hosts if not likened(host.said, request.plain, len(request.hosts))]
    plants = tuple(dict.fromkeys(plant for host in hosts for plant in naming.plants_among(host, nursery.knowledge)))
    fresh = CHANGED.split(request.plain or request.text)[0]
    seen = egg_traits.read(fresh, nursery.knowledge.traits, tuple(host.said for host in hosts))
    candidates, none = gather(plants, request, nursery)
    ranked, _ = weigh(seen, candidates, none, word_lists(nursery.knowledge, candidates), nursery)
    first, share = ranked[0]
    return (first.name, share) if first.what == "species" else ("", 0.0)


def likened(said: str, text: str, hosts: int) -> bool:
    """A plant named only to say what the egg looks like (`like a gooseberry`)."""
    return hosts > 1 and bool(re.search(LIKENED.format(said=re.escape(said.casefold())), text))


def word_lists(knowledge, candidates: Sequence[Candidate]) -> egg_chances.Words:
    """How often each word is said of any egg; kept with the knowledge, in which nothing changes."""
    kept = knowledge.__dict__.get("_egg_words")
    if kept is None:
        kept = knowledge.__dict__["_egg_words"] = egg_chances.words_for(knowledge.traits, [one.card for one in candidates])
    return kept


def weigh(seen, candidates: Sequence[Candidate], none: float, words, nursery) -> tuple[list[tuple[Candidate, float]], float]:
    """Candidates with their shares, likeliest first, and the share of an egg that is none of them."""
    season = season_of(nursery)
    most = max((one.telling for one in candidates), default=0)
    rows = []
    for one in candidates:
        row = list(egg_chances.chances(seen, one.card, words, *season).values())
        if most:
            row.append(egg_chances.telling(one.telling, most, one.what == "look-alike"))
        rows.append(row)
    unknown = list(egg_chances.chances(seen, None, words, *season).values())
    if most:
        unknown.append(egg_chances.telling(0, most, True))
    shares = posterior([*(one.prior for one in candidates), none], [*rows, unknown])
    ranked = sorted(zip(candidates, shares), key=lambda pair: (-pair[1], pair[0].name))
    return ranked, shares[-1]


def season_of(nursery) -> tuple[int, int]:
    """The month of the moment, and by how many months the seasons on record are turned for a keeper in the south."""
    return nursery.now.month, 6 if (nursery.settings.latitude or 0) < 0 else 0


def not_told(leading, open_checks, seen, plants) -> Answer:
    near = [f"{one.label} ({percent(share)})" for one, share in leading[:3]]
    nearest = f" Nearest are {listed(near, 'or')}." if near else ""
    next_look = next((f" Most would tell: {one.words}." for one in open_checks if one.words), "")
    missing = [egg_checks.ASKED[trait] for trait in egg_checks.unsaid(seen, plants, ANYWHERE)]
    tell = f" Tell me {listed(missing[:4])}." if missing and not next_look else ""
    return ask(TOPIC, f"Nothing on record fits that well.{nearest}{next_look}{tell}", ASKS)


def identified(seen, plants, leading, open_checks, words, request, nursery) -> Answer:
    knowledge = nursery.knowledge
    leading = [(one, int(share * 1000) / 1000) for one, share in leading]
    (first, sure), rest = leading[0], leading[1:]
    said = [trait for trait in egg_checks.ASKED if trait not in egg_checks.unsaid(seen, plants, ANYWHERE)]
    usual = egg_chances.chances(seen, None, words, *season_of(nursery))
    items = []
    for one, share in leading:
        against = rest[0][0] if one is first and rest else first
        check = egg_checks.pair_check(one, against, words, knowledge, said) if one is not against else sentence(one.tell)
        items.append(
            {
                "name": one.name,
                "label": knowledge.common(one.name) if one.what == "species" else one.label,
                "probability": share,
                "reason": reason_for(one, seen, words, usual, nursery),
                "check": check,
                "kind": one.what,
            }
        )
    best = next((one for one in open_checks if one.words and one.bits >= egg_checks.FEWEST), None)
    if best:
        items[0]["check"] = sentence(best.words)
    how = "Almost surely" if sure >= 0.85 else "Most likely" if sure >= 0.5 else "Perhaps"
    what = f"the egg of {first.label}" if first.what == "species" else f"not a butterfly's egg but {first.label}"
    lines = [f"{how} {what} ({percent(sure)})."]
    asked = suspected(request, nursery)
    if asked:
        share = sum(share for one, share in leading if one.name in asked)
        said = request.species[0].said
        lines[0] = f"Yes: {lower(lines[0])}" if first.name in asked else f"Probably not {said} ({percent(share)}). {lines[0]}"
    lines.append(sentence(first.card.looks))
    if first.what == "look-alike":
        lines.append(f"What shows it: {lower(sentence(first.tell))} If it is that: {lower(sentence(first.action))}")
    if rest:
        lines.append(f"It could also be {listed([f'{one.label} ({percent(share)})' for one, share in rest[:3]], 'or')}.")
    if best and sure < egg_checks.SETTLED:
        lines.append(f"Best next check: {best.words}.")
    elif rest and sure < egg_checks.SETTLED:
        lines.append(f"Next: {items[0]['check']}")
    if "apart" in request.cues and rest:
        lines = [f"Best check: {best.words}."] if best else []
        lines += [f"{item['label']}: {item['check']}" for item in items[1 if best else 0 : 5]]
    about = {"stage": "egg"}
    if first.what == "species":
        about["species"] = first.name
    if plants:
        about["host"] = plants[0]
    name = naming.spoken(first.name, knowledge) if first.what == "species" else ""
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about=about,
        items=tuple(items),
        working=tuple(working(seen, leading, open_checks, words, nursery)),
        sources=cite(knowledge, (source for one, _ in leading[:3] for source in one.sources)),
        cautions=("Leave the egg on its piece of leaf; never peel it off to look.", *([WAIT] if doubtful(leading) else [])),
        next=(f"How long do {name} eggs take to hatch?", f"What do {name} larvae eat?", f"Tell me about the {name}")
        if name
        else (),
    )


def doubtful(leading) -> bool:
    """It may be a butterfly's egg as well as something that keepers remove."""
    return len({one.what for one, share in leading if share >= 0.03}) > 1


def suspected(request, nursery) -> set[str]:
    """The species that the line itself names (`is it a monarch egg`)."""
    return {name for one in request.species for name in naming.species_among(one.names, nursery.knowledge)}


def working(seen, leading, open_checks, words, nursery) -> list[str]:
    season = season_of(nursery)
    usual = egg_chances.chances(seen, None, words, *season)
    steps = [f"Traits read from the line: {traits_said(seen)}."]
    for one, share in leading[:3]:
        own = egg_chances.chances(seen, one.card, words, *season)
        fitted = ", ".join(f"{trait} {own[trait] / usual[trait]:.2g}" for trait in own)
        why = one.host or ("no plant given" if one.what == "species" else "taken for eggs")
        steps.append(
            f"{one.label}: {why}, {percent(one.prior)} before the traits; how much likelier each trait is than of any egg: {fitted or 'none said'}; "
            f"share {percent(share)}."
        )
    none = max(0.0, 1 - sum(share for _, share in leading))
    steps.append(f"{percent(none)} is left for other eggs.")
    doubt = entropy([*(share for _, share in leading), none])
    steps.append(f"Doubt left: {doubt:.2f} bits.")
    if open_checks:
        bits = "; ".join(f"{one.trait} {one.bits:.2f} ({one.between:.2f} between the first two)" for one in open_checks)
        steps.append(f"Bits that each further look is expected to tell: {bits}.")
    return steps


def reason_for(one: Candidate, seen, words, usual, nursery) -> str:
    """In words: what speaks for it and what against."""
    own = egg_chances.chances(seen, one.card, words, *season_of(nursery))
    fits = {trait: egg_chances.fit(chance, usual[trait]) for trait, chance in own.items()}
    good = [trait for trait, fit in fits.items() if fit >= 0.6]
    bad = [trait for trait, fit in fits.items() if fit < 0.3]
    parts = [one.host] if one.host else []
    if one.telling:
        parts.append("the line has words that tell it")
    if good:
        parts.append(f"{listed(good)} fit{'s' if len(good) == 1 else ''}")
    if bad:
        parts.append(f"{listed(bad)} {'does' if len(bad) == 1 else 'do'} not")
    return "; ".join(parts) or "not ruled out by what was said"


def traits_said(seen) -> str:
    said = {
        "colours": ("colour", listed(seen.colours)),
        "shapes": ("shape", listed(seen.shapes)),
        "surface": ("shell", listed(seen.surface)),
        "grouping": ("grouping", listed(seen.grouping, "or") + (f" of {seen.count}" if seen.count else "")),
        "places": ("place", egg_checks.in_words(seen.places)),
        "size": ("size", f"{number(seen.size_mm, 2)} mm" if seen.size_mm else "large" if seen.big else ""),
        "months": ("months", listed(str(month) for month in seen.months)),
    }
    parts = [f"{word} {what}{' (unsure)' if field in seen.unsure else ''}" for field, (word, what) in said.items() if what]
    return "; ".join(parts) or "none but the plant"
