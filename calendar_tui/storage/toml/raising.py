"""The text of a season file brought to a newer form."""

from __future__ import annotations

import tomli

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import has_records
from calendar_tui.season.sameness import same
from calendar_tui.season.upgrades import form_of, upgrade_edits
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.into_rows import into_rows
from calendar_tui.storage.toml.line_merge import lines_changed
from calendar_tui.storage.toml.splice import Spliced, in_order_of, spliced
from calendar_tui.storage.toml.values import data_in


def raised(text: str, data: Data, form: int) -> Spliced:
    """The text and its data in a newer form, comments and all; without splices where they have it.

    Raises StorageError where the text cannot be written so.
    """
    made = spliced(text, data, upgrade_edits(data, form))
    if not made.splices or has_records(form_of(data)) or not has_records(form):
        return made
    new = into_rows(made.text, made.data)
    try:
        meant = in_order_of(data_in(new), made.data)
        fits = same(data_in(new), meant)
    except tomli.TOMLDecodeError:
        fits = False
    if not fits:
        raise StorageError("the records cannot be written one to a line; write them so by hand")
    return Spliced(new, meant, lines_changed(text, new), made.edits, made.back)
