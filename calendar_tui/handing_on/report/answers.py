"""Means with their plots, drawn: how a measure answers to a treatment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.paper.markup import drawing, element
from calendar_tui.handing_on.report.chart import INK, Frame, axes, line

_HIGH = 62.0
_POINT, _MEAN = 0.9, 3.2
# A curve is dashed, so that it is told from the lines of errors.
CURVE = "2 1"


class Answer(NamedTuple):
    """A level: its text, where it lies (None of a word), its mean, from a standard error under it to one over it, and its plots."""

    text: str
    at: float | None
    mean: float
    low: float | None
    high: float | None
    points: tuple[float, ...]


def answers_svg(
    answers: Sequence[Answer], unit: str, title: str, wide: float, curve: Sequence[tuple[float, float]] = ()
) -> str:
    """Open circles are plots, a dash is the mean, its line one standard error up and down. Levels that are numbers lie by their size.

    curve: where the means lie on one, points of it, by the same numbers.
    """
    by_size = all(one.at is not None for one in answers) and len({one.at for one in answers}) == len(answers)
    places = [one.at if by_size and one.at is not None else float(n) for n, one in enumerate(answers)]
    span = (max(places) - min(places)) or 1.0
    found = [
        value for one in answers for value in (*one.points, one.mean, one.low, one.high) if value is not None
    ]
    found += [y for _, y in curve]
    low = 0.0 if min(found) >= 0 else min(found) * 1.1
    frame = Frame(
        min(places) - 0.12 * span, max(places) + 0.12 * span, low, max(found) * 1.08 or 1.0, wide, _HIGH
    )
    inside = list(axes(frame, [(at, one.text) for at, one in zip(places, answers, strict=True)], unit))
    for at, one in zip(places, answers, strict=True):
        inside += _level(frame, at, one)
    if curve:
        inside.append(line(frame, curve, 0.4, CURVE))
    return drawing(title, frame.wide, frame.high, inside)


def _level(frame: Frame, at: float, one: Answer) -> Iterator[str]:
    """Plots of one value lie beside each other."""
    x, beside = frame.x(at), dict[float, int]()
    for value in sorted(one.points):
        n = beside[round(value, 6)] = beside.get(round(value, 6), -1) + 1
        yield element(
            "circle",
            cx=x - 5 - 2 * n * _POINT,
            cy=frame.y(value),
            r=_POINT,
            fill="none",
            stroke=INK,
            stroke_width=0.3,
        )
    if one.low is not None and one.high is not None:
        yield line(frame, [(at, one.low), (at, one.high)], 0.4)
    y = frame.y(one.mean)
    yield element("line", x1=x - _MEAN, y1=y, x2=x + _MEAN, y2=y, stroke=INK, stroke_width=0.9)
