"""A spray as a change: of one place, or of several with the same product in one act, a record each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_records
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.finders import find_light
from calendar_tui.season.naming import next_names
from calendar_tui.season.records import Season

KIND, PLACE = "spray", "place"
# What was used in one place; typed for several at once it would be counted once for each.
_OF_ONE_PLACE = ("total", "area")


def places_of(season: Season, text: str) -> tuple[str, ...]:
    """The places, or screened parts, of "H1, H2", each once. Raises Refusal."""
    return tuple(dict.fromkeys(find_light(season, name.strip()) for name in text.split(",") if name.strip()))


def record_sprays(held: HeldSeason, places: Sequence[str], typed: Mapping[str, str]) -> Proposal:
    """The proposal that records a spray in each of these places. typed: its other fields. Raises FieldErrors."""
    if len(places) > 1:
        wrong = [words for words in _OF_ONE_PLACE if typed.get(words, "").strip()]
        right = f"it is of one place, and {' and '.join(places)} are typed; leave it out here and set it in each record"
        if wrong:
            raise FieldErrors([FieldError(words, typed[words], right) for words in wrong])
    made: dict[str, Mapping[str, str]] = {}
    for place in places:
        made[next_names("s0", (*held.plan.season.sprays, *made))[0]] = {**typed, PLACE: place}
    return add_records(held, KIND, made)
