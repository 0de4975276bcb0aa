"""The command that proposes staggered cohorts, keeps proposals as drafts, sets them side by side and accepts one."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json
from calendar_tui.commands.command_input import (
    confirmed,
    emit,
    flag_day,
    planned_season,
    print_json,
    refuse_extra_words,
    save,
)
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.planning.staggering.proposing import Watch
    from calendar_tui.planning.staggering.wish import Wish
    from calendar_tui.season.edits import Change
    from calendar_tui.season.records import Season
    from calendar_tui.storage.opening import Opened

FLAGS: Flags = {
    "--variety": {"metavar": "V", "help": "what is grown"},
    "--place": {
        "metavar": "P",
        "action": "extend",
        "nargs": "+",
        "help": "places that may be used; a screened one with all its parts",
    },
    "--cohorts": {"metavar": "N", "help": "how many cohorts; without it as many as fit"},
    "--first-harvest": {"metavar": "DATE", "help": "the first harvest, else as early as can be"},
    "--last-harvest": {"metavar": "DATE", "help": "the last harvest"},
    "--every": {
        "metavar": "DAYS",
        "help": "from harvest to harvest, such as 14d or 2w, else 7 days where as many as fit are wanted",
    },
    "--plants": {"metavar": "N", "help": "plants of each cohort; without it each takes its place as a whole"},
    "--spacing": {
        "metavar": "1.5x0.6",
        "help": "between rows x in the row, in the units shown, else as the season's cohorts have it",
    },
    "--start": {
        "choices": ("seed", "cutting"),
        "default": "seed",
        "help": "from seed (the default) or cuttings",
    },
    "--nursery": {"metavar": "PLACE", "help": "raised here first; else sown or stuck in place"},
    "--growth": {"metavar": "DAYS", "help": "days of growth before induction that are wished for, else 42"},
    "--within": {"metavar": "DAYS", "help": "days by which a harvest may miss its date, else 3"},
    "--seconds": {"metavar": "N", "help": "seconds to search, by the solver's own count of its work, else 1"},
    "--draft": {"metavar": "NAME", "help": "keep the proposal as a draft in the season file"},
    "--compare": {"action": "store_true", "help": "set the drafts side by side"},
    "--accept": {
        "metavar": "NAME",
        "help": "make a draft's cohorts and their tasks; shows it and asks first",
    },
    "--over-limits": {
        "action": "store_true",
        "help": "with --accept: accept a draft that has no room, or plants that stay small",
    },
    "--drop": {"metavar": "NAME", "help": "take a draft out"},
}
MOST_SECONDS = 600
# The exit status where nothing can be proposed, as of what is refused.
REFUSED = 2


def stagger(args: argparse.Namespace) -> int:
    from calendar_tui.planning.staggering.solve import need_solver

    kinds = [name for name in ("compare", "accept", "drop") if getattr(args, name)]
    if len(kinds) > 1 or (kinds and args.draft):
        raise Refusal("--compare, --accept, --drop and --draft are asked one at a time")
    if args.over_limits and not args.accept:
        raise Refusal("--over-limits does not apply: it goes with --accept")
    run = _RUNS[kinds[0]] if kinds else _propose
    if not kinds and args.cohorts != "1":
        need_solver()  # before anything else is asked for
    opened, plan, words = planned_season(args)
    refuse_extra_words(words)
    return run(args, opened, plan)


def _propose(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.commands.stagger_instead import instead_lines, print_refused, ways_data
    from calendar_tui.handing_on.tables.stagger_rows import scheme_data
    from calendar_tui.handing_on.words.plain_text import hanging, wrapped
    from calendar_tui.handing_on.words.stagger_text import FROST_TEXT, scheme_lines
    from calendar_tui.planning.staggering.drafts import draft_change
    from calendar_tui.planning.staggering.proposing import stagger as propose
    from calendar_tui.planning.staggering.ways import ways
    from calendar_tui.planning.staggering.wish import checked

    wish = checked(plan.season, _wish(args, plan.season))
    try:
        scheme = propose(plan, wish, _seconds(args), _watch())
    except Refusal as refused:
        print_refused(str(refused), wish, ways(plan, wish, None), args.json)
        return REFUSED
    instead = ways(plan, wish, scheme) if scheme.hard_texts else ()
    change = None if args.draft is None else draft_change(plan.season, args.draft, scheme)
    saved = change is not None and not args.dry_run and save(opened.path, change, opened)
    if args.json:
        print_json({**scheme_data(scheme), "instead": ways_data(wish, instead), "saved": saved})
        return 0
    emit(scheme_lines(scheme))
    if scheme.hard_texts:
        emit(instead_lines(wish, instead))
    site = plan.season.site
    if site.last_frost or site.first_frost:
        emit(wrapped(FROST_TEXT, ""))
    if change is None or args.dry_run:
        emit(["Nothing saved. To keep it: --draft NAME."])
    else:
        over = " --over-limits (as it is over a hard limit, or change it first)" if scheme.hard_texts else ""
        emit(
            [
                *hanging(f"Saved: {change.what}"),
                f"To make it the plan: calendar-tui stagger {opened.path} --accept {args.draft}{over}",
            ]
        )
    return 0


def _accept(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.handing_on.tables.stagger_rows import scheme_data
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.handing_on.words.stagger_text import added_lines, scheme_lines
    from calendar_tui.planning.staggering.drafts import accepted, find_draft

    require_yes_or_dry_run_with_json(args)
    scheme = accepted(plan, find_draft(plan.season, args.accept))
    change = scheme.proposal.change
    if not args.json:
        emit(scheme_lines(scheme))
        emit(added_lines(scheme))
    if scheme.hard_texts and not (args.dry_run or args.over_limits):
        which = "; ".join(scheme.hard_texts) if args.json else "see the lines above that are marked so"
        raise Refusal(
            f"nothing saved: this draft is over a hard limit ({which}); ask for fewer cohorts or plants, for other places or "
            f"dates, or accept it as it is with --over-limits"
        )
    wanted = not args.dry_run and (args.yes or confirmed("Save?"))
    saved = wanted and save(opened.path, change, opened)
    if args.json:
        print_json({**scheme_data(scheme), "saved": saved})
    else:
        emit(hanging(f"Saved: {change.what}") if saved else ["Nothing saved."])
    return 0


def _drop(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.planning.staggering.drafts import drop_change, find_draft

    change: Change = drop_change(find_draft(plan.season, args.drop))
    saved = not args.dry_run and save(opened.path, change, opened)
    emit(hanging(f"Saved: {change.what}") if saved else ["Nothing saved."])
    return 0


def _compare(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.handing_on.tables.stagger_rows import scheme_data
    from calendar_tui.handing_on.words.stagger_text import compared
    from calendar_tui.planning.staggering.drafts import laid_out

    if not plan.season.drafts:
        raise Refusal(f"{opened.path}: this season has no drafts yet; keep one with --draft NAME")
    schemes = laid_out(plan)
    if args.json:
        print_json(
            {name: {"notes": [s]} if isinstance(s, str) else scheme_data(s) for name, s in schemes.items()}
        )
    else:
        emit(compared(schemes))
    return 0


_RUNS: Mapping[str, Callable[[argparse.Namespace, Opened, Plan], int]] = {
    "compare": _compare,
    "accept": _accept,
    "drop": _drop,
}


def _wish(args: argparse.Namespace, season: Season) -> Wish:
    from calendar_tui.planning.staggering.asking import every_d, spacing, whole
    from calendar_tui.planning.staggering.wish import GROWN_D, WITHIN_D, Wish, spacing_of

    if not args.variety or not args.place:
        raise Refusal(
            f"give --variety and --place. Varieties: {', '.join(season.varieties)}; places: "
            f"{', '.join(season.places)}"
        )
    return Wish(
        variety=args.variety,
        lights=tuple(args.place),
        start=args.start,
        nursery=args.nursery,
        plants=None if args.plants is None else whole(args.plants, "--plants"),
        spacing_m=spacing_of(season, args.variety)
        if args.spacing is None
        else spacing(args.spacing, "--spacing"),
        count=None if args.cohorts is None else whole(args.cohorts, "--cohorts"),
        first=None
        if args.first_harvest is None
        else flag_day(args, season, args.first_harvest, "--first-harvest"),
        last=None
        if args.last_harvest is None
        else flag_day(args, season, args.last_harvest, "--last-harvest"),
        every_d=None if args.every is None else every_d(args.every, "--every"),
        grown_d=GROWN_D if args.growth is None else whole(args.growth, "--growth"),
        within_d=WITHIN_D if args.within is None else whole(args.within, "--within"),
    )


def _seconds(args: argparse.Namespace) -> float:
    from calendar_tui.planning.staggering.solve import SEARCH_S

    if args.seconds is None:
        return SEARCH_S
    if (
        not re.fullmatch(r"\d{1,3}(\.\d+)?", args.seconds, re.ASCII)
        or not 0 < float(args.seconds) <= MOST_SECONDS
    ):
        raise Refusal(f'--seconds "{args.seconds}" is no time to search; write a number up to {MOST_SECONDS}')
    return float(args.seconds)


def _watch() -> Watch:
    """Tells how far it is, where a person looks on. Ctrl+C ends a search with the best so far."""
    from calendar_tui.planning.staggering.proposing import Watch

    if sys.stderr is None or not sys.stderr.isatty():
        return Watch()

    def report(step: str, part: float) -> None:
        print(f"\r{step:<40} {part:4.0%}", end="\r" if part < 1 else "\r\033[K", file=sys.stderr, flush=True)

    return Watch(report=report)
