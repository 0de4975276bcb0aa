"""Fills that differ by how they are drawn, for printers without colour: lines and dots, cut to their box.

Each line is drawn by itself: browsers print the pattern fills of SVG as pictures, at megabytes a page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from calendar_tui.handing_on.paper.markup import element


class Box(NamedTuple):
    """Left, top, width and height, mm."""

    x: float
    y: float
    wide: float
    high: float


class Fill(NamedTuple):
    """tint: light enough for letters in any grey; strokes: what is drawn over it, as the path of an SVG."""

    tint: str
    strokes: Callable[[Box], Iterator[str]]
    ink: str = "#333"
    width: float = 0.22


def _steps(begin: float, length: float, every: float) -> Iterator[float]:
    """From half a step on; counted from zero, so that boxes side by side match."""
    at = (begin // every + 0.5) * every
    while at < begin + length:
        if at > begin:
            yield at
        at += every


def _plain(box: Box) -> Iterator[str]:
    return iter(())


def _dots(box: Box) -> Iterator[str]:
    for n, y in enumerate(_steps(box.y, box.high, 1.3)):
        for x in _steps(box.x + n % 2, box.wide - n % 2, 2.0):
            yield f"M{x:.2f} {y:.2f}h.01"


def _level(box: Box) -> Iterator[str]:
    for y in _steps(box.y, box.high, 0.9):
        yield f"M{box.x:.2f} {y:.2f}h{box.wide:.2f}"


def _upright(box: Box) -> Iterator[str]:
    for x in _steps(box.x, box.wide, 1.4):
        yield f"M{x:.2f} {box.y:.2f}v{box.high:.2f}"


def _rising(box: Box) -> Iterator[str]:
    """Lines from lower left to upper right."""
    for foot in _steps(box.x - box.high, box.wide + box.high, 1.8):
        a, b = max(foot, box.x), min(foot + box.high, box.x + box.wide)
        if a < b:
            bottom = box.y + box.high
            yield f"M{a:.2f} {bottom - (a - foot):.2f}L{b:.2f} {bottom - (b - foot):.2f}"


def _falling(box: Box) -> Iterator[str]:
    """Lines from upper left to lower right, closer."""
    for head in _steps(box.x - box.high, box.wide + box.high, 1.2):
        a, b = max(head, box.x), min(head + box.high, box.x + box.wide)
        if a < b:
            yield f"M{a:.2f} {box.y + (a - head):.2f}L{b:.2f} {box.y + (b - head):.2f}"


def _crossed(box: Box) -> Iterator[str]:
    yield from _rising(box)
    yield from _falling(box)


def _netted(box: Box) -> Iterator[str]:
    yield from _level(box)
    yield from _upright(box)


FILLS: Mapping[str, Fill] = {
    "nursery": Fill("#eef6e6", _dots, width=0.5),
    "natural": Fill("#cfe6bb", _plain),
    "lamps": Fill("#ffeaa3", _level),
    "run": Fill("#e3f2f7", _rising),
    "induced": Fill("#ddcfea", _falling),
    "flower": Fill("#e4b9d6", _crossed),
    "drying": Fill("#f6f6f6", _upright),
    "covers": Fill("#5a5a5a", _netted, ink="#fff"),
}


def filled(name: str, box: Box) -> str:
    """A framed box with this fill, a key of FILLS."""
    fill = FILLS[name]
    frame = element(
        "rect",
        x=box.x,
        y=box.y,
        width=box.wide,
        height=box.high,
        fill=fill.tint,
        stroke="#000",
        stroke_width=0.2,
    )
    strokes = "".join(fill.strokes(box))
    if not strokes:
        return frame
    drawn = element(
        "path", d=strokes, stroke=fill.ink, stroke_width=fill.width, stroke_linecap="round", fill="none"
    )
    return frame + drawn
