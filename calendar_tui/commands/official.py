"""The command official: the authority's own samples by lot, and each step of one recorded."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import (
    date_order,
    emit,
    flag_day,
    planned_season,
    print_json,
    typed_day,
)
from calendar_tui.commands.cut import lots_named
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import AFTER

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season
    from calendar_tui.season.rules import Lot

FLAGS: Flags = {
    "--who": {"metavar": "NAME", "help": "the authorised agent who takes it, or took it"},
    "--total": {"metavar": "T", "help": "with passed or failed: total THC in %%, as reported"},
    "--uncertainty": {
        "metavar": "U",
        "help": "the measurement uncertainty of the report, in percentage points",
    },
    "--relative": {"action": "store_true", "help": "the uncertainty is in %% of the total"},
    "--after": {
        "metavar": "WHAT",
        "choices": AFTER,
        "help": f"with failed: what the authority has follow: {', '.join(AFTER[:-1])} or {AFTER[-1]}",
    },
    "--flowering-ends": {
        "metavar": "DATE",
        "help": "for rules that sample by the flowering: the day on which it ends",
    },
}
REPORTED = ("total", "uncertainty", "relative", "after")


def official(args: argparse.Namespace) -> int:
    """Words: none, or lots, to see how their samples stand; then a step with its date."""
    opened, plan, words = planned_season(args)
    lots, rest = _lots(plan.season, words)
    if not rest:
        _refuse_flags(args, ("who", *REPORTED), "nothing is recorded; name a lot and a step")
        _show(args, plan, lots or lots_named(plan.season))
        return 0
    from calendar_tui.planning.changes.held_season import HeldSeason

    _refuse_whole(words, lots)
    _refuse_flags(args, ("flowering_ends",), "it goes with the list")
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    require_yes_or_dry_run_with_json(args)
    show_and_save(args, opened, {None: _step(args, held, lots, rest[0].casefold(), rest[1:])})
    return 0


def _lots(season: Season, words: Sequence[str]) -> tuple[list[Lot], Sequence[str]]:
    """The lots that the first words name, with or without commas, and the words behind them. Raises Refusal."""
    known = {name.casefold() for name in (*season.cohorts, *season.lots)}
    lots: list[Lot] = []
    for at, word in enumerate(words):
        names = [name for name in word.split(",") if name]
        if at and not all(name.casefold() in known for name in names):
            return [*dict.fromkeys(lots)], words[at:]
        lots += [lot for name in names for lot in lots_named(season, name)]
    return [*dict.fromkeys(lots)], ()


def _refuse_whole(words: Sequence[str], lots: Sequence[Lot]) -> None:
    """Raises Refusal where a cohort of several lots is named: a sample is of one lot."""
    from calendar_tui.season.lots import several_lots_text

    typed = {name.casefold() for word in words for name in word.split(",")}
    for cohort in dict.fromkeys(lot.cohort for lot in lots if lot.id != lot.cohort):
        if cohort.casefold() in typed:
            raise Refusal(several_lots_text(cohort, [lot for lot in lots if lot.cohort == cohort]))


def _step(
    args: argparse.Namespace, held: HeldSeason, lots: Sequence[Lot], step: str, typed: Sequence[str]
) -> Proposal:
    from calendar_tui.planning.changes.official_steps import OUTCOMES, STEPS, Report, recorded_step

    if step not in (*STEPS, *OUTCOMES):
        right = choices(step, [*STEPS, *OUTCOMES], "Steps")
        raise Refusal(f'"{step}" is no step of an official sample{right}')
    happened = step not in STEPS or step == "taken"
    if not typed and not happened:
        raise Refusal(f"for which day is it {step}? such as: {lots[0].id} {step} 2026-12-20")
    report = Report(step, args.total or "", args.uncertainty or "", args.relative, args.after or "")
    day = _day(held.plan, typed, past=happened) if typed else None
    return recorded_step(held, lots, step, day, args.who or "", report)


def _day(plan: Plan, typed: Sequence[str], *, past: bool) -> date:
    """The date typed."""
    first, last = plan.season.first_day, plan.season.last_day
    return typed_day(
        " ".join(typed), today=plan.today, planned=None, first_day=first, last_day=last, past=past
    )


def _show(args: argparse.Namespace, plan: Plan, lots: Sequence[Lot]) -> None:
    ends = (
        None
        if args.flowering_ends is None
        else flag_day(args, plan.season, args.flowering_ends, "--flowering-ends")
    )
    if args.json:
        from calendar_tui.handing_on.tables.official_rows import officials_data

        print_json(officials_data(plan, lots, ends))
    else:
        from calendar_tui.handing_on.words.official_text import officials_text

        emit(officials_text(plan, lots, ends))


def _refuse_flags(args: argparse.Namespace, names: Sequence[str], why: str) -> None:
    for name in names:
        if getattr(args, name) not in (None, False):
            raise Refusal(f"--{name.replace('_', '-')} does not apply: {why}")
