"""Why a stage falls on its date, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import WIDTH, stage_lines, unbroken, wrapped
from calendar_tui.handing_on.words.types_text import contrast_text
from calendar_tui.handing_on.words.varieties_text import key_words
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.changes.outages import nights_text
from calendar_tui.planning.changes.variety_change import FIGURES
from calendar_tui.planning.lamps.onset import onsets
from calendar_tui.planning.laying_out.outcomes import outcomes_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.chain import WhyDay, chain, days_behind
from calendar_tui.planning.why.heat import LAST_HEAT, HeatRun, heat_behind
from calendar_tui.planning.why.widths import width_of
from calendar_tui.season.cells import cell_len, filled
from calendar_tui.season.stages import BY_NAME, STAGES
from calendar_tui.season.variety_types import from_type
from calendar_tui.season.wording import (
    day_text,
    days_text,
    hours_against,
    hours_text,
    stage_text,
    weekday_text,
)

# Of heat: a sum that is full after noon gives the next date.
ROUNDED = "A date is the midnight nearest to the moment at which its sum is full."
# Columns of the count that are left out, in this order, where a screen has no room for all.
_LEFT_OUT = ("lamps lit for", "natural", "place", "adds")


def why_text(
    plan: Plan, cohort_id: str, stage: str, width: int = WIDTH, wide: Sequence[str] | None = None
) -> Iterator[str]:
    """What the stage rests on, stage by stage, and its heat and count of short days, day by day where it matters.

    wide: what `width_lines` gives; worked out here where it is None.

    Sentences are wrapped at the width; of the count columns are left out where a screen has no
    room for all; the lines of heat are what they are, 78 columns at most with short names.
    """
    timeline = plan.timelines[cohort_id]
    yield f"{cohort_id} {stage_text(stage)}"
    for stage_date in chain(timeline, stage):
        yield from stage_lines(stage_date, width)
    wide = tuple(width_lines(plan, cohort_id, stage)) if wide is None else wide
    for line in (*outage_lines(plan, timeline, stage), *outcome_lines(timeline, stage), *wide):
        yield from wrapped(line, "    ", width, "  ")
    for line in type_lines(plan, timeline, stage):
        yield from wrapped(line, "    ", width, "  ")
    runs, days = tuple(heat_behind(plan, cohort_id, stage)), days_behind(plan, cohort_id, stage)
    before = tuple(run for run in runs if run.what != LAST_HEAT)
    for run in before:
        yield from _heat_text(run, width)
    if days:
        yield from _count_text(timeline, days, width)
    for run in runs[len(before) :]:
        yield from _heat_text(run, width)
    if runs:
        yield from wrapped(ROUNDED, "  ", width)
    if timeline.never and (days or stage not in timeline.stages):
        yield from wrapped(f"{cohort_id} {timeline.never}", "    ", width, "  ! ")


def type_lines(plan: Plan, timeline: Timeline, stage: str) -> Iterator[str]:
    """The figures that are of the variety's type, and while nothing is recorded of it, what another type would give."""
    variety = timeline.variety
    if STAGES.index(stage) < STAGES.index("trigger"):
        return
    if keys := [key for key in FIGURES if key in from_type(variety)]:
        yield f"Of the type {variety.type}: {', '.join(map(key_words, keys))}."
    if contrast := contrast_text(plan, variety, timeline.cohort):
        yield contrast


def outage_lines(plan: Plan, timeline: Timeline, stage: str) -> Iterator[str]:
    """In how many futures an outage has started flowering, of which the likely run knows only whether its count is full."""
    if STAGES.index(stage) < STAGES.index("trigger"):
        return
    for outage, begun in onsets(plan.season, timeline, plan.light):
        yield (
            f"Nights without the lamps of {outage.place}, {nights_text(outage)}: flowering has started in {begun.begun} of "
            f"{len(begun.days)} futures; the likely date goes by the likely figures alone."
        )


def outcome_lines(timeline: Timeline, stage: str) -> Iterator[str]:
    """The two dates round which the futures of a stage lie, where they lie weeks apart."""
    if stage in timeline.stages and (text := outcomes_text(timeline.stages[stage])):
        yield f"{stage_text(stage).capitalize()} {text}."


