"""When lamps burn and covers are drawn, by the clock, in the crew's words."""

from __future__ import annotations

from datetime import datetime

from calendar_tui.language.speaking import tr
from calendar_tui.season.units_in_use import clock


def lamps_text(on: datetime, off: datetime) -> str:
    """ "on 19:50 off 20:47"."""
    return tr("on {on} off {off}", on=clock(on), off=clock(off))


def covers_text(drawn: datetime, opened: datetime) -> str:
    """ "covers drawn 17:00 opened 08:00"."""
    return tr("covers drawn {drawn} opened {opened}", drawn=clock(drawn), opened=clock(opened))
