"""The first screen without a season: make one, look at an example, or open one of those found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import DIM, HEADING, Bar, ListRow, first_rows, fitted, row, wrapped
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.starting.choice import EXAMPLE, HERE, LATELY, Chosen, Offer, Start
from calendar_tui.screens.starting.form_view import NewSeasonView
from calendar_tui.season.cells import cell_len, cut_start

FOOT = ("first", "anything", "help", "program")
# On a season of one's own.
OWN_FOOT = ("first", "next season", "anything", "help", "program")
NEW = "new"
# By where seasons come from: what stands above them.
HEADINGS = {HERE: "Open", LATELY: "Opened lately", EXAMPLE: "Look at an example, in a copy"}
# Two lines of a terminal of 40 cells: below them the list begins.
WHAT_IT_IS = "A season is one site's crop calendar in one file. Make one, or try an example."
# Columns of a season's name at most, before what it is.
_NAME_WIDTH = 30
_BEFORE_NAME, _GAP = "  ", "  "
ABOUT_LINES = 3


class FirstView(ListView[None]):
    """Ends the app with what is chosen."""

    # Textual takes no CSS of a screen that an app begins with.
    DEFAULT_CSS = f"FirstView #heading {{ height: 3; }} FirstView #about {{ height: {ABOUT_LINES}; }}"
    HELP_FIRST = "first"
    BINDINGS: ClassVar[list[BindingType]] = bindings("first", "next season")

    def __init__(self, start: Start) -> None:
        self._start = start
        self._offers = {str(n): offer for n, offer in enumerate(start.offers)}
        found = next((key for key, offer in self._offers.items() if not offer.example), NEW)
        self._about = Bar(id="about")
        super().__init__(self._rows, FOOT, self._about, key=found)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is nothing to go back to."""
        return action != "back"

    def on_mount(self) -> None:
        self._list.focus()

    def on_resize(self) -> None:
        origins, width = [offer.origin for offer in self._start.offers], self.app.size.width
        found, lately = origins.count(HERE), LATELY in origins
        none = "No season" if lately else "No season of your own yet"
        named = count_text(found, "season") if found else none
        room = width - cell_len(f"{named} in ")
        title = fitted(f"{named} in {cut_start(self._start.folder, room)}", width).rstrip()
        below = "Choose one, or make one." if found or lately else WHAT_IT_IS
        self._heading.say(row((title, HEADING)), *wrapped(below, width, style=DIM))

    def _rows(self, width: int) -> Iterable[ListRow]:
        here, lately, examples = (list(self._group(origin, width)) for origin in HEADINGS)
        going_on = self._start.typed.get("name")
        new = f"Go on with {going_on}, not made yet" if going_on else "Make a season of your own"
        return [*here, *lately, row(new, key=NEW), row(), *examples]

    def _group(self, origin: str, width: int) -> Iterator[ListRow]:
        offers = {key: offer for key, offer in self._offers.items() if offer.origin == origin}
        if offers:
            yield row((HEADINGS[origin], HEADING))
            columns = self._columns(width)
            yield from (_offer_row(key, offer, *columns) for key, offer in offers.items())
            yield row()

    def on_picker_moved(self) -> None:
        offer = self._offers.get(self._list.key)
        self._keys.name_keys(FOOT if offer is None or offer.example else OWN_FOOT)
        width = max(self.size.width - 1, 20)
        file = [row((cut_start(offer.file, width), DIM))] if offer is not None and offer.file else []
        rows = wrapped(self._about_text(offer), width, style=DIM)
        self._about.say(*file, *first_rows(rows, ABOUT_LINES - len(file), width))

    def _about_text(self, offer: Offer | None) -> str:
        """What Enter does there, after what its row has no room for."""
        if offer is None:
            return "Asks for name, position, dates, places, varieties; writes one file here."
        what = (
            "A copy, on a day of its season: nothing can go wrong."
            if offer.example
            else f"{shown_key(self, 'next season.n')} makes next year's season of it."
        )
        cut = cell_len(offer.about) > self._columns(self._list.size.width)[1]
        return f"{offer.about}. {what}" if cut else what

    def _columns(self, width: int) -> tuple[int, int]:
        """Those of a season's name, as wide as the longest, and of what it is."""
        longest = max((cell_len(offer.name) for offer in self._start.offers), default=0)
        name = min(longest, _NAME_WIDTH, width // 2)
        return name, max(width - name - len(_BEFORE_NAME + _GAP), 0)

    def action_choose(self) -> None:
        offer = self._offers.get(self._list.key)
        if offer is not None:
            self.app.exit(Chosen(offer.path, offer.example))
            return
        self.app.push_screen(NewSeasonView(self._start), self._after_form)

    def action_next_season(self) -> None:
        """Show next year's season of the one under the cursor; once it is made it is the one to open."""
        from calendar_tui.screens.asking.next_season_view import show_next_season

        offer = self._offers.get(self._list.key)
        if offer is None or offer.example:
            self.notify("Put the cursor on a season of your own: next year's is made of it.")
            return
        path = offer.path
        show_next_season(
            self, lambda: self._start.next_of(path), lambda file: self.app.exit(Chosen(file.path, False))
        )

    def _after_form(self, made: Chosen | None) -> None:
        if made is not None:
            self.app.exit(made)
        else:
            self._list.redraw()


def _offer_row(key: str, offer: Offer, name: int, about: int) -> ListRow:
    """name, about: columns of each."""
    return row(
        _BEFORE_NAME, fitted(offer.name, name), _GAP, (fitted(offer.about, about).rstrip(), DIM), key=key
    )
