"""The question before the first save to a season file of an older format."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from calendar_tui.screens.asking.question_view import QuestionView
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.season.readers import plain
from calendar_tui.season.upgrades import FORMAT
from calendar_tui.storage.upgrading import Upgrade


def question_rows(upgrade: Upgrade, form: int, what: str, width: int) -> Iterator[ListRow]:
    """What is to be saved, what an upgrade changes, and where the old file stays."""
    yield from wrapped(f"Upgrade the file from format {form} to {FORMAT}?", width, style=HEADING)
    yield from wrapped("Nothing is saved yet.", width, style=WARNING)
    yield row()
    yield from wrapped(f"To be saved: {what}", width)
    yield from wrapped(
        f"This program writes format {FORMAT}, so the file has to be upgraded first. The file as it is stays beside it "
        f"as {upgrade.kept.name}, and the upgrade can be undone. These lines change:",
        width,
    )
    for splice in upgrade.made.splices:
        lines = [*(f"- {line.strip()}" for line in splice.old), *(f"+ {line.strip()}" for line in splice.new)]
        for line in lines:
            yield from wrapped(plain(line), width, "", "  ")


class UpgradeView(QuestionView):
    """Gives True where the file is to be upgraded."""

    def __init__(self, upgrade: Upgrade, form: int, what: str) -> None:
        """form: the file's; what: the change that waits to be saved."""
        super().__init__("upgrade and save")
        self._shown = upgrade, form, what

    def rows(self, width: int) -> Iterable[ListRow]:
        return question_rows(*self._shown, width)
