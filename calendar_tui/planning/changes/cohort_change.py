"""One key of the records of one cohort or several: changed together, shown with what it moves before it is saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from calendar_tui.planning.changes.field_change import Keys, checked, number, read_as
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import FIELDS, REQUIRED, Field
from calendar_tui.season.records import Cohort
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.wording import alike_text

# Keys that tell a cohort from others, and its dates and stays, are changed by other means.
KEYS = ("variety", "place", "part", "plants", "spacing_m", "note")
CHANGED: Mapping[str, Field] = {field.key: field for field in FIELDS["cohort"] if field.key in KEYS}
# Typed in place of a value: the key is taken out of the record.
NO_VALUE = "none"


COHORT_KEYS = Keys("cohort", CHANGED, "a field of a cohort that can be changed", "Fields")


def change_cohorts(plan: Plan, cohorts: Sequence[Cohort], key: str, typed: str) -> Proposal:
    """The proposal that gives a key of these cohorts the value typed, in one change.

    typed: as in a season file, without quotes: 120, H2, 1.5x0.6; "none" takes the key out. Raises Refusal where the value
    cannot be, with a line for each cohort that cannot have it.
    """
    field = CHANGED[key]
    value = None if typed.strip().casefold() == NO_VALUE else plain_value(field, typed)
    if value is None and field.default is REQUIRED:
        raise Refusal(f"a cohort needs its {field_words('cohort', key)}; give another value")
    new = field.default if value is None else read_as(field, value)
    refuse_all([text for c in cohorts if (text := _refused_text(c, key))], len(cohorts))
    changed = [c for c in cohorts if getattr(c, field.name) != new]
    season = replace(
        plan.season,
        cohorts={**plan.season.cohorts, **{c.id: replace(c, **{field.name: new}) for c in changed}},
    )
    edits = [
        Edit("unset", "cohort", (c.id,), (key,))
        if value is None
        else Edit("set", "cohort", (c.id,), (key,), value)
        for c in changed
    ]
    names = tuple(c.id for c in cohorts)
    whats = [
        f"{c.id} {field_words('cohort', key)} {value_words(getattr(c, field.name))} -> {value_words(new)}"
        for c in changed
    ]
    return propose(
        plan, checked(season), "; ".join(alike_text(whats, names)), edits, tuple(c.id for c in changed)
    )


def _refused_text(cohort: Cohort, key: str) -> str:
    """Why a cohort cannot have this key changed, or ""."""
    if key in ("place", "part") and cohort.written_stays:
        return (
            f"{cohort.id} has stays, which say where it stands; change one of them: set stay {cohort.id} ..."
        )
    return ""


def plain_value(field: Field, typed: str) -> Any:
    """What is typed as a season file has it: two metres as 1.5x0.6 or 1.5, 0.6."""
    words = typed.strip().strip("\"'")
    if field.key == "spacing_m":
        return [number(word) for word in words.strip("[]").replace("x", " ").replace(",", " ").split()]
    return number(words) if field.key == "plants" else words


def value_words(value: Any) -> str:
    """ "120", "1.5x0.6", "H2"; "none" where there is none."""
    if isinstance(value, tuple):
        return "x".join(f"{n:g}" for n in value)
    return NO_VALUE if value in (None, "") else str(value)
