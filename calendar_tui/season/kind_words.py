"""The kinds of record as people type them, and which of them are kept by the names of their fields."""

from __future__ import annotations

from calendar_tui.season.field_names import KINDS_BY_FIELDS, STAY
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

# Kinds whose records are known by their names, so that a sentence need not tell what they are.
NAMED_ALONE = ("cohort", "variety", "place")
_NAMED = tuple(kind.name for kind in KINDS if kind.by_id)
_OF_CROP = tuple(kind.name for kind in KINDS if kind.of_crop and kind.by_fields)
ALL = (
    *NAMED_ALONE,
    *(name for name in _NAMED if name in KINDS_BY_FIELDS and name not in (*NAMED_ALONE, *_OF_CROP)),
    STAY,
    *_OF_CROP,
    *(name for name in KINDS_BY_FIELDS if name not in _NAMED),
)
# Why other kinds are not kept so, and what is right.
_OTHERWISE = {
    "task": "tasks follow from the plan; done, skip, move and note are for them, and chores make them",
    "observation": "observations are recorded, changed and taken out by calendar-tui observe and field-book",
    "draft": "drafts are kept and dropped by calendar-tui stagger",
}


def find_kind(typed: str, known: tuple[str, ...] = ALL) -> str:
    """The kind of this name, "cohorts" too. known: those that may be meant. Raises Refusal."""
    words = typed.strip().casefold()
    names = {form: kind for kind in (*known, *_OTHERWISE) for form in (kind, f"{kind}s", kinds_text(kind))}
    kind = names.get(words, "")
    if kind in known:
        return kind
    if kind:
        raise Refusal(_OTHERWISE[kind])
    raise Refusal(f'"{typed}" is nothing that a season holds{choices(words, known, "It may be one of")}')


def kinds_text(kind: str, count: int = 2) -> str:
    """ "cohort" of one, else "cohorts", "varieties", "stays", "batches"."""
    if count == 1 or kind.endswith("ies"):
        return kind
    if kind.endswith("y") and kind[-2] not in "aeiou":
        return f"{kind[:-1]}ies"
    return f"{kind}es" if kind.endswith(("s", "ch")) else f"{kind}s"


def has_names(kind: str) -> bool:
    """Whether records of a kind are told apart by names, so that one is given."""
    return kind in _NAMED
