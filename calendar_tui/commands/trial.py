"""The command trial: trials and their maps; one is drawn into plots and cohorts, once."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import (
    confirm_overwrite,
    date_order,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
)
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.trials import Trial
    from calendar_tui.storage.opening import Opened

FLAGS: Flags = {
    "--draw": {
        "action": "store_true",
        "help": "draw it by its seed into plots, with the cohorts that it lacks; shown first, and then written into the season",
    },
    "--anew": {
        "action": "store_true",
        "help": "with --draw: in place of the plots that it has, where the trial itself was changed before planting",
    },
    "--map": {
        "metavar": "FILE",
        "help": "its map as a drawing, FILE.svg, or as text as wide as it needs, FILE.txt",
    },
}


def trial(args: argparse.Namespace) -> int:
    """Words: none to list the trials, or one of them."""
    from calendar_tui.season.finders import find_record

    opened, plan, words = planned_season(args)
    refuse_extra_words(words[1:])
    if args.anew and not args.draw:
        raise Refusal("--anew goes with --draw")
    if not words:
        if args.draw or args.map is not None:
            raise Refusal(f"name the trial{_named(plan)}")
        _list(args, plan)
        return 0
    chosen = plan.season.trials[find_record("trial", plan.season, words[0])]
    if args.map is not None:
        if args.draw:
            raise Refusal("--map is of a trial that is drawn; draw it first, then write its map")
        _write_map(args, opened, plan, chosen)
    elif args.draw:
        _draw(args, opened, plan, chosen)
    else:
        _show(args, plan, chosen)
    return 0


def _named(plan: Plan) -> str:
    return f": {', '.join(plan.season.trials)}" if plan.season.trials else "; there is none yet"


def _list(args: argparse.Namespace, plan: Plan) -> None:
    if args.json:
        from calendar_tui.handing_on.tables.trial_rows import trials_data

        print_json(trials_data(plan.season, list(plan.season.trials.values())))
        return
    from calendar_tui.handing_on.words.trial_text import trials_text

    emit(trials_text(plan.season))


def _show(args: argparse.Namespace, plan: Plan, chosen: Trial) -> None:
    if args.json:
        from calendar_tui.handing_on.tables.trial_rows import trials_data

        print_json(trials_data(plan.season, [chosen]))
        return
    from calendar_tui.handing_on.words.trial_text import trial_text

    emit(trial_text(plan.season, chosen))


def _draw(args: argparse.Namespace, opened: Opened, plan: Plan, chosen: Trial) -> None:
    """The map of what would be drawn stands above what else it brings."""
    from calendar_tui.handing_on.tables.trial_rows import plot_row
    from calendar_tui.handing_on.words.trial_map import map_lines
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.trials.drawing import AlreadyDrawn, draw_trial, plots_of_trial

    require_yes_or_dry_run_with_json(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    try:
        proposal = draw_trial(held, chosen.id, args.anew)
    except AlreadyDrawn as drawn:
        raise Refusal(f"{drawn}: calendar-tui trial {chosen.id} --draw --anew") from drawn
    after = proposal.plan.season
    if not args.json:
        emit([*map_lines(after, after.trials[chosen.id]), ""])
    rows = [plot_row(plot) for plot in plots_of_trial(after, chosen.id)]
    show_and_save(args, opened, {None: proposal}, {"plots": rows})


def _write_map(args: argparse.Namespace, opened: Opened, plan: Plan, chosen: Trial) -> None:
    from calendar_tui.handing_on.paper.trial_map import trial_svg
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.handing_on.words.trial_map import trial_map_text
    from calendar_tui.storage.disk.handed_file import hand_out

    target = Path(args.map)
    makers = {".svg": trial_svg, ".txt": trial_map_text}
    make = makers.get(target.suffix.casefold())
    if make is None or not target.stem.strip("."):
        raise Refusal(f'--map "{target}": name a file that ends in .svg or .txt, such as {chosen.id}.svg')
    if os.path.realpath(target) == os.path.realpath(opened.path):
        raise Refusal(f'--map "{target}" is the season file; name another file')
    files = {target: make(plan.season, chosen)}
    confirm_overwrite(files, args.yes)
    hand_out(files)
    line = f"{target}: {count_text(len(files[target]), 'byte')}"
    note_saved(line)
    emit([line])
