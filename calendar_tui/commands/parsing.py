"""How the words of a command are parsed."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from calendar_tui.commands.command_input import TODAY


class Command(NamedTuple):
    """A row of the table of commands. summary, words, words_help: for its help; flags: as argparse takes them."""

    run: Callable[[argparse.Namespace], int]
    summary: str
    words: str = ""
    words_help: str = "a season file; may be left out where the folder, or its seasons/, holds just one"
    flags: Mapping[str, dict[str, Any]] = {}


def parser_of(name: str, commands: Mapping[str, Command]) -> argparse.ArgumentParser:
    """The parser of the words of a command; "" is the program without one, whose help lists all the others."""
    command = commands[name]
    wide = max(map(len, commands))
    rows = "\n".join(f"  {n:<{wide}} {c.summary}" for n, c in commands.items() if n)
    parser = argparse.ArgumentParser(
        prog=f"calendar-tui {name}".strip(),
        description=command.summary if name else f"{command.summary}\n\ncommands (each has --help):\n{rows}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("words", nargs="*", metavar=command.words or "SEASON", help=command.words_help)
    parser.add_argument(
        "--today", metavar="DATE", help=f"take this date, such as 2026-12-08, as today (or set {TODAY})"
    )
    for flag, options in command.flags.items():
        parser.add_argument(flag, **options)
    if "--json" not in command.flags:
        parser.set_defaults(json=False)
    return parser
