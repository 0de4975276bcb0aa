"""A rule profile that comes with the program, taken into a season as its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.season.edits import Edit
from calendar_tui.season.rules import Profile


def take_in(held: HeldSeason, table: Mapping[str, Any], profile: Profile) -> Proposal:
    """The proposal that adds a profile as the file has it. Raises FieldErrors."""
    ident = (profile.id,)
    edits = [Edit("add", "profile", ident, (), dict(table))]
    season = checked_season(held, edits, {"profile": [ident]}, {})
    what = f"profile {profile.id} taken in: {profile.citation}"
    proposal = proposed(held, season, what, edits, "profile", [ident])
    note = "it is the season's own from now on: read it, ask your authority, and set what differs"
    return replace(proposal, notes=(note, *proposal.notes))
