"""The lamp programme as plain data for JSON: a row a run."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timezone

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.lamps.runs import LampRun


def lamp_rows(runs: Iterable[LampRun]) -> list[Row]:
    """A row a run, of the light named `place` and the night named by its evening, `date`.

    on, off: by the local clock, "HH:MM", and on_at, off_at with its own date and offset from UTC; a run of the morning has
    the date after its evening's. set_on, set_off, set_on_at, set_off_at: the same instants in standard time, also where the
    timer follows the clock. timer: by which of them it is set, "local clock" or "standard time". lamp_h, dark_span_h: hours;
    kwh: null where no power is given. Of a blackout on and off are when covers are drawn and opened; no lamps burn.
    """
    return [
        {
            "place": run.place,
            "date": run.date,
            "method": run.programme.method,
            "on": f"{run.on:%H:%M}",
            "off": f"{run.off:%H:%M}",
            "on_at": _minute_text(run.on),
            "off_at": _minute_text(run.off),
            "set_on": f"{run.set_on:%H:%M}",
            "set_off": f"{run.set_off:%H:%M}",
            "set_on_at": _minute_text(_with_offset(run.set_on, run.on)),
            "set_off_at": _minute_text(_with_offset(run.set_off, run.off)),
            "timer": "local clock" if run.follows else "standard time",
            "lamp_h": round(run.lamp_h, 4),
            "dark_span_h": round(run.dark_span_h, 4),
            "kwh": None if run.kwh is None else round(run.kwh, 4),
            "note": run.note,
        }
        for run in runs
    ]


def _minute_text(at: datetime) -> str:
    """ "2026-01-21T03:18-06:00"."""
    return at.isoformat(timespec="minutes")


def _with_offset(reading: datetime, at: datetime) -> datetime:
    """The reading of a clock at an instant, with that clock's offset from UTC."""
    return reading.replace(tzinfo=timezone(reading - at.astimezone(UTC).replace(tzinfo=None)))
