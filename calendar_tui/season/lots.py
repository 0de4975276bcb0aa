"""The lots of a season, and by which rules each is judged."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from calendar_tui.season.cutting import Pass
from calendar_tui.season.finders import find_lot
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import Lot, Official, Profile
from calendar_tui.season.wording import year_day_text

# Areas are written in whole square metres.
_ROUNDED_M2 = 1


def lots_of(season: Season) -> tuple[Lot, ...]:
    """Every lot, in the order of the cohorts: a cohort is one by itself where the season has none of it."""
    return tuple(lot for cohort in season.cohorts for lot in lots_of_cohort(season, cohort))


def lots_of_cohort(season: Season, cohort: str) -> tuple[Lot, ...]:
    """The lots of a cohort, one or several."""
    own = tuple(lot for lot in season.lots.values() if lot.cohort == cohort)
    if own:
        return own
    whole = season.cohorts[cohort]
    return (Lot(id=cohort, cohort=cohort, plants=whole.plants, harvest_by=whole.harvest_by),)


def lots_beyond(season: Season) -> Iterator[tuple[Lot, str]]:
    """Where the lots of a cohort come to more plants or area than it has: the last of its lots, and a sentence.

    The area of a cohort is that of its plants at their spacing; without one of them it is not known.
    """
    for cohort in season.cohorts.values():
        own = [lot for lot in season.lots.values() if lot.cohort == cohort.id]
        plants, spacing = cohort.plants, cohort.spacing_m
        planted = sum(lot.plants or 0 for lot in own)
        if plants is not None and planted > plants:
            yield (
                own[-1],
                f"the lots of cohort {cohort.id} have {planted} plants together, and it has {plants}",
            )
        area = sum(lot.area_m2 or 0 for lot in own)
        held = plants * spacing[0] * spacing[1] if plants is not None and spacing is not None else None
        if held is not None and area > held + _ROUNDED_M2:
            yield (
                own[-1],
                f"the lots of cohort {cohort.id} have {area:g} m2 together, and its plants stand on {held:g} m2",
            )


def lot_named(season: Season, name: str) -> Lot | None:
    """The lot of this id, or the cohort that is one; None where there is none, or the cohort has several."""
    return next((lot for lot in lots_of(season) if lot.id == name), None)


def find_sampled_lots(season: Season, names: Iterable[str]) -> tuple[Lot, ...]:
    """The lots of these names, each once; a cohort that is one is named too. Raises Refusal, of a cohort of several lots too."""
    lots: dict[str, Lot] = {}
    for name in names:
        known = find_lot(season, name)
        own = lots_of_cohort(season, known) if known in season.cohorts else (season.lots[known],)
        if len(own) > 1:
            raise Refusal(several_lots_text(known, own))
        lots[own[0].id] = own[0]
    return tuple(lots.values())


def several_lots_text(cohort: str, lots: Iterable[Lot]) -> str:
    """That a cohort is no lot by itself."""
    names = ", ".join(lot.id for lot in lots)
    return f"{cohort} has several lots, and a sample is of one; name it: {names}"


def lot_within(season: Season, cohort: str, name: str) -> Lot:
    """The lot of this id among those of a cohort; the first of them where it is none, as of what is of no lot in particular."""
    lots = lots_of_cohort(season, cohort)
    return next((lot for lot in lots if lot.id == name), lots[0])


def rules_for(season: Season, lot: Lot, day: date) -> Profile | None:
    """The profile by which a lot is judged on a day: its own, else the newest of those that hold then; None where none does.

    Of two that begin on one day the first in the season holds.
    """
    if lot.rules:
        return season.profiles.get(lot.rules)
    held = [
        profile for profile in season.profiles.values() if profile.limit is not None and profile.holds_on(day)
    ]
    return max(held, key=lambda profile: profile.starts or date.min, default=None)


def rules_to_come(season: Season, lot: Lot, day: date) -> tuple[Profile, ...]:
    """The profiles that begin to hold for a lot after a day, and by the season's last, in turn; none where it has its own."""
    if lot.rules:
        return ()
    by_start: dict[date, Profile] = {}
    for profile in season.profiles.values():
        if profile.limit is not None and profile.starts and day < profile.starts <= season.last_day:
            by_start.setdefault(profile.starts, profile)
    return tuple(by_start[starts] for starts in sorted(by_start))


class RulesInTurn(NamedTuple):
    """Rules that hold for a lot from a day on, until the day on which others begin; None for none, and for no end."""

    begins: date
    profile: Profile | None
    until: date | None


