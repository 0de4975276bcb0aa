"""The form in which a weather file is named and what it does not say is answered; below it stands what it brings and moves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.weather_in import take_weather
from calendar_tui.screens.forms.blank import Blank, Filled, FormField, Typed
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.season.field import FILE_ORDERS, HEADING_ROLES
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.readers import choices
from calendar_tui.season.weather_files.cells import UNITS
from calendar_tui.season.weather_files.reading import DATES, STATION, UNIT, Answers, Unanswered
from calendar_tui.season.weather_files.table import NoForm
from calendar_tui.storage.table_file import weather_file_text

FILE, ORDER, COLUMN = "file", "date order", "column "
_LINES: Mapping[str, str] = {UNIT: "unit", STATION: "station", DATES: ORDER}
_ALLOWED: Mapping[str, tuple[str, ...]] = {"unit": tuple(UNITS), ORDER: FILE_ORDERS}


class WeatherView(FormView):
    """The form over the season that is open: a file is looked for beside it.

    The headings of a file of no known form come from the thread that reads it, and each is then a line of the form.
    """

    def __init__(self, folder: Path) -> None:
        """folder: where a file is looked for."""
        super().__init__(
            Blank(
                "Take in a weather file",
                "as it was downloaded; answers are kept",
                self._fields,
                _read,
                self._propose,
            )
        )
        self._folder = folder
        # A file as it was typed, and its headings.
        self._headed: tuple[str, Sequence[str]] = ("", ())

    def _fields(self, _held: HeldSeason, typed: Typed) -> Sequence[FormField]:
        folder = self._folder
        file, headings = self._headed
        asked = headings if file == typed.get(FILE, "").strip() else ()
        said = (words.removeprefix(COLUMN) for words in typed if words.startswith(COLUMN))
        return [
            FormField(FILE, "", "", f"its name in {folder.name or folder}, or its path"),
            FormField("unit", "", "", "where neither file nor form says it", _ALLOWED["unit"]),
            FormField("station", "", "", "of a file with several"),
            FormField(ORDER, "", "", "of dates of numbers alone", FILE_ORDERS),
            *(
                FormField(f"{COLUMN}{heading}", "", "", "what it holds", HEADING_ROLES, "Columns")
                for heading in dict.fromkeys((*asked, *said))
            ),
        ]

    def _propose(self, held: HeldSeason, typed: Typed) -> Proposal:
        """In a thread."""
        try:
            return _proposal(self._folder, held, typed)
        except NoForm as wrong:
            self._headed = typed[FILE].strip(), wrong.headings
            raise

    def _take(self, made: Filled) -> None:
        if self.is_attached:
            self._show_fields()
        super()._take(made)


def _read(_held: HeldSeason, words: str, text: str) -> str:
    allowed = HEADING_ROLES if words.startswith(COLUMN) else _ALLOWED.get(words, ())
    if text.strip() and allowed and text.strip() not in allowed:
        raise ValueError(f'"{text}" is none of these{choices(text, allowed)}')
    return ""


def _proposal(folder: Path, held: HeldSeason, typed: Typed) -> Proposal:
    if not (name := typed.get(FILE, "").strip()):
        raise FieldErrors([FieldError(FILE, "", "it is needed: the file as it was downloaded")])
    columns = {
        words.removeprefix(COLUMN): text.strip()
        for words, text in typed.items()
        if words.startswith(COLUMN) and text.strip()
    }
    unit, station, order = (typed.get(_LINES[key], "").strip() for key in (UNIT, STATION, DATES))
    said = Answers(unit, station, order, columns)
    text = weather_file_text(folder / Path(name).expanduser())
    try:
        return take_weather(held, Path(name).name, text, said).proposal
    except Unanswered as asked:
        raise FieldErrors(
            [FieldError(_LINES[question.key], "", question.text) for question in asked.questions]
        ) from asked
