"""The field book as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.field_book.due import Round
from calendar_tui.planning.field_book.entry import Compared
from calendar_tui.planning.field_book.findings import Rise, Stand, offer_of, stand_sums
from calendar_tui.season.records import Season


def field_book_data(
    season: Season,
    due: Sequence[Round],
    late: Sequence[Round],
    found: Sequence[Rise],
    counted: Sequence[Stand],
) -> Row:
    """due: of this week; missing: from before it. rises: `half` is null where the looks do not pass a half, its interval 95 %
    where `counted`, else the two looks; `offer` is what may be recorded of it. count_sums: the plots of a cohort together; counts: the latest of each place beside what was planned.
    """
    return {
        "due": [round_row(one) for one in due],
        "missing": [round_row(one) for one in late],
        "rises": [_rise(season, one) for one in found],
        "count_sums": [
            {
                "cohort": one.cohort,
                "variable": one.variable,
                "planned": one.planned,
                "recorded": float(one.recorded),
                "plots": one.plots,
                "date": one.last,
            }
            for one in stand_sums(season, counted)
        ],
        "counts": [
            {
                "at": one.at,
                "variable": one.variable,
                "planned": one.planned,
                "recorded": float(one.recorded),
                "date": one.day,
            }
            for one in counted
        ],
    }


def round_row(one: Round) -> Row:
    return {
        "date": one.day,
        "task": one.task.id,
        "variable": one.variable,
        "places": list(one.places),
        "missing": list(one.missing),
    }


def _rise(season: Season, one: Rise) -> Row:
    half, offer = one.half, offer_of(season, one)
    return {
        "cohort": one.cohort,
        "stage": one.stage,
        "variable": one.variable,
        "shares": [{"date": s.day, "share": s.share, "of": s.of} for s in one.shares],
        "half": None
        if half is None
        else {"likely": half.likely, "first": half.first, "last": half.last, "counted": half.counted},
        "not_yet": one.not_yet,
        "offer": None
        if offer is None
        else {"cohort": offer.cohort, "stage": offer.stage, "date": offer.day, "not_yet": offer.not_yet},
    }


def taken_row(one: Compared) -> Row:
    """An observation taken in. was: what stood there, "" where nothing did; value: as it is written, "" where it is taken out."""
    return {
        "date": one.entry.date,
        "at": one.entry.at,
        "variable": one.entry.variable,
        "value": one.entry.value,
        "state": one.entry.state,
        "was": one.was,
        "what": one.what,
    }
