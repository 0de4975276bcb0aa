"""The window of each lot's next pass: what binds at each end, ripeness beside it, and a conflict shown, never settled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import zip_longest
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, phrase_form, phrase_n, translated
from calendar_tui.nature.canopy import TOP
from calendar_tui.nature.cutting_days import Bound, CutWindow, cut_window, last_start
from calendar_tui.planning.cutting.cutting_work import CuttingWork, cutting_work, left_to_cut
from calendar_tui.planning.cutting.limits import LimitDays, RulesToCome, Sight, limit_days, limits_to_come
from calendar_tui.planning.cutting.official_state import (
    OfficialState,
    holds_until,
    official_state,
    rules_at_harvest,
)
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.used import Results, results_of
from calendar_tui.planning.spraying.closures import FirstCut, closures, first_cut
from calendar_tui.season.lots import is_cut, parts_cut, passes_in, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import ALONE, Lot, Profile
from calendar_tui.season.wording import full_day_text, hour_of, year_day_text

LIMIT, WINDOW, FROST, STORMS, SEASON = (
    phrase_form("limit"),
    phrase_form("window"),
    phrase_form("frost"),
    phrase_form("storms"),
    phrase_form("season"),
)
# The window of a sample that is asked for, booked or tried: that day may still be put off, so it moves no harvest.
MEANT = "meant"
# Kinds of place that a storm may take; common practice, no source.
OUTDOORS = ("field", "hoop house")
_AGENT = phrase_form("only an authorised agent takes it")


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
    to_come: rules that begin to hold after today. sample_until: the last day of a harvest under the official sample that bears it.
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
    to_come: tuple[RulesToCome, ...] = ()
    sample_until: date | None = None

    @property
    def latest(self) -> Bound | None:
        """The last day to begin; None where only the season's last day is known, and a limit may be reached before it."""
        return None if self.why_no_latest else self.window.latest

    @property
    def why_no_latest(self) -> str:
        """Why the last day is not known, as a part of a sentence; "" where it is."""
        ends_season = bool(self.ends) and min(self.ends, key=lambda end: end[1].day)[0] == SEASON
        if self.limit is None or not ends_season:
            return ""
        position = self.limit.position
        if missing := self.limit.missing:
            return phrase_n(
                "{count} date of results of the {position} missing for a trend",
                "{count} dates of results of the {position} missing for a trend",
                missing,
                position=translated(position),
            )
        if self.limit.earliest is not None:
            return ""
        return phrase(
            "by the trend of the {position} not over {limit_thc} % within 35 d of the newest bag",
            position=translated(position),
            limit_thc=f"{self.limit.limit:g}",
        )


def sight_of(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results | None = None
) -> Sight:
    """What is worked out once for all lots. results: of the season, where they are known already."""
    found = results_of(season, timelines, today) if results is None else results
    closed = closures(season, today) if season.sprays else ()
    return Sight(season, timelines, today, found, closed)


class _Seen(NamedTuple):
    """What the days of one lot follow from. sprayed: the first cut after its sprays."""

    sight: Sight
    lot: Lot
    timeline: Timeline
    profile: Profile | None
    official: OfficialState
    sprayed: FirstCut | None
    limit: LimitDays | None
    to_come: tuple[RulesToCome, ...]
    what_if: WhatIf

    @property
    def is_sampled(self) -> bool:
        """Whether the authority samples this lot: always under a standard scheme, else where it has a sample of its own."""
        return bool(self.official.all) or any(
            one is not None and one.sampling == "standard" for one in self.rules
        )

    @property
    def rules(self) -> tuple[Profile | None, Profile | None]:
        """Those of today, and those that hold on the day on which the harvest is likely."""
        season, today = self.sight.season, self.sight.today
        return self.profile, rules_at_harvest(season, self.timeline, self.lot, today)


