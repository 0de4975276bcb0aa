"""The commands of the time from flowering on: sprays, bags, results, the day to cut, the harvest. A part of `table`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.commands.parsing import Command

CROP: Mapping[str, Command] = {}
