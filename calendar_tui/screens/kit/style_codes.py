"""How styles change on a terminal (ECMA-48, SGR), in as few bytes as it takes.

Rich ends each style before it begins the next, which on a chart of many colours is a quarter of what is sent.
"""

from __future__ import annotations

import re

_STYLE = re.compile(r"\x1b\[([\d;]*)m")
_MOVE = re.compile(r"(?:\x1b\[[\d;]*[CH])*")
# A colour is one of these codes, or 38 or 48 and what follows it; all others are kept on until a 0.
_INK = re.compile(r"38;5;\d+|38;2;\d+;\d+;\d+|3\d|9\d")
_PAPER = re.compile(r"48;5;\d+|48;2;\d+;\d+;\d+|4\d|10\d")
# What is seen of a style where nothing is written: underlined, reversed, struck through, a ground.
_SEEN_ON_BLANKS = re.compile(rf"4|7|9|{_PAPER.pattern}")
_CODE = re.compile(rf"(?:^|(?<=;))(?:{_INK.pattern}|{_PAPER.pattern}|\d+)(?=;|$)")


def slim(text: str) -> str:
    """The text with each change of style in as few codes as it takes; as drawn the same."""
    now: tuple[str, ...] = ()
    wanted: tuple[str, ...] = ()
    out: list[str] = []
    pieces = _STYLE.split(text)
    for n, piece in enumerate(pieces):
        if n % 2:
            codes = tuple(_CODE.findall(piece))
            wanted = () if codes in ((), ("0",)) else (*wanted, *codes)
            continue
        moves = _MOVE.match(piece)
        begin = moves.end() if moves else 0
        out.append(piece[:begin])  # the cursor goes in any style
        if begin < len(piece) and now != wanted and not _alike_on(piece[begin:], now, wanted):
            out.append(_change(now, wanted))
            now = wanted
        out.append(piece[begin:])
    return "".join([*out, _change(now, ()) if now else ""])


def _alike_on(text: str, now: tuple[str, ...], wanted: tuple[str, ...]) -> bool:
    """Whether a text looks the same in both styles, as blanks do in any ink."""
    return not text.strip(" ") and not any(map(_SEEN_ON_BLANKS.fullmatch, (*now, *wanted)))


def _change(now: tuple[str, ...], wanted: tuple[str, ...]) -> str:
    """What makes one style of another."""
    if not wanted:
        return "\x1b[0m"
    gone, new = [c for c in now if c not in wanted], [c for c in wanted if c not in now]
    if all(_replaced(code, new) for code in gone):
        return f"\x1b[{';'.join(new)}m"
    return f"\x1b[0;{';'.join(wanted)}m"


def _replaced(code: str, new: list[str]) -> bool:
    """Whether a code is taken off by another that is put on: a colour by a colour."""
    return any(kind.fullmatch(code) and any(map(kind.fullmatch, new)) for kind in (_INK, _PAPER))
