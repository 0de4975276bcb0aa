"""Rule profiles and lots as plain data for JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from decimal import Decimal
from typing import Any

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.season.lots import lots_of, rules_for, rules_reason
from calendar_tui.season.records import Season
from calendar_tui.season.rules import CHECK, Profile


def rules_data(season: Season, today: date, shipped: Mapping[str, Profile]) -> Row:
    """profiles: of the season; lots: each with its profile today, null where none holds, and why; shipped: of the program."""
    return {
        "profiles": [profile_row(profile) for profile in season.profiles.values()],
        "lots": [
            {
                "lot": lot.id,
                "cohort": lot.cohort,
                "variety": season.cohorts[lot.cohort].variety,
                "rules": None if (held := rules_for(season, lot, today)) is None else held.id,
                "citation": CHECK if held is None else held.citation,
                "why": rules_reason(season, lot, today),
            }
            for lot in lots_of(season)
        ],
        "shipped": [
            {**profile_row(profile), "in_season": profile.id in season.profiles}
            for profile in shipped.values()
        ],
    }


def profile_row(profile: Profile) -> Row:
    """Every figure of a profile, exact decimals as text; null where it is not set; and its citation."""
    named = {one.name: _plain(getattr(profile, one.name)) for one in fields(profile)}
    return {**named, "citation": profile.citation}


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    return str(value) if isinstance(value, Decimal) else value
