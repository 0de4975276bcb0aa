"""What a season has, in a few words, so that one is told from another before it is opened."""

from __future__ import annotations

from collections.abc import Callable

from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.season.records import Season
from calendar_tui.season.typed_position import latitude_text

# What a season may have beside cohorts, and by what that is known.
_PARTS: tuple[tuple[str, Callable[[Season], bool]], ...] = (
    ("lamps", lambda season: any(place.lamps for place in season.growing_places)),
    ("trial", lambda season: bool(season.trials)),
    ("drying", lambda season: bool(season.batches)),
)


def season_in_short(season: Season) -> str:
    """ "34.3 S, 11 cohorts, hoop house, field, lamps": the kinds of places are those in which plants grow up."""
    kinds = dict.fromkeys(place.kind for place in season.growing_places)
    parts = (name for name, has in _PARTS if has(season))
    cohorts = count_text(len(season.cohorts), "cohort")
    return ", ".join((latitude_text(season.site.latitude), cohorts, *kinds, *parts))
