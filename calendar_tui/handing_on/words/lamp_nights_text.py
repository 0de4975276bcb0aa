"""The lamps of a light night by night, a line a run."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date
from operator import itemgetter

from calendar_tui.handing_on.words.lamps_text import programmes_text, warnings_text
from calendar_tui.handing_on.words.plain_text import WIDTH, wrapped
from calendar_tui.planning.lamps.runs import LampRun, LampSheet
from calendar_tui.season.lamp_clock import covers_text, lamps_text
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import full_day_text


def nights_text(sheet: LampSheet, asked: tuple[date, date], width: int = WIDTH) -> Iterator[str]:
    """What the lamps are, then each run by the local clock and in UTC with its hours, and each night on which they failed.

    asked: the first and the last night that is told.
    """
    yield from programmes_text(sheet, width)
    for warning in warnings_text(sheet):
        yield from wrapped(warning, "    ", width, "  ! ")
    told = [(run.date, _run_text(run), run.note) for run in sheet.runs]
    told += [(night, "lamps failed", "") for night in sheet.failed]
    for night, text, note in sorted(
        (one for one in told if asked[0] <= one[0] <= asked[1]), key=itemgetter(0)
    ):
        yield from wrapped(text, "    ", width, f"  {full_day_text(night):>15}  ")
        if note:
            yield from wrapped(note, "    ", width, "  ! ")


def _run_text(run: LampRun) -> str:
    covers = run.programme.method == "blackout"
    local = (covers_text if covers else lamps_text)(run.on, run.off)
    timer = "" if run.follows else f"; timer {clock(run.set_on)} to {clock(run.set_off)}, standard time"
    utc = f"{run.on.astimezone(UTC):%H:%M} to {run.off.astimezone(UTC):%H:%M} UTC"
    hours = "" if covers else f"  {run.lamp_h:.2f} h"
    return f"{local}  {utc}{hours}{timer}"
