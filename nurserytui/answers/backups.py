"""When the nursery was backed up last, what is kept, by which rule, and how one is put back."""

from __future__ import annotations

from nurserytui.answers.answer import Answer

SHOWN = 5
RULES = ("backups daily, keep 10 days", "backups daily, keep 5 weeks and 12 months", "backups off")


def backups(request, nursery) -> Answer:
    """The kept backups of the nursery's file, newest first, and the rule; or why a rule that was told is none. Makes none, restores none."""
    from nurserytui.language.backup_lines import refused
    from nurserytui.records.backups.kept import WHY, command, folder_of, kept
    from nurserytui.records.backups.rule import sentence

    store, rule = nursery.store, nursery.settings.backups
    if why := refused(request.text, rule):
        return Answer(
            "clarify",
            "help",
            f"That is no rule for backups that I can follow: {why}. Nothing was written. They are made once a day, before an import, "
            "or both; how many are kept is said in days, weeks, months and years.",
            options=RULES,
        )
    if store.path is None:
        return Answer("answered", "help", "This nursery lives in memory only, so no backup of it is kept.")
    copies = [*kept(store.path)]
    lines = []
    if copies:
        last = copies[0]
        more = (
            f"; {len(copies)} are kept in {folder_of(store.path)}"
            if len(copies) > 1
            else f"; it is kept in {folder_of(store.path)}"
        )
        lines.append(f"The last backup is of {last.said} ({WHY[last.why]}){more}.")
        lines += [f"Before that: {one.said} ({WHY[one.why]})" for one in copies[1:SHOWN]]
    else:
        lines.append("No backup is kept yet.")
    lines.append(sentence(rule))
    back = (
        f"to go back to the newest that is sound, in a shell: {command('restore newest', store.path)}, which shows first what would change; "
        if copies
        else ""
    )
    lines.append(
        f"To make one now: {command('backup', store.path)}; {back}to see all and choose another: {command('restore', store.path)}."
    )
    return Answer(
        "answered",
        "help",
        "\n".join(lines),
        items=tuple(
            {
                "name": one.path.name,
                "label": one.said,
                "when": one.moment.isoformat(timespec="minutes"),
                "why": WHY[one.why],
                "count": one.events,
            }
            for one in copies
        ),
        next=RULES[:1] if rule.on else ("backups on",),
    )
