"""The frame of a wall chart: its time axis in mm, the day length over it, and what fills and letters mean."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from calendar_tui.handing_on.paper.hatching import Box, filled
from calendar_tui.handing_on.paper.markup import element, fitted, label, width_of
from calendar_tui.language.speaking import marked, tr, tr_in, translated
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.season.records import Variety
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import MONTHS, day_text, hours_text, stage_text

SMALL, BODY = 2.7, 3.4  # mm, heights of letters
_AXIS_HIGH = 9.0
_GREY = "#777"
# More thresholds than these would hide the curve: each is then a stub of so many mm at its right end.
_MOST_LINES, _STUB = 10, 6.0
_WEEK_LEAST = 5.0  # mm a week needs for its Monday's figure


@dataclass(frozen=True, slots=True)
class Frame:
    """The days from `first` to `last` between `left` and `right`, mm from the page's left edge."""

    first: date
    last: date
    left: float
    right: float

    @property
    def day_mm(self) -> float:
        """The width of a day."""
        return (self.right - self.left) / ((self.last - self.first).days + 1)

    def x(self, day: date) -> float:
        """Where a day begins (mm), held inside the axis."""
        return min(max(self.left + (day - self.first).days * self.day_mm, self.left), self.right)

    def middle(self, day: date) -> float:
        """The middle of a day (mm), held inside the axis."""
        return min(max(self.x(day) + self.day_mm / 2, self.left), self.right)

    def holds(self, day: date) -> bool:
        return self.first <= day <= self.last

    def days(self) -> Iterator[date]:
        return (self.first + timedelta(days=n) for n in range((self.last - self.first).days + 1))


def draw_axis(frame: Frame, top: float, y: float, bottom: float, today: date) -> Iterator[str]:
    """Months and Mondays at y, with their lines down to `bottom`; today's from `top`."""
    yield element("rect", x=frame.left, y=y, width=frame.right - frame.left, height=_AXIS_HIGH, fill="#fff")
    free = 0.0
    for day in frame.days():
        x = frame.x(day)
        if day.day == 1 or day == frame.first:
            yield _upright(x, y, bottom, 0.35, "#555")
            yield from _month(frame, day, x, y)
        if day.weekday() == 0:
            yield _upright(x, y + _AXIS_HIGH / 2, bottom, 0.12, "#999")
            if frame.day_mm * 7 >= _WEEK_LEAST or x >= free:
                free = x + _WEEK_LEAST
                yield label(x + 0.4, y + _AXIS_HIGH - 1, str(day.day), SMALL, fill="#333")
    if frame.holds(today):
        x = frame.middle(today)
        yield _upright(x, top, bottom, 0.6, "#000", "2 1")
        yield label(x, bottom + SMALL, tr("made {day}", day=day_text(today)), SMALL, text_anchor="middle")


def _month(frame: Frame, day: date, x: float, y: float) -> Iterator[str]:
    following = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
    room = frame.x(following) - x - 1
    name = tr_in("month", MONTHS[day.month - 1])
    for text in (f"{name} {day.year}", str(day.year) if day.month == 1 else name):
        if width_of(text, BODY) <= room:
            yield label(x + 0.8, y + BODY, text, BODY, font_weight="bold")
            return


def _upright(x: float, y: float, bottom: float, width: float, colour: str, dashes: str | None = None) -> str:
    return element(
        "line", x1=x, x2=x, y1=y, y2=bottom, stroke=colour, stroke_width=width, stroke_dasharray=dashes
    )


# --- the day length


@dataclass(frozen=True, slots=True)
class Hours:
    """Day lengths from `low` at `bottom` to `high` at `top`, mm."""

    low: float
    high: float
    top: float
    bottom: float

    def y(self, hours: float) -> float:
        """Where so many hours stand (mm from the top)."""
        return self.bottom - (hours - self.low) / (self.high - self.low) * (self.bottom - self.top)


def hours_of(plan: Plan, top: float, bottom: float) -> Hours:
    """The scale that holds the natural days and every threshold."""
    hours = [
        *plan.light.natural_h,
        *(h for v in _short_day(plan) for h in (v.critical_day.likely, v.full_response_day.likely)),
    ]
    low, high = floor(min(hours)), ceil(max(hours))
    return Hours(low, max(high, low + 1), top, bottom)


