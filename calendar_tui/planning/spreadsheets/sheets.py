"""Which records a table may hold, and which of them the columns of a file mean."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.spreadsheets.cells import plain_cell
from calendar_tui.planning.spreadsheets.columns import ID, column_named, column_names, is_id
from calendar_tui.season.field_names import plain_words
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.readers import choices, near, shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import TrialTable
from calendar_tui.season.wording import some_text

TASK, OBSERVATION = "task", "observation"


class Sheet(NamedTuple):
    """One kind of table.

    kind: of its records. adds: whether a line with a new id is a new record; otherwise `instead` says what makes one.
    fills: whether a cell is taken only where nothing stands, since what stands is what was found.
    """

    kind: str
    adds: bool = True
    fills: bool = False
    instead: str = ""

    @property
    def name(self) -> str:
        """ "cohorts", "varieties": the flag of its export, and what --kind takes."""
        return kinds_text(self.kind)


_SHEETS = (
    Sheet("cohort"),
    Sheet("place"),
    Sheet("variety"),
    Sheet("chore"),
    Sheet("plot"),
    Sheet(
        "sample",
        adds=False,
        fills=True,
        instead="calendar-tui sample makes bags, with the signs that go on them",
    ),
    Sheet("result", adds=False, fills=True, instead="calendar-tui result takes in what a laboratory found"),
    Sheet(OBSERVATION),
    Sheet(TASK, adds=False, instead="chores make tasks: add a chore"),
)
SHEETS: Mapping[str, Sheet] = {sheet.name: sheet for sheet in _SHEETS}
# Tables that the program writes and that are not taken in here: their columns, and what is right.
_OTHERS: tuple[tuple[frozenset[str], str], ...] = (
    (
        frozenset(("cohort", "stage", "earliest", "likely", "latest")),
        "is a table of dates, which are worked out; planned dates are taken in with the cohorts: export --cohorts",
    ),
    (
        frozenset(("cohort", "item", "count", "unit")),
        "is a table of quantities, which are worked out; what they rest on is taken in with the cohorts and varieties: "
        "export --cohorts, export --varieties",
    ),
    (
        frozenset(("site", "variety", "weather_year")),
        "is the response of many sites, which is worked out from a survey",
    ),
    (
        frozenset(("place", "night", "on_utc")),
        "is a table of lamps by night, which are worked out; what sets them is taken in with the places: export --places",
    ),
    (
        frozenset(("plot", "plant", "treatment", "date")),
        "is a sheet of a field book; it is taken in for its trial: field-book TRIAL --take FILE",
    ),
)


def sheet_of(held: HeldSeason, table: TrialTable, named: str = "") -> Sheet:
    """The sheet whose columns a table has; where they fit several, the one whose records its ids are.

    named: as it is typed, "" where its columns tell. Raises Refusal.
    """
    if named:
        return _with_its_columns(sheet_named(named), table)
    _refuse_others(table)
    strange = {sheet: len([*_strange(sheet, table)]) for sheet in _SHEETS if not _lacking(sheet, table)}
    known = {
        sheet: count for sheet, count in strange.items() if count < len(table.headers) - len(needed(sheet))
    }
    if not known:
        raise Refusal(
            f"{table.file} has no column id with columns of a record beside it, such as: id, variety, plants; calendar-tui export "
            "SEASON --cohorts FILE.csv writes a table to begin with"
        )
    fitting = [sheet for sheet, count in known.items() if count == min(known.values())]
    if len(fitting) > 1:
        fitting = [sheet for sheet in fitting if _has_its_ids(held, sheet, table)] or fitting
    if len(fitting) > 1:
        names = [sheet.name for sheet in fitting]
        raise Refusal(
            f"{table.file}: its columns fit {some_text(names)} alike; add --kind {names[0]}, or a column that only these have"
        )
    return fitting[0]


def _has_its_ids(held: HeldSeason, sheet: Sheet, table: TrialTable) -> bool:
    """Whether a line of a table has the id of a record that is there."""
    at = next((n for n, head in enumerate(table.headers) if is_id(sheet.kind, head)), None)
    if at is None:
        return False
    ids = {str(record.get(ID, "")).casefold() for record in held.records(sheet.kind)}
    return any(plain_cell(line.cells[at]).casefold() in ids for line in table.lines)


def sheet_named(typed: str) -> Sheet:
    """The sheet of this name. Raises Refusal."""
    if (sheet := SHEETS.get(typed.strip().casefold())) is None:
        raise Refusal(f'"{typed}" is no kind of table{choices(typed, SHEETS, "Kinds")}')
    return sheet


def needed(sheet: Sheet) -> tuple[str, ...]:
    """The columns without which no line of a table can be told from another."""
    return ("date", "at", "variable") if sheet.kind == OBSERVATION else (ID,)


def _refuse_others(table: TrialTable) -> None:
    """Raises Refusal for a table that the program writes and does not take in, with what is right."""
    heads = {plain_words(head).replace(" ", "_") for head in table.headers}
    for needs, text in _OTHERS:
        if needs <= heads:
            raise Refusal(f"{table.file} {text}")


def _with_its_columns(sheet: Sheet, table: TrialTable) -> Sheet:
    """Raises Refusal for a table that lacks a column without which its lines say nothing."""
    if lacking := _lacking(sheet, table):
        raise Refusal(
            f"{table.file} has {', '.join(f'no column {head}' for head in lacking)}, by which lines of {sheet.name} are told apart"
        )
    return sheet


def _lacking(sheet: Sheet, table: TrialTable) -> list[str]:
    heads = {ID if is_id(sheet.kind, head) else head.casefold() for head in table.headers}
    return [head for head in needed(sheet) if head not in heads]


def names_of(sheet: Sheet) -> tuple[str, ...]:
    """The heads that a table may have."""
    if sheet.kind == TASK:
        from calendar_tui.planning.spreadsheets.task_table import TASK_COLUMNS

        return TASK_COLUMNS
    if sheet.kind == OBSERVATION:
        from calendar_tui.planning.spreadsheets.observation_table import OBSERVATION_COLUMNS

        return OBSERVATION_COLUMNS
    return column_names(sheet.kind)


def is_known(sheet: Sheet, head: str) -> bool:
    if sheet.kind in (TASK, OBSERVATION):
        return head.casefold() in names_of(sheet) or is_id(sheet.kind, head)
    return column_named(sheet.kind, head) is not None


def _strange(sheet: Sheet, table: TrialTable) -> Iterator[str]:
    return (head for head in table.headers if head and not is_known(sheet, head))


def strange_notes(sheet: Sheet, table: TrialTable) -> Iterator[str]:
    """That columns are passed over, with the nearest name of each."""
    for head in _strange(sheet, table):
        yield f"column {shown(head)} is passed over: {sheet.name} have no such column{near(head, names_of(sheet))}"
    yield from _nameless(table)


def _nameless(table: TrialTable) -> Iterable[str]:
    for n, head in enumerate(table.headers):
        if not head and any(line.cells[n].strip() for line in table.lines):
            yield f"column {n + 1} is passed over: it has no name"
