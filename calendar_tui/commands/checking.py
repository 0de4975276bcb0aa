"""Check a season file: every problem in one run, for a person or for an editor."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    emit,
    load_as_of,
    picked_season,
    print_json,
    refuse_extra_words,
    today_of,
)
from calendar_tui.storage.problems import FileProblem, SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.problems import Problem
    from calendar_tui.season.records import Season


@dataclass(slots=True)
class _Findings:
    """problems: what is wrong; warnings: what should be looked at; notes: what may be meant so; older: that the file
    is of an older format, which is told beside what a command prints. counts: in words.
    """

    problems: tuple[FileProblem, ...] = ()
    older: tuple[FileProblem, ...] = ()
    warnings: list[FileProblem] = field(default_factory=list)
    notes: tuple[FileProblem, ...] = ()
    counts: str = ""


def check(args: argparse.Namespace) -> int:
    path, rest = picked_season(args)
    refuse_extra_words(rest)
    try:
        findings = _findings(args, path)
    except SeasonFileError as unreadable:
        from calendar_tui.storage.toml_problems import problems_of

        findings = _Findings(problems_of(path, unreadable))
    # By line, and what stands in other files after that.
    findings.problems = tuple(sorted(findings.problems, key=lambda p: (p.file != str(path), p.line or 0)))
    if args.json:
        from calendar_tui.handing_on.tables.json_rows import problem_rows

        warnings = (*findings.older, *findings.warnings)
        by_severity = {"error": findings.problems, "warning": warnings, "information": findings.notes}
        print_json(
            [row for severity, problems in by_severity.items() for row in problem_rows(problems, severity)]
        )
    else:
        emit(_lines(findings))
    return 1 if findings.problems else 0


def _lines(findings: _Findings) -> Iterator[str]:
    from calendar_tui.handing_on.words.plain_text import count_text, wrapped

    if findings.counts:
        yield findings.counts
    for warning in findings.warnings:
        text = f"warning: {warning if warning.line else warning.message}"
        yield from wrapped(text, "  ") if warning.message.startswith(_AIR) else [text]
    yield from (f"note: {note}" for note in findings.notes)
    yield from map(str, findings.problems)
    if findings.warnings:
        yield f"{count_text(len(findings.warnings), 'warning')}."
    yield f"{count_text(len(findings.problems), 'problem')}."


_AIR = "temperatures: "


def _findings(args: argparse.Namespace, path: Path) -> _Findings:
    """What is found in a season file; where it reads well, its cohorts must flower and its saved tasks agree with the plan."""
    from calendar_tui.handing_on.words.starter_text import reminder_for
    from calendar_tui.planning.lamps.by_day import by_day_problems
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.planning.tasks.chore_dates import unreached
    from calendar_tui.season.problems import Problem
    from calendar_tui.season.unread import unread
    from calendar_tui.season.upgrades import is_newer, unwritten_form
    from calendar_tui.storage.opening import open_season
    from calendar_tui.storage.toml.located import located

    opened = open_season(path, load_as_of(args, path))
    kept = located(path, opened.text, (*unread(opened.data), *_noon(opened.season)))
    if opened.season is None:
        return _Findings(opened.problems, warnings=[*kept])
    plan = make_plan(opened.season, today_of(args, opened.season.site.timezone))
    form = unwritten_form(opened.data)
    newer = form if is_newer(opened.data) else ()
    starter = tuple(Problem(("season",), reminder) for reminder in (reminder_for(plan.season),) if reminder)
    idle = tuple(
        Problem(("chore", i, key), message)
        for i, key, message in unreached(plan.season, plan.timelines)
        if not _as_it_came(plan, i)
    )
    return _Findings(
        located(path, opened.text, (*newer, *_never(plan), *_ahead(plan), *by_day_problems(plan.season))),
        () if newer else located(path, opened.text, form),
        [
            *kept,
            *located(path, opened.text, (*_recorded(plan), *_aside(plan), *_beyond(plan.season))),
            *(FileProblem(str(path), None, message) for message in _warnings(plan)),
        ],
        located(path, opened.text, (*idle, *starter)),
        _counts_text(plan),
    )


def _noon(season: Season | None) -> Iterator[Problem]:
    """That the sun is hardly ever so high so far from noon as it would be by the season's clock."""
    from calendar_tui.season.checks import noon_text
    from calendar_tui.season.problems import Problem

    if season is not None and (
        text := noon_text(season.site.longitude, season.site.timezone, season.first_day)
    ):
        yield Problem(("site", "longitude"), f"site: {text}")


