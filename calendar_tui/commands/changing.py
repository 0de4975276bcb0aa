"""Commands that change the season file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.asked import (
    Refusal,
    emit,
    no_more,
    now,
    planned_season,
    print_json,
    save,
    today_of,
    who,
)
from calendar_tui.storage.finding import pick_season

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.planning.replan import Proposal
    from calendar_tui.season.records import Cohort, Task


def done(args: argparse.Namespace) -> int:
    from calendar_tui.planning.replan import tick_edits
    from calendar_tui.planning.week import find_task
    from calendar_tui.season.edits import Change
    from calendar_tui.season.readers import near
    from calendar_tui.storage.opening import need_tasks

    path, words = pick_season(args.words, Path.cwd())
    tasks, data = need_tasks(path)
    if not words:
        raise Refusal("name the tasks to tick by their ids, as `calendar-tui week` shows them")
    chosen: list[Task] = []
    for word in dict.fromkeys(words):
        found = find_task(tasks, word)
        if len(found) != 1:
            fits = (
                f" fits {len(found)} tasks: {', '.join(t.id for t in found[:8])}"
                if found
                else " is no task of this season"
            )
            raise Refusal(
                f'"{word}"{fits}{near(word, [t.id for t in tasks]) if not found else "; type more of it"}'
            )
        chosen += found
    ticked = [t for t in chosen if t.state != "done"]
    today = today_of(args, str(data.get("site", {}).get("timezone", "UTC")))
    if ticked:
        save(
            path,
            Change(f"done: {', '.join(f'{t.cohort} {t.what}' for t in ticked)}", tick_edits(ticked, today)),
        )
    for task in chosen:
        before = "" if task in ticked else f" (already, on {task.done_on})"
        print(f"done  {task.id}  {task.date}  {task.cohort} {task.what}{before}")
    return 0


def record(args: argparse.Namespace) -> int:
    from calendar_tui.planning.slips import record_date

    return _slip(args, "recorded", record_date)


def plan(args: argparse.Namespace) -> int:
    from calendar_tui.planning.slips import plan_date

    return _slip(args, "planned", plan_date)


def _slip(args: argparse.Namespace, table: str, make: Callable[..., Proposal]) -> int:
    from calendar_tui.planning.slips import (
        HOLD,
        SHIFT,
        SlipError,
        asks_for_lights_off,
        find_cohort,
        find_stage,
    )

    path, now, words = planned_season(args)
    if len(words) < 3:
        raise Refusal("say which COHORT, which STAGE and which DATE, such as: A1 transplant 2026-11-08")
    if args.json and not (args.yes or args.dry_run):
        raise Refusal("--json asks nothing: say --dry-run to look, or --yes to save")
    try:
        cohort = find_cohort(now.season, words[0])
        stage = find_stage(now.season, cohort, words[1], table)
        day = _typed(now, cohort.intended(stage), " ".join(words[2:]), past=table == "recorded")
        answers: list[str | date] = [_answer(now, cohort, args.lights_off)]
        if not args.lights_off and asks_for_lights_off(now, cohort, stage, day) and not args.yes:
            answers = [HOLD, SHIFT]
        proposals = {a: make(now, cohort, stage, day, a) for a in answers}
    except SlipError as refused:
        raise Refusal(str(refused)) from refused
    return _settle(args, path, proposals)


def _answer(now: Plan, cohort: Cohort, word: str | None) -> str | date:
    if word in (None, "hold", "shift"):
        return word or "hold"
    return _typed(now, cohort.intended("lights_off"), word, past=False)


def _typed(now: Plan, planned: date | None, text: str, *, past: bool) -> date:
    from calendar_tui.season.typed_dates import typed_date

    season = now.season
    try:
        return typed_date(
            text,
            today=now.today,
            planned=planned,
            first_day=season.first_day,
            last_day=season.last_day,
            past=past,
        )
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong


def _settle(args: argparse.Namespace, path: Path, proposals: Mapping[Any, Proposal]) -> int:
    """Show what would move; save the one chosen, unless it is a dry run."""
    if not args.json:
        _show_moves(proposals)
    chosen = None if args.dry_run else next(iter(proposals)) if args.yes else _choice(list(proposals))
    if chosen is not None:
        save(path, proposals[chosen].change)
    if args.json:
        from calendar_tui.handing_on.json_rows import proposal_row

        rows = [proposal_row(p, str(a), a == chosen) for a, p in proposals.items()]
        print_json(rows[0] if len(rows) == 1 else {"answers": rows})
        return 0
    print(f"Saved: {proposals[chosen].change.what}" if chosen is not None else "Nothing saved.")
    return 0


def _show_moves(proposals: Mapping[Any, Proposal]) -> None:
    from calendar_tui.handing_on.plain_text import moves_text

    for answer, proposal in proposals.items():
        if len(proposals) > 1:
            says = (
                "smaller plants, harvest and dryer as planned"
                if answer == "hold"
                else "same growth, harvest moves"
            )
            print(f"== {answer} lights off ({says}) ==")
        emit(moves_text(proposal))


def _choice(answers: list[Any]) -> Any:
    """The answer the person gives, or None to save nothing."""
    question = (
        "Save? [y/N] " if len(answers) == 1 else f"Save which: {' or '.join(answers)}? Enter saves nothing: "
    )
    try:
        said = input(question).strip().casefold()
    except EOFError:
        print()
        raise Refusal("nothing saved: no answer; say --yes to save without asking") from None
    if len(answers) == 1:
        return answers[0] if said in ("y", "yes") else None
    return said if said in answers else None


def tasks(args: argparse.Namespace) -> int:
    from calendar_tui.planning.replan import refresh

    path, now, rest = planned_season(args)
    no_more(rest)
    proposal = refresh(now)
    if not proposal.tasks:
        print("The saved tasks are in step with the plan.")
        return 0
    return _settle(args, path, {"tasks": proposal})


def undo(args: argparse.Namespace) -> int:
    from calendar_tui.storage.history import undo_last
    from calendar_tui.storage.opening import season_problems

    path, rest = pick_season(args.words, Path.cwd())
    no_more(rest)
    undone = undo_last(path, who=who(), when=now(), check=season_problems)
    print(f"Undone: {undone.what}")
    return 0


def new(args: argparse.Namespace) -> int:
    from calendar_tui.commands.starting import start_season

    if len(args.words) != 1:
        raise Refusal("name one new file, such as seasons/mine.toml")
    path = Path(args.words[0])
    if path.exists():
        raise Refusal(f"{path} is there already; give the name of a new file")
    given = {
        key: getattr(args, key)
        for key in ("name", "latitude", "longitude", "timezone", "first_day", "last_day")
    }
    try:
        made = start_season(path, given, input)
    except EOFError:
        raise Refusal(
            "no answer: give --latitude, --longitude, --timezone, --first-day and --last-day"
        ) from None
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
    if made.change.edits:
        save(path, made.change)
    print(
        f"Made {path} with {len(made.tasks)} tasks. Change it in an editor, then: calendar-tui check {path}"
    )
    return 0
