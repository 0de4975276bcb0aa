"""What sprays, bags and official samples ask of the grower."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from decimal import Decimal

from calendar_tui.language.speaking import phrase, phrase_form, phrase_n, translated
from calendar_tui.nature.canopy import TOP
from calendar_tui.planning.cutting.official_state import (
    AGAIN,
    ASKED,
    official_state,
    rules_at_harvest,
    sample_days,
)
from calendar_tui.planning.deciding.decision import BAGS, CLOSED, OFFICIAL, RESULT, SPRAY, Decision, is_soon
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.due import due_results
from calendar_tui.planning.results.used import Aside, Results, Used
from calendar_tui.planning.sampling.missed import is_left_out
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.planning.spraying.closed_work import until_text
from calendar_tui.planning.spraying.closures import Closure, closures, record_days, spray_rules
from calendar_tui.season.lots import cut_through, is_cut, lot_within, lots_of, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import OFFICIAL_CHORE, REMEDIATION, SAMPLED_AGAIN, Lot, Official, Profile
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.spraying import Spray
from calendar_tui.season.wording import day_text, moment_text, position_text, some_text, unit_text

# Results are listed for so many days after they came, and a sample is to be booked so many days before it can be
# taken; starting values, no source.
NEW_D, BOOKING_D = 7, 14
# A trip that was missed is listed up to the end of the next week; a starting value, no source.
MISSED_D = 7
# What the record of a spray has to have (7 CFR 110.3, read): words for each field.
_IN_RECORD: Mapping[str, str] = {
    "registration": phrase_form("registration number"),
    "total": phrase_form("total"),
    "area_m2": phrase_form("area"),
    "who": phrase_form("who applied it"),
}


def closed_decisions(season: Season, today: date) -> Iterator[Decision]:
    """The places that nobody enters today, and those that are to be closed within days."""
    for one in closures(season, today):
        begins = one.begins.date()
        if one.covers(today) or (today <= begins and is_soon(begins, today)):
            yield Decision(
                CLOSED,
                one.light,
                _closed_text(one, today),
                one.light,
                max(begins, today),
                "" if one.until is None else one.rule,
                record=one.sprays[-1].id,
            )


def _closed_text(closure: Closure, today: date) -> str:
    begins = closure.begins
    if begins.date() <= today:
        return until_text(closure, is_named=True)
    if closure.until is None:
        waits = translated("; ".join(closure.waits_for))
        return phrase(
            "{light} closed from {moment} until it is recorded: {waits}",
            light=closure.light,
            moment=moment_text(begins),
            waits=waits,
        )
    return phrase(
        "{light} closed from {moment} until {until}",
        light=closure.light,
        moment=moment_text(begins),
        until=moment_text(closure.until),
    )


def spray_record_decisions(season: Season, today: date) -> Iterator[Decision]:
    """The sprays of which the record is not whole yet, with the last day to write it by the rules in force."""
    rules = spray_rules(season, today)
    for spray in season.sprays.values():
        missing = _missing(spray)
        if not missing or spray.date > today:
            continue
        by = None if rules is None else record_days(season, spray, rules.spray_records).write_by
        citation = "" if rules is None or by is None else rules.citation
        what = phrase("record of {product}, {day}", product=spray.product, day=day_text(spray.date))
        why = phrase("missing: {fields}", fields=", ".join(missing))
        yield Decision(SPRAY, spray.id, what, spray.place, by, why, record=spray.id, rules=citation)


def _missing(spray: Spray) -> list[str]:
    words = [phrase(word) for key, word in _IN_RECORD.items() if not getattr(spray, key)]
    return [*words, phrase("certificate")] if spray.restricted and not spray.certificate else words


def bag_decisions(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Decision]:
    """The bags of each cohort's last trip that are not cut; those that the budget or a person leaves out are not missed."""
    if not season.samplings:
        return
    weeks = [sampling_week(season, timelines, day) for day in (today - timedelta(days=MISSED_D), today)]
    before = [one.bag for week in weeks for one in week.bags if one.bag.day < today]
    last = {bag.cohort: bag.day for bag in sorted(before, key=lambda bag: bag.day)}
    missed: dict[str, list[str]] = {}
    open_ones = [one for week in weeks for one in week.to_cut]
    for bag in (one.bag for one in open_ones if not is_left_out(season, one, today)):
        stands = not is_cut(season, lot_within(season, bag.cohort, bag.lot), today)
        if bag.day == last.get(bag.cohort) and stands and cut_through(season, bag.cohort) is None:
            missed.setdefault(bag.cohort, []).append(
                position_text(unit_text("", *bag.of.unit[1:]), bag.position)
            )
    for cohort, bags in missed.items():
        what = phrase_n(
            "{cohort} {count} bag to cut", "{cohort} {count} bags to cut", len(bags), cohort=cohort
        )
        where = _where(timelines, cohort, today)
        yield Decision(BAGS, cohort, what, where, last[cohort], some_text(bags), cohorts=(cohort,))