def width_lines(plan: Plan, cohort_id: str, stage: str) -> Iterator[str]:
    """What makes the range wide, and the look and the record that would narrow it most, a sentence each.

    Not for the event loop: the cohort is laid out in thousands of futures.
    """
    width = width_of(plan, cohort_id, stage)
    if width is None:
        return
    shares = [(width.name_of(figure), whole(100 * share)) for figure, share in width.shares]
    rest = 100 - sum(percent for _, percent in shares)
    named = shares + ([("the rest", rest)] if rest > 0 else [])
    parts = [f"{name} {unbroken(f'{percent} %')}" for name, percent in named]
    yield f"The range of {width.days} d: {', '.join(parts)}."
    look, record = width.look, width.record
    if look is not None and look.day is not None:
        yield (
            f"{BY_NAME[look.stage].look} on {day_text(look.day)}: the range of {width.days} d becomes about "
            f"{width.left_d(look)} d."
        )
    if record is not None and (look is None or record.left < look.left):
        past = plan.timelines[cohort_id].stages[record.stage].latest < plan.today
        when = f"when {stage_text(record.stage)} was" if past else f"{stage_text(record.stage)} when it comes"
        yield f"Record {when}: about {width.left_d(record)} d are left."


def _heat_text(run: HeatRun, width: int) -> Iterator[str]:
    """A sum that is reached, a line a day."""
    sentence = f"Heat for {run.what}: {run.needed:.0f} {run.unit}, {run.method}; temperatures: {run.year}."
    yield from wrapped(sentence, "  ", width)
    yield f"  date        place   low C  high C  adds {run.unit}  sum {run.unit}"
    for day in run.days:
        yield f"  {weekday_text(day.day):>10}  {filled(day.place, 6)}  {day.low_c:5.1f}  {day.high_c:6.1f}  {day.adds:8.1f}  {day.total:7.1f}"


def _count_text(timeline: Timeline, days: tuple[WhyDay, ...], width: int) -> Iterator[str]:
    """The count of short days, a line a day."""
    variety = timeline.variety
    yield from wrapped(
        f"Short days: at or under {hours_text(variety.full_response_day.likely)} a day counts 1, at or over "
        f"{hours_text(variety.critical_day.likely)} the count goes back to 0, in between a part; induced at "
        f"{variety.inductive_days.likely:g}.",
        "  ",
        width,
    )
    head, *rows = _count_rows(timeline, days, width)
    yield head
    before = days[0].day
    for day, line in zip(days, rows, strict=True):
        if (day.day - before).days > 1:
            lost = f"{days_text((day.day - before).days - 1)} not shown: that run was lost, and the count began again"
            yield from wrapped(lost, "      ", width, "  ... ")
        before = day.day
        yield line


def _count_rows(timeline: Timeline, days: tuple[WhyDay, ...], width: int) -> list[str]:
    """The heading of the count and a line a day, with the columns that have room; with all of them from WIDTH on."""
    variety = timeline.variety
    limits = variety.critical_day.likely, variety.full_response_day.likely
    lamps = ["covers drawn" if day.covered else ", ".join(day.lit_for) or "-" for day in days]
    columns = {
        "date": [f"{weekday_text(day.day):>10}" for day in days],
        "place": [filled(day.place, 6) for day in days],
        "natural": [hours_text(day.natural_h) for day in days],
        "lamps lit for": lamps,
        "felt day": [hours_against(day.felt_h, *limits) for day in days],
        "adds": [f"{day.adds:4.2f}" for day in days],
        "count": [f"{day.count:5.2f}" for day in days],
    }
    wide = {head: max(map(cell_len, (head, *cells))) for head, cells in columns.items()}
    for head in _LEFT_OUT:
        if width < WIDTH and sum(wide.values()) + 2 * len(wide) > width:
            del wide[head]
    table = zip(*((head, *columns[head]) for head in wide), strict=True)
    return [
        "".join(f"  {filled(cell, wide[head])}" for head, cell in zip(wide, line, strict=True))
        for line in table
    ]
