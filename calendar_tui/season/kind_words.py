"""The kinds of record as people type them, and which of them are kept by the names of their fields."""

from __future__ import annotations

from calendar_tui.season.field_names import KINDS_BY_FIELDS, STAY
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

_NAMED = tuple(kind.name for kind in reversed(KINDS) if kind.by_id)
ALL = (
    *(name for name in _NAMED if name in KINDS_BY_FIELDS),
    STAY,
    *(name for name in KINDS_BY_FIELDS if name not in _NAMED),
)
# Why other kinds are not kept so, and what is right.
_OTHERWISE = {
    "chore": "chores have a command of their own: calendar-tui chores SEASON, with --add, --remove, or ID KEY VALUE",
    "task": "tasks follow from the plan; done, skip, move and note are for them, and chores make them",
    "draft": "drafts are kept and dropped by calendar-tui stagger",
}


def find_kind(typed: str, known: tuple[str, ...] = ALL) -> str:
    """The kind of this name, "cohorts" too. known: those that may be meant. Raises Refusal."""
    words = typed.strip().casefold()
    names = {form: kind for kind in (*known, *_OTHERWISE) for form in (kind, *_plurals(kind))}
    kind = names.get(words, "")
    if kind in known:
        return kind
    if kind:
        raise Refusal(_OTHERWISE[kind])
    raise Refusal(f'"{typed}" is nothing that a season holds{choices(words, known, "It may be one of")}')


def _plurals(kind: str) -> tuple[str, ...]:
    return (f"{kind}s", f"{kind[:-1]}ies") if kind.endswith("y") else (f"{kind}s",)


def has_names(kind: str) -> bool:
    """Whether records of a kind are told apart by names, so that one is given."""
    return kind in _NAMED
