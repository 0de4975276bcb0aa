"""The harvest and the dryer: what dries since when and until when, the passes, and the cautions; recorded from here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.drying_text import DRYING_CAUTION, batch_text, pass_text, room_texts
from calendar_tui.handing_on.words.plain_text import broken
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.drying.batches import dryings
from calendar_tui.screens.drying.pass_forms import reading_batch, recording_pass, taking_out
from calendar_tui.screens.forms.blank import Blank
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.records_view import Chosen, RecordsView
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, PLAIN, Bar, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.season.cells import cell_len

TITLE = "Harvest and dryer"
FOOT = ("drying", "records", "undo", "redo", "help", "view")
NOTE_LINES = 4
BATCH, PASS = "batch", "pass"
INDENT = " " * 4


class DryingView(RecordsView):
    """Batches, then passes. Stays open when a change is saved."""

    HELP_FIRST = "drying"
    CSS = f"""
    #note {{ height: {NOTE_LINES}; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("drying")
    LISTED = (BATCH, PASS)

    def __init__(self, cohort_id: str = "") -> None:
        """cohort_id: whose passes are recorded."""
        self._cohort = cohort_id
        self._shown: set[str] = set()
        self._note = Bar(id="note")
        super().__init__(PASS, self._rows, FOOT, self._note)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        self._note.say(*wrapped(DRYING_CAUTION, width, style=DIM)[:NOTE_LINES])
        if plan is None:
            return
        season, today = plan.season, plan.today
        self._heading.say(row((TITLE, HEADING)))
        dried = dryings(season)
        drying = {one.batch.id: batch_text(season, one, today) for one in dried if one.is_in}
        out = {one.batch.id: batch_text(season, one, today) for one in dried if not one.is_in}
        passes = sorted(season.passes.values(), key=lambda one: (one.date, one.id))
        self._shown = set()
        yield from self._section("In the dryer", BATCH, drying, width)
        for text in room_texts(season, today):
            yield from wrapped(text, width, first="  ", rest="    ")
        yield from self._section("Out of it", BATCH, out, width)
        yield from self._section("Passes", PASS, {one.id: pass_text(one) for one in passes}, width)
        if not passes:
            key = shown_key(self, "drying.p")
            yield row((f"  none yet: {key} records one", DIM))

    def _section(self, title: str, kind: str, texts: dict[str, str], width: int) -> Iterable[ListRow]:
        if texts or kind == PASS:
            yield row((title, HEADING))
        for name, text in texts.items():
            key = f"{kind} {name}"
            self._shown.add(key)
            first, *more = _lines(text, width)
            yield row((name, BOLD), (first.removeprefix(name), PLAIN), key=key)
            yield from (row(line) for line in more)

    @property
    def chosen(self) -> Chosen | None:
        """The batch or the pass under the cursor."""
        kind, _, name = self._list.key.partition(" ")
        return Chosen(kind, (name,)) if self._list.key in self._shown else None

    def select_record(self, kind: str, ident: Ident) -> None:
        """Put the cursor on this batch or pass."""
        self._list.stand_on(f"{kind} {ident[0]}")

    def action_record_pass(self) -> None:
        """Record a pass of the cohort from which this was opened."""
        self.app.push_screen(FormView(recording_pass(self._cohort)))

    def action_add(self) -> None:
        """A pass is added by its own form, which makes its id."""
        self.action_record_pass()

    def action_read_batch(self) -> None:
        """Record a reading of the batch."""
        self._fill_in(reading_batch)

    def action_take_batch_out(self) -> None:
        """Record that the batch is out, with its weight."""
        self._fill_in(taking_out)

    def _fill_in(self, form: Callable[[str], Blank]) -> None:
        """Open a form of the batch under the cursor, or of the one in which the pass there dries."""
        at, plan = self.chosen, host(self).plan
        name = "" if at is None else str(at.ident[0])
        if at is not None and at.kind == PASS and plan is not None:
            name = plan.season.passes[name].batch
        if name:
            self.app.push_screen(FormView(form(name)))
        else:
            self.notify("No batch is under the cursor: a pass that names one begins it.")


def _lines(text: str, width: int) -> list[str]:
    """The text in as many lines as it takes, broken between its parts, so that no figure is cut or stands without its unit."""
    lines: list[str] = []
    for part in text.replace("; ", ";\0").split("\0"):
        if lines and cell_len(lines[-1]) + 1 + cell_len(part) <= width:
            lines[-1] += f" {part}"
        else:
            lines += broken(part, width, INDENT, INDENT if lines else "")
    return lines
