"""Schemes kept beside the plan: as records of the season file, laid out anew each time, accepted as one change."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.scheme import Scheme, new_ids, scheme_of
from calendar_tui.season.capacity import Draft
from calendar_tui.season.checks import order_problem
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.finders import find_place, find_variety
from calendar_tui.season.readers import Unreadable, choices, name_id
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import LAMP_STAGES
from calendar_tui.season.wording import full_day_text, season_days_text


def draft_change(season: Season, name: str, scheme: Scheme) -> Change:
    """The change that keeps a scheme as a draft, in place of the one of this name. Raises Refusal for a name that is none."""
    try:
        name_id(name)
    except Unreadable as wrong:
        raise Refusal(f"a draft's name {wrong}") from wrong
    edits = [Edit("remove", "draft", (name,))] if name in season.drafts else []
    return Change(
        f"draft {name}: {scheme.wish_text}", (*edits, Edit("add", "draft", (name,), (), _table(name, scheme)))
    )


def _table(name: str, scheme: Scheme) -> dict[str, Any]:
    first = scheme.sown[0].cohort
    pairs: tuple[tuple[str, Any], ...] = (
        ("id", name),
        ("wish", scheme.wish_text),
        ("variety", first.variety),
        ("start", first.start),
        ("nursery", first.nursery),
        ("spacing_m", None if first.spacing_m is None else list(first.spacing_m)),
        ("cohorts", [_row(sown.cohort) for sown in scheme.sown]),
    )
    return {key: value for key, value in pairs if value is not None}


def _row(cohort: Cohort) -> dict[str, Any]:
    head = {"place": cohort.place, "part": cohort.part, "plants": cohort.plants}
    return {key: value for key, value in head.items() if value not in ("", None)} | dict(cohort.planned)


def find_draft(season: Season, name: str) -> Draft:
    """The draft of this name, in any case of letters. Raises Refusal."""
    by_folded = {d.id.casefold(): d for d in season.drafts.values()}
    draft = season.drafts.get(name) or by_folded.get(name.casefold())
    if draft is None:
        known = (
            choices(name, season.drafts)
            if season.drafts
            else "; there is none yet: keep one with --draft NAME"
        )
        raise Refusal(f'"{name}" is not a draft of this season{known}')
    return draft


def scheme_of_draft(plan: Plan, draft: Draft) -> Scheme:
    """A draft laid out in the season as it is now. Raises Refusal where it no longer fits."""
    return scheme_of(plan, list(_cohorts(plan.season, draft)), draft.wish or draft.id)


def accepted(plan: Plan, draft: Draft) -> Scheme:
    """The scheme whose change makes the cohorts and their tasks, and takes the draft out. Raises Refusal."""
    cohorts = list(_cohorts(plan.season, draft))
    away = Edit("remove", "draft", (draft.id,))
    names = f"{cohorts[0].id} to {cohorts[-1].id}" if len(cohorts) > 1 else cohorts[0].id
    return scheme_of(plan, cohorts, draft.wish or draft.id, (away,), f"draft {draft.id} accepted: {names}")


def laid_out(plan: Plan) -> dict[str, Scheme | str]:
    """Every draft by name, laid out; of one that no longer fits, why."""
    schemes: dict[str, Scheme | str] = {}
    for name, draft in plan.season.drafts.items():
        try:
            schemes[name] = scheme_of_draft(plan, draft)
        except Refusal as wrong:
            schemes[name] = str(wrong)
    return schemes


def drop_change(draft: Draft) -> Change:
    """The change that takes a draft out."""
    return Change(f"draft {draft.id} taken out", (Edit("remove", "draft", (draft.id,)),))


def _cohorts(season: Season, draft: Draft) -> Iterator[Cohort]:
    where = f"draft {draft.id}"
    variety = find_variety(season, draft.variety)
    if draft.nursery is not None:
        find_place(season, draft.nursery)
    names = new_ids(season, variety.id, len(draft.cohorts))
    for name, row in zip(names, draft.cohorts, strict=True):
        place = find_place(season, row.place)
        if row.part not in place.parts:
            raise Refusal(f"{where}: {place.id} has no part {row.part!r} any more; make the draft anew")
        cohort = Cohort(
            id=name,
            variety=variety.id,
            start=draft.start,
            place=place.id,
            part=row.part,
            nursery=draft.nursery,
            plants=row.plants,
            spacing_m=draft.spacing_m,
            planned=row.dates,
        )
        if message := _wrong(season, cohort):
            raise Refusal(f"{where}: {message}; make the draft anew")
        yield cohort


def _wrong(season: Season, cohort: Cohort) -> str:
    """Why a cohort of a draft cannot be planted, or ""."""
    dates = cohort.planned
    if cohort.first_stage not in dates:
        return f"a cohort in {cohort.light} has no {cohort.first_stage} date"
    outside = [day for day in dates.values() if not season.first_day <= day <= season.last_day]
    if outside:
        return f"{full_day_text(outside[0])} is outside the season, {season_days_text(season)}"
    lit = dates.keys() & set(LAMP_STAGES)
    if lit and season.places[cohort.place].lamps is None:
        return f"{cohort.place} has no lamps any more"
    return next(filter(None, (order_problem(cohort, dates, stage) for stage in dates)), "")
