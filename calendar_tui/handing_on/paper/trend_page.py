"""The trends of a season on paper: a page a lot, with the plot as a drawing, what it tells, and its results by date."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, drawing, element, escaped, label, page
from calendar_tui.handing_on.words.trend_plot import dips_of, scale_of, step_days
from calendar_tui.handing_on.words.trend_text import head_text, results_table, sentences
from calendar_tui.nature.cannabinoid_trend.results import Result
from calendar_tui.nature.cannabinoid_trend.trend import DayBand, PositionTrend, Trend
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.trend import CohortTrend, position_of, trend_of
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.wording import day_text

_CSS = (
    "body { margin: 0; font-size: 10pt } section { break-after: page } section:last-child { break-after: auto } "
    "svg { display: block; max-width: 100%; height: auto } h1 { font-size: 13pt } h2 { font-size: 11pt; break-after: avoid } pre { font-family: monospace; font-size: 8pt } "
    "p { margin: 0.3em 0 } text { unicode-bidi: isolate }"
)
_HIGH, _LEFT, _BELOW, _TEXT = 120.0, 16.0, 16.0, 3.2  # mm
# The drawing of CBD is so high, and its scale goes so far over what is in it, so that the ratios stand free.
_LOW, _ABOVE = 70.0, 1.25
_POINT = 1.3
_CURVE, _RESULT, _LIMIT, _TODAY = "#9ecae1", "#e8e8e8", "#b00000", "#555"
_LEGEND = (
    "Dark band: where the crop lies, 90 in 100; pale band: where a new result would lie, 90 in 100; line: likely. "
    "Filled: results of this position, with a tail where lower than the one before, crossed where odd; open: other positions. "
    "Arrows: the limit is reached with nothing taken off (earliest, likely, latest)."
)


class _Frame(NamedTuple):
    """From days and % to mm of the drawing, `wide` and `high` large."""

    first: float
    last: float
    top: float
    wide: float
    high: float = _HIGH

    @property
    def foot(self) -> float:
        """Where the axis of days is drawn."""
        return self.high - _BELOW

    def x(self, day: float) -> float:
        return _LEFT + (day - self.first) / (self.last - self.first) * (self.wide - _LEFT)

    def y(self, value: float) -> float:
        return (1 - min(value / self.top, 1.0)) * self.foot


def sampled_lots(plan: Plan) -> tuple[str, ...]:
    """The lots with results, in the order of the season."""
    sampled = {one.sample.cohort for one in plan.results.used}
    lots = (lot.id for name in plan.season.cohorts for lot in lots_of_cohort(plan.season, name))
    return tuple(name for name in lots if trend_of(plan, name).cohort in sampled)


def trend_pages(plan: Plan, paper: str = "iso") -> bytes:
    """A page a lot with results; paper: a key of SHEET_PAPERS."""
    sheet = SHEET_PAPERS[paper]
    body = [_section(trend_of(plan, name), sheet.inner[0]) for name in sampled_lots(plan)]
    return page(f"{plan.season.name}: trends of total THC", sheet, _CSS, body)


def _section(shown: CohortTrend, wide: float) -> str:
    position = shown.thc.deciding or "top"
    own = position_of(shown.thc, position)
    drawn = "" if own is None else trend_svg(shown, own, wide)
    beside = "" if own is None else cbd_svg(shown, own, wide)
    told = [element("p", escaped(sentence)) for sentence in sentences(shown, position)]
    table = "\n".join(results_table(shown, position)) if shown.used else ""
    return element(
        "section",
        element("h1", escaped(head_text(shown, position))),
        drawn,
        element("p", escaped(_LEGEND)),
        *told,
        *(
            [element("h2", escaped(f"Total CBD, {position}; above it CBD : THC of each cut")), beside]
            if beside
            else ()
        ),
        element("pre", "\n".join(escaped(line) for line in table.splitlines())),
    )


def trend_svg(shown: CohortTrend, own: PositionTrend, wide: float) -> str:
    """The plot as SVG, `wide` mm; nothing in it is told by colour alone."""
    scale = scale_of(shown, own, 80, 20)
    frame = _Frame(scale.first, scale.last, scale.top, wide)
    inside = (
        *_bands(frame, own.days),
        *_axes(frame, shown),
        *_limit(frame, shown, own),
        *_today(frame, shown),
        *_steps(frame, own),
        *_points(frame, shown.thc, own),
    )
    return drawing(head_text(shown, own.position), frame.wide, frame.high, inside)


def cbd_svg(shown: CohortTrend, thc: PositionTrend, wide: float) -> str:
    """Total CBD of the position of a trend, on the same days, with CBD : THC above each cut; "" without results of it."""
    own = position_of(shown.cbd, thc.position)
    if own is None or not own.points:
        return ""
    scale = scale_of(shown, thc, 80, 20)
    tops = [point.high for one in shown.cbd.positions for point in one.points]
    tops += [min(band.high, 2 * band.likely) for band in own.days]
    frame = _Frame(scale.first, scale.last, max(tops) * _ABOVE, wide, _LOW)
    inside = (
        *_bands(frame, own.days),
        *_axes(frame, shown),
        *_today(frame, shown),
        *_points(frame, shown.cbd, own),
        *_ratios(frame, shown, own.position),
    )
    title = f"{shown.lot}, {own.position}: total CBD, and CBD : THC by week"
    return drawing(title, frame.wide, frame.high, inside)


def _ratios(frame: _Frame, shown: CohortTrend, position: str) -> Iterator[str]:
    """CBD : THC of each cut, exact figures only, in a row over the points."""
    ratios = {
        one.day: one.figures.ratio
        for one in shown.used
        if one.sample.position == position and one.figures.ratio is not None
    }
    for day, ratio in ratios.items():
        yield label(frame.x(day), _TEXT, f"{ratio:.1f} : 1", _TEXT, text_anchor="middle")


def _bands(frame: _Frame, days: Sequence[DayBand]) -> Iterator[str]:
    if not days:
        return
    result = [(band.day, band.result_low, band.result_high) for band in days]
    curve = [(band.day, band.low, band.high) for band in days]
    for rows, fill, dash in ((result, _RESULT, "1 1"), (curve, _CURVE, None)):
        corners = [(day, high) for day, _, high in rows] + [(day, low) for day, low, _ in reversed(rows)]
        yield element(
            "polygon",
            points=_path(frame, corners),
            fill=fill,
            stroke="#555",
            stroke_width=0.2,
            stroke_dasharray=dash,
        )
    likely = [(band.day, band.likely) for band in days]
    yield element("polyline", points=_path(frame, likely), fill="none", stroke="#000", stroke_width=0.5)


def _path(frame: _Frame, corners: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{frame.x(day):.2f},{frame.y(value):.2f}" for day, value in corners)


def _line(x1: float, y1: float, x2: float, y2: float, stroke: str, width: float, dash: str = "") -> str:
    return element(
        "line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, stroke_dasharray=dash or None
    )


def _axes(frame: _Frame, shown: CohortTrend) -> Iterator[str]:
    foot = frame.foot
    yield _line(_LEFT, foot, frame.wide, foot, "#000", 0.3)
    yield _line(_LEFT, 0, _LEFT, foot, "#000", 0.3)
    step = next(size for size in (0.05, 0.1, 0.25, 0.5, 1, 5, 25) if frame.top / size <= 10)
    for at in range(1, int(frame.top / step) + 1):
        value = at * step
        yield _line(_LEFT - 1, frame.y(value), _LEFT, frame.y(value), "#000", 0.2)
        yield label(_LEFT - 2, frame.y(value) + 1, f"{value:.2f} %", _TEXT, text_anchor="end")
    every = 7 * max(1, round((frame.last - frame.first) / 7 / 9))
    day = frame.first + 3
    while day <= frame.last:
        on = shown.on(day)
        yield _line(frame.x(day), foot, frame.x(day), foot + 1, "#000", 0.2)
        if on is not None and frame.x(day) < frame.wide - 5:
            yield label(frame.x(day), foot + 5, day_text(on), _TEXT, text_anchor="middle")
            yield label(
                frame.x(day), foot + 9, f"day {day:g}", _TEXT * 0.8, text_anchor="middle", fill=_TODAY
            )
        day += every


def _limit(frame: _Frame, shown: CohortTrend, own: PositionTrend) -> Iterator[str]:
    if shown.limit is None:
        return
    y = frame.y(shown.limit)
    yield _line(_LEFT, y, frame.wide, y, _LIMIT, 0.6, "3 1")
    yield label(_LEFT + 1, y - 1, f"limit {shown.limit:g} %", _TEXT, fill=_LIMIT)
    foot = frame.foot
    for at, (day, names) in enumerate(_reached(own).items() if shown.cut is None else ()):
        if frame.first <= day <= frame.last:
            x = frame.x(day)
            yield element("path", d=f"M{x:.2f} {foot - 4:.2f}l1.5 4h-3z", fill=_LIMIT)
            yield label(x, foot - 5 - 4 * at, ", ".join(names), _TEXT, text_anchor="middle", fill=_LIMIT)


def _reached(own: PositionTrend) -> dict[int, list[str]]:
    """What the limit's days are called, by day."""
    by_day: dict[int, list[str]] = {}
    for name, day in zip(("earliest", "likely", "latest"), (own.limit_days or ())[1:], strict=False):
        if day is not None:
            by_day.setdefault(int(day), []).append(name)
    return by_day


