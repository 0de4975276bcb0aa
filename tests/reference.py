"""The reference pages of docs/, made from the program's tables: `python -m tests.reference` writes them anew."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from pathlib import Path

from calendar_tui.commands.parsing import PROGRAM, Command, parser_of
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.usages import all_usages
from calendar_tui.screens.kit.actions import in_group
from calendar_tui.screens.kit.sections import SECTIONS

DOCS = Path(__file__).parent.parent / "docs"
# Flags that all commands have: told once.
EVERYWHERE = {"--help", "--today", "--version"}

COMMANDS_HEAD = """# Commands

Made from the program's own table by `python -m tests.reference`; `calendar-tui COMMAND --help` and the manual page say the same.

SEASON is a season file; it may be left out where the folder, or its `seasons/`, holds just one. Options may stand before the command,
behind it and among its words. Every command takes `--help`, `--version` and `--today DATE`, which sets another day than the site's date
(as `CALENDAR_TUI_TODAY` in the environment does). Those marked `--json` print for programs. A command that changes the season shows first
what would move; `--dry-run` only looks, `--yes` does not ask. How dates are typed, how tasks are chosen by other things than their ids, and what the
exit status says: [daily work](daily-work.md#in-commands).
"""
KEYS_HEAD = """# Keys

Made from the program's own table by `python -m tests.reference`; `?` on the full screen tells the same, those of the view that is open first,
with the keys that you have set for yourself ([settings](settings.md)). How the screen is used: [the full screen](full-screen.md).
"""


def commands_page() -> str:
    """docs/commands.md."""
    parts = [COMMANDS_HEAD]
    for name, usages in all_usages().items():
        parts.append(f"## {PROGRAM} {name}".rstrip() + "\n")
        if name in COMMANDS:
            parts.append(_sentence(COMMANDS[name].summary) + "\n")
        for words, does in usages.does.items():
            parts.append(f"`{' '.join(filter(None, (PROGRAM, name, words)))}`: {does}.\n")
        if usages.page:
            parts.append(f"More: [{_page_name(usages.page)}]({usages.page}).\n")
        if name in COMMANDS:
            parts.extend(_flags(name, COMMANDS))
    return "\n".join(parts)


def _flags(name: str, commands: Mapping[str, Command]) -> Iterator[str]:
    actions = parser_of(name, commands)._actions
    rows = [
        f"| `{', '.join(action.option_strings)}{_value(action)}` | {_escaped(action.help or '')} |"
        for action in actions
        if action.option_strings
        and action.help is not argparse.SUPPRESS
        and not EVERYWHERE & {*action.option_strings}
    ]
    if rows:
        yield "\n".join(["| option | does |", "| --- | --- |", *rows]) + "\n"


def _value(action: argparse.Action) -> str:
    if action.nargs == 0:
        return ""
    return f" {action.metavar or action.dest.upper()}"


def _escaped(text: str) -> str:
    return text.replace("%%", "%").replace("|", "\\|")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _page_name(page: str) -> str:
    path, _, anchor = page.partition("#")
    return (anchor or path.removesuffix(".md")).replace("-", " ")


def keys_page() -> str:
    """docs/keys.md."""
    parts = [KEYS_HEAD]
    for _, title, groups in SECTIONS:
        rows = [
            f"| `{_escaped(key.shown)}` | {_escaped(key.text)} |" for key in in_group(*groups) if key.text
        ]
        parts.append(f"## {title}\n")
        parts.append("\n".join(["| key | does |", "| --- | --- |", *rows]) + "\n")
    return "\n".join(parts)


PAGES = {"commands.md": commands_page, "keys.md": keys_page}


def main() -> None:
    for name, made in PAGES.items():
        (DOCS / name).write_text(made(), encoding="utf-8")
        print(f"docs/{name}")


if __name__ == "__main__":
    main()
