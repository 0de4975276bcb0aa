"""Views opened by their name in the table, and known by it once they are open."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import copy_context
from typing import TYPE_CHECKING, Any, cast

from textual.app import App

from calendar_tui.screens.kit.ahead import TypedAhead
from calendar_tui.screens.kit.host import Host
from calendar_tui.screens.views import VIEWS, AnyView
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.screens.season.view import SeasonView

# Those that the program can open with, upon the season: they need nothing to be chosen.
AT_START = ("today", "week", "load")


def open_at_start(app: App[Any], name: str) -> None:
    """Open one of `AT_START` before the first picture is sent, so that it is that picture."""
    view, at = VIEWS[name], cast(Host, app)
    if at.plan is not None:
        first = () if view.first is None else (view.first(at.plan, at.opened.data),)
        app.push_screen(_known_as(name, view.make(*first)))


def opened_at_start(app: App[Any]) -> str:
    """The view of `AT_START` that is open, "" where none is."""
    return next((name for name in map(name_of, reversed(app.screen_stack)) if name in AT_START), "")


def ground_of(app: App[Any]) -> SeasonView | None:
    """The season view, which all others lie upon; None where the season has problems."""
    from calendar_tui.screens.season.view import SeasonView

    return next((screen for screen in app.screen_stack if isinstance(screen, SeasonView)), None)


async def open_view(
    app: App[Any],
    name: str,
    *needs: Any,
    then: Callable[[Any], None] | None = None,
    ahead: TypedAhead | None = None,
) -> None:
    """Open a view upon what the app, a `Host`, shows. then: takes what the view gives when it is left.

    ahead: holds the keys that are typed while it is worked out. Where what it opens with is refused, the view below says why.
    """
    view, below, at = VIEWS[name], app.screen, cast(Host, app)
    first = view.first
    if first is None:
        await _push(app, below, lambda: _known_as(name, view.make(*needs)), then)
    elif at.plan is not None or view.unplanned:
        plan, data = at.plan, {} if at.plan is None else at.opened.data
        number = 0 if ahead is None else ahead.begin()
        # A thread begins in English: it goes on in the language that is spoken here.
        spoken = copy_context()

        async def push(worked_out: Any) -> None:
            there = await _push(app, below, lambda: _known_as(name, view.make(worked_out, *needs)), then)
            if ahead is not None:
                ahead.end(number, hand_on=there)

        def refuse(why: str) -> None:
            if ahead is not None:
                ahead.end(number, hand_on=False)
            below.notify(f"{why[:1].upper()}{why[1:]}.", severity="warning")

        def work_out() -> None:
            try:
                worked_out = spoken.run(first, plan, data, *needs)
            except Refusal as wrong:
                app.call_from_thread(refuse, str(wrong))
                return
            app.call_from_thread(app.call_later, push, worked_out)

        app.run_worker(work_out, thread=True, exclusive=True, group="open")


# A view has its name as a class, and not as an id: the same view may lie upon itself, with others between.
_CLASS = "view-"


def _known_as(name: str, view: AnyView) -> AnyView:
    """The view, known by its name in the table."""
    view.add_class(f"{_CLASS}{name}")
    return view


def name_of(view: AnyView) -> str:
    """The name of a view in the table, "" where it was not opened by that."""
    return next((c.removeprefix(_CLASS) for c in view.classes if c.startswith(_CLASS)), "")


async def _push(
    app: App[Any], below: AnyView, make: Callable[[], AnyView], then: Callable[[Any], None] | None
) -> bool:
    """Send it once it is whole; not where another view has been opened meanwhile. Gives whether it was sent."""
    if app.screen is not below:
        return False
    with app.batch_update():
        await app.push_screen(make(), then)
    return True
