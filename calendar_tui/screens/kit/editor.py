"""The editor a person has set, and how it is told a file and a line of it."""

from __future__ import annotations

import shlex
import shutil
from collections.abc import Mapping
from pathlib import PurePath

# How editors take a line, by the name of their program; any other is given the file alone.
_PLUS = ("+{line}", "{file}")
_COLON = ("{file}:{line}",)
_GOTO = ("--wait", "--goto", "{file}:{line}")
_TAKES: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(("vi", "vim", "nvim", "view", "ex", "nano", "pico", "emacs", "emacsclient"), _PLUS),
    **dict.fromkeys(("micro", "kak", "joe", "jed", "mg", "ne", "mcedit", "jove", "zile"), _PLUS),
    **dict.fromkeys(("hx", "helix", "subl", "zed"), _COLON),
    **dict.fromkeys(("code", "codium"), _GOTO),
}
SETTINGS = ("VISUAL", "EDITOR")
# Looked for in turn where none is set.
USUAL = ("nano", "vi")


def editor_set(environment: Mapping[str, str]) -> str:
    """The editor of the environment, with its options; else a usual one that is installed; "" where there is none."""
    given = (environment.get(name, "").strip() for name in SETTINGS)
    return next(filter(None, given), "") or next(filter(shutil.which, USUAL), "")


def editor_command(editor: str, file: str, line: int) -> list[str]:
    """The command that opens a file at a line, from 1. Raises ValueError where the editor's quotes do not close."""
    words = shlex.split(editor)
    takes = _TAKES.get(PurePath(words[0]).name.removesuffix(".exe"), ("{file}",))
    return [*words, *(part.format(file=file, line=max(line, 1)) for part in takes)]
