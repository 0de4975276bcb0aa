"""A question on a page of its own, answered by a key: y for yes, n or Esc for no."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.language.speaking import marked, tr, tr_in, translated
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.screens.kit.actions import bindings, keys_on
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.page import Page

FOOT = ("question",)


class QuestionView(Page[bool]):
    """Gives True for yes."""

    HELP_FIRST = "question"
    CREW: ClassVar[bool | None] = None
    BINDINGS: ClassVar[list[BindingType]] = bindings("question")

    def __init__(self, yes: str) -> None:
        """yes: what that answer does, in a word or two."""
        super().__init__(FOOT, yes=yes)

    def on_mount(self) -> None:
        """Bind the letter for yes of the crew's language too, as at the shell; not where it does something else here."""
        yes, *others = keys_on(self, *FOOT)
        with crew_words(self):
            letter = tr_in("answer", "y")
        names = {name for key in others for name in key.names.split(",")}
        also = () if letter in names else (letter,)
        self.app.update_keymap({"question.y": ",".join(dict.fromkeys((*yes.names.split(","), *also)))})

    def action_answer(self, yes: bool) -> None:
        self.dismiss(yes)


class OthersView(QuestionView):
    """Whether to take back, or bring back, what is another person's to take."""

    def __init__(self, question: str, lines: Sequence[str], yes: str) -> None:
        """lines: whose change, when, and what."""
        super().__init__(yes)
        self._question, self._lines = question, lines

    def rows(self, width: int) -> Iterable[ListRow]:
        yield from wrapped(translated(self._question), width, style=HEADING)
        yield from wrapped(tr("Nothing is changed yet."), width, style=WARNING)
        yield row()
        for line in self._lines:
            yield from wrapped(translated(line), width, "", "  ")


class DoubtsView(QuestionView):
    """Whether to save what is asked about expressly, such as a stage passed over, a record replaced, a closed place entered."""

    def __init__(self, proposal: Proposal) -> None:
        super().__init__(marked("save all the same"))
        self._proposal = proposal

    def rows(self, width: int) -> Iterable[ListRow]:
        yield from wrapped(tr("Save all the same?"), width, style=HEADING)
        yield from wrapped(tr("Nothing is saved yet."), width, style=WARNING)
        yield row()
        yield from wrapped(translated(self._proposal.change.what), width, "", "  ")
        for text in self._proposal.questions:
            yield from wrapped(translated(text), width, "? ", "  ", WARNING)
