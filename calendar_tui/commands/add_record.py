"""The command that adds or copies a record, with a flag for every field."""

from __future__ import annotations

from calendar_tui.commands import records
from calendar_tui.commands.field_words import FIELD_FLAGS, MARK_FLAG, NEW_FLAGS
from calendar_tui.commands.parsing import Flags

FLAGS: Flags = {**NEW_FLAGS, **MARK_FLAG, **FIELD_FLAGS}
add = records.add
