"""Stage changes, losses, moves and splits: which animals, and how many of each group."""

from __future__ import annotations

import re

from nurserytui.answers.record_asking import Asking
from nurserytui.answers.record_ground import FROM, LAST_INSTAR, REACHED, Ask, leaves_out
from nurserytui.answers.record_wording import sentence, there_words
from nurserytui.answers.wording import listed
from nurserytui.language.draft import Draft
from nurserytui.records.events import Event

OPENED = re.compile(r"\b(?:opened|opening|unzipped|zip|zipper|door|flap)\b", re.IGNORECASE)
"""Words of an opening through which those that fly got away, where there are any."""
MOVING = ("larva", "prepupa", "adult")
"""Stages that can walk or fly away."""


class Taking(Asking):
    """Records that take animals out of the groups where they stand."""

    def _taking(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        """Stage changes, losses and moves: animals are taken out of groups."""
        draft = self._right_change(draft, ledger)
        what = draft.what
        stages = FROM.get(what, ())
        flying = what == "released" or what == "escaped" and OPENED.search(self.request.text)
        if flying and not draft.stage and self.groups(draft, ledger, ("adult",)):
            stages = ("adult",)
        elif what == "escaped" and not draft.stage and self.groups(draft, ledger, MOVING):
            stages = MOVING
        groups = self.groups(draft, ledger, stages)
        if what == "pupated" and draft.stage == "prepupa" and not groups:
            draft = draft._replace(stage="")  # hanging, but never recorded as such
            groups = self.groups(draft, ledger, stages)
        if what == "moved":
            groups = [group for group in groups if not draft.to or group[0].enclosure != draft.to]
            if self.made and self.made[-1].what == "moved" and not draft.enclosure:
                # `3 to jar 1 and 2 to jar 2`: the second lot is none of the first
                groups = [group for group in groups if group[0].enclosure != self.made[-1].to] or groups
        if draft.instar == LAST_INSTAR:
            draft = draft._replace(instar=self.last_instar({ledger.cohorts[key.cohort].species for key, _ in groups}))
        if what == "moulted" and draft.instar:
            groups = [group for group in groups if (group[0].instar or 0) < draft.instar]
        elif draft.instar and what != "moulted":
            exact = [group for group in groups if group[0].instar == draft.instar]
            groups = exact or [group for group in groups if group[0].instar is None] or groups
        if not draft.stage and len(groups) > 1:
            groups = [group for group in groups if group[0].stage not in _unable(draft)] or groups
        if draft.other and self.made and self.made[-1].what in REACHED:
            last = self.made[-1]
            others = [group for group in groups if group[0].stage != REACHED[last.what]]
            others = others or [group for group in groups if last.what == "moulted" and group[0].instar != last.instar]
            groups = others or groups
        elif self._of_the_others(draft):
            others = [group for group in groups if group[0].stage != REACHED[self.made[-1].what]]
            groups = others if sum(held for _, held in others) >= draft.count else groups
        if draft.count in ("all", "rest", None) and not (draft.cohort or draft.species or draft.enclosure or draft.host):
            if len({key.cohort for key, _ in groups}) > 1:
                return self._which(draft._replace(count=None), groups)
        if draft.left:
            groups = _without(draft.left, groups)
        subject_said = bool(draft.cohort or draft.species or draft.enclosure or draft.stage)
        if not groups:
            return self._none_there(draft, ledger, stages)
        total = sum(count for _, count in groups)
        if isinstance(draft.count, int) and draft.count > total:
            return self._too_many(draft, groups, total, self._told_before(draft, ledger))
        if draft.count == 0:
            return Ask(
                "0 is none of them, so there is nothing to write down. Was it a look at which nothing had changed?",
                (f"checked {draft.cohort or draft.enclosure}",) if draft.cohort or draft.enclosure else (),
                draft,
            )
        if what == "released" and not draft.stage and stages != ("adult",):
            return self._not_adult(draft, groups)
        if what == "moved" and not draft.to:
            return self._where_to(draft, groups, ledger)
        if what == "split" and not draft.cohort and len({key.cohort for key, _ in groups}) > 1 or not subject_said:
            wanted = (
                draft.count
                if isinstance(draft.count, int)
                else total
                if draft.count in ("all", "rest")
                else 2
                if draft.count == "both"
                else 1
            )
            by_change = isinstance(draft.count, int) and (what in FROM or what == "released")
            if len({(key.cohort, key.stage) for key, _ in groups}) > 1 or (total != wanted and not by_change):
                return self._which(draft, groups)
        if (
            what == "moved"
            and not (draft.cohort or draft.species or draft.stage or draft.mark)
            and draft.count in (None, "all", "rest")
            and not (draft.less or draft.left)
            and draft.enclosure
        ):
            return [self._event(draft, when, enclosure=draft.enclosure, to=draft.to)]
        chosen = self._number(draft, groups, total)
        if isinstance(chosen, Ask):
            return chosen
        count, groups = chosen
        if what == "split" and not draft.to:
            label = self.nursery.free_label(self.made)
            return Ask(
                "What shall the new cohort be called?",
                (sentence(self._narrow(draft, groups)._replace(to=label, count=count), self.knowledge),),
                draft,
            )
        if count < sum(held for _, held in groups) and (instars := self._instars(draft, groups, count)):
            return instars
        return self._events_of(draft, when, groups, count)

    def _instars(self, draft: Draft, groups, count: int) -> Ask | None:
        """Larvae of several instars stand together and some of them are taken out: which ones has to be said."""
        if (
            draft.what in FROM
            or draft.mark
            or len({(key.instar, key.mark) for key, _ in groups}) < 2
            or not self._one_spot(groups)
        ):
            return None
        if len({key.instar for key, _ in groups}) < 2:
            return self._which(draft._replace(count=count), groups)  # each has a mark of its own
        whole = self._narrow(draft, groups)._replace(count=count)
        fits = [(key, held) for key, held in groups if held >= count and not key.mark]
        if len(fits) == len(groups) == 1:
            return None
        options = tuple(sentence(whole._replace(instar=key.instar), self.knowledge) for key, _ in fits if key.instar)
        there = listed([f"{held} of instar {key.instar or 'unknown'}" for key, held in groups])
        return Ask(f"Of which instar? There are {there} in {groups[0][0].enclosure}.", options, draft)

    def _of_the_others(self, draft: Draft) -> bool:
        """`2 pupated, 1 died`: numbers of one line tell of different animals, so the one that died is none of the two."""
        before = self.made[-1] if self.made else None
        return (
            before is not None
            and before.what in ("prepupated", "pupated")
            and draft.what in ("died", "escaped", "missing")
            and isinstance(draft.count, int)
            and draft.cohort in ("", before.cohort)
            and not (draft.stage or draft.mark or draft.refers)
        )

    def _right_change(self, draft: Draft, ledger) -> Draft:
        """Said of a pupa, `hatched` is an emergence; said of eggs, `came out` is a hatching."""
        if draft.what in ("hatched", "emerged"):
            here = {key.stage for key, _ in self.groups(draft._replace(stage=""), ledger)}
            other = {"hatched": ("egg", "pupa", "emerged"), "emerged": ("pupa", "egg", "hatched")}[draft.what]
            plainly = draft.what == "emerged" and draft.lead.casefold() in ("emerged", "eclosed")
            wrong_stage = draft.stage == other[1] or (draft.stage == "" and not plainly)
            if other[0] not in here and other[1] in here and wrong_stage and (draft.cohort or draft.species or draft.enclosure):
                return draft._replace(what=other[2], stage="")
            if draft.stage == "adult" or draft.what == "emerged" and draft.stage not in ("", "pupa"):
                return draft._replace(stage="")
        return draft

    def _number(self, draft: Draft, groups, total: int) -> tuple[int, list] | Ask:
        """How many, out of which groups; asked where more than one choice is left."""
        what, count = draft.what, draft.count
        cohorts = {key.cohort for key, _ in groups}
        if count == "both":
            count = 2
            if total != 2 and not self._one_spot(groups):
                return self._which(draft._replace(count=2), groups)
            if total < 2:
                return self._too_many(draft._replace(count=2), groups, total)
        if count == "half":
            if total % 2 or not self._one_spot(groups):
                return (
                    self._which(draft._replace(count=None), groups)
                    if not self._one_spot(groups)
                    else Ask(
                        f"Half of {total} is no whole number. How many were it?",
                        tuple(
                            sentence(self._narrow(draft, groups)._replace(count=half), self.knowledge)
                            for half in (total // 2, total // 2 + 1)
                        ),
                        draft,
                    )
                )
            count = total // 2
        if count in ("all", "rest"):
            count = total - draft.less
            if count <= 0:
                return self._too_many(draft._replace(count=draft.less), groups, total)
        if count is None or count == "some":
            if total == 1 or draft.mark:
                count = 1
            elif count is None and (
                what in FROM or what == "moved" or what == "released" and {key.stage for key, _ in groups} == {"adult"}
            ):
                if len(cohorts) > 1 and not draft.species:
                    return self._which(draft, groups)
                count = total
            elif not self._one_spot(groups):
                return self._which(draft, groups)
            else:
                whole = self._narrow(draft, groups)
                options = tuple(sentence(whole._replace(count=number), self.knowledge) for number in dict.fromkeys((1, total)))
                return Ask(f"How many? There are {there_words(groups)}.", options, draft)
        if count == total:
            return count, groups
        if draft.mark:
            return count, groups
        return self._spot(draft, groups, count)

    def _spot(self, draft: Draft, groups, count: int) -> tuple[int, list] | Ask:
        """The one cohort, stage and enclosure that has so many; the ledger itself sees to instars and marks."""

        def spots(part):
            found: dict = {}
            for key, held in groups:
                found[part(key)] = found.get(part(key), 0) + held
            return [spot for spot, held in found.items() if held >= count]

        if draft.what == "pupated":
            fits = spots(lambda key: (key.cohort, key.enclosure))
            if len(fits) == 1:
                return count, [group for group in groups if (group[0].cohort, group[0].enclosure) == fits[0]]
            prepupae = [group for group in groups if group[0].stage == "prepupa"]
            if (
                prepupae
                and len({(key.cohort, key.enclosure) for key, _ in prepupae}) == 1
                and sum(held for _, held in prepupae) >= count
            ):
                return count, prepupae
            return self._which(draft, groups)
        fits = spots(lambda key: (key.cohort, key.stage, key.enclosure))
        if len(fits) == 1:
            return count, [group for group in groups if (group[0].cohort, group[0].stage, group[0].enclosure) == fits[0]]
        if (
            draft.what in ("prepupated", "emerged", "pupated", "moulted")
            and len({key.enclosure for key, _ in groups}) == len({key.cohort for key, _ in groups}) == 1
        ):
            return count, groups
        if not fits and len({key.cohort for key, _ in groups}) == 1:
            whole = self._narrow(draft, groups)
            return Ask(
                f"No one place has {count}: there are {there_words(groups)}. Please say it place by place.",
                tuple(
                    sentence(whole._replace(count=held, enclosure=key.enclosure, stage=key.stage), self.knowledge)
                    for key, held in groups[:5]
                ),
                draft,
            )
        return self._which(draft, groups)

    def _events_of(self, draft: Draft, when: str, groups, count: int) -> list[Event]:
        """One event for each cohort, stage and enclosure that animals are taken from."""
        spots: dict[tuple, int] = {}
        for key, held in groups:
            mark = key.mark if draft.mark or len(groups) == 1 or any(one.mark for one in draft.left) else ""
            stage = "" if draft.what in FROM else key.stage
            spot = (key.cohort, draft.mark or mark, stage, key.enclosure)
            spots[spot] = spots.get(spot, 0) + held
        if len(spots) == 1:
            spots = {spot: count for spot in spots}
        elif sum(spots.values()) != count:
            left = count
            for spot in spots:
                spots[spot] = min(spots[spot], left)
                left -= spots[spot]
        events = []
        for (cohort, mark, stage, place), number in spots.items():
            if not number:
                continue
            instar = draft.instar if draft.what in ("moulted",) or draft.instar and stage == "larva" else None
            if draft.what == "pupated" and draft.stage:
                stage = draft.stage
            to = draft.to if draft.what in ("moved", "split") else ""
            detail = draft.detail
            events.append(
                self._event(
                    draft,
                    when,
                    cohort=cohort,
                    mark=mark,
                    stage=stage,
                    enclosure=place,
                    count=number,
                    instar=instar,
                    to=to,
                    detail=detail,
                )
            )
        return events


def _unable(draft: Draft) -> tuple[str, ...]:
    """The stages of which nobody can have done that: what gets out can walk, and what drowns fell in."""
    if draft.what == "escaped":
        return ("egg", "prepupa", "pupa")
    return ("egg",) if draft.what == "died" and "drown" in f"{draft.detail} {draft.lead}".casefold() else ()


def _without(left, groups: list) -> list:
    """The groups without the animals that are left out."""
    kept = []
    counts = {one: one.count for one in left}
    for key, held in groups:
        for one in left:
            if held and leaves_out(one, key):
                gone = held if counts[one] is None else min(held, counts[one])
                counts[one] = None if counts[one] is None else counts[one] - gone
                held -= gone
        if held:
            kept.append((key, held))
    return kept
