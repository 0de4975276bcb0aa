"""The rows of a wall chart: a cohort with its phases, stages and ranges; a light with its nights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from itertools import groupby

from calendar_tui.handing_on.paper.hatching import Box, filled
from calendar_tui.handing_on.paper.markup import element, fitted, label, width_of
from calendar_tui.handing_on.paper.wall_frame import BODY, SMALL, Frame
from calendar_tui.handing_on.words.plain_text import range_text
from calendar_tui.language.speaking import decimal_text, tr, translated
from calendar_tui.planning.lamps.dark_nights import nights_there
from calendar_tui.planning.lamps.runs import LampRun, kwh_of, lamp_runs
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import letter, phase_on
from calendar_tui.season.stages import RANKED, TABLE
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import day_text, night_count_text, plant_count_text

_BAR = 0.42  # of a row's height
_BOLD = 1.12  # how much wider bold letters are
_HALO = "paint-order:stroke;stroke:#fff;stroke-width:.7px;stroke-linejoin:round"


def draw_cohort(
    plan: Plan, timeline: Timeline, frame: Frame, top: float, high: float, right: float
) -> Iterator[str]:
    """One cohort in a row from `top`, `high` mm high; what to know of its harvest stands up to `right`. All in mm."""
    cohort, bar = timeline.cohort, _bar(top, high)
    plants = "" if cohort.plants is None else f", {plant_count_text(cohort.plants)}"
    yield from _head(
        frame, top, high, cohort.id, cohort.variety, f"{', '.join(cohort.growing_lights)}{plants}"
    )
    for phase, first, last in _phases(plan, timeline, frame):
        yield _fill(frame, first, last, bar, phase)
    for name, strokes in ((s.name, s.strokes) for s in TABLE if s.strokes):
        if (stage_date := timeline.stages.get(name)) and stage_date.earliest < stage_date.latest:
            yield from _range(frame, stage_date, bar[1] + 1.1, strokes)
    for day in _dark(plan, timeline, frame):
        yield label(
            frame.middle(day), bar[1], "!", BODY, text_anchor="middle", font_weight="bold", style=_HALO
        )
    yield from _letters(timeline, frame, bar)
    if timeline.never:
        yield from _never(timeline, frame, bar, right)
    else:
        yield from _harvest(timeline.stages.get("harvest"), frame, bar, right)


def draw_light(plan: Plan, name: str, frame: Frame, top: float, high: float, right: float) -> Iterator[str]:
    """One light in a row: its nights with lamps or covers, and the clock's times of a night in each month."""
    place, bar = place_of(plan.season, name), _bar(top, high)
    runs = list(lamp_runs(plan.season, name, plan.light))
    kw = (
        ""
        if place.lamps is None or place.lamps.kw is None
        else f", {decimal_text(f'{place.lamps.kw / len(place.lights):g}')} kW"
    )
    yield from _head(frame, top, high, name, "", f"{place.name or tr(place.kind)}{kw}")
    for covered, first, last in _nights(runs):
        if last >= frame.first and first <= frame.last:
            yield _fill(frame, first, last, bar, "covers" if covered else "lamps")
    yield from _times(runs, frame, bar)
    for n, text in enumerate(_sums(runs)):
        x, y = frame.right + 2, bar[0] + SMALL * 0.8 + n * (SMALL + 0.5)
        yield label(x, y, fitted(text, right - x, SMALL), SMALL)


def _sums(runs: Iterable[LampRun]) -> Iterator[str]:
    """Nights with lamps and what they burn, and nights under covers, where there are any."""
    covers = {run.date for run in runs if run.programme.method == "blackout"}
    lamps = [run for run in runs if run.programme.method != "blackout"]
    kwh = kwh_of(lamps)
    if lamps:
        nights = night_count_text(len({run.date for run in lamps}))
        yield nights if kwh is None else f"{nights}, {kwh:,.0f} kWh"
    if covers:
        yield tr("{nights} under covers", nights=night_count_text(len(covers)))


def _bar(top: float, high: float) -> tuple[float, float]:
    """Top and foot of a row's bar: room for dates above it, and for ranges below."""
    above = min(SMALL + 0.6, high * 0.38)
    return top + above, top + above + high * _BAR


def _head(frame: Frame, top: float, high: float, name: str, more: str, below: str) -> Iterator[str]:
    """The row's name, with what it is beside it and in small letters below."""
    room, foot = frame.left - 3, top + min(BODY + 0.6, high * 0.55)
    size = max(SMALL, min(BODY, room / max(width_of(name, 1) * _BOLD, 1)))
    name = fitted(name, room, size * _BOLD)
    yield label(0, foot, name, size, font_weight="bold")
    taken = width_of(name, size) * _BOLD + 1.5
    if more and taken + BODY < room:
        yield label(taken, foot, fitted(more, room - taken, BODY), BODY)
    yield label(0, foot + SMALL + 0.4, fitted(below, room, SMALL), SMALL)
    yield element(
        "line", x1=0, x2=frame.right, y1=top + high, y2=top + high, stroke="#bbb", stroke_width=0.15
    )


def _phases(plan: Plan, timeline: Timeline, frame: Frame) -> Iterator[tuple[str, date, date]]:
    """Each phase on the axis with its first and last day."""
    for phase, days in groupby(frame.days(), key=lambda day: phase_on(plan, timeline, day)):
        if phase is not None:
            span = list(days)
            yield phase, span[0], span[-1]


