"""What a view asks of the app it stands in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, Protocol, cast

from textual.screen import Screen

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.notices import Notices
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.storage.opening import Opened

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.season.edits import Change


# Seconds in which a view that comes to the fore is laid out and styled anew.
REPAINT_S = 0.02


class Host(Protocol):
    """who: changes the season. plan: None where the season file has problems. date_order: of day and month in typed dates of numbers, as
    `typed_date` takes it. out_of_step: what would update the saved tasks to the plan, None where nothing need be done.
    compared: the plan that they were compared with last. save: tells its outcome by itself. save_made: saves what is made of the
    plan as it is by then, one after the other, and tells of it only what went wrong. pictured: to be called once
    the first picture is sent. notices: what was told. notice: what stands beside the season's name; aside: the same, that
    need not be read each time. refusal: why nothing can be changed, ""
    where it can. can_return: whether the season is shown as it was, and `present` shows it as it is. works_on_file:
    whether a save or a reading runs or waits. open_view: opens a view of the table of views by its name; then: takes what
    it gives when it is left.
    """

    opened: Opened
    who: str
    plan: Plan | None
    today: date
    date_order: str
    preferences: Preferences
    glyphs: Glyphs
    notices: Notices
    out_of_step: Proposal | None
    compared: Plan | None
    aside: str

    def save(self, change: Change) -> None: ...

    def save_made(self, make: Callable[[Plan], Change]) -> None: ...

    def reload(self) -> None: ...

    def look(self) -> None: ...

    def undo(self, steps: int = 0) -> None: ...

    def redo(self, steps: int = 0) -> None: ...

    def look_back(self, n: int) -> None: ...

    def present(self) -> None: ...

    def pictured(self) -> None: ...

    @property
    def notice(self) -> str: ...

    @property
    def refusal(self) -> str: ...

    @property
    def can_return(self) -> bool: ...

    @property
    def works_on_file(self) -> bool: ...

    async def open_view(self, name: str, *needs: Any, then: Callable[[Any], None] | None = None) -> None: ...


def host(screen: Screen[Any]) -> Host:
    """The app of this screen."""
    return cast(Host, screen.app)
