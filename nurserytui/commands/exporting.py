"""Files for elsewhere."""

from __future__ import annotations

from contextlib import ExitStack

from nurserytui import printing
from nurserytui.commands.opening import WrongUse, nursery_of, opened, place_of


def run_export(arguments) -> int:
    from nurserytui.exports.forms import FORMS, form_of

    form = arguments.form or form_of(arguments.file.name)
    if not form:
        endings = ", ".join(dict.fromkeys(known.ending for known in FORMS.values()))
        raise WrongUse(f"cannot tell the form from {arguments.file.name!r}: the name ends in one of {endings}, or say --as")
    if arguments.season is not None and form != "html":
        raise WrongUse(f"--season is for the season report (.html); {FORMS[form].says} are of all seasons")
    from nurserytui.exports.export import OF_RECORDS, export, export_records
    from nurserytui.exports.withholding import Withheld

    withheld = Withheld(arguments.locations, arguments.without_names, arguments.without_notes)
    if form in OF_RECORDS:
        with ExitStack() as stack:
            path, _ = place_of(arguments, stack)
            store = stack.enter_context(opened(path, create=False))
            printing.write(export_records(store, arguments.file, form, withheld=withheld), "it was written")
        return 0
    with nursery_of(arguments, create=False) as nursery:
        printing.write(export(nursery, arguments.file, form, withheld=withheld, season=arguments.season), "it was written")
    return 0