def _fill(frame: Frame, first: date, last: date, bar: tuple[float, float], name: str) -> str:
    x, end = frame.x(first), frame.x(last + timedelta(days=1))
    return filled(name, Box(x, bar[0], end - x, bar[1] - bar[0]))


def _range(frame: Frame, stage_date: StageDate, y: float, strokes: int) -> Iterator[str]:
    x, end = frame.x(stage_date.earliest), frame.x(stage_date.latest + timedelta(days=1))
    ends = "".join(
        f"M{at:.2f} {y - 0.9:.2f}v1.8" for n in range(strokes) for at in (x + n * 0.7, end - n * 0.7)
    )
    yield element("path", d=f"M{x:.2f} {y:.2f}H{end:.2f}{ends}", stroke="#000", stroke_width=0.3, fill="none")


def _dark(plan: Plan, timeline: Timeline, frame: Frame) -> Iterator[date]:
    """The nights on which the lamps failed where the cohort stood."""
    for outage in plan.season.outages:
        for n in nights_there(timeline, plan.light, outage):
            day = plan.light.first + timedelta(days=n)
            if frame.holds(day):
                yield day


def _letters(timeline: Timeline, frame: Frame, bar: tuple[float, float]) -> Iterator[str]:
    """A letter for each date in the bar, and the dates themselves above it, as far as there is room."""
    letters: list[tuple[float, float]] = []
    dates: list[tuple[float, float]] = []
    foot = (bar[0] + bar[1]) / 2 + BODY * 0.36
    for stage_date, day in _dates(timeline):
        if not frame.holds(day):
            continue
        x = frame.middle(day)
        if _claimed(letters, x, BODY * 0.75):
            yield from _letter(stage_date, x, foot)
        text = day_text(day)
        if stage_date.stage != "sampling" and _claimed(dates, x, width_of(text, SMALL)):
            yield label(x, bar[0] - 0.6, text, SMALL, text_anchor="middle", style=_HALO)


def _letter(stage_date: StageDate, x: float, foot: float) -> Iterator[str]:
    """A stage's letter on a tab of its own, so that no hatching hides it."""
    wide = 1.9 if stage_date.stage == "sampling" else 2.6
    yield element("rect", x=x - wide / 2, y=foot - 2.9, width=wide, height=3.6, rx=0.6, fill="#fff")
    weight = "bold" if stage_date.status == "recorded" else None
    yield label(x, foot, letter(stage_date), BODY, text_anchor="middle", font_weight=weight)


def _dates(timeline: Timeline) -> Iterator[tuple[StageDate, date]]:
    for name in RANKED:
        if stage_date := timeline.stages.get(name):
            for day in stage_date.dates or (stage_date.likely,):
                yield stage_date, day


def _claimed(taken: list[tuple[float, float]], x: float, width: float) -> bool:
    """Take the room around x where it is free; gives whether."""
    begin, end = x - width / 2, x + width / 2
    if any(begin < b and a < end for a, b in taken):
        return False
    taken.append((begin, end))
    return True


def _never(timeline: Timeline, frame: Frame, bar: tuple[float, float], right: float) -> Iterator[str]:
    """Why the cohort does not flower, behind its last letter."""
    last = max((day for _, day in _dates(timeline) if frame.holds(day)), default=frame.first)
    x = frame.middle(last) + 2.5
    text = fitted(f"{timeline.cohort.id} {translated(timeline.never)}", right - x, SMALL)
    yield label(x, (bar[0] + bar[1]) / 2 + SMALL * 0.36, text, SMALL, style=_HALO)


def _harvest(
    stage_date: StageDate | None, frame: Frame, bar: tuple[float, float], right: float
) -> Iterator[str]:
    if stage_date is None:
        return
    x, room = frame.right + 2, right - frame.right - 2
    yield label(
        x,
        bar[0] + 1.2,
        fitted(tr("harvest {day}", day=day_text(stage_date.likely)), room, BODY),
        BODY,
        font_weight="bold",
    )
    spread = range_text(stage_date) or tr(stage_date.status)
    yield label(x, bar[0] + 1.2 + SMALL + 0.5, fitted(spread, room, SMALL), SMALL)


# --- lights


def _nights(runs: Iterable[LampRun]) -> Iterator[tuple[bool, date, date]]:
    """Nights one after the other with lamps, or with covers: whether covers, the first and the last."""
    begun: tuple[bool, date, date] | None = None
    for run in runs:
        covered = run.programme.method == "blackout"
        if begun is not None and begun[0] == covered and run.date <= begun[2] + timedelta(days=1):
            begun = (covered, begun[1], run.date)
            continue
        if begun is not None:
            yield begun
        begun = (covered, run.date, run.date)
    if begun is not None:
        yield begun


def _times(runs: Iterable[LampRun], frame: Frame, bar: tuple[float, float]) -> Iterator[str]:
    """ "20:12-22:05" at the first night of each month, where there is room."""
    taken: list[tuple[float, float]] = []
    seen: set[tuple[int, int]] = set()
    for day, group in groupby(runs, key=lambda run: run.date):
        if (day.year, day.month) in seen or not frame.holds(day):
            continue
        seen.add((day.year, day.month))
        text = " ".join(f"{clock(run.on)}-{clock(run.off)}" for run in group)
        wide = width_of(text, SMALL)
        if frame.x(day) + wide <= frame.right and _claimed(taken, frame.x(day) + wide / 2, wide + 1):
            yield label(frame.x(day), bar[0] - 0.6, text, SMALL, style=_HALO)