def result_decisions(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results
) -> Iterator[Decision]:
    """Results that are overdue, those that are in of late, and those that are kept aside."""
    late: dict[tuple[str, str, date], list[str]] = {}
    for due in due_results(season):
        if due.is_overdue(today):
            whose = due.sample.lot or due.sample.cohort
            late.setdefault((due.sample.cohort, whose, due.latest), []).append(grouped(due.sample.id))
    for (cohort, whose, latest), bags in late.items():
        what = phrase_n(
            "{lot} result of bag {bags}",
            "{lot} results of {count} bags, {bags}",
            len(bags),
            lot=whose,
            bags=", ".join(bags),
        )
        where = _where(timelines, cohort, today)
        yield Decision(RESULT, cohort, what, where, latest, phrase("ask the laboratory"), cohorts=(cohort,))
    yield from _new_results(results.used, timelines, today)
    yield from _aside_results(results.aside, timelines, today)


def _where(timelines: Mapping[str, Timeline], cohort: str, today: date) -> str:
    return timelines[cohort].stay_on(today).light if cohort in timelines else ""


def _new_results(used: Iterable[Used], timelines: Mapping[str, Timeline], today: date) -> Iterator[Decision]:
    """One row for each cohort of which results came in of late: the highest of them, with its lot."""
    new: dict[str, list[Used]] = {}
    for one in used:
        if (today - one.result.date).days < NEW_D:
            new.setdefault(one.sample.cohort, []).append(one)
    for cohort, several in new.items():
        highest = max(several, key=_height)
        what = phrase(
            "{cohort} results in: {number}, {bag} {thc} on day {n}",
            cohort=cohort,
            number=len(several),
            bag=position_text(highest.sample.lot, highest.sample.position),
            thc=highest.figures.thc_text,
            n=highest.day,
        )
        yield Decision(RESULT, cohort, what, _where(timelines, cohort, today), None, cohorts=(cohort,))


def _height(one: Used) -> tuple[Decimal, bool, int]:
    """Of results alike in height that of the top comes first, then the newest."""
    high = Decimal(0) if one.figures.thc is None else one.figures.thc.high
    return high, one.sample.position == TOP, one.day


def _aside_results(
    aside: Iterable[Aside], timelines: Mapping[str, Timeline], today: date
) -> Iterator[Decision]:
    """Results that the program keeps aside by itself, those alike in one row; one that a person set aside is decided."""
    alike: dict[tuple[str, str], list[str]] = {}
    for one in aside:
        if not one.result.aside:
            cohort = "" if one.sample is None else one.sample.cohort
            alike.setdefault((cohort, one.why), []).append(one.result.id)
    for (cohort, why), names in alike.items():
        kept = phrase_n(
            "result {results} kept aside",
            "{count} results, {results} kept aside",
            len(names),
            results=", ".join(names),
        )
        what = f"{cohort} {kept}".lstrip()
        where, cohorts = _where(timelines, cohort, today), (cohort,) if cohort else ()
        yield Decision(RESULT, cohort, what, where, None, why, cohorts=cohorts, record=names[0])


