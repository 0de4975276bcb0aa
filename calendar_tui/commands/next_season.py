"""The command new with --from: next year's season made of one that is there, shown first and then written to a new file."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import confirmed, emit, named_file, print_json, today_of
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.next_file import NextFile
    from calendar_tui.planning.next_season.making import Wish
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


def refuse_next_flags(args: argparse.Namespace) -> None:
    """Raise Refusal for flags that go with --from where that is not given."""
    given = [flag for flag, options in _ONLY_NEXT.items() if getattr(args, _dest(flag, options))]
    if given:
        raise Refusal(
            f"{' and '.join(given)} {'goes' if len(given) == 1 else 'go'} with --from SEASON, the season to carry over"
        )


def _dest(flag: str, options: dict[str, object]) -> str:
    return str(options.get("dest", flag.removeprefix("--").replace("-", "_")))


def next_of(args: argparse.Namespace, path: Path | None) -> int:
    """Show the season that comes of --from, and write it once that is agreed to. path: None for the name proposed."""
    if args.json and not (args.yes or args.dry_run):
        raise Refusal("--json asks nothing: add --dry-run to look, or --yes to make the file")
    file = _next_file(args, path)
    if not args.json:
        from calendar_tui.handing_on.words.next_season_text import next_season_text

        emit([f"{file.path}, made of {args.from_}:", *next_season_text(file.new, args.from_)])
    agreed = not args.dry_run and (args.yes or confirmed(f"Make {file.path}?"))
    if agreed:
        from calendar_tui.handing_on.next_file import write_next

        write_next(file)
        note_saved(f"made {file.path}")
    if args.json:
        from calendar_tui.handing_on.tables.next_season_rows import next_season_row

        print_json(next_season_row(file.new, str(file.path), agreed))
    elif agreed:
        emit([f"Made {file.path}. Open it: calendar-tui {file.path}"])
    else:
        emit([f"{file.path} is not made."])
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


def _next_file(args: argparse.Namespace, path: Path | None) -> NextFile:
    """What the flags ask for. Raises Refusal, and SeasonFileError where a file is not a sound season."""
    from calendar_tui.handing_on.next_file import next_file
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    if not named_file(args.from_):
        raise Refusal(f'"{args.from_}" is no season file; behind --from stands the season to carry over')
    wish = _wish(args)
    opened, season = need_season(Path(args.from_))
    today = today_of(args, season.site.timezone)
    plans = (make_plan(season, today), *_further(args, opened))
    return next_file(opened, plans, wish, today, path)


def _further(args: argparse.Namespace, opened: Opened) -> Iterator[Plan]:
    """The plans of the seasons behind --with, each another file."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    known = {opened.path.resolve()}
    for word in args.with_ or ():
        path = Path(word)
        if not named_file(word):
            raise Refusal(
                f'--with "{word}" is no season file; name an earlier season, such as last-year.toml'
            )
        if path.resolve() in known:
            raise Refusal(f"--with {word} is named twice; each record counts once, so leave it out")
        known.add(path.resolve())
        _, further = need_season(path)
        yield make_plan(further, today_of(args, further.site.timezone))
