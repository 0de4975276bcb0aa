"""The window of each lot's next pass: what binds at each end, ripeness beside it, and a conflict shown, never settled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.cutting_days import Bound, CutWindow, cut_window, last_start
from calendar_tui.planning.cutting.cutting_work import CuttingWork, cutting_work
from calendar_tui.planning.cutting.limits import LimitDays, Sight, limit_days
from calendar_tui.planning.cutting.official_state import OfficialState, official_state
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.used import Results, results_of
from calendar_tui.planning.spraying.closures import FirstCut, closures, first_cut
from calendar_tui.season.lots import is_cut, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Profile
from calendar_tui.season.wording import full_day_text, hour_of, year_day_text

LIMIT, WINDOW = "limit", "window"
# The window of a sample that is asked for, booked or tried: that day may still be put off, so it moves no harvest.
MEANT = "meant"


class WhatIf(NamedTuple):
    """What is tried: the official sample on another day, so many hands, the tops cut before the rest."""

    official: date | None = None
    hands: int | None = None
    tops_first: bool = False


AS_IT_IS = WhatIf()


class LotCut(NamedTuple):
    """The next pass of a lot.

    window: the days on which its cutting may begin; complete_by: by when it must be done. ends: what runs out, by kind, with
    the last day to begin for each. passes: those cut so far. done: nothing is left to cut. ripe: the harvest by ripeness.
    """

    lot: Lot
    profile: Profile | None
    official: OfficialState
    window: CutWindow
    complete_by: Bound | None
    ends: tuple[tuple[str, Bound], ...]
    work: CuttingWork
    limit: LimitDays | None
    ripe: StageDate | None
    passes: int
    done: bool


def sight_of(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results | None = None
) -> Sight:
    """What is worked out once for all lots. results: of the season, where they are known already."""
    found = results_of(season, timelines, today) if results is None else results
    closed = closures(season, today) if season.sprays else ()
    return Sight(season, timelines, today, found, {}, closed)


def lot_cut(sight: Sight, lot: Lot, what_if: WhatIf = AS_IT_IS, *, guess: bool = True) -> LotCut:
    """From when to when the next pass of a lot may be cut. guess: whether a limit without a trend is guessed."""
    season, timeline = sight.season, sight.timelines[lot.cohort]
    profile = rules_for(season, lot, sight.today)
    official = official_state(season, lot)
    passes = [p for p in season.passes.values() if p.lot in (lot.id, lot.cohort) and p.date <= sight.today]
    whole = [p for p in passes if p.share is None and not p.plots]
    cut = {part for p in whole for part in (p.part, *p.fresh_kg) if part}
    cut |= {"top"} if what_if.tops_first else set()
    limit = None if profile is None else limit_days(sight, lot, profile, cut, guess=guess)
    work = cutting_work(season, timeline, lot, what_if.hands)
    full = [*_ends(season, timeline, lot, profile, official, limit, what_if)]
    ends = tuple((kind, Bound(last_start(end.day, work.days), end.rule)) for kind, end in full)
    sprayed = first_cut(season, timeline) if season.sprays else None
    waits = [*_waits(sight, sprayed, profile, official, what_if)]
    begins = [*_begins(sight, timeline, sprayed, profile, official, what_if)]
    window = cut_window(begins, [end for _, end in ends], waits)
    complete_by = min((end for _, end in full), key=lambda one: one.day, default=None)
    harvest = timeline.stages.get("harvest")
    done = is_cut(season, lot, sight.today)
    return LotCut(lot, profile, official, window, complete_by, ends, work, limit, harvest, len(passes), done)


def _begins(
    sight: Sight,
    timeline: Timeline,
    sprayed: FirstCut | None,
    profile: Profile | None,
    official: OfficialState,
    what_if: WhatIf,
) -> Iterator[Bound]:
    """What must be over before the first cut."""
    season = sight.season
    if what_if.official is not None:
        yield Bound(what_if.official, "official sample, as tried")
    elif _is_sampled(profile, official):
        if official.coming is not None and (official.taken is None or official.failed):
            one = official.coming
            yield Bound(one.date, f"official sample, {one.state} for {year_day_text(one.date)}")
        elif official.taken is not None and not official.failed:
            yield Bound(official.taken.date, f"official sample taken {year_day_text(official.taken.date)}")
    if sprayed is not None and sprayed.day is not None and sprayed.moment is not None:
        at = f", from {hour_of(sprayed.moment)}" if sprayed.moment.hour or sprayed.moment.minute else ""
        yield Bound(sprayed.day, f"intervals after {sprayed.rule} are over{at}")
    light = timeline.stay_on(max(sight.today, timeline.begun)).light
    for closure in sight.closures:
        if closure.light == light and closure.until is not None:
            until = closure.until
            yield Bound(until.date(), f"{light} is closed after {closure.rule} until {hour_of(until)}")
    if season.capacity is not None and season.capacity.harvest_from is not None:
        yield Bound(season.capacity.harvest_from, "your first day of harvests")


def _waits(
    sight: Sight,
    sprayed: FirstCut | None,
    profile: Profile | None,
    official: OfficialState,
    what_if: WhatIf,
) -> Iterator[str]:
    """What must happen, on no known day, before there is a first cut."""
    if _is_sampled(profile, official) and what_if.official is None:
        yield from _waits_for_official(official, sight.today)
    if sprayed is not None:
        yield from sprayed.waits_for


def _waits_for_official(official: OfficialState, today: date) -> Iterator[str]:
    coming = official.coming
    if official.failed and official.taken is not None:
        yield (
            f"what the authority allows: the official sample of {full_day_text(official.taken.date)} failed; follow its "
            "procedure, and do not cut, move or mix the lot before"
        )
    if coming is not None and (official.taken is None or official.failed):
        past = ", and is not recorded as taken" if coming.date < today else ""
        yield f"the official sample, {coming.state} for {full_day_text(coming.date)}{past}"
    elif official.taken is None:
        yield "the official sample, which is not asked for yet; only an authorised agent takes it"


def _is_sampled(profile: Profile | None, official: OfficialState) -> bool:
    """Whether the authority samples this lot: always under a standard scheme, else where it has a sample of its own."""
    return bool(official.all) or (profile is not None and profile.sampling == "standard")


def _ends(
    season: Season,
    timeline: Timeline,
    lot: Lot,
    profile: Profile | None,
    official: OfficialState,
    limit: LimitDays | None,
    what_if: WhatIf,
) -> Iterator[tuple[str, Bound]]:
    """What runs out, by kind: the last day of cutting under each."""
    yield from _sample_windows(profile, official, what_if)
    if limit is not None and limit.earliest is not None:
        yield LIMIT, Bound(limit.earliest, limit_rule(limit))
    own = lot.harvest_by or timeline.cohort.harvest_by
    capacity, frost = season.capacity, season.site.first_frost
    if own is not None:
        yield "own", Bound(own, f"your last day for {lot.id}")
    if capacity is not None and capacity.harvest_to is not None:
        yield "own", Bound(capacity.harvest_to, "your last day of harvests")
    place = season.place_of(timeline.cohort.place)
    if frost is not None and place is not None and place.kind == "field":
        yield "frost", Bound(frost - timedelta(days=1), f"first frost, {year_day_text(frost)}")
    yield "season", Bound(season.last_day, "the season's last day")


def _sample_windows(
    profile: Profile | None, official: OfficialState, what_if: WhatIf
) -> Iterator[tuple[str, Bound]]:
    """Until when the sample holds that counts: the one tried, else one to come where none that was taken holds."""
    within = None if profile is None else profile.harvest_within_d
    if within is None:
        return
    taken, coming = official.taken, official.coming
    if what_if.official is not None:
        kind, day, how = MEANT, what_if.official, "as tried"
    elif taken is not None and not official.failed:
        kind, day, how = WINDOW, taken.date, "taken"
    elif coming is not None:
        kind, day, how = MEANT, coming.date, coming.state
    else:
        return
    yield (
        kind,
        Bound(day + timedelta(days=within), f"official sample {how} {year_day_text(day)} + {within} d"),
    )


def limit_rule(limit: LimitDays) -> str:
    """By what the limit binds, with how late its newest result is: known today is the cut of that bag's day."""
    newest = "" if limit.newest is None else f", known by the bag cut on {year_day_text(limit.newest)}"
    mark = ", provisional" if limit.provisional else ""
    return f"a new result of the {limit.position} may be over {limit.limit:g} % (95 % edge{newest}{mark})"
