"""Whether next year's season is to be made: all that it has and has not, before its file is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from textual import work
from textual.screen import Screen

from calendar_tui.handing_on.next_file import NextFile, write_next
from calendar_tui.handing_on.words.next_season_text import next_season_text
from calendar_tui.screens.asking.question_view import QuestionView
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.problems import SeasonFileError

# Columns that its lines need at least.
_NARROW = 20


class NextSeasonView(QuestionView):
    """Gives True once its file is written."""

    def __init__(self, file: NextFile) -> None:
        super().__init__("make it")
        self.file = file

    def rows(self, width: int) -> Iterable[ListRow]:
        yield from wrapped(f"Make {self.file.path.name} of {self.file.source.name}?", width, style=HEADING)
        yield from wrapped("Nothing is written yet.", width, style=WARNING)
        yield row()
        for line in next_season_text(self.file.new, self.file.source.name, max(width, _NARROW)):
            yield row(line)

    def action_answer(self, yes: bool) -> None:
        if yes:
            self._write()
        else:
            self.dismiss(False)

    @work(thread=True, exclusive=True, group="next season")
    def _write(self) -> None:
        try:
            write_next(self.file)
        except SeasonFileError as error:
            self.app.call_from_thread(self.notify, str(error), severity="error", markup=False)
        else:
            self.app.call_from_thread(self.dismiss, True)


def show_next_season(
    screen: Screen[Any], make: Callable[[], NextFile], then: Callable[[NextFile], None]
) -> None:
    """Work the next season out in a thread and show it upon a screen; or say why there is none.

    make: raises Refusal; then: takes the file once it is written.
    """
    app = screen.app

    def show(file: NextFile) -> None:
        if app.screen is screen:
            app.push_screen(NextSeasonView(file), lambda made: then(file) if made else None)

    def refuse(why: str) -> None:
        screen.notify(f"{why[:1].upper()}{why[1:]}.", severity="warning", markup=False)

    def work_out() -> None:
        try:
            file = make()
        except Refusal as wrong:
            app.call_from_thread(refuse, str(wrong))
        else:
            app.call_from_thread(show, file)

    screen.notify(WORKING)
    screen.run_worker(work_out, thread=True, exclusive=True, group="next season")
