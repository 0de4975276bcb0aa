"""A table taken in, whatever it holds: its kind is read from its columns."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.spreadsheets.observation_table import take_observations
from calendar_tui.planning.spreadsheets.record_table import take_records
from calendar_tui.planning.spreadsheets.sheets import OBSERVATION, TASK, Sheet, sheet_of
from calendar_tui.planning.spreadsheets.taken import Taken
from calendar_tui.planning.spreadsheets.task_table import take_tasks
from calendar_tui.season.trial_table import TrialTable

_Takes = Callable[[HeldSeason, Sheet, TrialTable], Taken]
_OTHERWISE: Mapping[str, _Takes] = {OBSERVATION: take_observations, TASK: take_tasks}


def take_table(held: HeldSeason, table: TrialTable, named: str = "") -> Taken:
    """The proposal that brings a table into the season as one change, with each cell that it takes or leaves.

    named: which kind of table it is, "" where its columns tell. Raises Refusal with a line for each cell that cannot be.
    """
    sheet = sheet_of(held, table, named)
    return _OTHERWISE.get(sheet.kind, take_records)(held, sheet, table)
