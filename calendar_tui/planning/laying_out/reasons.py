"""Why a light-driven date is what it is, in figures."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from calendar_tui.language.speaking import phrase, translated
from calendar_tui.nature.plant import Induction, counts, day_count
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.programmes import programme_text
from calendar_tui.planning.laying_out.stages import Stages, likely_response
from calendar_tui.planning.laying_out.stays import stay_on, stays_of
from calendar_tui.season.records import Cohort, Variety
from calendar_tui.season.wording import count_text, day_text, hours_against, hours_text, some_text


def trigger_reason(
    variety: Variety, felt: tuple[float, ...], light: Light, run: Induction, cohort: Cohort, out: Stages
) -> str:
    """Why the run of short days begins on the trigger."""
    first = light.first + timedelta(days=run.trigger)
    under = phrase(
        "{kind} day {hours} on {day} is under {limit}",
        kind=translated(_kind(felt, light, run.trigger)),
        hours=hours_against(felt[run.trigger], variety.critical_day.likely),
        day=day_text(first),
        limit=hours_text(variety.critical_day.likely),
    )
    return f"{under}; {_turn(variety, felt, light, run, cohort, out)}"


def _turn(
    variety: Variety, felt: tuple[float, ...], light: Light, run: Induction, cohort: Cohort, out: Stages
) -> str:
    """What ended the long days before the run: lamps, the season, or the plants' own age."""
    before = run.trigger - 1
    if before < 0 or felt[before] < variety.critical_day.likely:
        if cohort.start == "seed":
            return phrase("the first day that can count after the juvenile time")
        return phrase("the first day that can count")
    first = light.first + timedelta(days=run.trigger)
    if started := _new_programme(light, stay_on(stays_of(cohort, out), first).light, run):
        return started
    if felt[before] <= light.natural_h[before]:
        return phrase(
            "the day before it was {hours}", hours=hours_against(felt[before], variety.critical_day.likely)
        )
    return _lamps_gone(light, run, cohort, out)


def _lamps_gone(light: Light, run: Induction, cohort: Cohort, out: Stages) -> str:
    """Whose lamps burned up to the evening before the run."""
    first, stays = light.first + timedelta(days=run.trigger), stays_of(cohort, out)
    here = stay_on(stays, first).light
    if light.places[here].lit[run.trigger]:
        return phrase("the last evening with lamps, and a morning without")
    own = out.get("lights_off")
    if own is not None and light.index(own.likely) == run.trigger:
        return phrase("lamps off on {day}", day=day_text(own.likely))
    evening = first - timedelta(days=1)
    before = stay_on(stays, evening)
    if before.in_nursery or before.light != here:
        return phrase("until then under the lamps of {place}", place=before.light)
    others = [name for name in light.places[here].lit_for(evening) if name != cohort.id]
    if others:
        return phrase("until then {place} is lit for {cohorts}", place=here, cohorts=some_text(others))
    return phrase("the first evening without lamps")


def _new_programme(light: Light, name: str, run: Induction) -> str:
    """The covers, or the shorter lamps, that begin with the run, or ""."""
    first, own = light.first + timedelta(days=run.trigger), light.places[name]
    programme = own.programme_on(first)
    if programme is None or programme.first != first or not (own.covered(first) or own.lit[run.trigger]):
        return ""
    return phrase(
        "in {place} {programme} from {day}",
        place=name,
        programme=programme_text(programme),
        day=day_text(first),
    )


def induced_reason(
    variety: Variety, felt: tuple[float, ...], light: Light, run: Induction, cohort: Cohort
) -> str:
    """How the count got there by the felt days (h), and where that is not by the run that begins on the recorded trigger."""
    day = light.first + timedelta(days=run.induced)
    response = likely_response(variety)
    total = counts(felt[: run.induced + 1], run.trigger, response)[-1]
    length = run.induced - run.trigger + 1
    felt_h = hours_against(felt[run.induced], variety.critical_day.likely, variety.full_response_day.likely)
    under = phrase(
        "{kind} day {hours} on {day} is under {limit} for day {length} of the run",
        kind=translated(_kind(felt, light, run.induced)),
        hours=felt_h,
        day=day_text(day),
        limit=hours_text(variety.critical_day.likely),
        length=length,
    )
    counted = phrase(
        "count {total} of {needed} (a day of {full} or less counts 1, this one {this})",
        total=f"{total:.1f}",
        needed=f"{variety.inductive_days.likely:g}",
        full=hours_text(variety.full_response_day.likely),
        this=f"{day_count(felt[run.induced], response):.2f}",
    )
    return "; ".join((under, counted, *_put_back(variety, light, run, cohort)))


def _put_back(variety: Variety, light: Light, run: Induction, cohort: Cohort) -> Iterator[str]:
    recorded, begun = cohort.recorded.get("trigger"), light.first + timedelta(days=run.trigger)
    if recorded is None or recorded >= begun:
        return
    yield phrase(
        "the trigger recorded {day} is followed by days of {hours} or more up to {last}, which put the count back",
        day=day_text(recorded),
        hours=hours_text(variety.critical_day.likely),
        last=day_text(begun - timedelta(days=1)),
    )


def never_reason(variety: Variety, felt: tuple[float, ...], light: Light, ready: date) -> str:
    """Why the felt days (h) never fill the count within the season, and what would be right."""
    start = light.index(ready)
    last = light.first + timedelta(days=len(felt) - 1)
    if start >= len(felt):
        return phrase(
            "does not flower: its plants are juvenile until {day}, after the season's last day {last}",
            day=day_text(ready),
            last=day_text(last),
        )
    shortest = min(felt[start:])
    if shortest >= variety.critical_day.likely:
        lamps = any(f > n for f, n in zip(felt[start:], light.natural_h[start:], strict=True))
        cure = (
            phrase("plan an earlier lights off")
            if lamps
            else phrase("move it to a later date, or check the variety's critical day")
        )
        why = phrase(
            "does not flower by {last}: its shortest day from {day} is {hours}, never under {limit}",
            last=day_text(last),
            day=day_text(ready),
            hours=hours_against(shortest, variety.critical_day.likely),
            limit=hours_text(variety.critical_day.likely),
        )
        return f"{why}; {cure}"
    response = likely_response(variety)
    most = max(counts(felt, start, response))
    why = phrase(
        "does not flower by {last}: the count of short days reaches {count_of}",
        last=day_text(last),
        count_of=count_text(most, variety.inductive_days.likely),
    )
    return f"{why}; {phrase('plan an earlier lights off, or a later last day of the season')}"


def _kind(felt: tuple[float, ...], light: Light, day: int) -> str:
    if felt[day] < light.natural_h[day]:
        return phrase("covered")
    return phrase("natural") if felt[day] == light.natural_h[day] else phrase("lit")
