"""The rows of the table of commands that add, change, rename and take out what a season holds."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.commands.flags import SAVE
from calendar_tui.commands.parsing import Command

_THEN = (
    "a season file, which may be left out where there is just one; then what it is, such as cohort or place, "
)
_FIELDS = "SEASON KIND NAME FIELD VALUE ..."
RECORD_COMMANDS: Mapping[str, Command] = {
    "add": Command(
        "add_record",
        "add",
        "add a cohort, place, variety, stay, programme ... by the names of its fields, or copy one; shows what moves first",
        _FIELDS,
        f"{_THEN}its name, and fields each with its value, such as: cohort B4 --like B3 --later 14d plants 120; a field may "
        "be a flag too: place H4 --kind 'hoop house' --area 180",
        flags=SAVE,
        own_flags=True,
    ),
    "set": Command(
        "set_record",
        "set_fields",
        "show a record by the names of its fields, or change fields; shows what moves first",
        _FIELDS,
        f"{_THEN}its name or several, and fields each with its new value, such as: cohort B4 plants 120 transplant 12 dec; "
        "none takes a value out; without a field the record is shown",
        flags=SAVE,
        own_flags=True,
    ),
    "rename": Command(
        "records",
        "rename",
        "give a cohort, place, variety or chore another name, and whatever names it",
        "SEASON KIND OLD NEW",
        f"{_THEN}its name, and the new one, such as: cohort B4 B5",
        flags=SAVE,
    ),
    "remove": Command(
        "records",
        "remove",
        "take a cohort, place, variety, stay, programme ... out with its tasks; refused where something stands on it",
        "SEASON KIND NAME",
        f"{_THEN}and its name, such as: cohort B4, or programme H3",
        flags=SAVE,
    ),
}
