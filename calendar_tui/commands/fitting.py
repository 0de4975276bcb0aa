"""The command that fits a variety to the records of its cohorts, and takes the fit over where that is wanted."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, named_file, today_of
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season, Variety
    from calendar_tui.storage.opening import Opened


def fit_variety(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> int:
    """words: behind the season, the variety alone; --fit has the further seasons. InductionRecord first; saved where agreed to."""
    from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
    from calendar_tui.handing_on.tables.fit_rows import fit_row
    from calendar_tui.handing_on.words.fit_text import fit_text
    from calendar_tui.planning.changes.variety_fit import take_fit
    from calendar_tui.planning.refit.choice import Choice
    from calendar_tui.planning.refit.fit import fit

    require_yes_or_dry_run_with_json(args)
    variety = _variety(args, season, words)
    plans = tuple(_plans(args, opened, season))
    choice = Choice(
        without=_named("--without", args.without, plans, variety),
        counted=_named("--count", args.count, plans, variety),
    )
    fitted = fit(plans, variety.id, choice)
    if not args.json:
        emit([*fit_text(fitted), ""])
    show_and_save(
        args, opened, {None: take_fit(plans[0], fitted)}, {"fit": fit_row(fitted)} if args.json else {}
    )
    return 0


def _variety(args: argparse.Namespace, season: Season, words: Sequence[str]) -> Variety:
    from calendar_tui.season.finders import find_variety

    if len(words) != 1 or args.add is not None:
        raise Refusal(
            "--fit goes with one variety, and further season files behind it, such as: amber --fit last-year.toml"
        )
    if args.mark is not None:
        raise Refusal(
            "--mark does not apply: what is fitted is marked measured, with its cohorts and seasons"
        )
    return find_variety(season, words[0])


def _named(flag: str, names: Sequence[str] | None, plans: Sequence[Plan], variety: Variety) -> frozenset[str]:
    """The cohorts of the variety that a flag names. Raises Refusal for another."""
    from calendar_tui.season.readers import choices

    cohorts = (c for plan in plans for c in plan.season.cohorts.values() if c.variety == variety.id)
    known = tuple(dict.fromkeys(c.id for c in cohorts))
    for name in names or ():
        if name not in known:
            raise Refusal(
                f'{flag}: "{name}" is not a cohort of {variety.id}{choices(name, known, "Cohorts")}'
            )
    return frozenset(names or ())


def _plans(args: argparse.Namespace, opened: Opened, season: Season) -> Iterator[Plan]:
    """Of the season and of the further ones, each of which is another file. Raises Refusal and SeasonFileError."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    yield make_plan(season, today_of(args, season.site.timezone))
    known = {opened.path.resolve()}
    for word in args.fit:
        path = Path(word)
        if not named_file(word):
            raise Refusal(
                f'"{word}" is no season file; behind --fit stand further seasons, such as last-year.toml'
            )
        if path.resolve() in known:
            raise Refusal(f"{word} is named twice; each record counts once, so leave it out behind --fit")
        known.add(path.resolve())
        _, further = need_season(path)
        yield make_plan(further, today_of(args, further.site.timezone))
