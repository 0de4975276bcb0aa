"""The types of variety, and what each would give, as plain text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, range_text, wrapped
from calendar_tui.planning.changes.type_comparison import (
    Comparison,
    TypeDates,
    contrast,
    waiting,
)
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan
from calendar_tui.season.cells import filled
from calendar_tui.season.records import Cohort, Variety
from calendar_tui.season.variety_types import ALONE, DEFAULT, VarietyType, from_type, type_of, variety_types
from calendar_tui.season.wording import day_text, full_day_text, stage_text

# So many cohorts are compared in a text; all of them for JSON.
MOST = 4
_AS_IT_IS = "as it is"
# Columns of a likely date, of its range, and of a whole row; where there is no room for that, ranges are left out.
_DAY_WIDTH, _RANGE_WIDTH, _ROW_WIDTH = 6, 17, 77


def types_text(
    plan: Plan, variety: Variety, compared: Sequence[Comparison], width: int = WIDTH
) -> Iterator[str]:
    """The type of a variety, what each type would give it at this site, and how one is given.

    compared: its first MOST cohorts, or sowings of it.
    """
    yield from wrapped(type_text(variety), "    ", width, f"{variety.id}  ")
    cohorts = [c for c in plan.season.cohorts.values() if c.variety == variety.id]
    for of in compared:
        yield ""
        yield from _compared_text(of, width)
    more = len(waiting(plan, variety)) - MOST
    if more > 0:
        yield from ("", f"And {count_text(more, 'more cohort')}; --json has all of them.")
    if cohorts and not compared:
        yield from (
            "",
            *wrapped(
                f"What {variety.id} did is recorded in every cohort; its records say more than a type.",
                "",
                width,
            ),
        )
    yield ""
    yield from type_lines(width)
    yield f"To give one: calendar-tui variety {variety.id} type TYPE{f' {ALONE}' if _above(variety) else ''}"


def type_text(variety: Variety) -> str:
    """ "type oil-zhang: oil, as Zhang et al. read it; critical_day stands above it in the file"."""
    kind = type_of(variety)
    if kind is None:
        return f"no type; the plain figures of the program where it gives none ({variety.response})"
    above = _above(variety)
    stands = "stands" if len(above) == 1 else "stand"
    over = f"; {', '.join(above)} {stands} above it in the file" if above else ""
    return f"type {kind.id}: {kind.name}{over}"


def type_about(variety: Variety) -> str:
    """What the type of a variety is, and where its figures come from; how it gets one where it has none."""
    kind = type_of(variety)
    if kind is None:
        return (
            "type  none: a new variety is given one of the types, to start from while nothing is known of it"
        )
    return f"{kind.id}  {kind.about}; {kind.source}"


def _above(variety: Variety) -> list[str]:
    """The figures of the variety's type, or of any type where it has none, that its record gives itself."""
    kind = type_of(variety)
    keys = kind.figures if kind else {key: None for k in variety_types().values() for key in k.figures}
    return [key for key in keys if key in variety.written and key not in from_type(variety)]


def type_lines(width: int = WIDTH) -> Iterator[str]:
    """A line a type: its id and its name; the default is called so."""
    long = max(map(len, variety_types()))
    for kind in variety_types().values():
        yield from wrapped(_name(kind), " " * (long + 4), width, f"  {kind.id:<{long}}  ")


def choice_text(of: Comparison) -> Iterator[str]:
    """A line a short-day type to choose from: when a cohort would be induced, likely with its range, and the type's name."""
    begun = of.cohort.fixed(of.cohort.first_stage) or of.now.timeline.begun
    off = of.now.timeline.likely("lights_off")
    dark = f", lights off {day_text(off)}" if off else ""
    stage = stage_text(of.cohort.first_stage)
    yield f"Types, and when {of.cohort.id} ({stage} {day_text(begun)}{dark}) would be induced with each:"
    for dates in of.by_type:
        if dates.kind is not None and dates.kind.response == "short-day":
            yield f"  {dates.kind.id:<17} {_cell(dates.stage('induced'))} {_name(dates.kind)}"


