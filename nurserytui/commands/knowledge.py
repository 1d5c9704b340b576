"""The knowledge base and a keeper's own additions, validated."""

from __future__ import annotations

from nurserytui import printing


def run_check(arguments) -> int:
    from nurserytui import paths
    from nurserytui.knowledge.checking import check

    faults, report = check(arguments.folder)
    for line in report:
        printing.write(line)
    for fault in faults:
        printing.write(fault)
    printing.write(f"{len(faults)} faults: the entries named are left out, the rest is used." if faults else "No faults.")
    if arguments.folder is None:
        own = paths.own_knowledge()
        printing.write(f"Your own knowledge is looked for in {own}{'' if own.is_dir() else ' (no such folder yet)'}.")
    return 1 if faults else 0
