"""What a terminal answers when it is asked for its background (OSC 11 of xterm's control sequences), taken out of the keys."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from textual._xterm_parser import XTermParser
from textual.message import Message

ASK_BACKGROUND = "\x1b]11;?\x1b\\"
# Terminals by the beginning of their name that do not answer, and may print the question.
MUTE = ("linux", "vt", "dumb", "cons", "ansi")
# "rgb:" and up to four hexadecimal digits for each of red, green and blue; ended by BEL or ST. The escape may have been
# read alone, before the rest came.
_HEX = "([0-9a-fA-F]{1,4})"
_ANSWER = re.compile(rf"\x1b?\]11;rgba?:{_HEX}/{_HEX}/{_HEX}[^\x07\x1b]*(?:\x07|\x1b\\)")
_BEGUN = re.compile(r"\x1b\](?:1(?:1(?:;[^\x07\x1b]{0,40}\x1b?)?)?)?\Z")
# By the relative luminance of WCAG 2: where black and white have the same contrast.
_MIDDLE = 0.179


class Reader(XTermParser):
    """Textual's reader of keys; `take` gets whether the background is dark."""

    def __init__(self, take: Callable[[bool], None], debug: bool = False) -> None:
        super().__init__(debug)
        self._take_background, self._begun = take, ""

    def feed(self, data: str) -> Iterable[Message]:
        left = self._without_answers(self._begun + data)
        # Nothing at all would mean that no more comes.
        return super().feed(left) if left or not data else ()

    def _without_answers(self, data: str) -> str:
        for answer in _ANSWER.finditer(data):
            self._take_background(luminance(*map(_part, answer.groups())) < _MIDDLE)
        data = _ANSWER.sub("", data)
        begun = _BEGUN.search(data)
        self._begun = "" if begun is None else begun[0]
        return data if begun is None else data[: begun.start()]


def _part(digits: str) -> float:
    """Of a colour, from 0 to 1."""
    return int(digits, 16) / int("f" * len(digits), 16)


def luminance(*parts: float) -> float:
    """The relative luminance of red, green and blue, each from 0 to 1, as WCAG 2.2 defines it."""
    linear = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
