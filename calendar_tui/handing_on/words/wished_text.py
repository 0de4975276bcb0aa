"""Which planting gives a wished harvest date, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from calendar_tui.planning.clashes import FEW_GROWTH_D
from calendar_tui.planning.response.outcomes import Outcome
from calendar_tui.planning.response.wished import Wished
from calendar_tui.season.wording import days_text, full_day_text, year_day_text


def wished_sentences(wished: Wished) -> Iterator[str]:
    """The planting and what comes of it; how far its harvest is from the wish; what else there is to know."""
    best = wished.best
    if best is None:
        yield f"Nothing started from {year_day_text(wished.begin)} on is harvested."
    else:
        if wished.off_d:
            yield f"{nearest_text(wished)}."
        yield _planting_text(best)
        yield from _more(wished, best)
    if wished.missed is not None:
        yield missed_text(wished.missed, wished.begin)


def nearest_text(wished: Wished) -> str:
    """ "No planting is likely harvested on 5 May 2027; the nearest is 3 days later"."""
    side = "later" if wished.off_d > 0 else "earlier"
    return f"No planting is likely harvested on {year_day_text(wished.wanted)}; the nearest is {days_text(abs(wished.off_d))} {side}"


def missed_text(missed: Outcome, begin: date) -> str:
    """ "Started 3 Nov 2026 it would be harvested on 5 Mar 2027: that is before 8 Dec 2026."."""
    harvest = (
        "" if missed.harvest is None else f" it would be harvested on {year_day_text(missed.harvest.likely)}"
    )
    return f"Started on {year_day_text(missed.begun)}{harvest}; nothing is started before {year_day_text(begin)}."


def planted_too_text(wished: Wished) -> str:
    """ "Planted 12 Jan 2027 to 17 Jan 2027 it is harvested that day too"; "" where no other date is."""
    if wished.best is None or wished.planted == ((wished.best.planted,) * 2,):
        return ""
    runs = ", ".join(
        year_day_text(first) if first == last else f"{year_day_text(first)} to {year_day_text(last)}"
        for first, last in wished.planted
    )
    return f"The same harvest comes of planting {runs}"


def _planting_text(best: Outcome) -> str:
    begun = "" if best.begun == best.planted else f" (started {year_day_text(best.begun)})"
    off = "" if best.lights_off is None else f", lights off {year_day_text(best.lights_off)}"
    harvest = best.harvest
    dates = ""
    if harvest is not None:
        dates = f"harvest {full_day_text(harvest.likely)} ({year_day_text(harvest.earliest)} - {year_day_text(harvest.latest)})"
    return f"Plant on {full_day_text(best.planted)}{begun}{off}: {dates}, {best.growth_d} d of growth."


def _more(wished: Wished, best: Outcome) -> Iterator[str]:
    if best.growth_d is not None and best.growth_d < FEW_GROWTH_D:
        yield f"With {days_text(best.growth_d)} of growth, under {FEW_GROWTH_D} d, the plants stay small."
    if text := planted_too_text(wished):
        yield f"{text}."
    if wished.off_d and wished.first is not None and wished.last is not None:
        yield f"What is started from {year_day_text(wished.begin)} on is harvested from {year_day_text(wished.first)} to {year_day_text(wished.last)}."
