"""The season file in the editor a person has set: the terminal is lent to it, and the file is read again after."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterable, Sequence

from textual.app import SuspendNotSupported

from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.editor import SETTINGS, USUAL, editor_command, editor_set
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.storage.toml.lines import locate

FOOT = ("view",)
NOT_SET = (
    f"No editor is set, and neither {' nor '.join(USUAL)} is installed. Set {' or '.join(SETTINGS)} in the environment, such "
    'as export VISUAL="vim"; or open the file with any program for plain text: what is saved there is taken over here.'
)


class EditorView(Page[None]):
    """Stays where the editor cannot be started, and says why; else leaves when the editor does."""

    def __init__(self, cohort_id: str = "", line: int = 0) -> None:
        """cohort_id: whose record to open the file at; "" for the line, from 1."""
        super().__init__(FOOT)
        self._cohort_id, self._line = cohort_id, line
        self._problem = ""

    def on_mount(self) -> None:
        self.call_after_refresh(self._edit)

    def rows(self, width: int) -> Iterable[ListRow]:
        yield row((host(self).opened.path.name, HEADING), "  in your editor")
        yield from wrapped(self._problem, width, style=WARNING) if self._problem else ()

    def _edit(self) -> None:
        path, editor = host(self).opened.path, editor_set(os.environ)
        try:
            self._problem = self._run(editor_command(editor, str(path), self._at())) if editor else NOT_SET
        except ValueError as wrong:
            self._problem = f"{' or '.join(SETTINGS)} is set to {editor!r}, which is no command: {wrong}."
        host(self).reload()
        if self._problem:
            self._body.redraw()
        else:
            self.dismiss()

    def _at(self) -> int:
        """The line of the record, from 1."""
        opened = host(self).opened
        cohorts = [record.get("id") for record in opened.data.get("cohort", ())]
        if self._cohort_id not in cohorts:
            return self._line or 1
        return locate(opened.text).line(("cohort", cohorts.index(self._cohort_id))) or 1

    def _run(self, command: Sequence[str]) -> str:
        """Lend the terminal to the command; gives why it cannot be, "" once it has ended."""
        try:
            with self.app.suspend():
                subprocess.run(command, check=False)
        except SuspendNotSupported:
            return "The terminal cannot be lent to an editor from here: open the file in another window."
        except OSError as wrong:
            return f"{command[0]} cannot be started: {wrong.strerror}. Set {' or '.join(SETTINGS)} to another editor."
        return ""
