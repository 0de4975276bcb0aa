"""Levels that whole places get, such as light: drawn among the places by the same shuffle as plots."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.nature.layouts.shuffle import draws, shuffled


def dealt(levels: Sequence[str], places: Sequence[str], seed: int) -> dict[str, tuple[str, ...]]:
    """Each level with the places that it gets, as evenly as they go: the first levels one more.

    Raises ValueError for fewer places than levels, and for a name that stands there twice.
    """
    for names, what in ((levels, "level"), (places, "place")):
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise ValueError(f'"{twice}" stands there twice; name each {what} once')
    if len(levels) < 2 or len(places) < len(levels):
        raise ValueError(
            f"{len(places)} places for {len(levels)} levels; there must be 2 levels or more, and a place for each"
        )
    order = shuffled(places, draws(seed))
    return {level: tuple(order[n :: len(levels)]) for n, level in enumerate(levels)}
