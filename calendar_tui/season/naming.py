"""Names for new records: the next free one behind another."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator


def next_names(like: str, taken: Collection[str], count: int = 1) -> tuple[str, ...]:
    """So many free names behind one: B4, B5 behind B3; amber-2 behind amber. taken: in any case of letters."""
    known = {name.casefold() for name in taken}
    names: list[str] = []
    behind = _behind(like)
    while len(names) < count:
        name = next(behind)
        if name.casefold() not in known:
            names.append(name)
    return tuple(names)


def _behind(like: str) -> Iterator[str]:
    numbered = re.fullmatch(r"(.*?)(\d+)", like)
    stem, first = (numbered[1], int(numbered[2]) + 1) if numbered else (f"{like}-", 2)
    width = len(numbered[2]) if numbered and numbered[2].startswith("0") else 1
    number = first
    while True:
        yield f"{stem}{number:0{width}d}"
        number += 1
