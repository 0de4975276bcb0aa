"""Where the time cursor stands, and which days are on screen at which zoom."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.window import CROPS, Window, axis_ends, crop_ends, zooms
from calendar_tui.screens.season.bookmark import AT_FIRST, Bookmark

WHOLE = "season"


class TimeAxis:
    """The days of a plan. cursor: on one of them. zoom: the name of a zoom; columns: cells that the days are laid over."""

    def __init__(self, plan: Plan, today: date, bookmark: Bookmark = AT_FIRST) -> None:
        """bookmark: where to begin."""
        self.on(plan)
        first, last = self._crops
        self.cursor = self._for_today = min(max(today, first), last)
        self.zoom = bookmark.zoom or CROPS
        self._first = first
        if bookmark.cursor is not None:
            self.stand(bookmark.cursor)

    def day_to_keep(self, today: date) -> date | None:
        """The day on which the cursor stands, None where that is today's or, that being out of reach, stands for it."""
        return None if self.cursor in (today, self._for_today) else self.cursor

    def on(self, plan: Plan) -> None:
        """Go on with the days of another plan."""
        self._begin, self._end = axis_ends(plan)
        self._crops = crop_ends(plan)

    def stand(self, day: date) -> None:
        """Put the cursor on a day, or the nearest there is."""
        self.cursor = min(max(day, self._begin), self._end)

    def to_end(self, by: int) -> None:
        """Put the cursor on the last day, or for a `by` under 0 on the first."""
        self.stand(self._end if by > 0 else self._begin)

    def window(self, columns: int) -> Window:
        """The days on screen, moved where the cursor has left them."""
        levels = self._levels(columns)
        self.zoom = self.zoom if self.zoom in levels else next(iter(levels))
        window = Window(self._first, levels[self.zoom], columns)
        window = window.around(self.cursor, self._begin, self._end)
        self._first = window.first
        return window

    def step(self, by: int, columns: int) -> None:
        """Move the cursor by a column, and by a day at least."""
        window = self.window(columns)
        if window.width >= window.days:
            self.stand(self.cursor + timedelta(days=by))
            return
        x = window.column(self.cursor) + by
        self.stand(window.day(x) if x >= 0 else window.first - timedelta(days=1))

    def page(self, by: int, columns: int) -> None:
        """Move the days and the cursor by half a window."""
        half = timedelta(days=max(self.window(columns).days // 2, 1))
        self._first = max(self._first + by * half, self._begin)
        self.stand(self.cursor + by * half)

    def zoom_in(self, by: int, columns: int) -> None:
        """Go so many zooms in, or out, about the cursor."""
        levels = self._levels(columns)
        names = list(levels)
        at = names.index(self.zoom) + by
        self.zoom = names[min(max(at, 0), len(names) - 1)]
        days = levels[self.zoom]
        first = self.cursor - timedelta(days=days // 2)
        if self.zoom == CROPS and self._crops[0] <= self.cursor <= self._crops[1]:
            first = self._crops[0]
        self._first = max(min(first, self._end - timedelta(days=days - 1)), self._begin)

    def _levels(self, columns: int) -> dict[str, int]:
        """The zooms there are, with the days that each shows."""
        crops_d = (self._crops[1] - self._crops[0]).days + 1
        return dict(zooms((self._end - self._begin).days + 1, columns, crops_d))
