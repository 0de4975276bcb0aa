"""What is to be known of a change of records before it is saved: doubts about dates, and what stays as it was."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.field_edits import Path, Typed
from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.stage_days import typed_doubts
from calendar_tui.season.edits import Edit
from calendar_tui.season.fields import MARKS
from calendar_tui.season.kind_words import has_names
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.stages import BY_NAME as STAGES_BY_NAME
from calendar_tui.season.wording import day_text


def label(kind: str, ident: Ident) -> str:
    """ "B4", "programme H3 12 Dec", "capacity": a record in a sentence about its change."""
    parts = [day_text(part) if isinstance(part, date) else str(part) for part in ident]
    return " ".join(parts if has_names(kind) else [kind, *parts])


def date_doubts_of(
    held: HeldSeason, kind: str, ident: Ident | None, fields: Mapping[Path, Typed]
) -> tuple[str, ...]:
    """Why typed dates may be others than those meant. ident: of a record that is there."""
    plan = held.plan
    cohort = plan.season.cohorts.get(str(ident[0])) if ident and kind == "cohort" else None
    texts: list[str] = []
    for path, typed in fields.items():
        if not isinstance(typed.value, date) or kind in ("season", "site"):
            continue
        planned = path[0] not in ("recorded", "not_yet")
        if cohort is not None and len(path) == 2:
            texts += typed_doubts(plan, cohort, path[1], typed.value, planned=planned)
        else:
            texts += date_doubts(plan.season, plan.today, typed.value, planned=planned)
    return tuple(dict.fromkeys(texts))


def change_notes(
    held: HeldSeason,
    kind: str,
    ident: Ident,
    fields: Mapping[Path, Typed],
    edits: Sequence[Edit],
    mark: str,
) -> tuple[str, ...]:
    """What goes with the change and was not typed, and what does not."""
    if kind == "cohort":
        return tuple(_lights_off(held, str(ident[0]), fields))
    if kind == "variety":
        return tuple(_guesses(edits, mark))
    return ()


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


def _guesses(edits: Sequence[Edit], mark: str) -> Iterator[str]:
    marked = [e.field[1] for e in edits if e.op == "set" and e.field[0] == "marks" and e.value == GUESS_MARK]
    if marked and not mark:
        known = ", ".join(m for m in MARKS if m != GUESS_MARK)
        yield f"nobody says where the new figures come from: they are marked {GUESS_MARK}, a guess. Marks: {known}"
    if any(e.op == "unset" and e.field == ("sets",) for e in edits):
        yield "the sets that were fitted to records have another figure, so they are taken away"
