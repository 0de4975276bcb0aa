"""The command analyse, of a season: a trial by what was measured in its plots."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, flag_day, picked_season, planned_season, print_json
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.problems import SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.planning.trial_analysis.analysed import Analysed
    from calendar_tui.planning.trial_analysis.working_out import Settings
    from calendar_tui.season.trials import Trial

_EXAMPLES = (
    "give a table, such as: analyse yields.csv --design blocks --block block --treatment variety --value yield; or a season and a "
    "trial, such as: analyse seasons/mine.toml T1 height"
)


def analyse_season(args: argparse.Namespace) -> int:
    """Words: a season, one of its trials, and measures; without a trial, what can be analysed is listed."""
    from calendar_tui.season.finders import find_record

    _refuse_neither(args)
    _, plan, words = planned_season(args)
    if not words:
        _list(args, plan)
        return 0
    trial = plan.season.trials[find_record("trial", plan.season, words[0])]
    analyses = _analyses(args, plan, trial, words[1:])
    if all(one.problem for one in analyses):
        raise Refusal("\n".join(f"{one.measure.id}: {one.problem}" for one in analyses))
    if args.json:
        _print_json(trial, analyses)
        return 0
    from calendar_tui.handing_on.words.trial_analysis_text import analyses_text

    emit(analyses_text(analyses))
    return 0


def _refuse_neither(args: argparse.Namespace) -> None:
    """Raise Refusal where no season is named, and none is found."""
    words = list(args.words)
    try:
        picked_season(args)
    except SeasonFileError as none:
        named = f'"{words[0]}" is no table, and ' if words else ""
        raise Refusal(f"{named}{none}; {_EXAMPLES}") from none


def _analyses(args: argparse.Namespace, plan: Plan, trial: Trial, names: Sequence[str]) -> list[Analysed]:
    from calendar_tui.planning.trial_analysis.measures import measure_named, measures_of
    from calendar_tui.planning.trial_analysis.working_out import analyses_by, every_analysis

    season = plan.season
    numbers, trial = _contrasts(args, trial)
    settings = _settings(args, plan, numbers)
    if names:
        measures = [measure_named(season, trial, name, settings.used) for name in names]
        return [one for measure in measures for one in analyses_by(season, trial, measure, settings)]
    found = every_analysis(season, trial, settings)
    if not measures_of(season, trial, settings.used):
        raise Refusal(f"nothing is recorded in the plots of trial {trial.id} yet")
    return found


def _settings(
    args: argparse.Namespace, plan: Plan, contrasts: Mapping[str, tuple[tuple[float, ...], ...]]
) -> Settings:
    from calendar_tui.commands.analyse import level_of
    from calendar_tui.planning.trial_analysis.working_out import Settings

    return Settings(
        day=flag_day(args, plan.season, args.date, "--date") if args.date else None,
        scale=args.scale or "",
        level=level_of(args.level),
        interactions=not args.no_interactions,
        contrasts=contrasts,
        used=plan.results.used,
    )


def _contrasts(
    args: argparse.Namespace, trial: Trial
) -> tuple[dict[str, tuple[tuple[float, ...], ...]], Trial]:
    """The contrasts that are typed: by numbers, and the trial with those that are typed in words. Raises Refusal."""
    from calendar_tui.season.contrasts import AGAINST, sides_of

    numbers: dict[str, tuple[tuple[float, ...], ...]] = {}
    worded = dict(trial.contrasts)
    for typed in args.contrast or ():
        factor, equals, text = typed.partition("=")
        if not equals or factor not in trial.factors:
            raise Refusal(
                f"--contrast {typed}: write a factor, = and levels against levels; the factors are {', '.join(trial.factors)}"
            )
        try:
            if AGAINST in text:
                sides_of(text, trial.factors[factor])
                worded[factor] = (*worded.get(factor, ()), text)
            else:
                row = tuple(float(part) for part in text.split(","))
                numbers[factor] = (*numbers.get(factor, ()), row)
        except ValueError as wrong:
            why = (
                wrong
                if AGAINST in text
                else f"write levels against levels, or a number for each level, such as {factor}=1,-1,0"
            )
            raise Refusal(f"--contrast {typed}: {why}") from None
    return numbers, replace(trial, contrasts=worded)


def _list(args: argparse.Namespace, plan: Plan) -> None:
    from calendar_tui.handing_on.words.trial_text import trials_text
    from calendar_tui.planning.trial_analysis.working_out import measured

    season = plan.season
    if args.json:
        print_json(
            [
                {"trial": trial.id, "measure": measure.id, "name": measure.name, "unit": measure.unit or None}
                | {"values": values, "rounds": rounds}
                for trial in season.trials.values()
                for measure, values, rounds in measured(season, trial, plan.results.used)
            ]
        )
        return
    from calendar_tui.handing_on.words.trial_analysis_text import measures_text

    if not season.trials:
        emit(trials_text(season))
    for trial in season.trials.values():
        emit(measures_text(trial.id, measured(season, trial, plan.results.used)))


def _print_json(trial: Trial, analyses: Sequence[Analysed]) -> None:
    from calendar_tui.handing_on.tables.trial_analysis_rows import analysed_row
    from calendar_tui.handing_on.words.trial_analysis_text import not_shown, remark_texts

    rows = [{**analysed_row(one), "remarks": list(remark_texts(one))} for one in analyses]
    print_json({"trial": trial.id, "analyses": rows, "does_not_show": not_shown(analyses)})
