"""When lamps burn and covers are drawn, by the clock, in the crew's words."""

from __future__ import annotations

from datetime import datetime

from calendar_tui.language.speaking import tr


def lamps_text(on: datetime, off: datetime) -> str:
    """ "on 19:50 off 20:47"."""
    return tr("on {on} off {off}", on=f"{on:%H:%M}", off=f"{off:%H:%M}")


def covers_text(drawn: datetime, opened: datetime) -> str:
    """ "covers drawn 17:00 opened 08:00"."""
    return tr("covers drawn {drawn} opened {opened}", drawn=f"{drawn:%H:%M}", opened=f"{opened:%H:%M}")
