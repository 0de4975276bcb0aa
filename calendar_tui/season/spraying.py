"""The immutable record of a spray: what, where, by whom, when it ended, and how long the place stays closed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from calendar_tui.language.speaking import phrase_form

# On these hangs until when a place is closed, and which.
_CLOSES = ("date", "place", "end", "end_date", "end_is", "condition")
# What a spray waits for whose record does not read.
UNREAD = phrase_form("its record in the season file is mended")
NO_DAY = dt.date.min.replace(year=1900)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spray:
    """One product applied to a place, or to some parts of it.

    date: on which it began, at `start`; it ended at `end`, on `end_date` where that is a later day: times of the local
    clock. end_is: "first" or "second", where the clock shows `end` twice. reentry, preharvest: as on the label,
    "12 h" or "2 d", and 0 where it says none; "" is not known and never zero. condition: what keeps the place closed until
    somebody records, on `cleared_date` at `cleared`, that it is met. total: as measured out.
    """

    id: str
    date: dt.date
    place: str
    product: str
    end: dt.time
    start: dt.time | None = None
    end_date: dt.date | None = None
    end_is: str = ""
    reentry: str = ""
    condition: str = ""
    preharvest: str = ""
    parts: tuple[str, ...] = ()
    registration: str = ""
    active: str = ""
    rate: str = ""
    total: str = ""
    area_m2: float | None = None
    target: str = ""
    who: str = ""
    certificate: str = ""
    restricted: bool = False
    cleared_date: dt.date | None = None
    cleared: dt.time | None = None
    note: str = ""

    @property
    def ended_on(self) -> dt.date:
        """The date on which it ended."""
        return self.end_date or self.date


def kept_closed(read: Mapping[str, Any], given: Collection[str]) -> Mapping[str, Any]:
    """The fields of a spray that does not read as a whole, by name. given: the keys that are written.

    Where its closure hangs on one that does not read, its place stays closed until the record is mended; where the place is
    not known, every place does.
    """
    needed = {field for field in _CLOSES if field in given} | {"id", "date", "place", "product", "end"}
    if needed <= read.keys():
        return read
    known = {
        "id": "?",
        "date": NO_DAY,
        "place": "",
        "product": f"spray {read.get('id', '?')}",
        "end": dt.time.max,
        **read,
    }
    return {**known, "reentry": "", "condition": UNREAD, "cleared": None, "cleared_date": None}
