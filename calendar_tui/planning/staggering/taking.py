"""One cohort planted on a date that was chosen, as a scheme: shown with what it adds before it is saved."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Outcome, Planting, cohort_of
from calendar_tui.planning.staggering.options import plants_of
from calendar_tui.planning.staggering.scheme import Scheme, new_ids, scheme_of
from calendar_tui.planning.staggering.wish import MOST_GROWN_D, WITHIN_D, Wish, spacing_of
from calendar_tui.season.naming import next_names
from calendar_tui.season.records import Cohort, Season, light_name
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text


def taken_scheme(plan: Plan, planting: Planting, outcome: Outcome, like: str = "") -> Scheme:
    """The scheme of the one cohort that is planted so.

    outcome: what planting on its date comes to. like: a cohort of the season whose plants and spacing it has, "" for none.
    Raises Refusal where it cannot be planted.
    """
    cohort = _cohort(plan, planting, outcome, like)
    text = f"{cohort.variety} in {cohort.light}, planted {_day(outcome.planted)}"
    return scheme_of(plan, [cohort], text, what=f"{cohort.id} added: {text}")


def wish_of_taken(scheme: Scheme, outcome: Outcome) -> Wish | None:
    """What such a cohort would be wished for by, to look for what would make it possible; None without a harvest."""
    cohort = scheme.sown[0].cohort
    if outcome.harvest is None:
        return None
    return Wish(
        variety=cohort.variety,
        lights=(cohort.light,),
        start=cohort.start,
        nursery=cohort.nursery,
        plants=cohort.plants,
        spacing_m=cohort.spacing_m,
        count=1,
        first=outcome.harvest.likely,
        grown_d=min(max(outcome.growth_d or 1, 1), MOST_GROWN_D),
        within_d=WITHIN_D,
    )


def _cohort(plan: Plan, planting: Planting, outcome: Outcome, like: str) -> Cohort:
    season = plan.season
    _check(plan, outcome)
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


def _check(plan: Plan, outcome: Outcome) -> None:
    if outcome.never:
        raise Refusal(f"planted {_day(outcome.planted)} it does not flower: {outcome.never}")
    if outcome.begun < plan.today:
        raise Refusal(
            f"planted {_day(outcome.planted)} it had to be started on {_day(outcome.begun)}, before today, "
            f"{_day(plan.today)}; take a later date, or add a cohort that stands already with a in the season view"
        )


def _check_dates(season: Season, cohort: Cohort) -> None:
    outside = [day for day in cohort.planned.values() if not season.first_day <= day <= season.last_day]
    if outside:
        raise Refusal(
            f"{_day(outside[0])} is outside the season, {_day(season.first_day)} to {_day(season.last_day)}; "
            f"take a date inside it"
        )


def _day(day: date) -> str:
    """ "5 May 2027"."""
    return full_day_text(day).partition(" ")[2]
