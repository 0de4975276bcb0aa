"""The command new with --from: next year's season made of one that is there, shown first and then written to a new file."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.commands.command_input import confirmed, emit, named_file, print_json, today_of
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from datetime import date

    from calendar_tui.planning.next_season.making import NextSeason, Wish
    from calendar_tui.planning.plan import Plan
    from calendar_tui.storage.opening import Opened

# Each goes with --from alone.
_ONLY_NEXT: Flags = {
    "--years": {"metavar": "N", "help": "with --from: so many years later, else one"},
    "--seed": {
        "metavar": "N",
        "help": "with --from: any whole number, from which its trials are drawn anew; else today's date, such as 20271104",
    },
    "--with": {
        "dest": "with_",
        "metavar": "SEASON",
        "action": "append",
        "help": "with --from: an earlier season whose records count for the varieties too; may be given several times",
    },
    "--keep-figures": {
        "action": "store_true",
        "help": "with --from: varieties keep their figures, whatever was recorded",
    },
    "--dry-run": {
        "action": "store_true",
        "help": "with --from: show what would be carried over, and write nothing",
    },
    "--json": {"action": "store_true", "help": "with --from: print JSON"},
}
NEXT_FLAGS: Flags = {
    "--from": {
        "dest": "from_",
        "metavar": "SEASON",
        "help": "next year's season made of this file: places, varieties, chores and cohorts carried over, records left behind",
    },
    **_ONLY_NEXT,
}


class Written(NamedTuple):
    """A season to be written: the file, its text, and what was made."""

    path: Path
    text: str
    made: NextSeason


def refuse_next_flags(args: argparse.Namespace) -> None:
    """Raise Refusal for flags that go with --from where that is not given."""
    given = [flag for flag, options in _ONLY_NEXT.items() if getattr(args, _dest(flag, options))]
    if given:
        raise Refusal(
            f"{' and '.join(given)} {'goes' if len(given) == 1 else 'go'} with --from SEASON, the season to carry over"
        )


def _dest(flag: str, options: dict[str, object]) -> str:
    return str(options.get("dest", flag.removeprefix("--").replace("-", "_")))


def next_of(args: argparse.Namespace, path: Path | None, new_file: Callable[[str], Path]) -> int:
    """Show the season that comes of --from, and write it once that is agreed to. path: None for the name proposed.

    new_file: checks the name of a file that is to be made.
    """
    if args.json and not (args.yes or args.dry_run):
        raise Refusal("--json asks nothing: add --dry-run to look, or --yes to make the file")
    wish = _wish(args)
    written = next_written(
        args.from_, path, lambda zone: today_of(args, zone), wish, args.with_ or (), new_file
    )
    if not args.json:
        from calendar_tui.handing_on.words.next_season_text import next_season_text

        emit([f"{written.path}, made of {args.from_}:", *next_season_text(written.made)])
    agreed = not args.dry_run and (args.yes or confirmed(f"Make {written.path}? [y/N] "))
    if agreed:
        write_next(written)
    if args.json:
        from calendar_tui.handing_on.tables.next_season_rows import next_season_row

        print_json(next_season_row(written.made, str(written.path), agreed))
    elif agreed:
        emit([f"Made {written.path}. Open it: calendar-tui {written.path}"])
    else:
        emit([f"{written.path} is not made."])
    return 0


def _wish(args: argparse.Namespace) -> Wish:
    from calendar_tui.planning.next_season.making import Wish

    years = _whole(args.years, "--years", 1)
    seed = None if args.seed is None else _whole(args.seed, "--seed", 0)
    return Wish(years, args.name or "", seed, not args.keep_figures)


def _whole(text: str | None, flag: str, otherwise: int) -> int:
    if text is None:
        return otherwise
    if not (text.isascii() and text.isdecimal() and len(text) <= 12):
        raise Refusal(f'{flag} "{text}" is no whole number of up to 12 digits; write it as {flag} 1')
    return int(text)


def next_written(
    source: str,
    path: Path | None,
    today_at: Callable[[str], date],
    wish: Wish,
    further: Sequence[str],
    new_file: Callable[[str], Path],
) -> Written:
    """The next season of a file as text, checked as any season is. today_at: today in a time zone.

    Raises Refusal, and SeasonFileError where a file is not a sound season.
    """
    from calendar_tui.planning.next_season.making import next_season
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.planning.starting.form import proposed_file
    from calendar_tui.storage.new_season import text_after
    from calendar_tui.storage.opening import need_season, opened_from, sound_season

    if not named_file(source):
        raise Refusal(f'"{source}" is no season file; behind --from stands the season to carry over')
    opened, season = need_season(Path(source))
    today = today_at(season.site.timezone)
    plans = (make_plan(season, today), *_further(opened, further, today_at))
    made = next_season(plans, opened.data, wish, today)
    path = path or new_file(str(opened.path.with_name(proposed_file(made.season.name))))
    _refuse_folder(path)
    text, data = text_after(opened.path, opened.text, opened.data, made.steps)
    sound_season(opened_from(path, text, data))
    return Written(path, text, made)


def _further(opened: Opened, words: Sequence[str], today_at: Callable[[str], date]) -> Iterator[Plan]:
    """The plans of the seasons behind --with, each another file."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    known = {opened.path.resolve()}
    for word in words:
        path = Path(word)
        if not named_file(word):
            raise Refusal(
                f'--with "{word}" is no season file; name an earlier season, such as last-year.toml'
            )
        if path.resolve() in known:
            raise Refusal(f"--with {word} is named twice; each record counts once, so leave it out")
        known.add(path.resolve())
        _, further = need_season(path)
        yield make_plan(further, today_at(further.site.timezone))


def _refuse_folder(path: Path) -> None:
    if not os.access(path.parent, os.W_OK):
        raise Refusal(f"nothing can be written in {path.parent}; name a file in another folder")


def write_next(written: Written) -> None:
    """Write the new file. Raises SeasonFileError where it is there by now, or cannot be written."""
    from calendar_tui.storage.new_season import write_new

    write_new(written.path, written.text)
    note_saved(f"made {written.path}")
