"""How the words of a command are parsed."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from importlib import import_module
from typing import Any, NamedTuple, NoReturn

from calendar_tui import __version__
from calendar_tui.season.refusal import Refusal

PROGRAM, HELP, TODAY_FLAG = "calendar-tui", "help", "--today"
# What is set in the environment in place of the flag.
TODAY = "CALENDAR_TUI_TODAY"
Flags = Mapping[str, dict[str, Any]]
NO_FLAGS: Flags = {}
# Columns where there is no terminal, as in the standard library.
_COLUMNS = 80


class Command(NamedTuple):
    """A row of the table of commands, whose module is loaded only where it is needed.

    module, function: what runs it, a module of this folder and a function in it.
    summary, words, words_help: for its help.
    flags: as argparse takes them; own_flags: whether its module has FLAGS besides, which come first.
    """

    module: str
    function: str
    summary: str
    words: str = ""
    words_help: str = "a season file; may be left out where the folder, or its seasons/, holds just one"
    flags: Flags = NO_FLAGS
    own_flags: bool = False

    def run(self, args: argparse.Namespace) -> int:
        function: Callable[[argparse.Namespace], int] = getattr(self._loaded(), self.function)
        return function(args)

    def all_flags(self) -> Flags:
        return {**self._loaded().FLAGS, **self.flags} if self.own_flags else self.flags

    def _loaded(self) -> Any:
        return import_module(f"calendar_tui.commands.{self.module}")


class _Version(argparse.Action):
    """Print the version and end."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        print(f"{PROGRAM} {__version__}")
        parser.exit()


class _Parser(argparse.ArgumentParser):
    """A parser that reads how its command is called only where it tells it."""

    def __init__(self, name: str, commands: Mapping[str, Command]) -> None:
        # A usage that is there already is not made for each parsing.
        super().__init__(
            prog=f"{PROGRAM} {name}".strip(), usage=PROGRAM, formatter_class=_in_terminal, allow_abbrev=False
        )
        self._name, self._commands = name, commands

    def error(self, message: str) -> NoReturn:
        """Name the nearest option where one is not known."""
        words = message.partition("unrecognized arguments: ")[2].split()
        unknown = next((word.partition("=")[0] for word in words if word.startswith("--")), "")
        if unknown:
            from calendar_tui.season.readers import near

            told = (action for action in self._actions if action.help != argparse.SUPPRESS)
            message += near(unknown, [option for action in told for option in action.option_strings])
        super().error(message)

    def format_usage(self) -> str:
        self._read_usages()
        return super().format_usage()

    def format_help(self) -> str:
        self._read_usages()
        return super().format_help()

    def _read_usages(self) -> None:
        from calendar_tui.commands.usages import all_usages

        width = _columns() - 2
        usages = all_usages()[self._name]
        self.usage = "\n       ".join(
            line for words in usages.does for line in _usage_lines(f"%(prog)s {words}", width, self.prog)
        )
        about = _about(self._commands[self._name].summary) if self._name else _overview(self._commands)
        self.description = "\n".join([about, *_ways(usages.does, width)])


def _usage_lines(usage: str, width: int, prog: str) -> list[str]:
    """A usage in lines below "usage: "; what goes on is set in."""
    import textwrap

    room = width - len("usage: ") - len(prog) + len("%(prog)s")
    return textwrap.wrap(
        usage, room, subsequent_indent="    ", break_long_words=False, break_on_hyphens=False
    )


def _ways(does: Mapping[str, str], width: int) -> Iterator[str]:
    """What each way of calling a command does, below its words where there are several."""
    import textwrap

    for words, text in does.items():
        yield ""
        if len(does) > 1:
            yield from textwrap.wrap(words, width, subsequent_indent="    ", break_on_hyphens=False)
        indent = "  " if len(does) > 1 else ""
        yield from textwrap.wrap(
            text, width, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
        )


def command_of(words: Sequence[str], commands: Mapping[str, Command]) -> tuple[str, list[str]]:
    """The command among the words, "" for none, and the other words; options may stand before it.

    `help` and a command are that command's --help. Raises Refusal where it is none.
    """
    at = 0
    while at < len(words) and words[at].startswith("-"):
        at += 2 if words[at] == TODAY_FLAG or _takes_value(words[at], commands) else 1
    named = words[at] if at < len(words) else ""
    if named == HELP:
        return _helped(words[at + 1 :], commands), ["--help"]
    return (named, [*words[:at], *words[at + 1 :]]) if named in commands else ("", list(words))


