"""Variables that come with the program, taken into a season as its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.season.edits import Edit
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import some_text

_KIND = "variable"
ALL = "all"


def start_with(held: HeldSeason, shipped: Mapping[str, Mapping[str, Any]], names: Sequence[str]) -> Proposal:
    """The proposal that adds these variables as the program has them; "all" for those that the season lacks.

    Raises Refusal, FieldErrors.
    """
    own = held.plan.season.variables
    if list(names) == [ALL]:
        names = [name for name in shipped if name not in own]
    for name in names:
        if name not in shipped:
            raise Refusal(f'"{name}" is no variable that comes with the program{choices(name, shipped)}')
        if name in own:
            raise Refusal(f"{name} is a variable of this season already; set changes it")
    if not names:
        raise Refusal("this season has every variable that comes with the program")
    edits = [Edit("add", _KIND, (name,), (), dict(shipped[name])) for name in dict.fromkeys(names)]
    idents = [edit.ident for edit in edits]
    season = checked_season(held, edits, {_KIND: idents}, {})
    return proposed(held, season, f"variables taken in: {some_text(list(names))}", edits, _KIND, idents)
