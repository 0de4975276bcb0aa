"""Passes and batches in words: what was cut and why, what dries since when and until when, and the cautions of a drying room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import count_text, hanging
from calendar_tui.planning.drying.batches import Drying, cohort_of, dryings
from calendar_tui.planning.drying.room import free_on, room_text
from calendar_tui.planning.drying.weighed import expected_dry
from calendar_tui.season.cutting import DryingReading, Pass
from calendar_tui.season.lots import cut_through
from calendar_tui.season.measures import figure, measured, unit_shown
from calendar_tui.season.records import Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import day_text, full_day_text, number_text

DRYING_CAUTION = cautions("dryer", "mould", "unmixed")
CUTTING_CAUTION = cautions("before a cut", "unmixed", "heat", "heat index")


def passes_text(season: Season, passes: Sequence[Pass], lot: str = "") -> list[str]:
    """A line for each pass, by date, and which cohorts still stand."""
    if not passes:
        of = f" of {lot}" if lot else ""
        return [
            f"No pass{of} is recorded. Record one with: calendar-tui pass {lot or 'LOT'} top 12.5 kg why ripe",
            *hanging(CUTTING_CAUTION),
        ]
    lines = [line for one in passes for line in hanging(pass_text(one))]
    for cohort in dict.fromkeys(cohort_of(season, one) for one in passes):
        ended = cut_through(season, cohort)
        standing = (
            "stands until its last pass" if ended is None else f"is cut through since {full_day_text(ended)}"
        )
        lines.append(f"{cohort} {standing}.")
    return [*lines, *hanging(CUTTING_CAUTION)]


def pass_text(one: Pass) -> str:
    """ "A1-1  Wed 24 Mar 2027  A1, top: 31.5 kg fresh; ripe; batch D1"."""
    weights = " + ".join(f"{part} {figure(kg, 'kg')}" for part, kg in one.fresh_kg.items())
    what = [one.lot, *filter(None, (one.part, f"plots {' '.join(one.plots)}" if one.plots else ""))]
    if one.share is not None:
        what.append(f"{number_text(100 * one.share)} % of the plants")
    weighed = "not weighed"
    if one.weight_kg is not None:
        total = f" = {figure(one.weight_kg, 'kg')}" if len(one.fresh_kg) > 1 else ""
        weighed = f"{weights}{total} {unit_shown('kg')} fresh"
    told = [weighed, one.why or "why is not set", f"batch {one.batch}" if one.batch else "in no batch"]
    told += ["the last"] if one.last else []
    told += [one.note] if one.note else []
    return f"{one.id}  {full_day_text(one.date)}  {', '.join(what)}: {'; '.join(told)}"


def batches_text(season: Season, dried: Sequence[Drying], today: date, name: str = "") -> list[str]:
    """What dries, then what is out; the room that is left; with a name the readings of that batch too."""
    if not dried:
        return [
            "No batch is recorded. One begins with: calendar-tui batch D1 in PASS",
            *hanging(DRYING_CAUTION),
        ]
    lines = [
        line
        for one in sorted(dried, key=lambda one: (not one.is_in, one.batch.date))
        for line in _batch_lines(season, one, today, bool(name))
    ]
    return [*lines, *room_texts(season, today), *hanging(DRYING_CAUTION)]


def _batch_lines(season: Season, one: Drying, today: date, whole: bool) -> Iterator[str]:
    yield from hanging(batch_text(season, one, today))
    if whole:
        yield from (f"  {reading_text(reading)}" for reading in one.readings)


def batch_text(season: Season, one: Drying, today: date) -> str:
    """ "D1  in since Wed 24 Mar 2027, day 5: A1-1, 31.5 kg fresh; 35 % water; out about Sat 3 Apr 2027"."""
    batch = one.batch
    passes = ", ".join(p.id for p in one.passes) or "no pass in it"
    fresh = "not all weighed" if one.fresh_kg is None else f"{measured(one.fresh_kg, 'kg')} fresh"
    room = [f"{count_text(batch.trays, 'tray')}" if batch.trays else ""]
    room += [measured(batch.area_m2, "m2") if batch.area_m2 else ""]
    parts = [f"{passes}, {fresh}" if one.passes else passes, *filter(None, room)]
    if one.moisture is not None:
        parts.append(f"{number_text(100 * one.moisture)} % water")
    if one.is_in:
        since = f"in since {full_day_text(batch.date)}, day {(today - batch.date).days}"
        parts += [_out_text(one, today), *_expected_parts(season, one)]
    else:
        since = f"{full_day_text(batch.date)} to {day_text(one.due)}, {one.days} d"
        parts += _dry_parts(one)
    return f"{batch.id}  {since}: {'; '.join(parts)}"


def _out_text(one: Drying, today: date) -> str:
    """When it is likely out and when at the latest, as `decide` has it."""
    if one.dry_since is not None:
        return f"dry enough since {full_day_text(one.dry_since)}: take it out"
    if one.due < today:
        return f"out was due {full_day_text(one.due)} by its drying time; measure it{_latest_text(one)}"
    return f"out about {full_day_text(one.due)}{_latest_text(one)}"


def _expected_parts(season: Season, one: Drying) -> Iterator[str]:
    """ "about 6.2 kg dry, at 4.6 kg fresh to 1 as weighed"."""
    expected = expected_dry(season, one)
    if expected is not None:
        by = "as weighed" if expected.own else "by the figures of its variety"
        yield f"about {measured(expected.dry_kg, 'kg', '{:.3g}'.format)} dry, at {expected.ratio:.1f} {unit_shown('kg')} fresh to 1 {by}"


def room_texts(season: Season, today: date) -> Iterator[str]:
    """What is left of the dryer today, and on each day on which a batch that is in leaves it; nothing where its room is not set."""
    days = {free_on(season, one, today) for one in dryings(season) if one.is_in}
    for day in sorted({today, *(day for day in days if day > today)}):
        if text := room_text(season, day, today):
            yield text


def _latest_text(one: Drying) -> str:
    return "" if one.latest == one.due else f", by {day_text(one.latest)} at the latest"


def _dry_parts(one: Drying) -> Iterable[str]:
    batch, ratio = one.batch, one.wet_to_dry
    if batch.dry_kg is not None:
        yield f"{measured(batch.dry_kg, 'kg')} dry" + (
            f", {ratio:.1f} {unit_shown('kg')} fresh to 1 dry" if ratio else ""
        )
    if batch.retained_g is not None:
        yield f"{measured(batch.retained_g, 'g')} kept"


def reading_text(one: DryingReading) -> str:
    """ "D1-1  Sun 28 Mar 2027 08:00: 35 % water, 20 kg, air 32 C at 45 % humidity"."""
    parts = [f"{number_text(100 * one.moisture)} % water"] if one.moisture is not None else []
    parts += [measured(one.kg, "kg")] if one.kg is not None else []
    air = [measured(one.air_c, "C")] if one.air_c is not None else []
    air += [f"{number_text(100 * one.air_humidity)} % humidity"] if one.air_humidity is not None else []
    parts += [f"air {' at '.join(air)}"] if air else []
    at = f" {clock(one.time)}" if one.time else ""
    return f"{one.id}  {full_day_text(one.date)}{at}: {', '.join(parts) or one.note}"
