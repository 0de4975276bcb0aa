"""Commands that tell: nothing is written."""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    emit,
    flag_day,
    load_as_of,
    picked_season,
    planned_season,
    print_csv,
    print_json,
    refuse_extra_words,
    refuse_two_forms,
)
from calendar_tui.season.cells import filled
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import clock, clock_cells

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season

MOST_DAYS = 3660


def daylight(args: argparse.Namespace) -> int:
    from zoneinfo import ZoneInfo

    from calendar_tui.nature.sky import daylights
    from calendar_tui.season.wording import hours_text, year_day_text
    from calendar_tui.storage.opening import need_season

    path, rest = picked_season(args)
    refuse_extra_words(rest)
    _, season = need_season(path, load_as_of(args, path), weather=False)
    first, last = asked_days(args, season)
    site = season.site
    days = daylights(site.latitude, site.longitude, ZoneInfo(site.timezone), first, last)
    if args.json:
        from calendar_tui.handing_on.tables.json_rows import daylight_rows

        print_json(daylight_rows(days))
        return 0
    zone = ZoneInfo(site.timezone)
    emit([f"sunrise and sunset by the local clock, {site.timezone}, and in UTC"])
    wide = max(len("sunrise"), clock_cells())
    emit(
        [
            f"date         {'sunrise':<{wide}}  {'sunset':<{wide}}  sunrise UTC    sunset UTC     natural   civil"
        ]
    )
    for day in days:
        ends = day.sunrise, day.sunset
        local = "  ".join(f"{_clock_text(t and t.astimezone(zone), day.date, clock):<{wide}}" for t in ends)
        utc = "  ".join(f"{_clock_text(t, day.date):<13}" for t in ends)
        emit(
            [
                f"{year_day_text(day.date):>11}  {local}  {utc}  {hours_text(day.natural_h):<8}  {hours_text(day.civil_h)}"
            ]
        )
    return 0


def asked_days(args: argparse.Namespace, season: Season) -> tuple[date, date]:
    """The dates of --from and --to, else the season's; Refusal where they are not in order, or too many."""
    first = flag_day(args, season, args.from_, "--from") if args.from_ else season.first_day
    last = flag_day(args, season, args.to, "--to") if args.to else season.last_day
    if last < first:
        raise Refusal(f"--to {last} is before --from {first}; give them in order")
    if (last - first).days >= MOST_DAYS:
        raise Refusal(f"{first} to {last} is {(last - first).days + 1} days; ask for at most {MOST_DAYS}")
    return first, last


def _to_the_second(at: datetime) -> str:
    return f"{at:%H:%M:%S}"


def _clock_text(at: datetime | None, day: date, write: Callable[[datetime], str] = _to_the_second) -> str:
    """What a clock shows, with the days by which its date is another than the local one."""
    if at is None:
        return "none"
    apart = (at.date() - day).days
    return write(at) + (f" {apart:+} d" if apart else "")


def dates(args: argparse.Namespace) -> int:
    refuse_two_forms(args, "csv", "json")
    opened, plan, words = planned_season(args)
    if not plan.timelines:
        from calendar_tui.handing_on.words.first_steps import first_command

        raise Refusal(first_command(plan.season, str(opened.path)))
    names = [find_cohort(plan.season, word).id for word in words] or list(plan.timelines)
    timelines = [plan.timelines[name] for name in dict.fromkeys(names)]
    if args.json:
        from calendar_tui.handing_on.tables.json_rows import clash_rows, dates_rows
        from calendar_tui.planning.clash_groups import clashes_once

        once = clashes_once(plan.clashes, plan.timelines)
        print_json(
            {
                "dates": dates_rows(timelines, plan.evidence),
                "clashes": clash_rows(once, names),
                "remarks": list(plan.remarks),
            }
        )
    elif args.csv:
        from calendar_tui.handing_on.tables.date_and_task_rows import STAGE_COLUMNS
        from calendar_tui.handing_on.tables.json_rows import dates_rows

        print_csv(STAGE_COLUMNS, dates_rows(timelines))
    else:
        from calendar_tui.handing_on.words.clash_text import cohort_texts, once_lines, one_cohort_texts
        from calendar_tui.handing_on.words.plain_text import dates_text
        from calendar_tui.planning.clash_groups import clashes_once
        from calendar_tui.planning.evidence.words import evidence_brief, evidence_note

        once = clashes_once(plan.clashes, names)
        if len(timelines) > 1 and (lines := list(once_lines(once))):
            emit([*lines, ""])
            clashes = {name: cohort_texts(once, name) for name in names}
        else:
            clashes = {name: one_cohort_texts(plan, name) for name in names}
        tell = evidence_note if words else evidence_brief
        evidence = {n: list(filter(None, (tell(e, n) for e in plan.evidence_of(n)))) for n in names}
        emit(dates_text(timelines, clashes, evidence))
        _tell_gaps(plan, names)
        _tell_remarks(plan)
        _tell_temperatures(plan)
    return 0


def _tell_gaps(plan: Plan, names: list[str]) -> None:
    """How far apart the cohorts of a variety are planted, and harvested, where both are shown."""
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.planning.why.gaps import shown_gaps

    shown = shown_gaps(plan.timelines, names)
    if shown:
        emit(["Planting gaps and harvest gaps"])
    for gap in shown:
        emit(wrapped(gap.text, " " * 10, first=f"  {filled(gap.variety, 7)} "))


def _tell_remarks(plan: Plan) -> None:
    """What may clash, in some futures."""
    from calendar_tui.handing_on.words.plain_text import wrapped

    for text in plan.remarks:
        emit(wrapped(f"remark: {text}", "  "))


def _tell_temperatures(plan: Plan) -> None:
    """What the temperatures lack, where heat is switched on."""
    from calendar_tui.handing_on.words.plain_text import wrapped

    for note in plan.notes:
        emit(wrapped(f"temperatures: {note}", "  "))


def why(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.why_rows import why_row
    from calendar_tui.handing_on.words.why_text import why_text
    from calendar_tui.season.finders import stage_named
    from calendar_tui.season.wording import stage_text

    _, plan, words = planned_season(args)
    if len(words) < 2:
        raise Refusal("give a COHORT and a STAGE, such as: A1 harvest")
    cohort = find_cohort(plan.season, words[0])
    stage = stage_named(" ".join(words[1:]))
    timeline = plan.timelines[cohort.id]
    if stage not in timeline.stages and not timeline.never:
        raise Refusal(
            f"{cohort.id} has no date for {stage_text(stage)}; it has: {', '.join(timeline.stages)}"
        )
    if args.json:
        print_json(why_row(plan, cohort.id, stage))
    else:
        emit(why_text(plan, cohort.id, stage))
        _tell_temperatures(plan)
    return 0


def chart(args: argparse.Namespace) -> int:
    from calendar_tui.planning.arranging import groups_of
    from calendar_tui.screens.season.arrangement import Arrangement
    from calendar_tui.screens.season.paper import chart_lines

    _, plan, rest = planned_season(args)
    refuse_extra_words(rest)
    if args.only.strip() and not groups_of(plan, args.by, args.only):
        raise Refusal(f'no cohort has "{args.only}" in its id, variety or places')
    ascii_only = args.ascii or "utf" not in (sys.stdout.encoding or "").lower()
    width = shutil.get_terminal_size((80, 24)).columns
    emit(chart_lines(plan, width, ascii_only, Arrangement(args.by, args.only)))
    return 0