def sowings_text(sowings: Sequence[Comparison]) -> Iterator[str]:
    """A line a type to choose from: when plants of each sowing would likely be induced, and the type's name."""
    yield f"Types, and the likely induction of plants sown in {sowings[0].cohort.place} on natural days:"
    begun = "".join(f"{day_text(of.now.timeline.begun):<7}" for of in sowings)
    yield f"  {'sown':<17} {begun}".rstrip()
    for of_type in zip(*(of.by_type for of in sowings), strict=True):
        kind = of_type[0].kind
        assert kind is not None
        days = "".join(f"{_day(dates.induced()):<7}" for dates in of_type)
        flowers = ": in flower" if kind.response == "day-neutral" else ""
        yield f"  {kind.id:<17} {days}{_name(kind)}{flowers}"


def _name(kind: VarietyType) -> str:
    """A type in words; the default is called so."""
    return f"{kind.name} (the default)" if kind.id == DEFAULT else kind.name


def _compared_text(of: Comparison, width: int) -> Iterator[str]:
    """A cohort or a sowing with a row a type: trigger, and induced and harvest with their ranges."""
    cohort = of.cohort
    begun = cohort.fixed(cohort.first_stage) or of.now.timeline.begun
    what = f"{cohort.id}, {stage_text(cohort.first_stage)}"
    if of.sown:
        what = f"Sown in {cohort.place} on natural days,"
    yield f"{what} {full_day_text(begun)}"
    yield from _rows((of.now, *of.by_type), _WIDE if width >= _ROW_WIDTH else _NARROW)
    if of.apart_d:
        response = of.now.timeline.variety.response
        yield f"  Between the {response} types: induced up to {of.apart_d} d apart."


def _rows(rows: Iterable[TypeDates], columns: Sequence[_Column]) -> Iterator[str]:
    """A heading, and a line for each type."""
    yield f"  {'':<17} {' '.join(f'{c.stage:<{c.width}}' for c in columns)}".rstrip()
    for dates in rows:
        name = dates.kind.id if dates.kind else _AS_IT_IS
        cells = " ".join(f"{c.text(dates.stage(c.stage)):<{c.width}}" for c in columns)
        yield f"  {filled(name, 17)} {cells}".rstrip()


def _day(at: StageDate | None) -> str:
    return day_text(at.likely) if at else "-"


def _cell(at: StageDate | None) -> str:
    between = f"({range_text(at)})" if at and range_text(at) else ""
    return f"{_day(at):<{_DAY_WIDTH}} {between:<{_RANGE_WIDTH}}"


class _Column(NamedTuple):
    """A stage, and how its date is written in so many letters."""

    stage: str
    text: Callable[[StageDate | None], str]
    width: int


_WITH_RANGE = _DAY_WIDTH + 1 + _RANGE_WIDTH
_WIDE = (
    _Column("trigger", _day, 7),
    _Column("induced", _cell, _WITH_RANGE),
    _Column("harvest", _cell, _WITH_RANGE),
)
_NARROW = (_Column("induced", _day, 7), _Column("harvest", _day, 7))


def contrast_text(plan: Plan, variety: Variety, cohort: Cohort | None = None) -> str:
    """The difference that a type makes, while a variety's response is not recorded; "" where it is, or there is none.

    "Its response is not recorded yet: A1 induced 9 Feb - 12 Mar; as oil-zhang it would be induced 1 Feb - 20 Feb."
    """
    shown = contrast(plan, variety, cohort)
    if shown is None or shown.other.kind is None:
        return ""
    now, other = _induced_range(shown.now), _induced_range(shown.other)
    is_induced = f"induced {now}" if now else "not induced this season"
    would_be = f"would be induced {other}" if other else "would not be induced this season"
    name = shown.now.timeline.cohort.id
    return f"Its response is not recorded yet: {name} {is_induced}; as {shown.other.kind.id} it {would_be}."


def _induced_range(dates: TypeDates) -> str:
    """ "9 Feb - 12 Mar"; "" where it never is."""
    at = dates.stage("induced")
    return "" if at is None else range_text(at) or day_text(at.likely)
