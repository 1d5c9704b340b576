"""What was found in the wild as a Darwin Core Archive."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from pathlib import Path

from nurserytui.records.events import Event
from nurserytui.records.ledger import Ledger, replay
from nurserytui.records.progress import Progress, told

DWC = "http://rs.tdwg.org/dwc/terms/"
TERMS = (
    "occurrenceID", "basisOfRecord", "eventDate", "scientificName", "taxonRank", "kingdom", "order", "individualCount", "lifeStage",
    "occurrenceStatus", "locality", "decimalLatitude", "decimalLongitude", "geodeticDatum", "recordedBy", "associatedTaxa",
    "occurrenceRemarks",
)  # fmt: skip


def export_archive(store, path: str | Path, progress: Progress | None = None) -> int:
    """Write a Darwin Core Archive with an occurrence core: what was found, and layings that were seen. How many occurrences.

    Eggs of an adult that was reared here (`parent`) are no occurrence in the wild and are left out.
    """
    import zipfile

    ledger = replay(store.events(), progress=progress)
    occurrences = [
        occurrence(event, ledger)
        for event in told(progress, ledger.events, len(ledger.events), "events looked through")
        if event.what == "found" or (event.what == "laid" and not event.parent)
    ]
    rows = io.StringIO(newline="")
    writer = csv.writer(rows, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerow(TERMS)
    writer.writerows([re.sub(r"\s+", " ", cell) for cell in row] for row in occurrences)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (("occurrence.csv", rows.getvalue()), ("meta.xml", _meta()), ("eml.xml", _eml(ledger.events))):
            # A fixed date inside: the same records make the same file.
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), text.encode("utf-8"))
    return len(occurrences)


def occurrence(event: Event, ledger: Ledger) -> list[str]:
    """The values of TERMS for a find or a laying; its species is what the cohort was identified as."""
    label = ledger.label(event.cohort) or ""
    species = ledger.cohorts[label].species if label in ledger.cohorts else event.species
    unknown = species in ("", "unknown")
    located = event.latitude is not None and event.longitude is not None
    remarks = [event.note] if event.note else []
    if event.estimate:
        remarks.append("count is an estimate")
    if event.instar:
        remarks.append(f"instar {event.instar}")
    return [
        event.id,
        "HumanObservation",
        event.when,
        "Lepidoptera" if unknown else species,
        "order" if unknown else "species" if " " in species else "genus",
        "Animalia",
        "Lepidoptera",
        str(event.count or 1),
        event.stage or ("egg" if event.what == "laid" else ""),
        "present",
        event.place,
        f"{event.latitude}" if located else "",
        f"{event.longitude}" if located else "",
        "EPSG:4326" if located else "",
        event.by,
        f"host: {event.host}" if event.host else "",
        "; ".join(remarks),
    ]


def _meta() -> str:
    fields = "\n".join(f'    <field index="{at}" term="{DWC}{term}"/>' for at, term in enumerate(TERMS))
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
  <core encoding="UTF-8" fieldsTerminatedBy="," linesTerminatedBy="\\n" fieldsEnclosedBy="&quot;" ignoreHeaderLines="1" rowType="{DWC}Occurrence">
    <files><location>occurrence.csv</location></files>
    <id index="0"/>
{fields}
  </core>
</archive>
"""


def _eml(events: Iterable[Event]) -> str:
    from xml.sax.saxutils import escape

    from nurserytui.records.settings import Settings

    events = list(events)
    place = _printable(Settings.of(events).place)
    days = sorted(event.day for event in events) or ["1970-01-01"]
    keepers = sorted({_printable(event.by) for event in events if event.by}) or [place or "the keeper of the nursery"]
    people = "\n".join(
        f"    <creator><individualName><surName>{escape(name)}</surName></individualName></creator>" for name in keepers
    )
    title = "Finds of butterflies and moths taken in for rearing" + (f", {place}" if place else "")
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<eml:eml xmlns:eml="https://eml.ecoinformatics.org/eml-2.2.0" packageId="nursery-{days[0]}-{days[-1]}" system="nurserytui" xml:lang="en">
  <dataset>
    <title>{escape(title)}</title>
{people}
    <pubDate>{days[-1]}</pubDate>
    <language>en</language>
    <abstract><para>Eggs, larvae, pupae and adults that were found or seen laid, from the records of a home nursery.</para></abstract>
    <coverage><temporalCoverage><rangeOfDates><beginDate><calendarDate>{days[0]}</calendarDate></beginDate><endDate><calendarDate>{days[-1]}</calendarDate></endDate></rangeOfDates></temporalCoverage></coverage>
    <contact><individualName><surName>{escape(keepers[0])}</surName></individualName></contact>
  </dataset>
</eml:eml>
"""


def _printable(text: str) -> str:
    """Text without the control characters that XML cannot hold."""
    return "".join(letter for letter in text if letter >= " ")
