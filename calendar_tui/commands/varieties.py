"""The command that tells a variety's figures, and changes one after showing what it moves."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    ask,
    emit,
    load_as_of,
    picked_season,
    print_json,
    refuse_extra_words,
    today_of,
)
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import MARKS
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.variety_change import Figure
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season, Variety
    from calendar_tui.storage.opening import Opened


FLAGS: Flags = {
    "--add": {"metavar": "ID", "help": "add a variety; its type is asked, or given by --type"},
    "--type": {
        "metavar": "TYPE",
        "help": "with --add: the type to start from, such as oil-unknown (the default)",
    },
    "--fit": {
        "nargs": "*",
        "metavar": "SEASON",
        "help": "fit its figures to the records of this season, and of further season files",
    },
    "--without": {
        "nargs": "+",
        "metavar": "COHORT",
        "help": "with --fit: cohorts whose records are left out, such as one with a wrong date",
    },
    "--count": {
        "nargs": "+",
        "metavar": "COHORT",
        "help": "with --fit: cohorts whose records count although the others contradict them",
    },
    "--mark": {"metavar": "MARK", "help": f"where the new figure comes from: {', '.join(MARKS)}"},
}
_TYPE = "type"


def variety(args: argparse.Namespace) -> int:
    """Words: none for all varieties; ID for one; ID FIGURE for one figure in full; ID FIGURE VALUE to change it.

    FIGURE may be type: ID type compares what each type would give, ID type TYPE gives one.
    """
    from calendar_tui.planning.changes.variety_change import FIGURE_NAMES, figures_of
    from calendar_tui.season.finders import find_variety
    from calendar_tui.storage.opening import need_season

    path, words = picked_season(args)
    if args.type is not None and args.add is None:
        raise Refusal("--type goes with --add; to change the type of a variety that is there: ID type TYPE")
    opened, season = need_season(path, load_as_of(args, path))
    if args.without and args.fit is None:
        raise Refusal("--without goes with --fit: it names the cohorts whose records are left out")
    if args.count and args.fit is None:
        raise Refusal(
            "--count goes with --fit: it names the cohorts whose records count although others contradict them"
        )
    if args.fit is not None:
        from calendar_tui.commands.fitting import fit_variety

        return fit_variety(args, opened, season, words)
    if args.add is not None:
        refuse_extra_words(words)
        return _add(args, opened, season)
    chosen = [find_variety(season, words[0])] if words else list(season.varieties.values())
    if words[1:2] == [_TYPE]:
        if len(words) < 3:
            return _compare_types(args, season, chosen[0])
        key, typed = _TYPE, tuple(words[2:])
    else:
        key, typed = FIGURE_NAMES.split(words[1:]) if len(words) > 1 else ("", ())
    if args.mark is not None and not typed:
        raise Refusal(
            "--mark says where a new figure comes from; give ID FIGURE VALUE, such as amber critical day 13:50"
        )
    if typed:
        return _change(args, opened, season, chosen[0], key, " ".join(typed))
    _tell(args, season, [(v, [f for f in figures_of(v, opened.data) if key in ("", f.key)]) for v in chosen])
    return 0


def _tell(args: argparse.Namespace, season: Season, shown: list[tuple[Variety, list[Figure]]]) -> None:
    from calendar_tui.handing_on.tables.season_rows import figure_rows
    from calendar_tui.handing_on.words.varieties_text import one_figure_text, varieties_text

    if args.json:
        print_json(figure_rows(season, (figure for _, figures in shown for figure in figures)))
    elif len(shown) == 1 and len(shown[0][1]) == 1:
        emit(one_figure_text(shown[0][1][0]))
    else:
        emit(varieties_text(season, shown, _contrast(args, season, shown[0][0]) if len(shown) == 1 else ""))


def _contrast(args: argparse.Namespace, season: Season, variety: Variety) -> str:
    """What another type would give, while nothing is recorded of the variety."""
    from calendar_tui.handing_on.words.types_text import contrast_text
    from calendar_tui.planning.plan import make_plan

    return contrast_text(make_plan(season, today_of(args, season.site.timezone)), variety)


def _add(args: argparse.Namespace, opened: Opened, season: Season) -> int:
    from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.record_change import add_record
    from calendar_tui.planning.changes.variety_type import new_variety
    from calendar_tui.planning.plan import make_plan

    require_yes_or_dry_run_with_json(args)
    plan = make_plan(season, today_of(args, season.site.timezone))
    new = new_variety(season, args.add, args.type or "")
    typed = args.type or ("" if args.yes or args.dry_run else _ask_type(plan, new))
    held = HeldSeason(plan, opened.data, reading=opened.reading)
    fields = {_TYPE: typed} if typed else {}
    return confirm_and_save(
        args, opened, {None: add_record(held, "variety", new.id, fields, args.mark or "")}
    )


def _ask_type(plan: Plan, new: Variety) -> str:
    """The type typed for a new variety, after what each would give it here; "" for the default, and where nobody answers."""
    from calendar_tui.handing_on.words.types_text import sowings_text, type_lines
    from calendar_tui.planning.changes.type_comparison import compare_types
    from calendar_tui.season.variety_types import DEFAULT, find_type

    season = replace(plan.season, varieties={**plan.season.varieties, new.id: new})
    sowings = tuple(compare_types(replace(plan, season=season), new))
    emit(sowings_text(sowings) if sowings else type_lines())
    while True:
        try:
            typed = ask(f"Type of {new.id}; Enter takes {DEFAULT}: ").strip()
            return find_type(typed).id if typed else ""
        except EOFError:
            return ""
        except Refusal as wrong:
            emit([str(wrong)])


def _compare_types(args: argparse.Namespace, season: Season, variety: Variety) -> int:
    from calendar_tui.handing_on.tables.type_rows import type_rows
    from calendar_tui.handing_on.words.types_text import MOST, types_text
    from calendar_tui.planning.changes.type_comparison import compare_types
    from calendar_tui.planning.plan import make_plan

    plan = make_plan(season, today_of(args, season.site.timezone))
    if args.json:
        print_json(type_rows(compare_types(plan, variety)))
    else:
        emit(types_text(plan, variety, tuple(compare_types(plan, variety, MOST))))
    return 0


def _change(
    args: argparse.Namespace, opened: Opened, season: Season, changed: Variety, key: str, typed: str
) -> int:
    from calendar_tui.commands.records import change_records
    from calendar_tui.planning.plan import make_plan

    plan = make_plan(season, today_of(args, season.site.timezone))
    return change_records(args, opened, plan, "variety", [(changed.id,)], field_words("variety", key), typed)
