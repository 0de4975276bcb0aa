"""Square codes (QR, ISO/IEC 18004) for labels, where the library that makes them is installed."""

from __future__ import annotations

from itertools import groupby
from typing import NamedTuple

# The second highest of four levels: a quarter of a code may be lost to dirt and wet.
LEVEL = "q"
# Light modules around a code (ISO/IEC 18004), and how large a module is printed: under 0.4 mm phones fail (common practice).
QUIET = 4
MODULE_MM = 0.5


NO_CODES = "square codes need the extra [labels]: pip install -e '.[labels]' in the folder of the program"


class NoCodes(Exception):
    """The library that makes codes is not installed."""


class SquareCode(NamedTuple):
    """A code of so many modules a side, without its quiet zone. rows: of each row its dark modules, True where dark."""

    version: int
    rows: tuple[tuple[bool, ...], ...]

    @property
    def modules(self) -> int:
        return len(self.rows)

    @property
    def side_mm(self) -> float:
        """With its quiet zone."""
        return (self.modules + 2 * QUIET) * MODULE_MM

    @property
    def path(self) -> str:
        """The dark modules as the path of an SVG, a module being 1, from the corner of the quiet zone."""
        return "".join(
            f"M{x + QUIET} {y + QUIET}h{count}v1h-{count}z"
            for y, row in enumerate(self.rows)
            for x, count in _runs(row)
        )


def _runs(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Where dark modules that follow one another begin, and how many they are."""
    at, runs = 0, []
    for dark, of_run in groupby(row):
        count = len(tuple(of_run))
        if dark:
            runs.append((at, count))
        at += count
    return runs


def square_code(text: str, level: str = LEVEL) -> SquareCode:
    """The code of a text; capitals, digits and dashes, up to 16, fit its smallest version. Raises NoCodes."""
    try:
        import segno
    except ImportError as missing:
        raise NoCodes from missing
    made = segno.make(text, error=level, micro=False, boost_error=False)
    rows = tuple(tuple(bool(module) for module in row) for row in made.matrix)
    return SquareCode(int(made.version), rows)
