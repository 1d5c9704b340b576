"""Who should not share an enclosure, and who stands too close."""

from __future__ import annotations

from collections.abc import Iterator

from nurserytui.answers.tasks.living import by_place
from nurserytui.answers.tasks.task import Task
from nurserytui.answers.wording import listed, stage_count


def company(nursery, until) -> Iterator[Task]:
    """Adults in one enclosure with younger animals, one task a cohort of them."""
    today = nursery.now.date()
    for place, cohorts in by_place(nursery).items():
        adults = {cohort: stages["adult"] for cohort, stages in cohorts.items() if place and stages.get("adult")}
        young = [cohort for cohort, stages in cohorts.items() if stages.get("larva") or stages.get("egg")]
        for cohort, count in adults.items() if young else ():
            reason = f"adults of {cohort} stand with eggs or larvae of {listed(young)}: adults carry spores onto leaf"
            label = f"Take {stage_count(count, 'adult')} of {cohort} out of {place}"
            record = f"released {count} {cohort} in {place}"
            yield Task("apart", cohort, label, place, today, reason, 1, record, rule="adults-apart", cohorts=(cohort,))
