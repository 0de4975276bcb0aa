"""In which units and by which clock a person is shown a season; files are metric and of 24 hours always.

It is set once, where a command or the full screen begins, for the whole process: this shows one person one season, and what is
worked out in a thread is worded there too. JSON, CSV and whatever is saved are made without it. The language is otherwise: only what
is drawn or printed is in it, so it stands in a context (`language/speaking.py`), with which no thread begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NamedTuple

from calendar_tui.language.speaking import half_day_text

if TYPE_CHECKING:
    from datetime import datetime, time

METRIC, US = "metric", "us"
SYSTEMS = (METRIC, US)
CLOCKS = ("24", "12")


class InUse(NamedTuple):
    """units: of SYSTEMS; clock: of CLOCKS."""

    units: str = METRIC
    clock: str = "24"


# Behind a name that stays, so that threads see it too.
_in_use = [InUse()]


def show_in(units: str = METRIC, clock: str = "24") -> None:
    """Word everything from now on in these; "" is what files have."""
    _in_use[0] = InUse(units or METRIC, clock or "24")


@contextmanager
def shown_in(units: str = METRIC, clock: str = "24") -> Iterator[None]:
    """The same for what is made inside; generators have to be used up inside too."""
    before = _in_use[0]
    show_in(units, clock)
    try:
        yield
    finally:
        show_in(*before)


def is_us() -> bool:
    return _in_use[0].units == US


def by_12_hours() -> bool:
    return _in_use[0].clock == "12"


def clock(at: time | datetime) -> str:
    """A time of the clock: "19:13", or "7:13 pm"."""
    if not by_12_hours():
        return f"{at:%H:%M}"
    return half_day_text(f"{at.hour % 12 or 12}:{at:%M}", "am" if at.hour < 12 else "pm")


def clock_cells() -> int:
    """The cells of the longest time of the clock."""
    return len("10:00 pm" if by_12_hours() else "22:00")


def clock_face(value: Any) -> str:
    """The clock of 24 or of 12 hours as a file names it, as a number or in quotes. Raises Unreadable."""
    from calendar_tui.season.readers import one_of  # the start of every command has no use for it

    return str(one_of(*CLOCKS)(str(value) if type(value) is int else value))
