"""What nights without lamps come to for a cohort, and what to do: worded by the share of futures in which it flowers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from enum import IntEnum
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, phrase_form, phrase_n, translated
from calendar_tui.planning.lamps.dark_nights import (
    DarkRun,
    dark_nights,
    dark_run,
    facts_text,
    harmless_texts,
    remark_text,
)
from calendar_tui.planning.lamps.onset import MAY, PROBABLY, SETTLED, Level, Onset, onset
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.outcomes import outcomes
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage, Season
from calendar_tui.season.wording import day_text, stage_text

# Nights that count as short days from which a failure is urgent. Common practice, no source.
URGENT_NIGHTS = 2


class Rank(IntEnum):
    """In which order verdicts are told, the worst first."""

    STARTED, PROBABLY, MAY, DARK_ON, TO_RELIGHT, MOVES, NO_HARM = range(7)


class Verdict(NamedTuple):
    """text: what an outage comes to for a cohort, and what to do, without its name. futures: in how many it flowers.

    by: the last night on which lamps that burn again help; None where there is nothing to relight.
    """

    rank: Rank
    text: str
    futures: int = 0
    by: date | None = None

    @property
    def order(self) -> tuple[Rank, int]:
        """The worst first."""
        return self.rank, -self.futures


_RANKS: Mapping[Level, Rank] = {
    Level.MAY: Rank.MAY,
    Level.PROBABLY: Rank.PROBABLY,
    Level.STARTED: Rank.STARTED,
}
HEADS: Mapping[Level, str] = {
    Level.MAY: phrase_form("flowering may have started"),
    Level.PROBABLY: phrase_form("flowering has probably started"),
    Level.STARTED: phrase_form("flowering has started"),
}
# What is done, and that lamps do not call back plants that are induced: common practice, no source.
_BEGUN: Mapping[Level, str] = {
    Level.MAY: phrase_form("{relight}: {head} ({counted}); {look}"),
    Level.PROBABLY: phrase_form("{relight}: {head} ({counted}); {look}, and let it flower if they show it"),
    Level.STARTED: phrase_form(
        "let it flower, or cut it out: {head} ({counted}); relighting does not call it back"
    ),
}
# Where the likely run goes on into the dark after lights off.
_NO_LIT_NIGHT = phrase_form("relight for a night, or let it flower (no lit night follows)")


def asked_verdict(
    season: Season, timeline: Timeline, light: Light, outage: Outage, today: date, harvest: str = ""
) -> Verdict | None:
    """The verdict on a cohort that asked for the lamps on nights of an outage of the season; None on any other.

    harvest: from when to when its harvest moves, in words.
    """
    nights = dark_nights(timeline, light, outage)
    if nights is None:
        return None
    recorded = [stage for stage in SETTLED if stage in timeline.cohort.recorded]
    if not nights.short:
        return Verdict(
            Rank.NO_HARM,
            phrase("no harm: {why}", why=harmless_texts(timeline, light, nights)[1]),
        )
    if recorded:
        when = day_text(timeline.cohort.recorded[recorded[0]])
        return Verdict(
            Rank.NO_HARM, phrase("{stage} is recorded on {day}", stage=stage_text(recorded[0]), day=when)
        )
    run, begun = dark_run(timeline, light, nights.short), onset(season, timeline, light, outage)
    if begun is None:  # laid out by the likely run alone
        return Verdict(
            Rank.TO_RELIGHT,
            phrase("the count comes to {so_far_of} short days", so_far_of=run.of_text(timeline)),
        )
    moved = "" if run.trigger is None else f"{phrase('trigger {day}', day=day_text(run.trigger))}{harvest}"
    how = _Relighting(timeline, light, today, run)
    if begun.level is Level.NONE:
        return _held(how, begun, moved)
    return _begun(how, begun, moved)


class _Relighting(NamedTuple):
    """The run of a cohort that lamps can end, and today."""

    timeline: Timeline
    light: Light
    today: date
    run: DarkRun

    @property
    def relit(self) -> date | None:
        """The first long day after the run, where it lies before today."""
        felt_h, first = self.timeline.felt_h, self.run.last + 1
        critical = self.timeline.variety.critical_day.likely
        n = next((n for n, felt in enumerate(felt_h[first:], first) if felt >= critical), None)
        day = None if n is None else self.light.first + timedelta(days=n)
        return day if day is not None and day < self.today else None

    @property
    def text(self) -> str:
        """ "relight tonight", "relight tomorrow", "relit on 5 Feb"."""
        if self.relit is not None:
            return phrase("relit on {day}", day=day_text(self.relit))
        return phrase("relight tonight") if self.first_night == self.today else phrase("relight tomorrow")

    @property
    def first_night(self) -> date:
        """The first night that can be lit: tonight, where it is not recorded as dark."""
        dark_tonight = self.light.first + timedelta(days=self.run.last) >= self.today
        return self.today + timedelta(days=dark_tonight)

    def last_night(self, begun: Onset) -> date | None:
        """The last night on which relighting holds flowering back in nine of ten futures, or at once where that is past.

        None where the lamps burn again, or no dark night brings it.
        """
        nights = begun.nights_to(MAY)
        if self.relit is not None or nights is None:
            return None
        return max(begun.first + timedelta(days=begun.last + nights), self.first_night)


def _held(how: _Relighting, begun: Onset, moved: str) -> Verdict:
    """That flowering has hardly started in a future, and how long there is time."""
    if moved:
        return Verdict(Rank.DARK_ON, f"{phrase(_NO_LIT_NIGHT)}: {moved}", by=how.last_night(begun))
    few = ""
    if begun.begun:
        few = phrase(
            "in {others} of {futures} futures", others=len(begun.days) - begun.begun, futures=len(begun.days)
        )
    if how.relit is not None:
        harmless = phrase("no harm done {futures_text}", futures_text=few) if few else phrase("no harm done")
        text = phrase("{harmless}: {relit}, the count went back to zero", harmless=harmless, relit=how.text)
        return Verdict(Rank.NO_HARM, text)
    form = (
        phrase_form("{relight}: no harm done {futures_text}")
        if few
        else phrase_form("{relight}: no harm done")
    )
    texts = (phrase(form, relight=how.text, futures_text=few), *_time_left_texts(begun))
    return Verdict(Rank.TO_RELIGHT, "; ".join(texts), by=how.last_night(begun))


def _time_left_texts(begun: Onset) -> Iterator[str]:
    """ "3 more dark days and it may flower, 7 and it probably does"; none where no dark night brings it."""
    may, probably = begun.nights_to(MAY), begun.nights_to(PROBABLY)
    if not may:
        return
    if probably and probably > may:
        yield phrase_n(
            "{count} more dark day and it may flower, {others} and it probably does",
            "{count} more dark days and it may flower, {others} and it probably does",
            may,
            others=probably,
        )
    else:
        yield phrase_n(
            "{count} more dark day and it may flower", "{count} more dark days and it may flower", may
        )


def _begun(how: _Relighting, begun: Onset, moved: str) -> Verdict:
    run, level = how.run, begun.level
    counted = phrase(
        "{others} of {futures} futures; {short_of} short days",
        others=begun.begun,
        futures=len(begun.days),
        short_of=run.of_text(how.timeline),
    )
    no_lit_night = moved and not run.full and how.relit is None
    relight = phrase(_NO_LIT_NIGHT) if no_lit_night else how.text
    assert begun.look is not None
    head, look = phrase(HEADS[level]), look_text(begun.look)
    text = phrase(_BEGUN[level], relight=relight, head=head, counted=counted, look=look)
    flowering = how.timeline.stages.get("flowering")
    apart = () if flowering is None else outcomes(flowering)
    dates = phrase("flowering {early} or {late}", early=apart[0].text, late=apart[1].text) if apart else ""
    likely = phrase("likely {moved}", moved=moved) if moved else ""
    by = None if level is Level.STARTED else how.last_night(begun)
    return Verdict(_RANKS[level], "; ".join(filter(None, (text, dates, likely))), begun.begun, by)


def look_text(day: date) -> str:
    """ "look at the tips from 28 Jan, then twice a week"."""
    return phrase("look at the tips from {day}, then twice a week", day=day_text(day))


def outage_text(season: Season, timeline: Timeline, light: Light, outage: Outage, today: date) -> str:
    """What to do about an outage of the season for a cohort that asked for the lamps, and its figures."""
    nights = dark_nights(timeline, light, outage)
    verdict = asked_verdict(season, timeline, light, outage, today)
    if nights is None or verdict is None or not nights.short:
        return remark_text(timeline, light, outage)
    facts = facts_text(timeline, light, outage)
    if verdict.rank is not Rank.NO_HARM and is_past(timeline, today):
        return f"{timeline.cohort.id}: {facts}"
    return f"{headed_text(verdict, len(nights.short), timeline.cohort.id)}; {facts}"


def is_past(timeline: Timeline, today: date) -> bool:
    """Whether it is no more asked what to do, but whether induced was seen."""
    induced = timeline.stages.get("induced")
    return induced is not None and today > induced.latest


def headed_text(verdict: Verdict, short_nights: int, cohorts: str) -> str:
    """ "urgent: A1, relight tonight: ...": how bad it is, of whom, and the verdict.

    short_nights: those that count as short days. cohorts: their names.
    """
    if verdict.rank is Rank.NO_HARM:
        return f"{cohorts}: {translated(verdict.text)}"
    if short_nights >= URGENT_NIGHTS:
        return phrase("urgent: {cohorts}, {verdict}", cohorts=cohorts, verdict=translated(verdict.text))
    return phrase("alert: {cohorts}, {verdict}", cohorts=cohorts, verdict=translated(verdict.text))