def lot_cut(sight: Sight, lot: Lot, what_if: WhatIf = AS_IT_IS, *, guess: bool = True) -> LotCut:
    """From when to when the next pass of a lot may be cut. guess: whether a limit without a trend is guessed."""
    season, timeline = sight.season, sight.timelines[lot.cohort]
    passes = passes_in(season, lot, sight.today)
    seen = _seen(sight, lot, what_if, guess)
    left = left_to_cut(season, lot, passes, what_if.tops_first)
    work = cutting_work(season, timeline, lot, what_if.hands, left)
    full = [*_ends(seen)]
    ends = tuple((kind, Bound(last_start(end.day, work.days), end.rule)) for kind, end in full)
    window = cut_window(_begins(seen), [end for _, end in ends], _waits(seen))
    complete_by = min((end for _, end in full), key=lambda one: one.day, default=None)
    harvest = timeline.stages.get("harvest")
    done = is_cut(season, lot, sight.today)
    return LotCut(
        lot,
        seen.profile,
        seen.official,
        window,
        complete_by,
        ends,
        work,
        seen.limit,
        harvest,
        len(passes),
        done,
        seen.to_come,
        _sample_until(seen),
    )


def _sample_until(seen: _Seen) -> date | None:
    sample = seen.official.bearing
    held = None if sample is None else holds_until(seen.sight.season, seen.lot, sample.date)
    return None if held is None else held.day


def _seen(sight: Sight, lot: Lot, what_if: WhatIf, guess: bool) -> _Seen:
    season, timeline = sight.season, sight.timelines[lot.cohort]
    profile = rules_for(season, lot, sight.today)
    cut = parts_cut(season, lot, sight.today) | ({TOP} if what_if.tops_first else set())
    limit = None if profile is None else limit_days(sight, lot, profile, cut, guess=guess)
    sprayed = first_cut(season, timeline) if season.sprays else None
    state = official_state(season, lot, sight.today)
    to_come = limits_to_come(sight, lot, cut)
    return _Seen(sight, lot, timeline, profile, state, sprayed, limit, to_come, what_if)


def _begins(seen: _Seen) -> Iterator[Bound]:
    """What must be over before the first cut."""
    season, sprayed = seen.sight.season, seen.sprayed
    yield from _sampled_on(seen)
    if sprayed is not None and sprayed.day is not None and sprayed.moment is not None:
        over = phrase("intervals after {rule} are over", rule=sprayed.rule)
        if sprayed.moment.hour or sprayed.moment.minute:
            time = hour_of(sprayed.moment)
            over = phrase("intervals after {rule} are over, from {time}", rule=sprayed.rule, time=time)
        yield Bound(sprayed.day, over)
    light = seen.timeline.stay_on(max(seen.sight.today, seen.timeline.begun)).light
    for closure in seen.sight.closures:
        if closure.light == light and closure.until is not None:
            until = closure.until
            yield Bound(
                until.date(),
                phrase(
                    "{light} is closed after {rule} until {time}",
                    light=light,
                    rule=closure.rule,
                    time=hour_of(until),
                ),
            )
    if season.capacity is not None and season.capacity.harvest_from is not None:
        yield Bound(season.capacity.harvest_from, phrase("your first day of harvests"))


def _sampled_on(seen: _Seen) -> Iterator[Bound]:
    """The day of the official sample before which nothing is cut: the one tried, taken, or to come."""
    official, tried = seen.official, seen.what_if.official
    if tried is not None:
        yield Bound(tried, phrase("official sample, as tried"))
    elif not seen.is_sampled:
        return
    elif (one := official.holding) is not None:
        yield Bound(one.date, phrase("official sample taken {day}", day=year_day_text(one.date)))
    elif (one := official.coming) is not None:
        yield Bound(
            one.date,
            phrase("official sample, {state} for {day}", state=one.state, day=year_day_text(one.date)),
        )


def _waits(seen: _Seen) -> Iterator[str]:
    """What must happen, on no known day, before there is a first cut."""
    if seen.official.failed and seen.official.taken is not None:
        failed = phrase(
            "what the authority allows: the official sample of {day} failed",
            day=full_day_text(seen.official.taken.date),
        )
        yield f"{failed}; {phrase('follow its procedure, and do not cut, move or mix the lot before')}"
    if seen.is_sampled and seen.what_if.official is None:
        yield from _waits_for_sample(seen.official, seen.sight.today)
    if seen.sprayed is not None:
        yield from seen.sprayed.waits_for


def _waits_for_sample(official: OfficialState, today: date) -> Iterator[str]:
    """A sample that is to come on a known day is none of these: that day binds."""
    taken, coming = official.taken, official.coming
    if official.holding is not None:
        return
    if coming is not None and coming.date < today:
        yield phrase(
            "the official sample, {state} for {day}, and is not recorded as taken",
            state=coming.state,
            day=full_day_text(coming.date),
        )
    elif coming is None and taken is None:
        asked = phrase("the official sample, which is not asked for yet")
        yield f"{asked}; {phrase(_AGENT)}"
    elif coming is None and taken is not None and official.until is not None:
        held = phrase(
            "another official sample: that of {first} held until {last}",
            first=full_day_text(taken.date),
            last=full_day_text(official.until),
        )
        yield f"{held}; {phrase(_AGENT)}"


