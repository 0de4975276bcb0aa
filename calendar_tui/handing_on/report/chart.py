"""Drawings of the growers' page: a frame in mm with its axes; nothing in them is told by colour alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.paper.markup import element, fitted, label

INK, PALE = "#000", "#777"
TEXT = 3.2
_LEFT, _TOP, _BELOW = 16.0, 3.0, 12.0
# Of the texts below an axis: the least width, and from line to line.
_LEAST, _LINE = 10.0, 4.0


class Frame(NamedTuple):
    """From values to mm of a drawing `wide` and `high` mm large. x: from first to last; y: from low to top."""

    first: float
    last: float
    low: float
    top: float
    wide: float
    high: float

    def x(self, value: float) -> float:
        share = (value - self.first) / (self.last - self.first)
        return _LEFT + share * (self.wide - _LEFT - 2)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.top - self.low)
        return self.foot - min(max(share, 0.0), 1.0) * (self.foot - _TOP)

    @property
    def foot(self) -> float:
        return self.high - _BELOW


def line(
    frame: Frame, points: Sequence[tuple[float, float]], width: float, dash: str = "", stroke: str = INK
) -> str:
    path = " ".join(f"{frame.x(x):.2f},{frame.y(y):.2f}" for x, y in points)
    return element(
        "polyline", points=path, fill="none", stroke=stroke, stroke_width=width, stroke_dasharray=dash or None
    )


def axes(frame: Frame, ticks: Sequence[tuple[float, str]], unit: str) -> Iterator[str]:
    """Both axes: ticks of x with their texts, in lines, those of y at round figures."""
    yield line(frame, [(frame.first, frame.top), (frame.first, frame.low), (frame.last, frame.low)], 0.3)
    for value in round_figures(frame.low, frame.top):
        yield line(frame, [(frame.first, value), (frame.last, value)], 0.1, "0.5 1", PALE)
        yield label(_LEFT - 1.5, frame.y(value) + 1, f"{value:g}", TEXT, text_anchor="end")
    yield label(0.5, _TOP + 1, unit, TEXT * 0.9)
    room = (frame.wide - _LEFT) / max(len(ticks), 1)
    for value, text in ticks:
        x = frame.x(value)
        yield element("line", x1=x, y1=frame.foot, x2=x, y2=frame.foot + 1, stroke=INK, stroke_width=0.2)
        for n, piece in enumerate(text.split("\n")):
            shown = fitted(piece, max(room, _LEAST), TEXT)
            yield label(x, frame.foot + 4.6 + n * _LINE, shown, TEXT, text_anchor="middle")


def round_figures(low: float, top: float) -> list[float]:
    """Three to eight figures from low to top, a step of 1, 2 or 5 apart."""
    rough = (top - low) / 7
    size = 10.0 ** math.floor(math.log10(rough))
    step = next(size * n for n in (1, 2, 5, 10) if size * n >= rough)
    first = math.ceil(low / step - 1e-9)
    return [round(n * step, 10) for n in range(first, math.floor(top / step + 1e-9) + 1)]
