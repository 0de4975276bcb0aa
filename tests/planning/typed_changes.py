"""Fields of varieties and chores changed as they are typed, of a season given as data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import Data
from tests.planning.farm import TODAY, season_of


def held_of(data: Data) -> HeldSeason:
    return HeldSeason(make_plan(season_of(data), TODAY), data)


def typed_change(data: Data, kind: str, name: str, typed: Mapping[str, Any], mark: str = "") -> Proposal:
    """The proposal that gives a record these fields, by their names or keys."""
    return set_fields(held_of(data), kind, (name,), typed, mark)