def _ends(seen: _Seen) -> Iterator[tuple[str, Bound]]:
    """What runs out, by kind: the last day of cutting under each."""
    season = seen.sight.season
    yield from _sample_windows(seen)
    yield from _limits(seen)
    own = seen.lot.harvest_by or seen.timeline.cohort.harvest_by
    capacity = season.capacity
    if own is not None:
        yield "own", Bound(own, phrase("your last day for {lot}", lot=seen.lot.id))
    if capacity is not None and capacity.harvest_to is not None:
        yield "own", Bound(capacity.harvest_to, phrase("your last day of harvests"))
    yield from _weather(seen)
    yield SEASON, Bound(season.last_day, phrase("the season's last day"))


def _limits(seen: _Seen) -> Iterator[tuple[str, Bound]]:
    """The last day under each limit in turn: a day of cutting goes by the rules that hold on it."""
    limit, ends = seen.limit, [one.begins for one in seen.to_come]
    if limit is not None and limit.earliest is not None and (not ends or limit.earliest < ends[0]):
        yield LIMIT, Bound(limit.earliest, limit_rule(limit))
    for one, until in zip_longest(seen.to_come, ends[1:]):
        if one.limit is None or one.limit.earliest is None:
            continue
        day = max(one.limit.earliest, one.begins - timedelta(days=1))
        if until is None or day < until:
            text = phrase(
                "other rules ({profile}) begin on {day}, and {rule}",
                profile=one.profile.id,
                day=year_day_text(one.begins),
                rule=limit_rule(one.limit),
            )
            yield LIMIT, Bound(day, text)


def _weather(seen: _Seen) -> Iterator[tuple[str, Bound]]:
    """The day before frost and storms, for places that they reach."""
    site, place = seen.sight.season.site, seen.sight.season.place_of(seen.timeline.cohort.place)
    ends = (
        (FROST, site.first_frost, phrase_form("first frost, {day}"), ("field",)),
        (STORMS, site.storms_from, phrase_form("storms are to be expected from {day}"), OUTDOORS),
    )
    for kind, day, what, reaches in ends:
        if day is not None and place is not None and place.kind in reaches:
            yield kind, Bound(day - timedelta(days=1), phrase(what, day=year_day_text(day)))


def _sample_windows(seen: _Seen) -> Iterator[tuple[str, Bound]]:
    """Until when the sample holds that counts: the one tried, else one to come where none that was taken holds; else the one that ran out."""
    taken, coming = seen.official.taken, seen.official.coming
    if seen.what_if.official is not None:
        kind, day, how = MEANT, seen.what_if.official, phrase("as tried")
    elif taken is not None and (seen.official.holding is not None or (seen.official.until and not coming)):
        kind, day, how = WINDOW, taken.date, phrase("taken")
    elif coming is not None:
        kind, day, how = MEANT, coming.date, coming.state
    else:
        return
    held = holds_until(seen.sight.season, seen.lot, day)
    if held is not None:
        yield (
            kind,
            Bound(
                held.day,
                phrase("official sample {how} {day} {rule}", how=how, day=year_day_text(day), rule=held.rule),
            ),
        )


def limit_rule(limit: LimitDays) -> str:
    """By what the limit binds, with how late its newest result is: known today is the cut of that bag's day."""
    edge = phrase("95 % edge")
    if limit.newest is not None:
        edge = phrase("{bound}, known by the bag cut on {day}", bound=edge, day=year_day_text(limit.newest))
    if limit.provisional:
        edge = phrase("{bound}, provisional", bound=edge)
    values = {
        "position": translated(limit.position),
        "limit_thc": f"{limit.limit:g}",
        "edge": edge,
    }
    if limit.uncertainty:
        text = phrase(
            "a new result of the {position}, less {uncertainty}, may be over {limit_thc} % ({edge})",
            uncertainty=translated(limit.uncertainty),
            **values,
        )
    else:
        text = phrase("a new result of the {position} may be over {limit_thc} % ({edge})", **values)
    return f"{text}; {phrase(ALONE)}" if limit.is_of_mean else text
