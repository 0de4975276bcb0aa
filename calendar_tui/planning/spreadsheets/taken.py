"""What a table brings, cell by cell, and what is passed over or cannot be."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.slips import asking_records
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.spreadsheets.cells import day_cell, plain_cell
from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import typed_in_season

MOST_SHOWN = 12


class CellChange(NamedTuple):
    """A cell that is taken: the line of the file, its record and field, and the values as they are typed; "" for none."""

    line: int
    record: str
    field: str
    was: str
    now: str


class PassedOver(NamedTuple):
    """A cell that is left as it is in the season, and why."""

    line: int
    record: str
    field: str
    cell: str
    why: str

    @property
    def text(self) -> str:
        return f"{self.record} {self.field}: {self.cell} is passed over; {self.why}"


class Taken(NamedTuple):
    """A table taken in. kind: "cohorts". new: the ids of new records. same: how many lines bring nothing."""

    kind: str
    file: str
    proposal: Proposal
    cells: tuple[CellChange, ...]
    passed: tuple[PassedOver, ...]
    new: tuple[str, ...]
    same: int


@dataclass(slots=True)
class Gathering:
    """What the lines of a table bring, as they are read one by one. lines: the first line of each record, by its id."""

    file: str
    held: HeldSeason
    lines: dict[Hashable, int] = field(default_factory=dict)
    cells: list[CellChange] = field(default_factory=list)
    passed: list[PassedOver] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)

    def refuse(self, line: int, column: str, text: str) -> None:
        """Keep what is wrong with a cell, or with a line as a whole where its column is ""."""
        self.wrong.append(f"{self.file}:{line}{f', {column}' if column else ''}: {text}")

    def is_first(self, line: int, column: str, record: Hashable, name: str) -> bool:
        """Whether no line above is of the same record; one that is not is refused."""
        first = self.lines.setdefault(record, line)
        if first != line:
            self.refuse(line, column, f"{shown(name)} stands in line {first} too; keep one line for each")
        return first == line

    def day(self, column: str, cell: str) -> date:
        """The date in a cell that is no field of a record by its name. Raises ValueError."""
        read, plan = day_cell(plain_cell(cell)), self.held.plan
        if read.note:
            self.notes[f"{column}: {read.note}"] = None
        return typed_in_season(
            read.text, plan.season, today=plan.today, planned=None, past=True, order=self.held.order
        )

    def refuse_wrong(self) -> None:
        """Raises Refusal with a line for each cell that cannot be: all of a table is taken, or none."""
        if self.wrong:
            raise Refusal("\n".join(first_of(self.wrong)))


def lights_off_notes(plan: Plan, recorded: Sequence[StageDay]) -> Iterator[str]:
    """That the lights off of a cohort do not move with a transplant that is recorded, which a table cannot be asked."""
    for one in asking_records(plan, recorded):
        yield f"lights off of {one.cohort} stays where it is planned; to move it: plan {one.cohort} lights off DATE"


def counts_text(new: int, changed: int, cells: int, passed: int = 0, same: int = 0) -> str:
    """ "1 new, 2 changed in 3 cells, 1 cell passed over, 40 as they are"."""
    told = (
        (new, f"{new} new"),
        (changed, f"{changed} changed in {counted(cells, 'cell')}"),
        (passed, f"{counted(passed, 'cell')} passed over"),
        (same, f"{same} as they are" if same > 1 else "1 as it is"),
    )
    return ", ".join(text for count, text in told if count) or "nothing in it"


def counted(count: int, one: str) -> str:
    return f"{count} {one}{'' if count == 1 else 's'}"


def first_of(texts: Sequence[str]) -> Iterator[str]:
    """So many of them, and how many more there are."""
    yield from texts[:MOST_SHOWN]
    if len(texts) > MOST_SHOWN:
        yield f"and {len(texts) - MOST_SHOWN} more"


def passed_notes(passed: Iterable[PassedOver]) -> Iterator[str]:
    return first_of([one.text for one in passed])
