"""A table that is taken in, as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.spreadsheets.taken import Taken


def taken_data(taken: Taken) -> Row:
    """cells: a row a cell that is taken, with the line of the file, and the values as they are typed, "" for none; passed_over:
    a row a cell that stays as the season has it.
    """
    return {
        "file": taken.file,
        "kind": taken.kind,
        "new": list(taken.new),
        "same": taken.same,
        "cells": [cell._asdict() for cell in taken.cells],
        "passed_over": [cell._asdict() for cell in taken.passed],
    }
