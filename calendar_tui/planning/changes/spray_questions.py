"""What a change of sprays opens or lets be cut before their waits are over, and until when their records are kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from calendar_tui.nature.local_times import day_begins
from calendar_tui.nature.spray_waits import pre_harvest_end
from calendar_tui.planning.spraying.closed_work import closed_text
from calendar_tui.planning.spraying.closures import (
    Closure,
    application,
    closures,
    lights_of,
    record_days,
    spray_rules,
)
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_or_moment_text, full_day_text, some_text, year_day_text


def spray_questions(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    """names: of the sprays that are added, changed or taken out."""
    yield from _to_come(before, after, names, today)
    yield from _opened(before, after, names, today)
    yield from _cut_earlier(before, after, names, today)
    yield from _to_be_kept(before, after, names, today)


def _to_come(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    for name in names:
        day = _day(after, name)
        if day is not None and day > today and day != _day(before, name):
            yield f"{full_day_text(day)} is after today, {full_day_text(today)}; a spray is recorded once it was put on"


def _day(season: Season, name: str) -> date | None:
    return season.sprays[name].date if name in season.sprays else None


def _opened(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    still = closures(after, today)
    for closure in closures(before, today):
        of = {spray.id for spray in closure.sprays}
        mine = [name for name in names if name in of]
        now = next((c for c in still if c.light == closure.light and of & {s.id for s in c.sprays}), None)
        if not mine or not _is_earlier(after, closure, now, mine):
            continue
        gone = [name for name in mine if name not in after.sprays]
        lead = f"without {some_text(gone)}" if gone else "with this"
        since = "" if now is None or now.until is None else f" from {day_or_moment_text(now.until)}"
        unknown = ", and its intervals not known any more" if gone else ""
        yield f"{closed_text(closure)}; {lead} it would be open{since}{unknown}"


def _is_earlier(after: Season, closure: Closure, now: Closure | None, names: Sequence[str]) -> bool:
    """Whether a place opens earlier. One that waits for what is recorded opens by that record, which is no question."""
    if closure.until is None:
        left = [after.sprays[name] for name in names if name in after.sprays]
        return now is None and not any(closure.light in lights_of(after, spray) for spray in left)
    return now is None or (now.until is not None and now.until < closure.until)


def _cut_earlier(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    zone = ZoneInfo(before.site.timezone)
    beginning = day_begins(datetime.combine(today, time()), zone)
    for name in (name for name in names if name in before.sprays):
        was = pre_harvest_end(application(before.sprays[name], zone), zone)
        if was is None or was <= beginning:
            continue
        held = f"{name} holds the cut back until {day_or_moment_text(was.astimezone(zone))}"
        if name not in after.sprays:
            yield f"{held}; without it nothing does"
            continue
        now = pre_harvest_end(application(after.sprays[name], zone), zone)
        if now is not None and now < was:
            yield f"{held}; with this until {day_or_moment_text(now.astimezone(zone))}"


def _to_be_kept(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    profile = spray_rules(before, today)
    gone = [before.sprays[name] for name in names if name in before.sprays and name not in after.sprays]
    for spray in gone if profile is not None else ():
        keep = record_days(before, spray, profile.spray_records).keep_until if profile else None
        if keep is not None and keep >= today:
            yield f"the record of {spray.id} is to be kept until {year_day_text(keep)} ({profile.citation if profile else ''})"
