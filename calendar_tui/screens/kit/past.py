"""The season as it was, on the full screen."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Past:
    """A season shown as it was, and read-only. heading: says so beside its name; notes: sentences about what is not
    certain of it; returns: whether Esc leads to the season as it is.
    """

    heading: str
    notes: tuple[str, ...] = ()
    returns: bool = True
