"""Files that are no text, by the first bytes that their formats begin with: what they are, and what to do to have a table of them."""

from __future__ import annotations

from pathlib import Path

_AS_CSV = "save the sheet as CSV and import that"
_BEGIN = (
    (b"\xd0\xcf\x11\xe0", f"this is an old Excel file or another Office document: {_AS_CSV}"),
    (b"%PDF", "this is a PDF: no table can be read out of it; export the table as CSV where it was made"),
    (b"\x89PNG", "this is a picture (PNG), not a table"),
    (b"\xff\xd8\xff", "this is a picture (JPEG), not a table"),
    (b"GIF8", "this is a picture (GIF), not a table"),
    (b"\x1f\x8b", "this is a packed file (gzip): unpack it and import what is in it"),
)
"""First bytes -> what to say. [MS-CFB] 2.2; ISO 32000-1, 7.5.2; PNG (ISO/IEC 15948), 5.2; ISO/IEC 10918-1, B.2; GIF89a, 17; RFC 1952, 2.3.1."""
_ZIP = (b"PK\x03\x04", b"PK\x05\x06")
"""APPNOTE.TXT of the ZIP format, 4.3.7 and 4.3.16."""


def kind_of_file(path: Path, begin: bytes) -> str:
    """What a file that begins so is, if it is known to be no text, with what to do; "" otherwise. OSError if it cannot be read."""
    if begin.startswith(_ZIP):
        return _packed(path)
    return next((told for magic, told in _BEGIN if begin.startswith(magic)), "")


def _packed(path: Path) -> str:
    from zipfile import BadZipFile, ZipFile

    try:
        with ZipFile(path) as archive:
            names = archive.namelist()
    except (BadZipFile, ValueError, EOFError, NotImplementedError):
        names = []
    if any(name.startswith("xl/") for name in names):
        return f"this is an Excel file: {_AS_CSV}"  # ECMA-376 part 2: the parts of a workbook
    if "content.xml" in names:
        return f"this is an OpenDocument file: {_AS_CSV}"  # OpenDocument 1.2 part 3, 2.2.1
    return "this is a packed file (zip): unpack it and import the table that is in it"