def with_values(words: Sequence[str], flags: Flags) -> list[str]:
    """The words as argparse takes them. A unit behind a blank joins the number of days of its flag: "--later", "2 weeks";
    what begins with a number below zero, such as -34.3,-56.7, is no flag: it joins the one that takes it, and by itself, such
    as -3d, has a blank behind it, by which argparse knows a word; `words_typed` takes it off.
    """
    joined: list[str] = []
    for word in words:
        if _ends_in_days(joined, flags) and _is_unit(word):
            joined[-1] = f"{joined[-1]} {word}"
        elif word[:1] == "-" and word[1:2].isdecimal():
            if joined and takes_word(joined[-1], flags):
                joined[-1] = f"{joined[-1]}={word}"
            else:
                joined.append(f"{word} ")
        else:
            joined.append(word)
    return joined


def words_typed(words: Sequence[str]) -> list[str]:
    """The words behind a command as they were typed, of those that `with_values` made."""
    return [word.rstrip(" ") if word.startswith("-") else word for word in words]


def takes_word(flag: str, flags: Flags) -> bool:
    """Whether a flag of a command takes the word behind it."""
    return flags.get(flag, {"action": "store_true"}).get("action") != "store_true"


def _is_unit(word: str) -> bool:
    from calendar_tui.season.date_words import UNIT_DAYS, plain_date_text

    return plain_date_text(word) in UNIT_DAYS


def _ends_in_days(words: Sequence[str], flags: Flags) -> bool:
    """Whether the last of the words is a number behind a flag that takes days."""
    flag, _, number = "=".join(words[-2:]).rpartition("=")
    days = flags.get(flag.rpartition("=")[2], NO_FLAGS).get("metavar") == "DAYS"
    return days and number.lstrip("+-").isdecimal()


def _takes_value(flag: str, commands: Mapping[str, Command]) -> bool:
    """Whether a flag, of whichever command, takes the word behind it."""
    if flag in ("--help", "-h", "--version"):
        return False
    with_it = (options for c in commands.values() for name, options in c.all_flags().items() if name == flag)
    return any(options.get("action") != "store_true" for options in with_it)


def _helped(words: Sequence[str], commands: Mapping[str, Command]) -> str:
    name = next(iter(words), "")
    if name not in commands:
        raise Refusal(f'"{name}" is no command{nearest_command(name, filter(None, commands))}')
    return name


def nearest_command(word: str, commands: Iterable[str]) -> str:
    """What ends a sentence about a word that is no command: the one that is close, if any, and where all are listed."""
    from calendar_tui.season.readers import near

    return f"{near(word, commands) or '.'} All commands: {PROGRAM} {HELP}"


def parser_of(name: str, commands: Mapping[str, Command]) -> argparse.ArgumentParser:
    """The parser of the words of a command; "" is the program without one, whose help lists all the others."""
    command = commands[name]
    parser = _Parser(name, commands)
    parser.add_argument("words", nargs="*", metavar=command.words or "SEASON", help=command.words_help)
    parser.add_argument(
        TODAY_FLAG, metavar="DATE", help=f"take this date, such as 2026-12-08, as today (or set {TODAY})"
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and exit")
    flags = command.all_flags()
    for flag, options in flags.items():
        parser.add_argument(flag, **options)
    if "--json" not in flags:
        parser.set_defaults(json=False)
    return parser


def _columns() -> int:
    """The columns of the terminal. As `shutil.get_terminal_size`, which is slow to import."""
    set_by_hand = os.environ.get("COLUMNS", "")
    if set_by_hand.isdecimal() and int(set_by_hand) > 0:
        return int(set_by_hand)
    try:
        columns = os.get_terminal_size(sys.__stdout__.fileno()).columns if sys.__stdout__ else 0
    except (OSError, ValueError):  # closed, or no terminal
        columns = 0
    return columns or _COLUMNS


def _about(summary: str) -> str:
    import textwrap

    return textwrap.fill(summary, _columns() - 2)


def _in_terminal(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, width=_columns() - 2)


def _overview(commands: Mapping[str, Command]) -> str:
    """What the program is, and a row for each command, in lines as wide as argparse makes the rest of a help."""
    import textwrap

    width = _columns() - 2
    names = max(map(len, commands))
    rows = [f"  {name:<{names}} {command.summary}" for name, command in commands.items() if name]
    below = " " * (names + 3)
    wrapped = [
        line
        for row in rows
        for line in textwrap.wrap(row, width, subsequent_indent=below, break_on_hyphens=False)
    ]
    return "\n".join([_about(commands[""].summary), "", "commands (each has --help):", *wrapped])