def official_decisions(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Decision]:
    """The official samples that are to be booked or taken, and what follows one that failed."""
    for lot in lots_of(season):
        timeline = timelines[lot.cohort]
        profile = rules_at_harvest(season, timeline, lot, today) or rules_for(season, lot, today)
        if profile is None or profile.sampling == "none":
            continue
        where = timeline.stay_on(today).light
        row = Decision(OFFICIAL, lot.id, "", where, None, cohorts=(lot.cohort,), rules=profile.citation)
        yield from _of_lot(season, row, lot, timeline, profile, today)


def _planned_day(season: Season, cohort: str) -> date | None:
    """The day of a cohort's first open task of the official sample; None without one."""
    tasks = (t for t in season.tasks if t.chore == OFFICIAL_CHORE and t.state == "open")
    return min((t.date for t in tasks if cohort in t.about), default=None)


def _of_lot(
    season: Season, row: Decision, lot: Lot, timeline: Timeline, profile: Profile, today: date
) -> Iterator[Decision]:
    """row: what its rows are made of."""
    state = official_state(season, lot, today)
    if state.coming is not None:
        one = state.coming
        to_book = one.state == ASKED
        what = (
            phrase("{lot} official sample to be booked", lot=lot.id)
            if to_book
            else phrase("{lot} official sample to be taken", lot=lot.id)
        )
        why = phrase("by {who}", who=one.who) if one.who else ""
        yield row._replace(what=what, by=one.date, why=why, record=one.id)
    elif state.taken is None and not is_cut(season, lot, today):
        yield from _not_asked(season, row, lot, timeline, today)
    elif state.taken is not None and state.failed:
        yield from _after_failure(row, lot, profile, state.taken)


def _after_failure(row: Decision, lot: Lot, profile: Profile, failed: Official) -> Iterator[Decision]:
    """What follows, from the day of the report on, where that is not recorded; else the sample that it asks for.

    A lot that is cut already is not left out: what it failed by may have come after its harvest.
    """
    of_day = phrase("official sample of {day} failed", day=day_text(failed.date))
    by = failed.reported or failed.date
    if not failed.after:
        why = ", or ".join(profile.after_failure) or phrase("as your authority allows")
        what = phrase("{lot} {failed}: decide what follows", lot=lot.id, failed=of_day)
        yield row._replace(what=what, by=by, why=why, record=failed.id)
    elif failed.after in SAMPLED_AGAIN:
        why = phrase("{after}, as the {failed}", after=failed.after, failed=of_day)
        if failed.after == REMEDIATION:
            what = phrase("{lot} official sample of the biomass to be booked again", lot=lot.id)
            yield row._replace(what=what, by=by, why=f"{why}; {phrase(AGAIN)}")
        else:
            what = phrase("{lot} official sample to be booked again", lot=lot.id)
            yield row._replace(what=what, by=by, why=why)


def _not_asked(
    season: Season, row: Decision, lot: Lot, timeline: Timeline, today: date
) -> Iterator[Decision]:
    """A sample that nobody asked for yet: by its day in the task list, else the last before the earliest harvest."""
    at = timeline.stages.get("harvest")
    if at is None:
        return
    # Rules that count from the flowering leave it to the authority to come.
    asked = [one for one in sample_days(season, timeline, lot, today) if _is_before_harvest(one.turn.profile)]
    opens = asked[0].first if asked else None
    if opens is None:
        return
    by = _planned_day(season, lot.cohort) or at.earliest - timedelta(days=1)
    if is_soon(min(opens, by), today, BOOKING_D):
        why = phrase(
            "no harvest before it: earliest {first}, likely {day}; it is taken from {since} on",
            first=day_text(at.earliest),
            day=day_text(at.likely),
            since=day_text(opens),
        )
        yield row._replace(what=phrase("{lot} official sample to be booked", lot=lot.id), by=by, why=why)


def _is_before_harvest(profile: Profile | None) -> bool:
    return profile is not None and profile.sample_before_harvest_d is not None
