"""A comparison that a trial names: levels of a factor against others of it, as "amber against brook and cedar"."""

from __future__ import annotations

from collections.abc import Sequence

AGAINST, AND = " against ", " and "
_EXAMPLE = 'write levels against levels, such as "amber against brook and cedar"'


def sides_of(text: str, levels: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The levels on either side. levels: of the factor. Raises ValueError with what would be right."""
    parts = text.split(AGAINST)
    if len(parts) != 2:
        raise ValueError(f'"{text}" is no comparison; {_EXAMPLE}')
    first, second = (_side(part.strip(), levels) for part in parts)
    for level in (*first, *second):
        if level not in levels:
            raise ValueError(f'"{text}": "{level}" is not a level; the levels are {", ".join(levels)}')
    twice = next((level for level in (*first, *second) if (*first, *second).count(level) > 1), None)
    if twice is not None:
        raise ValueError(f'"{text}" names {twice} twice; a level stands on one side, once')
    return first, second


def _side(text: str, levels: Sequence[str]) -> tuple[str, ...]:
    return (text,) if text in levels else tuple(level.strip() for level in text.split(AND))


def with_level(text: str, old: str, new: str) -> str:
    """A comparison with one level under another name."""
    sides = (side.split(AND) for side in text.split(AGAINST))
    return AGAINST.join(AND.join(new if level == old else level for level in side) for side in sides)
