"""Commands that tell: nothing is written."""

from __future__ import annotations

import argparse
from pathlib import Path

from calendar_tui.commands.asked import (
    Refusal,
    emit,
    iso_date,
    known_zone,
    no_more,
    one_cohort,
    planned_season,
    print_json,
    today_of,
)
from calendar_tui.storage.finding import pick_season


def daylight(args: argparse.Namespace) -> int:
    from zoneinfo import ZoneInfo

    from calendar_tui.nature.sky import daylights
    from calendar_tui.planning.wording import hours_text
    from calendar_tui.storage.opening import need_season

    path, rest = pick_season(args.words, Path.cwd())
    no_more(rest)
    _, season = need_season(path)
    first, last = (
        iso_date(word, d) for word, d in ((args.from_, season.first_day), (args.to, season.last_day))
    )
    if last < first:
        raise Refusal(f"--to {last} is before --from {first}; give them in order")
    site = season.site
    days = daylights(site.latitude, site.longitude, ZoneInfo(site.timezone), first, last)
    if args.json:
        from calendar_tui.handing_on.json_rows import daylight_rows

        print_json(daylight_rows(days))
        return 0
    print("date        sunrise UTC  sunset UTC   natural     civil")
    for day in days:
        rise, fall = (f"{t:%H:%M:%S}" if t else "none" for t in (day.sunrise, day.sunset))
        print(
            f"{day.date}  {rise:<11}  {fall:<11}  {hours_text(day.natural_h):<10}  {hours_text(day.civil_h)}"
        )
    return 0


def dates(args: argparse.Namespace) -> int:
    _, plan, words = planned_season(args)
    if not plan.timelines:
        raise Refusal(
            "this season has no cohorts yet; add a [[cohort]] with id, variety, start, place and planned dates"
        )
    names = [one_cohort(plan, word).id for word in words] or list(plan.timelines)
    timelines = [plan.timelines[name] for name in dict.fromkeys(names)]
    if args.json:
        from calendar_tui.handing_on.json_rows import dates_rows

        print_json(dates_rows(timelines))
    elif args.csv:
        from calendar_tui.handing_on.tables import dates_table

        print(dates_table(timelines).to_csv(index=False), end="")
    else:
        from calendar_tui.handing_on.plain_text import dates_text

        emit(dates_text(timelines, {n: [c.text for c in plan.clashes_of(n)] for n in names}))
    return 0


def week(args: argparse.Namespace) -> int:
    from calendar_tui.planning.week import week_of
    from calendar_tui.storage.opening import need_tasks

    path, rest = pick_season(args.words, Path.cwd())
    no_more(rest)
    tasks, data = need_tasks(path)
    site = data.get("site")
    zone = site.get("timezone") if isinstance(site, dict) else None
    today = today_of(args, str(zone) if known_zone(zone) else "UTC")
    found = week_of(tasks, today)
    if args.json:
        import json

        from calendar_tui.handing_on.task_rows import week_row

        print(json.dumps(week_row(found), indent=2, ensure_ascii=False))
        return 0
    from calendar_tui.handing_on.week_text import week_text

    cautions = {c.get("id", ""): c.get("caution", "") for c in data.get("chore", []) if isinstance(c, dict)}
    emit(week_text(found, str(data.get("season", {}).get("name", "")), today, cautions))
    if not tasks:
        print("No tasks are saved yet: calendar-tui tasks makes them from the chores.")
    return 0


def hours(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables import hours_table

    _, now, rest = planned_season(args)
    no_more(rest)
    table = hours_table(now.season.tasks)
    if args.json:
        print_json([{"week": week, **row.to_dict()} for week, row in table.iterrows()])
    else:
        print(
            "Person-hours by week (its Monday) and role. Hours are placeholders unless a chore's mark says otherwise."
        )
        print(table.to_string() if len(table) else "No tasks are saved yet.")
    return 0


def check(args: argparse.Namespace) -> int:
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.season.problems import Problem
    from calendar_tui.storage.opening import located, open_season

    path, rest = pick_season(args.words, Path.cwd())
    no_more(rest)
    opened = open_season(path)
    problems = opened.problems
    if opened.season is not None:
        now = make_plan(opened.season, today_of(args, opened.season.site.timezone))
        never = [
            Problem(("cohort", i), f"cohort {t.cohort.id} {t.never}")
            for i, t in enumerate(now.timelines.values())
            if t.never
        ]
        problems = located(path, opened.text, tuple(never))
        print(
            f"{len(now.timelines)} cohorts, {len(now.season.tasks)} tasks, {len(now.clashes)} clashes (see dates)."
        )
    emit(map(str, problems))
    print(f"{len(problems)} problem{'' if len(problems) == 1 else 's'}.")
    return 1 if problems else 0
