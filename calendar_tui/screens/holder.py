"""What the file work asks of the app that it works for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from textual.worker import Worker

    from calendar_tui.planning.plan import Plan
    from calendar_tui.screens.kit.past import Past
    from calendar_tui.season.edits import Change
    from calendar_tui.storage.opening import Opened


class Holder(Protocol):
    """Who holds what was read, shows it, and asks: all that the file work knows of the app.

    opened, plan, past: what is shown; who, now: for the history; refusal: why nothing can be changed, "" where it can;
    planned: lays out what was read; new_day, begin_day: of the clock at the site; take: holds and shows what was read.
    """

    opened: Opened
    plan: Plan | None
    past: Past | None
    who: str
    now: Callable[[], datetime]

    @property
    def refusal(self) -> str: ...

    def run_worker(self, work: Callable[[], None], *, thread: bool, group: str) -> Worker[Any]: ...

    def call_from_thread(self, callback: Callable[..., Any], *args: Any) -> Any: ...

    def call_later(self, callback: Callable[..., Any], *args: Any) -> bool: ...

    def planned(self, opened: Opened, before: Plan | None, today: date | None = None) -> Plan | None: ...

    def new_day(self) -> date | None: ...

    def begin_day(self, day: date, plan: Plan | None) -> None: ...

    def take(self, opened: Opened, plan: Plan | None, text: str, back: str = "") -> None: ...

    def go_back(self, opened: Opened, plan: Plan, past: Past, today: date) -> None: ...

    def show_plan(self) -> None: ...

    def stand_on_new(self, change: Change) -> None: ...

    def notify(self, message: str) -> None: ...

    def clear_notifications(self) -> None: ...

    def refuse(self, text: str) -> None: ...

    async def open_view(self, name: str, *needs: Any, then: Callable[[Any], None] | None = None) -> None: ...
