"""Which figure of a variety a recorded date speaks to, and the value of it that would have given that date."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import floor
from typing import Any

from calendar_tui.nature.plant import counts
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.heat import shoot_of
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.stages import likely_response
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.variety_types import with_figures

# The figure that takes the place of one in days where a season runs on heat and the variety gives it.
_IN_HEAT: Mapping[str, str] = {
    "emergence_d": "germination_to_emergence_cd",
    "juvenile_d": "juvenile_cd",
    "induced_to_flowering_d": "induced_to_flowering_cd",
    "emergence_to_flowering_d": "emergence_to_flowering_cd",
}
# What a figure is rounded to: the count to tenths, a day length (h) to the minute, others to whole days or C d.
_STEPS: Mapping[str, int] = {"inductive_days": 10, "critical_day": 60}
# Plants need a count over 0 to be induced.
_LEAST: Mapping[str, float] = {"inductive_days": 0.1}


@dataclass(frozen=True, slots=True)
class Fitted:
    """A figure as one record has it. key: the variety's key; base: the stage it counts from, "" for a day length.

    value: days, C x days, a count of short days, or hours.
    """

    key: str
    base: str
    value: float


def present(variety: Variety, key: str) -> float:
    """The figure as the variety has it, in the unit of its key; the likely one of three."""
    span: Span = getattr(variety, key)
    return span.likely


def rounded(key: str, value: float) -> float:
    """To what the figure is given in: whole days or C d, tenths of a count, minutes of a day length; halves up."""
    steps = _STEPS.get(key, 1)
    return whole(value * steps) / steps


def with_figure(variety: Variety, key: str, value: float, seen: tuple[float, ...] = ()) -> Variety:
    """The variety with this figure, in the unit of its key. Early and late move in proportion, and hold every value that was `seen`."""
    old: Span = getattr(variety, key)
    moved = _with_likely(old, key, value)
    early = max(rounded(key, min(moved.early, value, *seen)), _LEAST.get(key, 0))
    late = rounded(key, max(moved.late, value, *seen))
    wide: dict[str, Any] = {key: Span(min(early, value), value, max(late, value))}
    return with_figures(variety, **wide)


def _with_likely(span: Span, key: str, value: float) -> Span:
    """The span with another likely figure: a day length keeps its width, others are as wide in proportion."""
    if key == "critical_day":
        return Span(*(figure + value - span.likely for figure in span))
    part = value / span.likely if span.likely else 1.0
    return Span(span.early * part, value, span.late * part)


def figure_of(projected: Timeline, light: Light, stage: str, day: date, warm: bool) -> Fitted | None:
    """The figure that a record of this stage on `day` speaks to, or None where no one figure can give that date.

    projected: the cohort laid out without the record. warm: whether its stages run on heat; the value is then a
    first guess, in proportion to the days.
    """
    if stage not in projected.stages:
        return None
    return _FIGURES[stage](projected, light, day, warm)


def scaled(fitted: Fitted, took_d: int, wanted_d: int) -> Fitted | None:
    """The figure in proportion to the days wanted, where it gave `took_d` days; None where there is no proportion."""
    if took_d <= 0 or wanted_d < 0 or not fitted.base:
        return None
    # Without heat a figure in days is its days, whatever it was rounded from.
    value = wanted_d if took_d == whole(fitted.value) else fitted.value * wanted_d / took_d
    return replace(fitted, value=rounded(fitted.key, value))


def _span(
    key: str, base: str, until: date | None, projected: Timeline, day: date, warm: bool
) -> Fitted | None:
    """A span from `base`, which as projected lasts up to `until`."""
    begin = projected.likely(base)
    if begin is None or until is None:
        return None
    in_heat = _IN_HEAT.get(key, "")
    if warm and in_heat and getattr(projected.variety, in_heat) is not None:
        key = in_heat
    as_is = Fitted(key, base, present(projected.variety, key))
    return scaled(as_is, (until - begin).days, (day - begin).days)


def _emergence(projected: Timeline, light: Light, day: date, warm: bool) -> Fitted | None:
    return _span("emergence_d", "seeding", projected.likely("emergence"), projected, day, warm)


def _rooted(projected: Timeline, light: Light, day: date, warm: bool) -> Fitted | None:
    return _span("rooting_d", "sticking", projected.likely("rooted"), projected, day, warm)


def _flowering(projected: Timeline, light: Light, day: date, warm: bool) -> Fitted | None:
    key, base = "induced_to_flowering_d", "induced"
    if projected.variety.response == "day-neutral":
        key, base = "emergence_to_flowering_d", shoot_of(projected.cohort)
    return _span(key, base, projected.likely("flowering"), projected, day, warm)


def _induced(projected: Timeline, light: Light, day: date, warm: bool) -> Fitted | None:
    """The count that was reached on the day, in whole tenths."""
    variety, trigger = projected.variety, projected.likely("trigger")
    if trigger is None or day < trigger:
        return None
    response = likely_response(variety)
    start, end = light.index(trigger), light.index(day)
    totals = counts(projected.felt_h[: end + 1], start, response)
    tenths = floor(totals[-1] * 10) / 10
    return Fitted("inductive_days", "trigger", tenths) if tenths > 0 else None


def _trigger(projected: Timeline, light: Light, day: date, warm: bool) -> Fitted | None:
    """The plants' age where that decides, else the critical day."""
    expected, ready = projected.likely("trigger"), projected.ready
    if projected.cohort.start == "seed" and expected is not None and ready is not None:
        before = light.index(expected) - 1
        short = before >= 0 and projected.felt_h[before] < projected.variety.critical_day.likely
        if day < ready.likely or (expected == ready.likely and short):
            return _span("juvenile_d", "emergence", ready.likely, projected, day, warm)
    return _critical_day(projected, light.index(day))


def _critical_day(projected: Timeline, day: int) -> Fitted | None:
    """The critical day nearest to the present one that lets a run begin on this day of the season."""
    felt, variety = projected.felt_h, projected.variety
    if not 1 <= day < len(felt):
        return None
    # It must be over the felt day of the trigger, and not over that of the day before.
    least, most = floor(felt[day] * 60) + 1, floor(felt[day - 1] * 60)
    minutes = min(max(round(variety.critical_day.likely * 60), least), most)
    if least > most or minutes / 60 <= variety.full_response_day.likely:
        return None
    return Fitted("critical_day", "", minutes / 60)


_FIGURES: Mapping[str, Callable[[Timeline, Light, date, bool], Fitted | None]] = {
    "emergence": _emergence,
    "rooted": _rooted,
    "trigger": _trigger,
    "induced": _induced,
    "flowering": _flowering,
}
