"""The day on which each example is looked at, as its file has it."""

from __future__ import annotations

import re
from datetime import date

from calendar_tui.storage.finding import example_files

_DAY = re.compile(r"^example_today = (\S+)$", re.MULTILINE)
# By the name of the file without its ending. Only the line is read: a whole season would take long as tests are collected.
EXAMPLE_DAYS = {
    file.stem: date.fromisoformat(day)
    for file in example_files()
    for day in _DAY.findall(file.read_text(encoding="utf-8"))
}
