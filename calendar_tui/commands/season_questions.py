"""A new season by questions in the terminal: a wrong answer is asked again at once, and the others stay."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from calendar_tui.commands.command_input import emit
from calendar_tui.planning.starting.answers import (
    POSITION,
    POSITION_QUESTION,
    QUESTIONS,
    Reader,
    is_at_sea,
    position_read,
    words_of,
    zones_of,
)
from calendar_tui.planning.starting.form import ANSWERS
from calendar_tui.planning.starting.typed_lines import (
    COHORT,
    PLACE,
    VARIETY,
    Lines,
    record_text,
)
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_position import LATITUDE, LONGITUDE, position_text
from calendar_tui.season.variety_types import DEFAULT, find_type, variety_types
from calendar_tui.season.wording import full_day_text

RECORD_QUESTIONS: Mapping[str, str] = {
    PLACE: "Places, one in a line: name, kind, area, lamps",
    VARIETY: f"Varieties, one in a line: name and type, which is one of\n  {', '.join(variety_types())}",
    COHORT: "First cohorts, one in a line: name, variety, nursery if any, place, plants, dates;\n"
    "  lights off where there are lamps",
}


@dataclass(slots=True)
class Questions:
    """reader: of what is typed; ask: gives what is typed; values: of the answers so far, by the keys of QUESTIONS; lines:
    the records so far, None before they are asked for; typed: their lines, by kind; asks: whether the flags have left out
    an answer.
    """

    reader: Reader
    ask: Callable[[str], str]
    values: dict[str, Any] = field(default_factory=dict)
    lines: Lines | None = None
    typed: list[tuple[str, str]] = field(default_factory=list)
    asks: bool = True

    def answers(self, given: Mapping[str, str | None]) -> dict[str, Any]:
        """The values of all keys of QUESTIONS. given: what the flags have, by key; the rest is asked.

        A wrong answer, or one that does not fit another, is asked again with what would be right. Raises ValueError
        with a sentence for a wrong flag, EOFError where nobody answers.
        """
        for key in (POSITION, *QUESTIONS):
            if typed := given.get(key):
                self.values.update(self.reader.read(key, typed, self.values))
        askable = [key for key in QUESTIONS if key not in self.values]
        self.asks = bool(askable)
        for key in QUESTIONS:
            if key not in self.values:
                self._ask_for(POSITION if key == LATITUDE and LONGITUDE in askable else key)
                if key == LATITUDE and is_at_sea(self.values):
                    self._ask_for(POSITION)  # once: the same again is taken
            self._fit(askable)
            if key == "timezone":
                self._confirm_longitude(askable)
        return self.values

    @property
    def missing(self) -> list[str]:
        """The rows of the form that have no answer yet."""
        keys = {POSITION: {LATITUDE, LONGITUDE}}
        return [row for row, key in ANSWERS.items() if not keys.get(key, {key}) <= self.values.keys()]

    def type(self, given: Mapping[str, str | None], show: Callable[[], None]) -> str:
        """The type of the first variety: as the flags have it; asked where anything is, else the default.

        show: prints the types. Raises ValueError with a sentence for a wrong flag.
        """
        if typed := given.get("type"):
            return short_day_type(typed)
        if not self.asks:
            return DEFAULT
        show()
        while True:
            try:
                typed = self.ask(f"Type of its first variety; Enter takes {DEFAULT}: ").strip()
                return short_day_type(typed) if typed else DEFAULT
            except EOFError:
                return DEFAULT
            except ValueError as wrong:
                emit([str(wrong)])

    def _confirm_longitude(self, askable: Sequence[str]) -> None:
        """Ask again for a longitude and a time zone that hardly belong together; the same answers again are taken."""
        shown_for = None
        while shown_for != (pair := (self.values[LONGITUDE], self.values["timezone"])):
            shown_for = pair
            if not (unlikely := self.reader.doubt(self.values)):
                return
            emit([f"longitude {pair[0]:g}: {unlikely}"])
            self._ask_again((LONGITUDE, "timezone"), askable)
            self._fit(askable)

    def _fit(self, askable: Sequence[str]) -> None:
        """Ask again for what does not fit one another."""
        while misfit := next(self.reader.misfits(self.values), None):
            keys, wrong = misfit
            if not set(keys) & set(askable):
                raise ValueError(wrong)
            emit([wrong])
            self._ask_again(keys, askable)

    def _ask_again(self, keys: Sequence[str], askable: Sequence[str]) -> None:
        for key in keys:
            if key in askable:
                self._ask_for(key)

    def _ask_for(self, key: str) -> None:
        question, proposed = self._question(key)
        while True:
            typed = self.ask(f"{question}: ").strip()
            if proposed and not typed:
                self.values.update(proposed)
                return
            try:
                values = self.reader.read(key, typed, self.values)
            except ValueError as wrong:
                emit([str(wrong)])
                continue
            self.values.update(values)
            emit(_read_back(key, typed, values))
            return

    def _question(self, key: str) -> tuple[str, Mapping[str, Any]]:
        """What is asked, and the values that Enter takes: the answer that stands, or a proposal; none where there is none."""
        question = POSITION_QUESTION if key == POSITION else QUESTIONS[key]
        if key == POSITION and LATITUDE in self.values:
            there = {key: self.values[key] for key in (LATITUDE, LONGITUDE)}
            return f"{question}; Enter keeps {position_text(*there.values())}", there
        if key in self.values:
            return f"{question}; Enter keeps {self.values[key]}", {key: self.values[key]}
        if key == "timezone" and (zones := zones_of(self.values)):
            others = f" (as is {' and '.join(zones[1:])})" if zones[1:] else ""
            return f"Time zone; Enter takes {zones[0]}, which is that of the position{others}", {
                key: zones[0]
            }
        return question, {}

    def records(self, given: Mapping[str, Sequence[str] | None]) -> None:
        """Read the places, varieties and cohorts into `lines`. given: what the flags have, by kind; those that they leave
        out are asked where anything is. No answer, and nobody to answer, is the end of a kind.

        Raises ValueError with a sentence for a wrong flag.
        """
        assert self.lines is not None
        for kind, question in RECORD_QUESTIONS.items():
            for line in given.get(kind) or ():
                self._add(kind, line)
            plantable = self.lines.ids(PLACE) and self.lines.ids(VARIETY)
            if self.asks and not given.get(kind) and (kind != COHORT or plantable):
                emit([*question.splitlines(), f"  such as: {self.lines.example(kind)}"])
                self._ask_for_records(kind, self.lines)

    def _ask_for_records(self, kind: str, lines: Lines) -> None:
        while True:
            more = f"Another {kind}" if lines.ids(kind) else kind.capitalize()
            try:
                typed = self.ask(f"{more}; Enter goes on{'' if lines.ids(kind) else ' without'}: ").strip()
            except EOFError:
                return
            if not typed:
                return
            try:
                record = self._add(kind, typed)
                unlit = lines.unlit_text(kind, record)
                emit([f"  {record_text(kind, record)}", *([f"  {unlit}"] if unlit else [])])
            except ValueError as wrong:
                emit([str(wrong)])

    def _add(self, kind: str, line: str) -> dict[str, Any]:
        assert self.lines is not None
        record = self.lines.add(kind, line)
        self.typed.append((kind, line))
        return record


def _read_back(key: str, typed: str, values: Mapping[str, Any]) -> list[str]:
    """What was understood, where it was typed in another form."""
    if key == POSITION:
        return [f"position is {position_read(values)}"]
    value = values[key]
    return (
        [f"{words_of(key)} is {full_day_text(value)}"]
        if isinstance(value, date) and typed != value.isoformat()
        else []
    )


def short_day_type(typed: str) -> str:
    """The id of a type that a new season's first variety can have. Raises ValueError with a sentence."""
    try:
        kind = find_type(typed)
    except Refusal as wrong:
        raise ValueError(str(wrong)) from None
    if kind.response != "short-day":
        raise ValueError(f"{kind.id} is the type of its second variety; give one that is short-day")
    return kind.id
