"""A season's temperatures, and a weather file that is taken in, as data for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calendar_tui.planning.changes.weather_in import WeatherIn
from calendar_tui.planning.weather_held import WeatherHeld
from calendar_tui.planning.weather_moves import WeatherMove

Row = dict[str, Any]


def weather_in_row(taken: WeatherIn) -> Row:
    """What a file was taken for and what it brings; temperatures in C."""
    file = taken.file
    return {
        "file": taken.name,
        "form": file.form,
        "station": file.station,
        "unit": file.unit,
        "unit_by": file.unit_by,
        "dates": file.order,
        "dates_by": file.order_by,
        "first": file.first,
        "last": file.last,
        "days": len(file.days),
        "lacking": file.lacking,
        "new": taken.fresh,
        "changed": taken.other,
        "missing": dict(file.missing),
        "left_out": [{"line": cell.line, "why": cell.text} for cell in (*file.wrong, *file.unread)],
        "flagged": file.flagged,
        "torn": list(file.torn),
        "in_other_unit": [day for day, _ in taken.strange],
        "twice": file.twice,
    }


def weather_row(held: WeatherHeld, moves: Sequence[WeatherMove]) -> Row:
    """What a season has of temperatures, C, what its dates take of them, and what moved since yesterday."""
    return {
        "heat": held.heat,
        "file": held.file,
        "first": held.first,
        "last": held.last,
        "days": held.days,
        "lacking": held.lacking,
        "newest": None
        if held.newest is None
        else {"date": held.newest[0], "low_c": held.newest[1][0], "high_c": held.newest[1][1]},
        "read_off": held.read_off,
        "years": list(held.years),
        "monthly": held.monthly,
        "kept": [
            {"form": form, "unit": one.unit, "station": one.station, "dates": one.dates}
            for form, one in held.kept.items()
        ],
        "moved": [
            {"cohort": one.cohort, "stage": one.stage, "old": one.old, "new": one.new} for one in moves
        ],
        "notes": list(held.notes),
    }
