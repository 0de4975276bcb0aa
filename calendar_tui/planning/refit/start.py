"""What is known of a variety before its records: the figures that no fit gave, with their spreads."""

from __future__ import annotations

from dataclasses import replace

from calendar_tui.nature.refit import Belief, Type
from calendar_tui.planning.laying_out.figures import spread
from calendar_tui.planning.refit.records import SPANS
from calendar_tui.season.fitted_sets import IN_SETS
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.variety_types import filled, own_values

# Standard deviations from the median to the 90th percentile of a normal curve.
_TENTH_SD = 1.2816
# How the mark of a figure begins that an earlier fit gave.
FITTED_MARK = "measured, "


def set_aside(variety: Variety) -> tuple[str, ...]:
    """The figures of a variety that an earlier fit gave: those of its sets, and others by their marks."""
    return tuple(
        key
        for key in (*IN_SETS, *SPANS)
        if (variety.sets and key in IN_SETS)
        or (key in variety.written and variety.marks.get(key, "").startswith(FITTED_MARK))
    )


def before_records(variety: Variety) -> Variety:
    """The variety without the figures of earlier fits: each record is to count once.

    In their place stand those that it had before its first fit, else those of its type, or the program's.
    """
    gone = set_aside(variety)
    if not gone:
        return replace(variety, sets=())
    kept = {key: value for key, value in own_values(variety).items() if key not in (*gone, "sets")}
    again = {key: span for key, span in variety.before_fit.items() if key in gone}
    return Variety(**filled(kept | again))


def belief(variety: Variety) -> Type:
    """What is believed of the four figures: the likely ones, with a normal curve through their early and late ones."""
    full, critical = spread(variety, "full_response_day"), variety.critical_day
    width = Span(*(critical.likely - figure for figure in reversed(full)))
    return Type(
        _bell(spread(variety, "critical_day"), 0.02),
        _bell(width, 0.02),
        _bell(spread(variety, "juvenile_d"), 0.5),
        _bell(spread(variety, "inductive_days"), 0.1),
    )


def _bell(span: Span, least: float) -> Belief:
    return Belief(span.likely, max((span.late - span.early) / 2 / _TENTH_SD, least))