def draw_hours(plan: Plan, frame: Frame, scale: Hours, right: float) -> Iterator[str]:
    """The natural day as a curve, full hours, and the thresholds with their names up to `right`."""
    step = max(1, ceil((scale.high - scale.low) * BODY / (scale.bottom - scale.top)))
    for hour in range(int(scale.low), int(scale.high) + 1, step):
        yield _level(frame.left, frame.right, scale.y(hour), 0.12, "#999")
        yield label(frame.left - 1, scale.y(hour) + SMALL / 3, f"{hour} h", SMALL, text_anchor="end")
    points = " ".join(
        f"{frame.middle(plan.light.first + timedelta(days=n)):.2f},{scale.y(h):.2f}"
        for n, h in enumerate(plan.light.natural_h)
    )
    yield element("polyline", points=points, fill="none", stroke="#000", stroke_width=0.8)
    yield from _thresholds(plan, frame, scale, right)


def _thresholds(plan: Plan, frame: Frame, scale: Hours, right: float) -> Iterator[str]:
    lines = dict[tuple[float, str], list[str]]()
    for variety in _short_day(plan):
        lines.setdefault((variety.critical_day.likely, marked("critical")), []).append(variety.id)
        lines.setdefault((variety.full_response_day.likely, marked("full")), []).append(variety.id)
    left = frame.left if len(lines) <= _MOST_LINES else frame.right - _STUB
    for hours, kind in lines:
        yield _level(
            left, frame.right, scale.y(hours), 0.4, "#000", "3 1.5" if kind == "critical" else "0.6 1.2"
        )
    named = [
        (h, f"{tr(kind)} {hours_text(h)} {', '.join(ids)}")
        for (h, kind), ids in sorted(lines.items(), reverse=True)
    ]
    places = _spread([scale.y(h) for h, _ in named], scale)
    if more := len(named) - len(places):
        named[len(places) - 1] = (named[len(places) - 1][0], tr("and {more} more", more=more + 1))
    for y, (hours, text) in zip(places, named, strict=False):
        yield element(
            "path",
            d=f"M{frame.right:.2f} {scale.y(hours):.2f}l2 {y - scale.y(hours):.2f}",
            stroke=_GREY,
            stroke_width=0.2,
        )
        yield label(frame.right + 2.5, y + SMALL / 3, fitted(text, right - frame.right - 2.5, SMALL), SMALL)


def _spread(wanted: Iterable[float], scale: Hours) -> list[float]:
    """Places for names, from the top, as near as may be to where they are wanted; those beyond the foot are left out."""
    out: list[float] = []
    for y in wanted:
        out.append(max(y, out[-1] + SMALL * 1.2) if out else y)
    over = max(out[-1] - scale.bottom, 0) if out else 0
    while over > 0 and out and out[0] - over < scale.top - SMALL:
        out.pop()
        over = max(out[-1] - scale.bottom, 0) if out else 0
    for n in range(len(out) - 1, -1, -1):
        most = scale.bottom if n == len(out) - 1 else out[n + 1] - SMALL * 1.2
        out[n] = min(out[n], most)
    return out


def _short_day(plan: Plan) -> Iterator[Variety]:
    used = {c.variety for c in plan.season.cohorts.values()}
    return (v for v in plan.season.varieties.values() if v.response == "short-day" and v.id in used)


def _level(left: float, right: float, y: float, width: float, colour: str, dashes: str | None = None) -> str:
    return element(
        "line", x1=left, x2=right, y1=y, y2=y, stroke=colour, stroke_width=width, stroke_dasharray=dashes
    )


# --- what it all means


def draw_legend(width: float, y: float) -> Iterator[str]:
    """Fills, then letters and lines, from the left edge to `width`; width and y in mm."""
    x = 0.0
    for name, text in ((name, translated(text)) for name, text in PHASES.items()):
        yield filled(name, Box(x, y, 9, 3.6))
        yield label(x + 10.5, y + 2.9, text, SMALL)
        x += 15 + width_of(text, SMALL)
    letters = [f"{letter} {stage_text(stage)}" for stage, letter in LETTERS.items()]
    for n, text in enumerate((", ".join([*letters, tr("CAPITAL recorded")]), tr(_SIGNS))):
        yield label(0, y + 8 + n * 4.2, fitted(text, width, SMALL), SMALL)


_SIGNS = marked(
    "Lines under a row: from the earliest to the latest date of flowering (single ends) and of harvest (double ends). "
    "! a night without its lamps. Dashes: day length under which a variety begins to count (critical); dots: full response."
)
