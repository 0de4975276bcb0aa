"""What is to be known of a change of records before it is saved: doubts about dates, and what stays as it was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.field_edits import Path, Typed
from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.stage_days import typed_doubts
from calendar_tui.planning.changes.variety_change import unused
from calendar_tui.season.field_names import field_words
from calendar_tui.season.kind_words import NAMED_ALONE
from calendar_tui.season.records import Season
from calendar_tui.season.stages import BY_NAME as STAGES_BY_NAME
from calendar_tui.season.typed_values import converted_text
from calendar_tui.season.variety_types import ALONE, variety_types
from calendar_tui.season.wording import day_text, some_text

# Kinds whose dates are those of the season itself or of the law; and kinds that are records of what happened, before today as a rule.
_OF_OTHER_TIMES = ("season", "site", "profile")
_HAPPENED = ("sample", "result", "spray", "pass", "batch", "reading", "observation")


def label(kind: str, ident: Ident) -> str:
    """ "B4", "programme H3 12 Dec", "capacity": a record in a sentence about its change."""
    parts = [day_text(part) if isinstance(part, date) else str(part) for part in ident]
    return " ".join(parts if kind in NAMED_ALONE else [kind, *parts])


def date_doubts_of(
    held: HeldSeason, kind: str, ident: Ident | None, fields: Mapping[Path, Typed]
) -> tuple[str, ...]:
    """Why typed dates may be others than those meant. ident: of a record that is there."""
    plan = held.plan
    cohort = plan.season.cohorts.get(str(ident[0])) if ident and kind == "cohort" else None
    texts: list[str] = []
    for path, typed in fields.items():
        if not isinstance(typed.value, date) or kind in _OF_OTHER_TIMES:
            continue
        planned = path[0] not in ("recorded", "not_yet") and kind not in _HAPPENED
        if cohort is not None and len(path) == 2:
            texts += typed_doubts(plan, cohort, path[1], typed.value, planned=planned)
        else:
            texts += date_doubts(plan.season, plan.today, typed.value, planned=planned)
    return tuple(dict.fromkeys(texts))


def converted_notes(fields: Mapping[Path, Typed]) -> Iterator[str]:
    """What was typed in other units than the file's, with what the file gets."""
    for typed in fields.values():
        if text := converted_text(typed.field, typed.text, typed.value):
            yield f"{typed.field.words}: {text}"


def change_notes(
    held: HeldSeason,
    kind: str,
    ident: Ident,
    fields: Mapping[Path, Typed],
) -> tuple[str, ...]:
    """What goes with the change and was not typed, and what does not."""
    if kind == "cohort":
        return tuple(_lights_off(held, str(ident[0]), fields))
    if kind == "variety":
        return tuple(_of_variety(held, str(ident[0]), fields))
    return ()


def notes_after(season: Season, kind: str, idents: Sequence[Ident]) -> tuple[str, ...]:
    """What comes of the records as they are then: of sprays, until when nobody enters their places."""
    if kind != "spray":
        return ()
    from calendar_tui.planning.spraying.closed_work import entry_texts
    from calendar_tui.planning.spraying.closures import closures_of

    return entry_texts(closures_of(season, {str(ident[0]) for ident in idents}))


def _lights_off(held: HeldSeason, name: str, fields: Mapping[Path, Typed]) -> Iterator[str]:
    """That lights off stays where a stage before it moves."""
    cohort = held.plan.season.cohorts[name]
    meant = cohort.intended("lights_off")
    asking = [p[1] for p in fields if p[0] == "planned" and STAGES_BY_NAME[p[1]].asks_lights_off]
    moved = any(fields["planned", stage].value != cohort.intended(stage) for stage in asking)
    if (
        moved
        and meant is not None
        and "lights_off" not in cohort.recorded
        and ("planned", "lights_off") not in fields
    ):
        yield f"lights off stays on {day_text(meant)}; give lights off too to move it"


def _of_variety(held: HeldSeason, name: str, fields: Mapping[Path, Typed]) -> Iterator[str]:
    """Why a figure can move nothing, and which stand above a type that is given."""
    season = held.plan.season
    variety, record = season.varieties[name], held.record("variety", (name,))
    kind = fields.get(("type",))
    if kind is not None and kind.value is not None:
        figures = variety_types()[kind.value].figures
        above = [key for key in figures if key in record and (key,) not in fields]
        yield from _above_text(name, kind.value, above) if above else ()
    idle = unused(variety, season.heat is not None)
    for path, typed in fields.items():
        if path[0] in idle and typed.value is not None:
            yield f"{typed.field.words} plays no part in the dates of {name}: {idle[path[0]]}"
    if not any(c.variety == name for c in season.cohorts.values()):
        yield f"no cohort of this season is of {name}, so nothing can move"


def _above_text(name: str, kind: str, above: Sequence[str]) -> Iterator[str]:
    one = len(above) == 1
    yield (
        f"{some_text([field_words('variety', key) for key in above])} of {name} {'is' if one else 'are'} written in the file, and "
        f"{'stands' if one else 'stand'} above the type; to have {'it' if one else 'them'} taken away, give: {kind} {ALONE}"
    )
