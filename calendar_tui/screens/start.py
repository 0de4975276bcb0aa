"""The full screen from its start to its end, and the exit status that it ends with."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING

from calendar_tui.screens.app import CalendarApp, DayAtSite
from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.season.bookmark import AT_FIRST, Bookmark
from calendar_tui.storage.opening import Opened

if TYPE_CHECKING:
    from calendar_tui.screens.kit.past import Past
    from calendar_tui.screens.start_app import StartApp
    from calendar_tui.screens.starting.choice import Chosen, Start


def run(
    opened: Opened,
    today: date,
    who: str,
    now: Callable[[], datetime],
    *,
    day_at_site: DayAtSite | None = None,
    notice: str = "",
    ascii_only: bool = False,
    past: Past | None = None,
    date_order: str = "",
    bookmark: Bookmark = AT_FIRST,
    keep: Callable[[Bookmark], None] | None = None,
    preferences: Preferences = AS_IT_COMES,
    first_message: str = "",
) -> int:
    """Open a season on the full screen until the user quits or a signal ends it; gives the exit status.

    bookmark: where to begin; keep: takes where it was left; first_message: to be told once it is open.
    """
    app = CalendarApp(
        opened,
        today,
        who,
        now,
        day_at_site=day_at_site,
        notice=notice,
        ascii_only=ascii_only,
        past=past,
        watching=True,
        date_order=date_order,
        bookmark=bookmark,
        preferences=preferences,
        first_message=first_message,
    )
    app.title = opened.path.name
    _run(app, preferences.mouse)
    if keep is not None:
        keep(app.bookmark)
    return app.return_code or 0


def first(
    start: Start, preferences: Preferences = AS_IT_COMES, *, ascii_only: bool = False
) -> tuple[Chosen | None, int]:
    """Show the first screen; gives what was chosen, with the theme that was left there, and the exit status."""
    from calendar_tui.screens.start_app import StartApp

    app = StartApp(start, preferences, ascii_only=ascii_only)
    _run(app, preferences.mouse)
    chosen = app.return_value
    return chosen and chosen._replace(theme=app.colour_theme), app.return_code or 0


def _run(app: CalendarApp | StartApp, mouse: bool) -> None:
    if os.name != "posix":
        app.run(mouse=mouse)
        return
    from calendar_tui.screens.kit.terminal import ended_by_signals

    with ended_by_signals(app):
        app.run(mouse=mouse)