def _as_it_came(plan: Plan, i: int) -> bool:
    """Whether a chore is one of the starter chores, unchanged: these are for more kinds of seasons than one has."""
    from calendar_tui.storage.starter_lists import starter_chores

    chore = list(plan.season.chores.values())[i]
    seen = plan.season.starter_list
    return seen is not None and starter_chores(seen).get(chore.id) == replace(chore, since=None)


def _counts_text(plan: Plan) -> str:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.planning.waiting import clash_counts

    counts = (
        count_text(len(plan.timelines), "cohort"),
        count_text(len(plan.season.tasks), "task"),
        clash_counts(plan.clashes).text if plan.clashes else "0 clashes",
    )
    return f"{', '.join(counts)} (see dates)."


def _warnings(plan: Plan) -> Iterator[str]:
    """What the temperatures lack, where heat is switched on, and saved tasks that differ from the plan."""
    from calendar_tui.handing_on.words.plain_text import differing_text
    from calendar_tui.planning.changes.replan import differing_without_ids, doubled_texts

    yield from (f"{_AIR}{note}" for note in plan.notes)
    if plan.season.trials:
        from calendar_tui.planning.trial_doubts import trial_doubts

        yield from trial_doubts(plan.season)
    if moves := differing_without_ids(plan):
        yield f"{differing_text(len(moves))}: calendar-tui tasks shows and saves them."
        yield from doubled_texts(plan, moves)


def _recorded(plan: Plan) -> Iterator[Problem]:
    """What was cut or dries against the rules or the label, where it is recorded."""
    from calendar_tui.season.finders import of_kind
    from calendar_tui.season.problems import Problem

    for clash in plan.clashes:
        if (one := clash.recorded) is not None:
            yield Problem((one.kind, [*of_kind(plan.season, one.kind)].index(one.id)), clash.text)


def _aside(plan: Plan) -> Iterator[Problem]:
    """Results that do not count, each where it stands, and why."""
    from calendar_tui.season.problems import Problem

    if not plan.season.results:
        return
    names = [*plan.season.results]
    for one in plan.results.aside:
        yield Problem(
            ("result", names.index(one.result.id)), f"result {one.result.id} is kept aside: {one.why}"
        )


def _beyond(season: Season) -> Iterator[Problem]:
    """Lots of a cohort that come to more than it has, where the last of them stands."""
    from calendar_tui.season.lots import lots_beyond
    from calendar_tui.season.problems import Problem

    names = [*season.lots]
    for lot, text in lots_beyond(season):
        yield Problem(("lot", names.index(lot.id)), f"lot {lot.id}: {text}")


def _never(plan: Plan) -> Iterator[Problem]:
    from calendar_tui.season.problems import Problem

    for i, timeline in enumerate(plan.timelines.values()):
        if timeline.never:
            yield Problem(("cohort", i), f"cohort {timeline.cohort.id} {timeline.never}")


def _ahead(plan: Plan) -> Iterator[Problem]:
    """Dates recorded after today; an example lives on its own day."""
    from calendar_tui.season.problems import Problem

    if plan.season.example_today is not None:
        return
    for i, cohort in enumerate(plan.season.cohorts.values()):
        for stage, day in cohort.recorded.items():
            if day > plan.today:
                yield Problem(
                    ("cohort", i, "recorded", stage),
                    f"cohort {cohort.id}: {stage} is recorded on {day}, after today, {plan.today}; record what has "
                    f"happened",
                )
