"""Which planting gives a wished harvest date, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.response.outcomes import Outcome
from calendar_tui.planning.response.wished import Wished
from calendar_tui.planning.response.worked import day_off_text
from calendar_tui.season.wording import days_text, full_day_text, year_day_text


def wished_sentences(wished: Wished) -> Iterator[str]:
    """How far the nearest harvest is from the wish, the planting and what comes of it, and what else there is to know."""
    best = wished.best
    if best is None:
        yield f"Nothing that is started from {year_day_text(wished.begin)} on comes to a harvest."
    else:
        if wished.off_d:
            yield f"{nearest_text(wished)}."
        yield _planting_text(best)
        yield from _more(wished, best)
    if wished.missed is not None:
        yield missed_text(wished.missed)


def nearest_text(wished: Wished) -> str:
    """ "No planting is harvested on 5 May 2027: the nearest likely harvest is 8 May 2027, 3 days later"."""
    off_d = wished.off_d
    nearest = year_day_text(wished.wanted + timedelta(days=off_d))
    side = "later" if off_d > 0 else "sooner"
    working = " on working days" if wished.any_day_is_nearer else ""
    return (
        f"No planting{working} is harvested on {year_day_text(wished.wanted)}: the nearest likely harvest is {nearest}, "
        f"{days_text(abs(off_d))} {side}"
    )


def missed_text(missed: Outcome) -> str:
    """ "A harvest on 5 Mar 2027 needs plants that were started on 3 Nov 2026, and that day is past."."""
    harvest = (
        "A harvest nearer"
        if missed.harvest is None
        else f"A harvest on {year_day_text(missed.harvest.likely)}"
    )
    return f"{harvest} needs plants that were started on {year_day_text(missed.begun)}, and that day is past."


def any_day_text(wished: Wished) -> str:
    """ "Planting on 8 Nov 2026 would fit best, but Sun 8 Nov 2026 is no working day"; "" where the best is on working days."""
    if wished.any_day is None or wished.day_off is None:
        return ""
    why = day_off_text(wished.any_day, wished.day_off)
    return f"Planting on {year_day_text(wished.any_day.planted)} would fit best, but {why}"


def planted_too_text(wished: Wished) -> str:
    """ "Planting from 12 Jan 2027 to 17 Jan 2027 gives the same harvest"; "" where no other date does."""
    if wished.best is None or wished.planted == ((wished.best.planted,) * 2,):
        return ""
    runs = ", ".join(
        f"on {year_day_text(first)}"
        if first == last
        else f"from {year_day_text(first)} to {year_day_text(last)}"
        for first, last in wished.planted
    )
    return f"Planting {runs} gives the same harvest"


def _planting_text(best: Outcome) -> str:
    begun = "" if best.begun == best.planted else f" (started on {year_day_text(best.begun)})"
    off = "" if best.lights_off is None else f", lights off {year_day_text(best.lights_off)}"
    harvest = best.harvest
    dates = ""
    if harvest is not None:
        dates = f"harvest {full_day_text(harvest.likely)} ({year_day_text(harvest.earliest)} - {year_day_text(harvest.latest)})"
    return f"Plant on {full_day_text(best.planted)}{begun}{off}: {dates}, {best.growth_d} d of growth."


def _more(wished: Wished, best: Outcome) -> Iterator[str]:
    if text := any_day_text(wished):
        yield f"{text}."
    if best.growth_d is not None and best.growth_d < FEW_GROWTH_D:
        yield f"With {days_text(best.growth_d)} of growth, under {FEW_GROWTH_D} d, the plants stay small."
    if text := planted_too_text(wished):
        yield f"{text}."
    if wished.off_d and wished.first is not None and wished.last is not None:
        yield (
            f"What is started from {year_day_text(wished.begin)} on is harvested between {year_day_text(wished.first)} "
            f"and {year_day_text(wished.last)}."
        )
