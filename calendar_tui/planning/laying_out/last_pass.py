"""How long a cohort that is cut in passes stands where it is: until its last one."""

from __future__ import annotations

from datetime import date

from calendar_tui.season.records import Season


def last_pass(season: Season, cohort: str) -> date | None:
    """The day of the last pass of a cohort that is cut through; None where something is left, or no pass is recorded."""
    if not season.passes:
        return None
    from calendar_tui.season.lots import cut_through

    return cut_through(season, cohort)


def days_of_passes(season: Season, cohort: str) -> tuple[date, ...]:
    """The days on which a cohort was cut, each once, by date."""
    if not season.passes:
        return ()
    from calendar_tui.season.lots import passes_of

    return tuple(dict.fromkeys(one.date for one in passes_of(season, cohort)))


def standing_after(season: Season, cohort: str) -> date | None:
    """The day of the latest pass of a cohort that is not cut through; None where it is, or none is recorded.

    Something is left to cut then, so that its harvest is on no day up to that one.
    """
    if not season.passes:
        return None
    # Rules and their exact figures are not needed where nothing is cut.
    from calendar_tui.season.lots import cut_through, passes_of

    days = [one.date for one in passes_of(season, cohort)]
    return max(days) if days and cut_through(season, cohort) is None else None


def stands_uncut(season: Season, cohort: str, today: date) -> bool:
    """Whether something of a cohort stands today, whenever its harvest was projected.

    Its latest pass was not the last, or the newest official sample of one of its lots failed and that lot is not cut.
    """
    if "harvest" in season.cohorts[cohort].recorded:
        return False
    if standing_after(season, cohort) is not None:
        return True
    if not season.officials:
        return False
    from calendar_tui.season.lots import is_cut, lots_of_cohort, officials_of

    for lot in lots_of_cohort(season, cohort):
        newest = [one.outcome for one in officials_of(season, lot) if one.state == "taken"][-1:]
        if newest == ["failed"] and not is_cut(season, lot, today):
            return True
    return False
