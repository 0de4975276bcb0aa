"""What comes with the program for a season to start from: lists of chores, the rules of authorities, the variables of a field book."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import tomli

from calendar_tui.season.reading import read_starter
from calendar_tui.season.records import Chore

STARTER = Path(__file__).parents[1] / "starter"
# The newest last; a season without starter_list was made with the first.
LISTS: Mapping[int, str] = {
    1: "chores-1.toml",
    2: "chores-2.toml",
    3: "chores-3.toml",
    4: "chores-4.toml",
    5: "chores-5.toml",
    6: "chores.toml",
}
LATEST = max(LISTS)


@cache
def starter_chores(number: int) -> Mapping[str, Chore]:
    """The chores of a list by their ids; of a list that this program does not know, those of its latest."""
    file = STARTER / LISTS.get(number, LISTS[LATEST])
    return read_starter("chore", tomli.loads(file.read_text(encoding="utf-8"))["chore"])


@cache
def starter_profiles() -> Mapping[str, Mapping[str, Any]]:
    """The rule profiles that come with the program, by their ids, as a season file has them. Each wants checking."""
    tables = tomli.loads((STARTER / "rules.toml").read_text(encoding="utf-8"))["profile"]
    return {table["id"]: table for table in tables}


@cache
def starter_variables() -> Mapping[str, Mapping[str, Any]]:
    """The variables of a field book that come with the program, by their ids, as a season file has them."""
    tables = tomli.loads((STARTER / "variables.toml").read_text(encoding="utf-8"))["variable"]
    return {table["id"]: table for table in tables}
