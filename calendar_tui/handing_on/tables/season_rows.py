"""What a season keeps of cohorts, varieties and chores, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.changes.chore_change import KEYS, written
from calendar_tui.planning.drying.weighed import weighed_values
from calendar_tui.planning.tasks.samplings import cuts_by_plan
from calendar_tui.season.choosing import planted_on

if TYPE_CHECKING:
    from calendar_tui.planning.changes.chore_change import ChoreField
    from calendar_tui.planning.changes.starter_list import StarterChange
    from calendar_tui.planning.changes.variety_change import Figure
    from calendar_tui.season.records import Chore, Cohort, Season


def cohort_rows(cohorts: Sequence[Cohort]) -> list[Row]:
    """A row a cohort: its keys as a season file has them, and planted, the date it was or is to be planted."""
    return [
        {
            "cohort": c.id,
            "variety": c.variety,
            "start": c.start,
            "stays": [{"place": s.place, "part": s.part} for s in c.stays],
            "plants": c.plants,
            "spacing_m": c.spacing_m,
            "planted": planted_on(c),
            "note": c.note,
        }
        for c in cohorts
    ]


def figure_rows(season: Season, figures: Iterable[Figure]) -> list[Row]:
    """A row a figure. own: whether the file gives it; type: the one it is from; mark: null where nobody said; guess: whether it is one, in part.

    weighed: what own passes and batches come to, null where they say nothing of it; of the drying days one for each batch.
    """
    return [
        {
            "variety": f.variety,
            "key": f.key,
            "value": f.value,
            "unit": f.unit,
            "own": f.own,
            "type": f.of_type or None,
            "mark": ", ".join(f.marks) or None,
            "guess": f.guess,
            "used": f.used,
            "weighed": weighed_values(season, f.variety).get(f.key),
            "means": f.meaning,
        }
        for f in figures
    ]


def chore_rows(season: Season, chores: Iterable[Chore], made: Mapping[str, int]) -> list[Row]:
    """A row a chore, with every key; tasks: how many it makes; guess: whether its hours are one.

    samplings: the sampling plans that decide on its days in place of its own rule.
    """
    return [
        {
            "id": chore.id,
            **{key: written(getattr(chore, field.name)) for key, field in KEYS.items()},
            "guess": chore.guessed,
            "tasks": made.get(chore.id, 0),
            "samplings": [*season.samplings] if cuts_by_plan(season, chore) else [],
        }
        for chore in chores
    ]


def field_rows(fields: Iterable[ChoreField]) -> list[Row]:
    """A row a field of a chore."""
    return [
        {
            "chore": f.chore,
            "key": f.key,
            "value": f.value,
            "unit": f.unit,
            "own": f.own,
            "guess": f.guess,
            "means": f.meaning,
        }
        for f in fields
    ]


def starter_rows(changes: Iterable[StarterChange]) -> list[Row]:
    """A row a chore: id, kind, what, edited: whether something of one's own would give way, and the fields that change."""
    return [
        {
            "id": change.id,
            "kind": change.kind,
            "what": change.what,
            "edited": change.edited,
            "fields": [
                {"key": f.key, "shipped": f.shipped, "own": f.own, "now": f.now} for f in change.fields
            ],
        }
        for change in changes
    ]
