"""One cohort planted on a date that was chosen, as a scheme: shown with what it adds before it is saved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Curve, Outcome, Planting, cohort_of
from calendar_tui.planning.response.worked import day_off, day_off_text, nearest_worked
from calendar_tui.planning.staggering.options import plants_of
from calendar_tui.planning.staggering.scheme import Scheme, new_ids, scheme_of
from calendar_tui.planning.staggering.wish import GROWN_D, MOST_GROWN_D, Wish, spacing_of
from calendar_tui.season.naming import next_names
from calendar_tui.season.records import Cohort, Crew, Season, light_name
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text, season_days_text, year_day_text


def taken_outcome(plan: Plan, curve: Curve, chosen: Outcome) -> Outcome:
    """The planting of the curve that is taken where one is chosen: the nearest on working days that can still be started."""
    possible = [o for o in curve.outcomes if not _refused_text(plan, o)]
    crew = plan.season.crew or Crew()
    return chosen if _refused_text(plan, chosen) else nearest_worked(possible, chosen, crew)


def taken_scheme(plan: Plan, curve: Curve, chosen: Outcome, like: str = "") -> Scheme:
    """The scheme of the one cohort that is planted so, on working days; its notes say where that is on another date.

    chosen: what planting on the date that is chosen comes to. like: a cohort of the season whose plants and spacing it has,
    "" for none. Raises Refusal where it cannot be planted.
    """
    outcome = taken_outcome(plan, curve, chosen)
    cohort = _cohort(plan, curve.planting, outcome, like)
    text = f"{cohort.variety} in {cohort.light}, planted {year_day_text(outcome.planted)}"
    scheme = scheme_of(plan, [cohort], text, what=f"{cohort.id} added: {text}")
    return replace(scheme, notes=(*_other_date(plan, chosen, outcome), *scheme.notes))


def _other_date(plan: Plan, chosen: Outcome, outcome: Outcome) -> Iterator[str]:
    day = day_off(chosen, plan.season.crew or Crew())
    if day is not None and outcome != chosen:
        why = day_off_text(chosen, day)
        yield f"planted on {full_day_text(outcome.planted)} and not on {year_day_text(chosen.planted)}: {why}"


def wish_of(scheme: Scheme) -> Wish | None:
    """What the cohorts of a scheme would be wished for by, to look for what would make it possible; None without harvests."""
    harvests = [day for s in scheme.sown if (day := s.timeline.likely("harvest")) is not None]
    if len(harvests) < len(scheme.sown):
        return None
    first = scheme.sown[0].cohort
    return Wish(
        variety=first.variety,
        lights=tuple(dict.fromkeys(s.cohort.light for s in scheme.sown)),
        start=first.start,
        nursery=first.nursery,
        plants=first.plants,
        spacing_m=first.spacing_m,
        count=len(harvests),
        first=min(harvests),
        last=max(harvests) if len(harvests) > 1 else None,
        grown_d=_growth_d(scheme),
    )


def _growth_d(scheme: Scheme) -> int:
    """The days of growth that its cohorts have; where some stay small, so many as are wished for of themselves."""
    grown = [s.timeline.growth_d or 0 for s in scheme.sown]
    return GROWN_D if min(grown) < FEW_GROWTH_D else min(*grown, MOST_GROWN_D)


def _cohort(plan: Plan, planting: Planting, outcome: Outcome, like: str) -> Cohort:
    season = plan.season
    if refused := _refused_text(plan, outcome):
        raise Refusal(refused)
    model = season.cohorts.get(like)
    names = next_names(like, season.cohorts) if model else tuple(new_ids(season, planting.variety, 1))
    cohort = cohort_of(season.varieties[planting.variety], planting, outcome.planted)
    _check_dates(season, cohort)
    return _filled(season, cohort, model, names[0])


def _filled(season: Season, cohort: Cohort, model: Cohort | None, name: str) -> Cohort:
    """The cohort with a name, and as many plants at such a spacing as the one it is like."""
    spacing = spacing_of(season, cohort.variety) if model is None else model.spacing_m
    wish = Wish(
        variety=cohort.variety,
        lights=(light_name(cohort.place, cohort.part),),
        plants=None if model is None else model.plants,
        spacing_m=spacing,
    )
    return replace(cohort, id=name, plants=plants_of(season, wish, cohort.light), spacing_m=spacing)


def _refused_text(plan: Plan, outcome: Outcome) -> str:
    """Why it cannot be planted so any more, or at all; "" where it can."""
    planted = year_day_text(outcome.planted)
    if outcome.never:
        return f"Planted on {planted} it does not flower: {outcome.never}"
    if outcome.begun < plan.today:
        return (
            f"Planted on {planted} it had to be started on {year_day_text(outcome.begun)}, before today, "
            f"{year_day_text(plan.today)}; take a later date, or add in the season view what stands already"
        )
    return ""


def _check_dates(season: Season, cohort: Cohort) -> None:
    outside = [day for day in cohort.planned.values() if not season.first_day <= day <= season.last_day]
    if outside:
        raise Refusal(
            f"{year_day_text(outside[0])} is outside the season, {season_days_text(season)}; take a date inside it"
        )
