"""How the words of a command are parsed."""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from calendar_tui.commands.command_input import TODAY
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

PROGRAM, HELP, TODAY_FLAG = "calendar-tui", "help", "--today"


class Command(NamedTuple):
    """A row of the table of commands. summary, words, words_help: for its help; flags: as argparse takes them."""

    run: Callable[[argparse.Namespace], int]
    summary: str
    words: str = ""
    words_help: str = "a season file; may be left out where the folder, or its seasons/, holds just one"
    flags: Mapping[str, dict[str, Any]] = {}


class _Version(argparse.Action):
    """Print the version of the installed package and end."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        print(f"{PROGRAM} {version(PROGRAM)}")
        parser.exit()


def command_of(words: Sequence[str], commands: Mapping[str, Command]) -> tuple[str, list[str]]:
    """The command among the words, "" for none, and the other words; options may stand before it.

    `help` and a command are that command's --help. Raises Refusal where it is none.
    """
    with_value = {
        flag for c in commands.values() for flag, options in c.flags.items() if _takes_value(options)
    }
    at = 0
    while at < len(words) and words[at].startswith("-"):
        at += 2 if words[at] in {*with_value, TODAY_FLAG} else 1
    named = words[at] if at < len(words) else ""
    if named == HELP:
        return _helped(words[at + 1 :], commands), ["--help"]
    return (named, [*words[:at], *words[at + 1 :]]) if named in commands else ("", list(words))


def _takes_value(options: Mapping[str, Any]) -> bool:
    return options.get("action") != "store_true"


def _helped(words: Sequence[str], commands: Mapping[str, Command]) -> str:
    name = next(iter(words), "")
    if name not in commands:
        raise Refusal(f'"{name}" is no command{choices(name, filter(None, commands), "Commands")}')
    return name


def parser_of(name: str, commands: Mapping[str, Command]) -> argparse.ArgumentParser:
    """The parser of the words of a command; "" is the program without one, whose help lists all the others."""
    command = commands[name]
    parser = argparse.ArgumentParser(
        prog=f"{PROGRAM} {name}".strip(),
        description=command.summary if name else _overview(commands),
        formatter_class=argparse.HelpFormatter if name else argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("words", nargs="*", metavar=command.words or "SEASON", help=command.words_help)
    parser.add_argument(
        TODAY_FLAG, metavar="DATE", help=f"take this date, such as 2026-12-08, as today (or set {TODAY})"
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and exit")
    for flag, options in command.flags.items():
        parser.add_argument(flag, **options)
    if "--json" not in command.flags:
        parser.set_defaults(json=False)
    return parser


def _overview(commands: Mapping[str, Command]) -> str:
    """What the program is, and a row for each command, in lines as wide as argparse makes the rest of a help."""
    import textwrap

    width = shutil.get_terminal_size().columns - 2
    names = max(map(len, commands))
    rows = [f"  {name:<{names}} {command.summary}" for name, command in commands.items() if name]
    below = " " * (names + 3)
    wrapped = [
        line
        for row in rows
        for line in textwrap.wrap(row, width, subsequent_indent=below, break_on_hyphens=False)
    ]
    about = textwrap.wrap(commands[""].summary, width)
    return "\n".join([*about, "", "commands (each has --help):", *wrapped])
