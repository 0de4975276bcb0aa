"""The commands that print what a shell takes up: its completion of commands, and the page of the manual."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from calendar_tui.commands.candidates import SHELLS
from calendar_tui.commands.command_input import refuse_extra_words
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

FOLDER = Path(__file__).parents[1] / "starter" / "shell"
# What each shell's script is called where the shell looks for it by itself.
SCRIPTS = dict(zip(SHELLS, ("calendar-tui.bash", "_calendar-tui", "calendar-tui.fish"), strict=True))
MANUAL = "calendar-tui.1"


def completion(args: argparse.Namespace) -> int:
    shell, *rest = args.words or [""]
    if shell not in SCRIPTS:
        what = f'"{shell}" is no shell that this program completes' if shell else "name the shell"
        raise Refusal(f"{what}{choices(shell, SHELLS, 'Shells')}")
    refuse_extra_words(rest)
    return _print(SCRIPTS[shell])


def manual(args: argparse.Namespace) -> int:
    refuse_extra_words(args.words)
    return _print(MANUAL)


def _print(name: str) -> int:
    sys.stdout.write((FOLDER / name).read_text(encoding="utf-8"))
    return 0
