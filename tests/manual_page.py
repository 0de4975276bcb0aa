"""The page of the manual, made of the table of commands, in the macros of man(7)."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from calendar_tui.commands.parsing import PROGRAM, TODAY, Command
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.usages import all_usages

EXITS = {
    "0": "done",
    "1": "problems found by check, something to settle left by merge, or lines of a laboratory's file that were not read",
    "2": "refused or mistyped; nothing saved",
    "74": "the output could not be written; standard error says what was saved",
    "130": "stopped by Ctrl+C",
}
ENVIRONMENT = {
    TODAY: "taken as today in place of the date at the site, such as 2026-12-08",
    "CALENDAR_TUI_DATES": "day-first or month-first: which of two numbers in a date is the day",
    "NO_COLOR": "where set, the full screen has no colours",
    "COLUMNS": "how wide lines may be",
}
FILES = {
    "season.toml": "a season: one site, one growing season. Where a command names none, the only one in the folder, or in its seasons/",
    "season.history.jsonl": "what was changed in it, by whom and when; undo reads it",
}
CAUTIONS = (
    "What the program prints is a plan, and no licensed practice. Electricity in wet houses, pesticides, heat, drying rooms and the law "
    "on hemp have rules of their own where you farm: the label, the code, the authority and the licensed person come first.",
)


def manual_page() -> str:
    """The page, for man -l and for share/man/man1."""
    return "\n".join([*_head(), *_commands(), *_tail(), ""])


def _head() -> Iterator[str]:
    whole = COMMANDS[""]
    yield f'.TH {PROGRAM.upper()} 1 "" "" "Crop calendar"'
    yield from (".SH NAME", f"{_text(PROGRAM)} \\- {_text(_first_small(whole.summary.partition('.')[0]))}")
    yield from (".SH SYNOPSIS", f".B {_text(PROGRAM)}", _marked("[OPTION ...] [SEASON]"))
    yield from (".br", f".B {_text(PROGRAM)}", _marked("COMMAND [OPTION ...] [WORD ...]"))
    yield from (".SH DESCRIPTION", _text(whole.summary))
    yield ".PP"
    yield "A season may be left out where the folder, or its seasons/, holds just one."
    yield "Options may stand before the command or behind it."
    yield ".SH OPTIONS"
    yield from _flag("--today", {"metavar": "DATE", "help": f"take this date as today (or set {TODAY})"})
    yield from _flag("--help", {"help": "what the program or the command does"})
    yield from _flag("--version", {"help": "print the version"})
    yield from _flags(whole)


def _commands() -> Iterator[str]:
    yield ".SH COMMANDS"
    for name, usages in all_usages().items():
        if name:
            yield f".SS {_text(name)}"
            if name in COMMANDS:
                yield _text(f"{_first_large(COMMANDS[name].summary)}.")
            for words, does in usages.does.items():
                yield from (
                    ".TP",
                    f"\\fB{_text(f'{PROGRAM} {name}')}\\fR {_marked(words)}".strip(),
                    _text(f"{does}."),
                )
            if name in COMMANDS:
                yield from _flags(COMMANDS[name])


def _tail() -> Iterator[str]:
    for heading, rows in (("EXIT STATUS", EXITS), ("ENVIRONMENT", ENVIRONMENT), ("FILES", FILES)):
        yield f".SH {heading}"
        for name, what in rows.items():
            yield from (".TP", f".B {_text(name)}", _text(what))
    yield ".SH CAUTIONS"
    yield from map(_text, CAUTIONS)


def _flags(command: Command) -> Iterator[str]:
    for flag, options in command.all_flags().items():
        if options.get("help") != argparse.SUPPRESS:
            yield from _flag(flag, options)


def _flag(flag: str, options: dict[str, str]) -> Iterator[str]:
    takes = options.get("action", "store") in ("store", "append") and (
        "metavar" in options or "choices" in options
    )
    value = options.get("metavar") or "|".join(options.get("choices", ()))
    yield ".TP"
    yield f"\\fB{_text(flag)}\\fR" + (f" \\fI{_text(value)}\\fR" if takes else "")
    yield _text(options["help"].replace("%%", "%"))


def _marked(words: str) -> str:
    """Words of a form, those that stand for others in italics."""
    return " ".join(
        f"\\fI{_text(word)}\\fR" if word.strip("[]").isupper() else _text(word) for word in words.split()
    )


def _text(words: str) -> str:
    """Words as roff takes them: no backslash steers, no line begins as a request, a hyphen can be searched and copied."""
    plain = words.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{plain}" if plain[:1] in (".", "'") else plain


def _first_small(words: str) -> str:
    return words[:1].lower() + words[1:]


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]
