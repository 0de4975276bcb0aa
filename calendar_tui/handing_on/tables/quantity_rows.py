"""Quantities as rows, for JSON and CSV."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.needs.quantities import Amount, CohortAmounts, lamp_load_text
from calendar_tui.planning.needs.sums import Quantities, Sum

COLUMNS = ("cohort", "variety", "item", "of", "count", "unit", "guess", "stock", "short", "how")


def quantity_rows(quantities: Quantities) -> list[Row]:
    """A row per cohort and item, then a row per sum (its cohort is ""): the columns of COLUMNS.

    count in `unit`; guess: whether it rests on a figure that is a guess; of: the light, for lamps. stock and short are
    null if the stock is not set.
    """
    rows = [_amount_row(of, amount) for of in quantities.cohorts for amount in of.amounts]
    rows += [_sum_row(total) for total in quantities.sums]
    for load in quantities.loads:
        count, unit = (load.h, "h") if load.kwh is None else (load.kwh, "kWh")
        rows.append(_row("", "", "lamps", load.light, count, unit, how=lamp_load_text(load)))
    return rows


def _row(
    cohort: str,
    variety: str,
    item: str,
    of: str,
    count: float,
    unit: str,
    guess: bool = False,
    stock: float | None = None,
    short: float | None = None,
    how: str = "",
) -> Row:
    values = (cohort, variety, item, of, _rounded(count), unit, guess, stock, _rounded(short), how)
    return dict(zip(COLUMNS, values, strict=True))


def _rounded(count: float | None) -> float | None:
    """Whole numbers as such, others to hundredths."""
    return None if count is None else int(count) if count == int(count) else round(count, 2)


def _amount_row(of: CohortAmounts, amount: Amount) -> Row:
    guess = bool(amount.guesses)
    return _row(
        of.cohort.id,
        of.cohort.variety,
        amount.item,
        amount.of,
        amount.count,
        amount.unit,
        guess,
        how=amount.how,
    )


def _sum_row(total: Sum) -> Row:
    guess = bool(total.guesses)
    return _row(
        "", total.variety, total.item, "", total.count, total.unit, guess, total.stock, total.short, total.how
    )
