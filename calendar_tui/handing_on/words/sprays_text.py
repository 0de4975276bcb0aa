"""Sprays in words: what is closed and until when, each spray with its waits, and the days of its record."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from calendar_tui.handing_on.words.cautions import SPRAY
from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.spraying.closures import Closure, closures, record_days, spray_rules
from calendar_tui.season.records import Season
from calendar_tui.season.spraying import Spray
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import full_day_text, hour_of, year_day_text


def sprays_text(plan: Plan, names: Sequence[str]) -> list[str]:
    """What is closed from today on, and the sprays of these ids."""
    season, lines = plan.season, ["Closed"]
    closed = closures(season, plan.today)
    lines += [f"  {closure_text(one)}" for one in closed] or ["  nothing"]
    if names:
        lines += ["", "Sprays"]
        for name in names:
            lines += hanging(f"  {spray_text(season, season.sprays[name])}")
        if (rules := spray_rules(season, plan.today)) is not None:
            lines += ["", *hanging(f"Records: {rules.citation}.")]
    else:
        lines += ["", "No spray is recorded."]
    return [*lines, "", *hanging(SPRAY)]


def moment_text(moment: datetime) -> str:
    """ "Wed 9 Dec 2026 05:15", by the local clock."""
    return f"{full_day_text(moment.date())} {hour_of(moment)}"


def closure_text(closure: Closure) -> str:
    """ "H2 until Wed 9 Dec 2026 05:15, after soap"."""
    if closure.until is None:
        return f"{closure.light} until it is recorded: {'; '.join(closure.waits_for)}"
    return f"{closure.light} until {moment_text(closure.until)}, after {closure.rule}"


def spray_text(season: Season, spray: Spray) -> str:
    """One spray in a line: what, where, when, by whom, its waits, and the last days of its record."""
    times = f"{clock(spray.start)}-{clock(spray.end)}" if spray.start else f"until {clock(spray.end)}"
    where = " ".join((spray.place, *spray.parts))
    parts = [f"{spray.id} {where}: {spray.product}, {full_day_text(spray.date)} {times}", *_waits(spray)]
    parts += [
        words
        for words in (spray.target and f"against {spray.target}", spray.who and f"by {spray.who}")
        if words
    ]
    return "; ".join((*parts, *_record(season, spray)))


def _waits(spray: Spray) -> Iterator[str]:
    entry = [wait for wait in (spray.reentry, spray.condition) if wait]
    yield f"re-entry {' and '.join(entry)}" if entry else "re-entry is not set, so it stays closed"
    yield (
        f"pre-harvest {spray.preharvest}" if spray.preharvest else "pre-harvest is not set, so nothing is cut"
    )


def _record(season: Season, spray: Spray) -> Iterator[str]:
    rules = spray_rules(season, spray.date)
    if rules is None:
        return
    days = record_days(season, spray, rules.spray_records)
    named: tuple[tuple[str, date | None], ...] = (
        ("record written by", days.write_by),
        ("shown until", days.show_until),
        ("kept until", days.keep_until),
    )
    yield from (f"{what} {year_day_text(day)}" for what, day in named if day is not None)