def rules_in_turn(season: Season, lot: Lot, day: date) -> tuple[RulesInTurn, ...]:
    """The rules of a lot from a day on: those that hold on it, then each that begins by the season's last."""
    to_come = [(one.starts, one) for one in rules_to_come(season, lot, day) if one.starts is not None]
    turns = [(day, rules_for(season, lot, day)), *to_come]
    ends = [begins for begins, _ in to_come]
    return tuple(
        RulesInTurn(begins, profile, until)
        for (begins, profile), until in zip(turns, [*ends, None], strict=True)
    )


def rules_reason(season: Season, lot: Lot, day: date) -> str:
    """Why this profile holds for a lot on a day, or why none does, as a part of a sentence."""
    profile = rules_for(season, lot, day)
    if lot.rules:
        later = profile is not None and not profile.holds_on(day)
        begins = (
            f", though it begins on {year_day_text(profile.starts)}"
            if later and profile and profile.starts
            else ""
        )
        return f"set for this lot{begins}"
    if profile is not None:
        since = "" if profile.starts is None else f", since {year_day_text(profile.starts)}"
        next_one = rules_to_come(season, lot, day)[:1]
        until = [f", until {one.id} begins on {year_day_text(one.starts)}" for one in next_one if one.starts]
        return f"the newest that holds{since}{''.join(until)}"
    to_come = [p for p in season.profiles.values() if p.limit is not None and p.starts is not None]
    if to_come:
        first = min(to_come, key=lambda one: one.starts or day)
        return f"{first.id} begins on {year_day_text(first.starts or day)}"
    return "no profile of the season has a limit" if season.profiles else "the season has no profile"


def officials_of(season: Season, lot: Lot) -> tuple[Official, ...]:
    """The official samples of a lot, by date; one of a cohort that has several lots counts for each."""
    own = (one for one in season.officials.values() if one.lot in (lot.id, lot.cohort))
    return tuple(sorted(own, key=lambda one: (one.date, one.state == "taken", one.id)))


def lots_without_official_sample(season: Season, cohorts: Iterable[str]) -> tuple[str, ...]:
    """The lots of these cohorts of which no official sample is recorded as taken."""
    lots = [lot for name in cohorts if name in season.cohorts for lot in lots_of_cohort(season, name)]
    return tuple(lot.id for lot in lots if all(one.state != "taken" for one in officials_of(season, lot)))


def passes_in(season: Season, lot: Lot, through: date = date.max) -> tuple[Pass, ...]:
    """The passes of a lot up to a day, by date; one of a cohort that has several lots counts for each."""
    own = (one for one in season.passes.values() if one.lot in (lot.id, lot.cohort) and one.date <= through)
    return tuple(sorted(own, key=lambda one: one.date))


def passes_of(season: Season, cohort: str) -> tuple[Pass, ...]:
    """The passes of a cohort and of its lots, by date."""
    names = {cohort, *(lot.id for lot in lots_of_cohort(season, cohort))}
    own = (one for one in season.passes.values() if one.lot in names)
    return tuple(sorted(own, key=lambda one: one.date))


def is_cut(season: Season, lot: Lot, today: date) -> bool:
    """Whether nothing of a lot is left to cut: its last pass is recorded, or, where it has no pass, the harvest of its cohort."""
    own = passes_in(season, lot, today)
    return any(one.last for one in own) if own else "harvest" in season.cohorts[lot.cohort].recorded


def cut_on(season: Season, lot: Lot, today: date) -> date | None:
    """The day from which nothing of a lot was left to cut; None while something is."""
    if not is_cut(season, lot, today):
        return None
    own = passes_in(season, lot, today)
    return own[-1].date if own else season.cohorts[lot.cohort].recorded["harvest"]


def parts_cut(season: Season, lot: Lot, today: date) -> frozenset[str]:
    """The parts of the canopy that are cut on the whole of a lot; a pass of a share or of some plots leaves its part standing."""
    whole = [one for one in passes_in(season, lot, today) if one.share is None and not one.plots]
    return frozenset(part for one in whole for part in (one.part, *one.fresh_kg) if part)


def cut_through(season: Season, cohort: str) -> date | None:
    """The day of the last pass of a cohort, of several lots that of the latest; None while one of them has none."""
    ends = {one.lot: one.date for one in passes_of(season, cohort) if one.last}
    lots = [lot.id for lot in lots_of_cohort(season, cohort)]
    if cohort not in ends and not all(lot in ends for lot in lots):
        return None
    return max(ends.values())
