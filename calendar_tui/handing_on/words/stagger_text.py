"""A staggering, and several side by side, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.handing_on.tables.stagger_rows import tasks_added
from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, range_text, wrapped
from calendar_tui.planning.capacity.hours import hours_text
from calendar_tui.planning.staggering.problem import HARD
from calendar_tui.planning.staggering.scheme import Measures, Scheme, Sown
from calendar_tui.season.cells import cut_cells, filled, filled_before
from calendar_tui.season.measures import measured
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, days_text, stage_text, year_day_text

NOT_THE_BEST = "The best found in the time: a better choice may be there; search longer (--seconds), or with fewer places or cohorts."
FROST_TEXT = (
    "Frost dates: after the spring date frost still comes in 10 % of years, and before the autumn date it has already come in "
    "10 % of years. Nothing is planted in a field before the one, or harvested there after the other."
)
LEGEND = (
    "lights: on from planting, off on this date; apart: days since the cohort before, planted / harvested; "
    "growth: days before induction."
)
INSTEAD = "What can be planted instead"
NO_WAY = "Nothing near it that can be planted was found: not with fewer plants, in another place, or with a harvest up to twelve weeks away."
HARD_TEXT = "over a hard limit: "
_HEAD = (
    "cohort",
    "place",
    "begun",
    "planted",
    "lights",
    "harvest",
    "apart",
    "growth",
    "lamps",
    "kWh",
)
_WIDTHS = (7, 8, 7, 8, 8, 8, 11, 7, 7, 6)


def scheme_lines(scheme: Scheme, width: int = WIDTH) -> Iterator[str]:
    """The wish, a line for each cohort, what it comes to, and what cannot be."""
    yield from wrapped(f"{scheme.wish_text}. Proposed: {count_text(len(scheme.sown), 'cohort')}.", "", width)
    yield from hard_lines(scheme, width)
    yield _cells(_HEAD)
    for sown in scheme.sown:
        yield _cells(_row(sown))
    yield from wrapped(LEGEND, "", width)
    yield from wrapped(spread_text(scheme), "", width)
    yield from _range_lines(scheme, width)
    yield from warning_lines(scheme, width)
    if not scheme.overs:
        yield "By the likely dates every capacity that the season sets is kept."
    for text in scheme.remarks:
        yield from wrapped(f"remark: {text}", "    ", width, first="  ")
    if not scheme.best:
        yield from wrapped(NOT_THE_BEST, "", width)


def _cells(cells: Sequence[str]) -> str:
    return "".join(
        filled(cell, w) if n < 2 else filled_before(cell, w)
        for n, (cell, w) in enumerate(zip(cells, _WIDTHS, strict=True))
    )


def _row(sown: Sown) -> tuple[str, ...]:
    timeline, load = sown.timeline, sown.load
    off = timeline.likely("lights_off")
    return (
        sown.cohort.id,
        sown.cohort.light,
        _day(timeline.likely(sown.cohort.first_stage)),
        _day(sown.planted),
        "natural" if off is None else day_text(off),
        _day(timeline.likely("harvest")),
        _apart(sown),
        "-" if timeline.growth_d is None else f"{timeline.growth_d} d",
        "-" if load is None else f"{load.h:.0f} h",
        "-" if load is None or load.kwh is None else f"{load.kwh:.0f}",
    )


def _day(day: date | None) -> str:
    return "-" if day is None else day_text(day)


def _apart(sown: Sown) -> str:
    """ "14 / 7 d"; "" for the first cohort."""
    if sown.planting_gap_d is None:
        return ""
    return f"{sown.planting_gap_d} / {'-' if sown.harvest_gap_d is None else sown.harvest_gap_d} d"


def _range_lines(scheme: Scheme, width: int) -> Iterator[str]:
    """The range of each harvest, and how far it lies from the one before over the futures."""
    texts = list(filter(None, map(_range_text, scheme.sown)))
    if texts:
        yield from wrapped(f"Harvest ranges: {'; '.join(texts)}.", "", width)


def _range_text(sown: Sown) -> str:
    """ "A2 3 Mar - 30 Mar (5 to 20 d apart)"; "" where it is certain."""
    harvest, gap = sown.timeline.stages.get("harvest"), sown.harvest_gap
    dates = "" if harvest is None else range_text(harvest)
    apart = f" ({gap.range_text} apart)" if gap is not None and gap.range_text else ""
    return f"{sown.cohort.id} {dates}{apart}" if dates else ""


def hard_lines(scheme: Scheme, width: int = WIDTH) -> Iterator[str]:
    """A mark for each hard limit that the scheme breaks."""
    for text in scheme.hard_texts:
        yield from wrapped(f"{HARD_TEXT}{text}", "    ", width, first="  ! ")


def added_lines(scheme: Scheme, width: int = WIDTH) -> Iterator[str]:
    """What accepting the scheme adds: each cohort with place, plants, dates and tasks, and what else it changes."""
    tasks = tasks_added(scheme)
    yield "Added, as one change (one undo takes it back):"
    for sown in scheme.sown:
        cohort = sown.cohort
        plants = "" if cohort.plants is None else f", {count_text(cohort.plants, 'plant')}"
        days = {stage: cohort.planned[stage] for stage in STAGES if stage in cohort.planned}
        dates = [f"{stage_text(stage)} {year_day_text(day)}" for stage, day in days.items()]
        harvest = sown.timeline.likely("harvest")
        dates += [] if harvest is None else [f"harvest about {year_day_text(harvest)}"]
        text = f"{cohort.id}: {cohort.variety} in {cohort.light}{plants}; {', '.join(dates)}; "
        yield from wrapped(text + count_text(tasks.get(cohort.id, 0), "task"), "    ", width, first="  ")
    yield from wrapped(f"{_sum_text(scheme, tasks)}.", "", width)


def warning_lines(scheme: Scheme, width: int = WIDTH) -> Iterator[str]:
    """A mark for each limit that is not kept, each new clash, and what else there is to know before it is saved."""
    for over in (over for over in scheme.overs if over.limit.kind not in HARD):
        yield from wrapped(f"not kept: {over.text}", "    ", width, first="  ! ")
    for text in (*scheme.notes, *scheme.clashes):
        yield from wrapped(text, "    ", width, first="  ! ")


def _sum_text(scheme: Scheme, tasks: Mapping[str | None, int]) -> str:
    own = [move for move in scheme.proposal.tasks if move.old is not None]
    away = sum(move.new is None for move in own)
    parts = [f"{count_text(len(scheme.sown), 'cohort')} and {count_text(sum(tasks.values()), 'task')} in all"]
    if shared := tasks.get(None, 0):
        parts.append(f"{shared} of them shared by cohorts or for the whole season")
    if moved := len(own) - away:
        parts.append(f"{count_text(moved, 'task')} of the season's own would move")
    if away:
        parts.append(f"{count_text(away, 'task')} would fall away")
    return ", ".join(parts)


def spread_text(scheme: Scheme) -> str:
    """ "Planted over 42 days, harvested over 42 days, 22 Dec to 2 Feb 2027, by likely dates."; one day by its date."""
    planted = [sown.planted for sown in scheme.sown]
    first, last = min(planted), max(planted)
    over = f"over {days_text((last - first).days)}" if last > first else f"on {year_day_text(first)}"
    measures = scheme.measures
    if measures.first_harvest is None or measures.last_harvest is None or measures.spread_d is None:
        return f"Planted {over}; no harvest within the season."
    if not measures.spread_d:
        return f"Planted {over}, harvested on {year_day_text(measures.last_harvest)}, by likely dates."
    return (
        f"Planted {over}, harvested over {days_text(measures.spread_d)}, {day_text(measures.first_harvest)} to "
        f"{year_day_text(measures.last_harvest)}, by likely dates."
    )


# --- several side by side


def _figures(measures: Measures) -> Iterator[tuple[str, str]]:
    yield "cohorts", str(measures.cohorts)
    yield "first harvest", _day(measures.first_harvest)
    yield "last harvest", _day(measures.last_harvest)
    yield "harvest spread", "-" if measures.spread_d is None else days_text(measures.spread_d)
    gaps = (measures.shortest_gap_d, measures.longest_gap_d)
    yield "harvest gaps", "-" if gaps[0] is None or gaps[1] is None else _span_text(gaps[0], gaps[1])
    peak = measures.peak_dryer_kg
    yield "peak dryer", "not set" if peak is None else f"{measured(peak[0], 'kg')}, {day_text(peak[1])}"
    role, hours = max(measures.peak_hours.items(), key=lambda r: r[1][0], default=("", (0.0, date.min)))
    yield "peak hours a week", f"{hours_text(hours[0])} {role}" if role else "-"
    yield "lamps", "kw not set" if measures.lamp_kwh is None else f"{measures.lamp_kwh:.0f} kWh"
    yield "lamp cost", "price not set" if measures.lamp_cost is None else f"{measures.lamp_cost:.2f}"
    grown = measures.growth_d
    yield "growth", "-" if grown is None else _span_text(*grown)
    yield "clashes", str(measures.clashes)


def _span_text(least: int, most: int) -> str:
    """ "6 to 8 d", "7 d" where they are the same."""
    return f"{least} d" if least == most else f"{least} to {most} d"


def compared(schemes: Mapping[str, Scheme | str], width: int = WIDTH) -> Iterator[str]:
    """Drafts side by side, as many in a row as the width holds; a draft that no longer fits stands there with the reason."""
    laid = {
        name: dict(_figures(s.measures)) | {"hard limits": "over" if s.hard_texts else "kept"}
        for name, s in schemes.items()
        if not isinstance(s, str)
    }
    each = 20
    at_once = max((width - 19) // each, 1)
    names = list(laid)
    for first in range(0, len(names), at_once):
        group = names[first : first + at_once]
        yield f"{'':<19}" + "".join(filled(cut_cells(name, each - 2), each) for name in group).rstrip()
        for key in laid[group[0]]:
            yield f"{key:<19}" + "".join(f"{laid[name][key][: each - 1]:<{each}}" for name in group).rstrip()
        yield ""
    for name, scheme in schemes.items():
        text = scheme if isinstance(scheme, str) else scheme.wish_text
        yield from wrapped(f"{name}: {text}", "", width)
        if not isinstance(scheme, str):
            yield from hard_lines(scheme, width)
