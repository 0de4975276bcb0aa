"""Print: writes pages to print from, and tables for a spreadsheet, beside the season or in another folder."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.handing_on.pages import PAPERS, Printable, printables
from calendar_tui.screens.forms.form_view import held_season
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    DIM,
    HEADING,
    WARNING,
    Bar,
    ListRow,
    Picker,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.storage.disk.handed_file import hand_out, read_if_exists
from calendar_tui.storage.problems import SeasonFileError

FOOT = ("print", "help", "view")
WARNING_LINES = 3


class PrintView(Screen[None]):
    """A list of pages, the folder that they go into, and what is wrong with it."""

    HELP_FIRST = "print"
    CSS = (
        "PrintView Picker { height: 1fr; max-height: 15; } PrintView Input { border: none; height: 1; padding: 0 2; } "
        "PrintView #warning { height: 3; } PrintView Keys { dock: bottom; }"
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings("print", "view")

    def __init__(self, day: date | None = None) -> None:
        """day: of the week whose work is printed; None for today."""
        super().__init__()
        self._day, self._paper, self._writes_over = day, "iso", ""
        self._list, self._warning = Picker(self._rows), Bar(id="warning")
        self._input = Input(id="folder", select_on_focus=False)

    def compose(self) -> ComposeResult:
        yield Bar(row(("Print", HEADING)))
        yield self._list
        yield Bar(row("In the folder"))
        yield self._input
        yield self._warning
        yield Keys(FOOT)

    def on_mount(self) -> None:
        self._input.value = str(host(self).opened.path.absolute().parent)
        self._list.focus()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join((self._list.text, self._input.value, self._warning.text))

    def show_plan(self) -> None:
        """Draw the pages as the season has them now."""
        self._list.redraw()

    def _pages(self) -> dict[str, Printable]:
        at = host(self)
        return (
            {}
            if at.plan is None
            else printables(
                held_season(at, at.plan),
                self._day or at.today,
                at.opened.path.stem,
                at.preferences.first_weekday,
            )
        )

    def _rows(self, width: int) -> Iterable[ListRow]:
        for name, page in self._pages().items():
            yield row(fitted(page.what, width).rstrip(), key=name)
            yield row((fitted(f"  {page.file}", width).rstrip(), DIM))
        yield row((fitted(f"Paper: {PAPERS[self._paper]}", width).rstrip(), DIM))

    def action_paper(self) -> None:
        """The next paper."""
        papers = list(PAPERS)
        self._paper = papers[(papers.index(self._paper) + 1) % len(papers)]
        self._list.redraw()

    async def action_take(self) -> None:
        """Take in a table that was written here before."""
        await host(self).open_view("take")

    def on_input_changed(self) -> None:
        self._warning.say()

    def on_input_submitted(self) -> None:
        self.action_write()

    def action_write(self) -> None:
        """Write the page that the cursor stands on; over a file that is there once that is asked for again."""
        page = self._pages().get(self._list.key)
        if page is None:
            return
        folder = Path(self._input.value.strip() or ".").expanduser()
        target = host(self).opened.path.absolute().parent / folder / page.file
        try:
            there = read_if_exists(target) is not None
        except SeasonFileError as error:
            self._warn(str(error))
            return
        if there and self._writes_over != str(target):
            self._writes_over = str(target)
            self._warn(
                f"{page.file} is there already. {shown_key(self, 'print.enter')} again writes over it."
            )
        else:
            self._write(page, target)

    @work(thread=True, exclusive=True, group="print")
    def _write(self, page: Printable, target: Path) -> None:
        try:
            hand_out({target: page.make(self._paper)})
        except SeasonFileError as error:
            self.app.call_from_thread(self._warn, str(error))
        else:
            self.app.call_from_thread(self._written, target)

    def _written(self, target: Path) -> None:
        self.dismiss()
        beside = target.parent == host(self).opened.path.absolute().parent
        where = f"{target.name}, beside the season" if beside else str(target)
        take = shown_key(self, "season.I")
        then = f"{take} takes it in again" if target.suffix == ".csv" else "open it in a browser to print it"
        self.app.notify(f"Written: {where}; {then}.", markup=False)

    def _warn(self, text: str) -> None:
        width = self.size.width - 1
        self._warning.say(*first_rows(wrapped(text, width, style=WARNING), WARNING_LINES, width))

    def action_back(self) -> None:
        self.dismiss()
