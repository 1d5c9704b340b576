"""Whether the facts hold together: sources, species and plants that entries name must exist. What does not hold is left out."""

from __future__ import annotations

from .facts import Pairing
from .faults import Fault
from .load import Read


def sources_of(fact: object) -> set[str]:
    """Every source id that a fact or a fact inside it names."""
    found: set[str] = set()
    fields = getattr(fact, "_fields", ())
    for field, value in zip(fields, fact if fields else ()):
        if field in ("sources", "give_up_sources"):
            found.update(value)
        elif isinstance(value, tuple):
            for each in (value,) if hasattr(value, "_fields") else value:
                if hasattr(each, "_fields"):
                    found |= sources_of(each)
    return found


def broken(read: Read) -> list[Fault]:
    """Faults between entries; the entries concerned are taken out of `read.sections`, where a shipped one under it takes its place."""
    faults: list[Fault] = []
    sources, species, plants = (read.sections[name] for name in ("sources", "species", "plants"))
    priors = read.sections["priors"]

    def lacking(section: str, name: str) -> list[str]:
        what = "species" if section == "species" else "plant"
        if name in read.sections[section]:
            return []
        return [f"its {what} “{name}” was left out" if (section, name) in read.places else f"unknown {what} “{name}”"]

    def checked(section: str, name: object, fact: object) -> bool:
        reasons = [f"unknown source “{each}”" for each in sorted(sources_of(fact) - set(sources))]
        if isinstance(fact, Pairing):
            reasons += [*lacking("species", fact.species), *lacking("plants", fact.plant)]
        elif section in ("thermal", "durations", "day_lengths"):
            reasons += lacking("species", name)
        elif section == "cuttings" and name != "any plant":
            reasons += lacking("plants", name)
        elif section == "hazards" and name not in plants and not any(each.split()[0] == name for each in plants):
            reasons.append(f"no plant of the name or genus “{name}”")
        elif section == "species" and fact.group and fact.group not in priors:
            reasons.append(f"unknown group “{fact.group}”; the groups are {', '.join(sorted(priors))}")
        label = " + ".join(name) if isinstance(name, tuple) else str(name)
        faults.extend(Fault(read.places[section, name], label, reason) for reason in reasons)
        return not reasons

    for section, entries in read.sections.items():
        if section == "sources":
            continue
        for name, fact in list(entries.items()):
            if isinstance(fact, tuple) and not hasattr(fact, "_fields"):
                kept = tuple(row for row in fact if checked(section, name, row))
            else:
                kept = fact if checked(section, name, fact) else None
            entries[name] = kept or read.shadowed.get((section, name))
            if not entries[name]:
                del entries[name]
    return faults
