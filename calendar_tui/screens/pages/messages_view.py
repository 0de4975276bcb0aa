"""Every message since the start, in full, the newest first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from calendar_tui.language.speaking import tr, translated
from calendar_tui.screens.kit.drawing import BOLD, HEADING, PLAIN, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page


class MessagesView(Page[None]):
    """What the footer's line has no room for."""

    HELP_FIRST = "messages"
    CREW: ClassVar[bool | None] = None

    def rows(self, width: int) -> Iterable[ListRow]:
        kept = host(self).notices.kept
        yield row((tr("Messages since the program was opened, the newest first"), HEADING))
        for notice in reversed(kept):
            yield row()
            for line in notice.text.splitlines():
                yield from wrapped(
                    translated(line), width, style=PLAIN if notice.severity == "information" else BOLD
                )
        if not kept:
            yield row(tr("No messages yet."))
