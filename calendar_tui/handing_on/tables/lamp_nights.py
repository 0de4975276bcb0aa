"""What each light's lamps do night by night, for whoever sets a timer or a controller: rows for CSV and JSON, and as text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.lamps.runs import LampRun, failed_nights, lamp_runs
from calendar_tui.planning.plan import Plan

# In the order of docs/handing-on.md.
NIGHT_COLUMNS = (
    "place",
    "night",
    "state",
    "on_local",
    "off_local",
    "on_utc",
    "off_utc",
    "timer_on",
    "timer_off",
    "timer_clock",
    "lamp_h",
    "minutes_on",
    "minutes_off",
    "note",
)
LAMPS, COVERS, OUTAGE = "lamps", "covers", "outage"


def night_rows(plan: Plan, lights: tuple[str, ...]) -> Iterator[Row]:
    """A row with the keys of NIGHT_COLUMNS for each run of each light and one for each night on which its lamps failed, by light and evening.

    night: by its evening. state: lamps, covers (on when they are drawn, off when opened) or outage, which has no times. on_local,
    off_local: with the offset from UTC; on_utc, off_utc: the same instants; timer_on, timer_off: "HH:MM" of the timer's own clock, timer_clock.
    lamp_h: hours that lamps burn; minutes_on, minutes_off: where they burn in turn between on and off.
    """
    for light in lights:
        rows = [
            *(_run_row(run) for run in lamp_runs(plan.season, light, plan.light)),
            *(_outage_row(light, night) for night in failed_nights(light, plan.light)),
        ]
        yield from sorted(rows, key=lambda row: row["night"])


def _run_row(run: LampRun) -> Row:
    on, off = run.timer
    minutes_on, minutes_off = run.programme.cyclic_min or (None, None)
    return {
        "place": run.place,
        "night": run.date,
        "state": COVERS if run.programme.method == "blackout" else LAMPS,
        "on_local": run.on.isoformat(timespec="minutes"),
        "off_local": run.off.isoformat(timespec="minutes"),
        "on_utc": _utc_text(run.on),
        "off_utc": _utc_text(run.off),
        "timer_on": f"{on:%H:%M}",
        "timer_off": f"{off:%H:%M}",
        "timer_clock": "local" if run.follows else "standard",
        "lamp_h": round(run.lamp_h, 4),
        "minutes_on": minutes_on,
        "minutes_off": minutes_off,
        "note": run.note,
    }


def _outage_row(light: str, night: date) -> Row:
    return {
        **dict.fromkeys(NIGHT_COLUMNS),
        "place": light,
        "night": night,
        "state": OUTAGE,
        "lamp_h": 0.0,
        "note": "the lamps failed this night",
    }


def _utc_text(at: datetime) -> str:
    """ "2026-12-07T07:10Z"."""
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%MZ}"
