"""The command that reads the lines of a hand scanner: the code of a task ticks it, that of a bag, plot or tray is told."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    at_terminal,
    emit,
    load_as_of,
    picked_season,
    refuse_extra_words,
    tell,
    today_of,
)
from calendar_tui.commands.crew_language import crew_speaks, in_crew_language
from calendar_tui.language.speaking import chore_text, marked, tr
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.scanned_codes import BAG, PLOT, TASK, TRAY, Scanned, scanned, tray_code

if TYPE_CHECKING:
    from calendar_tui.season.records import Season, Task

_HOW = marked("Scan a code, or type one and press Enter; Ctrl+D ends.")
# What a line may be begun or ended with: scanners put a mark of the byte order, or a return, around what they read.
_AROUND = "\ufeff \t\r\n"


def scan(args: argparse.Namespace) -> int:
    """Exit status 1 where a line was no code, or its task was not ticked."""
    path, words = picked_season(args)
    refuse_extra_words(words)
    season = _season(args, path)  # a file that cannot be read is told before the first line is waited for
    with crew_speaks(args, season):
        return _scan(args, path)


def _scan(args: argparse.Namespace, path: Path) -> int:
    if at_terminal():
        emit([tr(_HOW)])
    refused = 0
    for code in _codes():
        try:
            _take(args, path, code)
        except (Refusal, Unreadable) as wrong:
            refused += 1
            tell(in_crew_language(wrong).splitlines())
        sys.stdout.flush()
    return 1 if refused else 0


def _codes() -> Iterator[str]:
    """The lines of the standard input as they come, without what is empty."""
    while line := sys.stdin.readline() if sys.stdin else "":
        if code := line.strip(_AROUND):
            yield code


def _season(args: argparse.Namespace, path: Path) -> Season:
    from calendar_tui.storage.opening import need_tasks

    return need_tasks(path, load_as_of(args, path))[1]


def _take(args: argparse.Namespace, path: Path, code: str) -> None:
    """Do what a code asks for, in the season as it is in the file by now. Raises Unreadable, Refusal."""
    season = _season(args, path)
    found = scanned(season, code)
    _BY_KIND[found.kind](args, path, season, found)


def _tick(args: argparse.Namespace, path: Path, season: Season, found: Scanned) -> None:
    """As `done` would, but for what it asks about: that is refused, since the next line is another code."""
    from calendar_tui.commands.parsing import parser_of
    from calendar_tui.commands.table import COMMANDS
    from calendar_tui.commands.ticking import done

    meant = parser_of("done", COMMANDS).parse_args([str(path), found.id, "--yes"])
    meant.today, meant.on, meant.lang, meant.unasked = args.today, args.on, args.lang, True
    try:
        done(meant)
    except Refusal as wrong:
        again = tr(
            "Not ticked; `{command}` asks, or takes the day with --on DATE.",
            command=f"calendar-tui done {found.id}",
        )
        raise Refusal(f"{wrong}\n{again}") from wrong


def _tell_bag(args: argparse.Namespace, path: Path, season: Season, found: Scanned) -> None:
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.handing_on.words.samples_text import sample_text

    emit(hanging(f"{tr('bag')}  {sample_text(season.samples[found.id])}"))


def _tell_plot(args: argparse.Namespace, path: Path, season: Season, found: Scanned) -> None:
    from calendar_tui.handing_on.paper.stakes import stake_text

    label = stake_text(season.plots[found.id])
    emit([f"{tr('plot')}  {label.head}  {'; '.join(label.lines)}"])


def _tell_tray(args: argparse.Namespace, path: Path, season: Season, found: Scanned) -> None:
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.planning.tasks.amounts import trays_of

    cohort = season.cohorts[found.id]
    count = trays_of(season, cohort)
    if count is not None and found.n > count:
        raise Refusal(
            tr(
                "{code}: {cohort} has {number} trays; look at the label again",
                code=tray_code(found.id, found.n),
                cohort=found.id,
                number=count,
            )
        )
    today = today_of(args, season.site.timezone)
    ahead = [task for task in season.tasks if found.id in task.about and task.state == "open"]
    nearest = min(ahead, key=lambda task: (task.date < today, abs((task.date - today).days)), default=None)
    tray = tr("tray {n} of {cohort}, {variety}", n=found.n, cohort=cohort.id, variety=cohort.variety)
    emit(hanging(f"{tray}; {_next_text(nearest)}"))


def _next_text(task: Task | None) -> str:
    from calendar_tui.season.wording import full_day_text

    if task is None:
        return tr("no open work")
    work = f"{task.id} {chore_text(task.what)}"
    return tr("next {day}: {work}", day=full_day_text(task.date), work=work)


_BY_KIND: Mapping[str, Callable[[argparse.Namespace, Path, Season, Scanned], None]] = {
    TASK: _tick,
    BAG: _tell_bag,
    PLOT: _tell_plot,
    TRAY: _tell_tray,
}
