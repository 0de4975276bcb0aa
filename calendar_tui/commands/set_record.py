"""The command that changes fields of a record, with a flag for every field."""

from __future__ import annotations

from calendar_tui.commands import records
from calendar_tui.commands.field_words import FIELD_FLAGS, MARK_FLAG
from calendar_tui.commands.parsing import Flags

FLAGS: Flags = {
    **MARK_FLAG,
    **FIELD_FLAGS,
    "--planted": {
        "metavar": "DATE",
        "help": "with cohort and no name: those planted on this date; --place, --part and --variety choose cohorts then too",
    },
}
set_fields = records.set_fields