def _steps(frame: _Frame, own: PositionTrend) -> Iterator[str]:
    """Where another laboratory begins: a line before its first bag."""
    for day, laboratory in step_days(own).items():
        x = frame.x(day)
        yield _line(x, 8, x, frame.foot, _TODAY, 0.3, "4 2")
        yield label(x + 1, 11, f"laboratory: {laboratory}", _TEXT, fill=_TODAY)


def _today(frame: _Frame, shown: CohortTrend) -> Iterator[str]:
    day = shown.today_day
    if day is not None and frame.first <= day <= frame.last:
        yield _line(frame.x(day), 0, frame.x(day), frame.foot, _TODAY, 0.3, "1 1")
        yield label(frame.x(day) + 1, 3, "today", _TEXT, fill=_TODAY)


def _points(frame: _Frame, of: Trend, own: PositionTrend) -> Iterator[str]:
    for one in of.positions:
        for point in one.points if one.position != own.position else ():
            yield _dot(frame, point, fill="#fff")
    dips = dips_of(own.points)
    odd = {one.result for one in own.odd}
    for point in own.points:
        x, y = frame.x(point.day), frame.y((point.low + point.high) / 2)
        if point.low < point.high:
            yield _line(x, frame.y(point.low), x, frame.y(point.high), "#000", 0.4)
        if point in dips:
            yield element("path", d=f"M{x:.2f} {y + 3.6:.2f}l1.3 -2.6h-2.6z", fill="#000")
        if point in odd:
            yield element(
                "path",
                d=f"M{x - 2.2:.2f} {y - 2.2:.2f}l4.4 4.4m0 -4.4l-4.4 4.4",
                stroke="#000",
                stroke_width=0.5,
            )
        yield _dot(frame, point, fill="#000")


def _dot(frame: _Frame, point: Result, fill: str) -> str:
    y = frame.y((point.low + point.high) / 2)
    return element(
        "circle", cx=frame.x(point.day), cy=y, r=_POINT, fill=fill, stroke="#000", stroke_width=0.3
    )
