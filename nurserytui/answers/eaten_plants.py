"""Which plants each cohort eats by the records, and which of them go together because those who eat the one may eat the other."""

from __future__ import annotations

from nurserytui.answers import naming, stock

NO_SPECIES = ("", "unknown")


def feeding_cohorts(nursery) -> list[str]:
    return list(dict.fromkeys(key.cohort for key, _ in nursery.heads() if key.stage in ("egg", "larva")))


def plants_of(label: str, lots: list[stock.Lot], known: list[str], nursery) -> tuple[str, ...]:
    """The plants that a cohort eats by the records: what it was given of late or what was cut for it, and its own host, which a meal of
    another does not put an end to. What is on hand comes first."""
    cohort = nursery.ledger.cohorts[label]
    names = (label, *cohort.former_labels)
    found = [fed_with(label, nursery), *(lot.host for lot in reversed(lots) if lot.whose in names), cohort.host]
    found = list(dict.fromkeys(host for host in found if host)) or [host for host in (_only_food(label, known, nursery),) if host]
    on_hand = [host for host in found if any(naming.same_plant(lot.host, host) for lot in lots)]
    return tuple(dict.fromkeys((*on_hand, *found)))


def fed_with(label: str, nursery) -> str:
    """The plant that a cohort was last given by the records of the last days, if its species eats it: keepers change from one plant to
    another. "" where no feeding names a plant."""
    cohort, chronicle = nursery.ledger.cohorts[label], nursery.ledger.chronicle
    places = {key.enclosure for key, _ in nursery.heads(cohort=label, stage="larva") if key.enclosure}
    since = max((nursery.now - stock.STALE).isoformat(), str(cohort.first_when))[:10]
    found = ""
    for at in reversed(chronicle.numbers(names=(label, *cohort.former_labels), places=tuple(places))):
        (event,) = chronicle.events((at,))
        if event.day < since:
            break
        if event.what == "fed" and event.host and event.cohort in ("", label, *cohort.former_labels):
            if event.host == cohort.host or naming.eats(nursery.knowledge, cohort.species, event.host):
                found = event.host
                break
    return found


def _only_food(label: str, known: list[str], nursery) -> str:
    """The plant whose stock is kept track of that a cohort without a noted plant eats by its species, the best one first; "" where there is none."""
    species = nursery.ledger.cohorts[label].species
    for pairing in nursery.knowledge.pairings_of(species) if species not in NO_SPECIES else ():
        if pairing.rank in naming.EATEN:
            for host in known:
                if naming.same_plant(host, pairing.plant):
                    return host
    return ""


def pooled(plants: dict[str, tuple[str, ...]], lots, known: set[str], nursery) -> list[tuple[tuple[str, ...], list[str]]]:
    """Hosts with the cohorts on them. Names that may mean the same plant, as `milkweed` and one species of it, go together; two species
    of a genus do not, unless a name for the whole genus joins them. Plants of one cohort go together where all who eat of the one may
    eat of the other."""
    eaten: dict[str, list[str]] = {}
    for label, hosts in plants.items():
        eaten.setdefault(hosts[0], []).append(label)
    every = {*known, *(host for hosts in plants.values() for host in hosts)}
    pools: list[list[str]] = []
    for name in sorted(every, key=lambda name: (not naming.is_genus(name), name)):
        home = next((pool for pool in pools if any(naming.same_plant(name, other) for other in pool)), None)
        if home is None:
            pools.append([name])
        else:
            home.append(name)
    for hosts in plants.values():
        for other in hosts[1:]:
            one, two = (next(pool for pool in pools if name in pool) for name in (hosts[0], other))
            labels = [label for name in (*one, *two) for label in eaten.get(name, ())]
            if one is not two and all(_may_eat(label, host, plants, nursery) for label in labels for host in (hosts[0], other)):
                one.extend(two)
                pools.remove(two)
    first = {host: place for hosts in plants.values() for place, host in reversed(list(enumerate(hosts)))}
    found = []
    for pool in pools:
        labels = [label for label in plants if any(label in eaten.get(name, ()) for name in pool)]
        if labels:
            pool.sort(key=lambda name: (name not in eaten, first.get(name, len(every)), name))
            found.append((tuple(pool), labels))
    return found


def _may_eat(label: str, host: str, plants: dict[str, tuple[str, ...]], nursery) -> bool:
    if any(naming.same_plant(host, other) for other in plants[label]):
        return True
    species = nursery.ledger.cohorts[label].species
    return species not in NO_SPECIES and naming.eats(nursery.knowledge, species, host)
