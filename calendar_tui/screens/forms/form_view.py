"""A form on the screen: fields to type in, what is wrong beside them, and what would move below, as it is typed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.blank import Blank, Filled, filled
from calendar_tui.screens.forms.field_list import FieldList
from calendar_tui.screens.forms.line import fitting
from calendar_tui.screens.forms.preview import preview_rows
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    WARNING,
    Bar,
    ListRow,
    first_rows,
    fitted,
    names_row,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import Host, host
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.kit.latest import Latest
from calendar_tui.season.cells import cell_len

FOOT = ("form", "form fields", "view")
# Rows for what would move, at least, where there are so many in all; and for the field under the cursor.
LEAST_PREVIEW, ROOMY, HINT_ROWS = 7, 20, 3
# Rows for the heading and the keys; and for what would move, however few there are.
_BESIDE, _ONE = 2, 1


def held_season(at: Host, plan: Plan) -> HeldSeason:
    """The season as it is open."""
    return HeldSeason(plan, dict(at.opened.data), at.date_order, at.opened.reading, at.who)


class FormView(Screen[bool]):
    """Gives True once a change is handed on to be saved."""

    HELP_FIRST = "form"
    CSS = f"FormView {{ overflow: hidden; }} #hint {{ height: {HINT_ROWS}; }} #preview {{ height: 1fr; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("form", "view")

    def __init__(self, blank: Blank, foot: Sequence[str] = FOOT, at: str = "") -> None:
        """foot: the keys below; at: the field under the cursor at first, "" for the first of them."""
        super().__init__()
        self._blank, self._at = blank, at
        self._heading, self._list, self._keys = Bar(id="heading"), FieldList(), Keys(foot)
        self._hint, self._preview = Bar(id="hint"), Bar(id="preview")
        self._filled = Filled({}, {}, {})
        self._asks_to_save = self._asks_to_leave = False
        self._latest: Latest[Filled] | None = None

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self._list
        yield self._hint
        yield self._preview
        yield self._keys

    def on_mount(self) -> None:
        self._latest = Latest(self.app, self._take)
        self.ask_for(self._blank)
        self._list.focus()

    def ask_for(self, blank: Blank) -> None:
        """Ask for this, with nothing typed yet."""
        self._blank, self._filled = blank, Filled({}, {}, {})
        self._heading.say(row((blank.title, HEADING), f"  {blank.about}"))
        self._list.clear()
        self._draw_below()
        self._list.key = self._at
        self.show_plan()

    def on_resize(self) -> None:
        self._fit()
        self._draw_below()

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list, self._hint, self._preview))

    @property
    def field(self) -> str:
        """The name of the field under the cursor."""
        return self._list.key

    def value(self, words: str) -> str:
        """What stands in a field."""
        proposed = next((f.value for f in self._list.fields if f.words == words), "")
        return self._list.typed.get(words, proposed)

    def show_plan(self) -> None:
        """Fill in anew what follows from the season as it is now; what was typed stays."""
        self._show_fields()
        self._look()

    # --- what is drawn

    def _show_fields(self) -> None:
        plan = host(self).plan
        if plan is None:
            return
        self._list.show(self._blank.fields(held_season(host(self), plan), self._list.typed))
        self._fit()

    def _fit(self) -> None:
        """The list takes what it needs, what would move the rest."""
        height = self.size.height
        least = LEAST_PREVIEW if height >= ROOMY else _ONE
        room = height - HINT_ROWS - _BESIDE - least
        self._list.styles.height = max(min(len(self._list.rows), room), 1)

    def on_picker_moved(self) -> None:
        self._say_hint()
        if self._filled.errors.get(""):
            self._draw_below()

    def _say_hint(self) -> None:
        """What is wrong with the field under the cursor, or what it means; and the names that fit."""
        field, width = self._list.field, self.size.width - 1
        error = self._list.error_of(field.words)
        unit = f", {field.unit}" if field.unit else ""
        text, style = (error, WARNING) if error else (f"{field.words}: {field.meaning}{unit}", DIM)
        if not field.meaning and not error:
            text = ""
        names = fitting(self._list.line, field.names)
        most = HINT_ROWS - 2 if names else HINT_ROWS - 1
        rows = wrapped(text, width, style=style)[:most] if text else []
        if names:
            rows.append(self._names(names, width))
        self._hint.say(row(), *rows)

    def _names(self, names: tuple[str, ...], width: int) -> ListRow:
        chosen = next((n for n in names if n.casefold() == self._list.line.text.casefold()), "")
        if chosen:
            return names_row(names, chosen, width)
        return row((fitted("  ".join(names), width), BOLD))

    def _all_names(self, width: int) -> list[ListRow]:
        """Every name that fits the field under the cursor, where they take more than their one line."""
        names = fitting(self._list.line, self._list.field.names)
        cut = cell_len("  ".join(names)) > width
        return wrapped(f"Fits {self._list.field.words}: {', '.join(names)}", width, style=DIM) if cut else []

    def _draw_below(self) -> None:
        """What would move, or what is wrong with the form as a whole; below it the caution, where there is room or nothing else."""
        width, height = self.size.width - 1, self._preview.size.height
        caution = wrapped(self._blank.caution, width, style=DIM) if self._blank.caution else []
        whole = self._filled.errors.get("", "")
        if not whole and self._filled.proposal is None:
            self._preview.say(*first_rows(caution, height, width))
            return
        room = height - len(caution)
        below = caution if room >= LEAST_PREVIEW else []
        height = room if below else height
        if self._filled.proposal is not None and not whole:
            rows = preview_rows(self._filled.proposal, width, height)
        else:
            told = [*wrapped(whole, width, style=WARNING), *self._all_names(width)]
            rows = list(first_rows(told, height, width))
        self._preview.say(*rows, *below)

    # --- what is worked out

    def on_field_list_typed(self) -> None:
        self._asks_to_leave = False
        self._show_fields()
        self._say_hint()
        self._look()

    def _look(self) -> None:
        """Read what is typed, and work out what it would move, in a thread."""
        at = host(self)
        if at.plan is not None and self._latest is not None:
            held, typed = held_season(at, at.plan), dict(self._list.typed)
            self._latest.ask(partial(filled, self._blank, held, typed))

    def _take(self, made: Filled) -> None:
        if not self.is_attached:
            return
        self._filled = made
        self._list.tell(made.notes, made.errors)
        self._say_hint()
        self._draw_below()
        if self._asks_to_save:
            self._save_or_point()

    # --- saving

    def on_field_list_finished(self) -> None:
        self.action_see_moves()

    def action_see_moves(self) -> None:
        """Show what would move in full, to be saved there; as soon as that is worked out."""
        self._asks_to_save = True
        if self._filled.typed == self._list.typed and (self._filled.proposal or self._filled.errors):
            self._save_or_point()
        else:
            self._look()

    def _save_or_point(self) -> None:
        """Open what would move; where something is wrong, go to the first field that is."""
        self._asks_to_save = False
        if (proposal := self._filled.proposal) is not None:
            self._show_moves(proposal)
            return
        self._list.left |= {field.words for field in self._list.fields}
        wrong = [f.words for f in self._list.fields if f.words in self._filled.errors]
        if wrong:
            self._list.stand_on(wrong[0])
        elif not self._filled.errors:
            self._preview.say(row(("Nothing is typed: there is nothing to save.", WARNING)))
        self._list.redraw()
        self._say_hint()

    def _show_moves(self, proposal: Proposal) -> None:
        at, blank, typed = host(self), self._blank, dict(self._list.typed)

        def again(plan: Plan) -> Proposal:
            return blank.propose(held_season(at, plan), typed)

        act = OneChange(proposal.change.what, again)
        self.app.push_screen(MovesView(act, (Answer("", "", proposal),)), self._after_moves)

    def _after_moves(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_back(self) -> None:
        """Leave; where something is typed, only when asked twice."""
        if self._list.typed and not self._asks_to_leave:
            self._asks_to_leave = True
            leave, see = shown_key(self, "view.escape"), shown_key(self, "form.ctrl+s")
            self._hint.say(
                row(),
                row(
                    (f"What is typed is not saved: {leave} again leaves it, {see} shows what moves.", WARNING)
                ),
            )
            return
        self.dismiss(False)
