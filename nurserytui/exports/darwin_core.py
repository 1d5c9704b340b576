"""The two tables of the archive in terms of Darwin Core (TDWG), and the file that describes them (Darwin Core text guide)."""

from __future__ import annotations

DWC = "http://rs.tdwg.org/dwc/terms/"
OCCURRENCE = (
    "occurrenceID", "eventID", "basisOfRecord", "eventDate", "scientificName", "taxonRank", "kingdom", "phylum", "class", "order",
    "family", "genus", "previousIdentifications", "identifiedBy", "dateIdentified", "identificationRemarks", "individualCount", "sex",
    "lifeStage", "occurrenceStatus", "locality", "decimalLatitude", "decimalLongitude", "geodeticDatum",
    "coordinateUncertaintyInMeters", "coordinatePrecision", "recordedBy", "associatedTaxa", "occurrenceRemarks",
    "dataGeneralizations", "informationWithheld",
)  # fmt: skip
"""Columns of the core, the first of which is its id."""
EVENT = (
    "eventID", "parentEventID", "eventType", "eventDate", "samplingProtocol", "sampleSizeValue", "sampleSizeUnit", "causeOfDeath",
    "locality", "decimalLatitude", "decimalLongitude", "geodeticDatum", "coordinateUncertaintyInMeters", "eventRemarks",
)  # fmt: skip
"""Columns of the extension after its first, which is the id of the occurrence that the event is of."""
DATUM = "EPSG:4326"


def meta() -> str:
    """The archive's `meta.xml`."""
    form = (
        'encoding="UTF-8" fieldsTerminatedBy="," linesTerminatedBy="\\n" fieldsEnclosedBy="&quot;" ignoreHeaderLines="1" '
        f'rowType="{DWC}'
    )
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
  <core {form}Occurrence">
    <files><location>occurrence.csv</location></files>
    <id index="0"/>
{_fields(OCCURRENCE, 0)}
  </core>
  <extension {form}Event">
    <files><location>event.csv</location></files>
    <coreid index="0"/>
{_fields(EVENT, 1)}
  </extension>
</archive>
"""


def _fields(terms: tuple[str, ...], first: int) -> str:
    return "\n".join(f'    <field index="{at}" term="{DWC}{term}"/>' for at, term in enumerate(terms, first))
