"""Samples, results, cutting and drying as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.folder.columns import (
    BOOLEAN,
    DATE,
    INTEGER,
    NOTE,
    NUMBER,
    Column,
    Row,
    Table,
    by_day,
    kept,
    personal,
)
from calendar_tui.handing_on.words.openness import Openness
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.plan import Plan
from calendar_tui.season.cutting import WHYS
from calendar_tui.season.lots import lot_named
from calendar_tui.season.observing import number_in


def _sample_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    return map(SAMPLES.kept_of, by_day(plan.season.samples))


SAMPLES = Table(
    "samples",
    "Samples",
    "Bags cut from a cohort at a place on the plants.",
    ("sample",),
    (
        kept("sample", "id", name="sample", needed=True, miappe="Sample ID", rdf="sample"),
        kept("sample", "date", DATE, needed=True, means="cut, or to be cut", miappe="Collection date"),
        kept("sample", "cohort", refers="cohorts", miappe="Observation unit ID"),
        kept("sample", "lot"),
        kept("sample", "position", miappe="Plant anatomical entity"),
        kept("sample", "block"),
        kept("sample", "plot", refers="plots"),
        kept("sample", "plants", INTEGER),
        kept("sample", "cut_cm", NUMBER),
        kept("sample", "laboratory"),
        kept("sample", "state", categories=("planned", "taken", "sent", "lost")),
        kept("sample", "again"),
        personal("by", "who cut it", "who"),
        NOTE,
    ),
    _sample_rows,
)


def _result_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    used = {one.result.id: one for one in plan.results.used}
    for one in by_day(plan.season.results):
        counted = used.get(one.id)
        figures = counted and counted.figures
        yield {
            **RESULTS.kept_of(one),
            "sample_text": one.sample,
            "day": counted and counted.day,
            **_ends("total_thc", figures and figures.thc),
            **_ends("total_cbd", figures and figures.cbd),
            "total_basis": figures and figures.basis,
            "acid_factor": figures and figures.factor,
            "counts": counted is not None,
        }


def _ends(name: str, total: Interval | None) -> Row:
    return {} if total is None else {f"{name}_low": total.low, f"{name}_high": total.high}


RESULTS = Table(
    "results",
    "Results",
    "What a laboratory found in a bag, and the totals that follow: both ends where a part is under a limit of the method. What was "
    "reported of each analyte stands in the table amounts.",
    ("result",),
    (
        kept("result", "id", name="result", needed=True),
        kept("result", "date", DATE, needed=True),
        kept(
            "result",
            "sample",
            means="of which bag; empty where the season knows no such bag",
            refers="samples",
            miappe="Sample ID",
        ),
        Column("sample_text", means="the bag as written"),
        Column("day", INTEGER, "days after 50 % flowering on which the bag was cut"),
        kept("result", "laboratory"),
        kept("result", "method", miappe="Method"),
        kept("result", "tested", DATE, means="when it was tested"),
        kept("result", "unit"),
        kept("result", "basis"),
        kept("result", "water", NUMBER),
        kept("result", "water_is", means="what the water is a share of"),
        kept("result", "uncertainty", NUMBER, means="of the total THC, as reported"),
        kept("result", "uncertainty_is"),
        Column("total_thc_low", NUMBER, "lower end of the total", "%"),
        Column("total_thc_high", NUMBER, "upper end; the same where it is exact", "%"),
        Column("total_cbd_low", NUMBER, "lower end of the total", "%"),
        Column("total_cbd_high", NUMBER, "upper end; the same where it is exact", "%"),
        Column("total_basis", means="what the totals are a share of"),
        Column("acid_factor", NUMBER, "by which acids are counted in the totals"),
        Column("counts", BOOLEAN, "false: kept aside, and in no total"),
        NOTE,
    ),
    _result_rows,
)


def _amount_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in by_day(plan.season.results):
        for analyte, text in one.found.items():
            yield {
                "result": one.id,
                "analyte": analyte,
                "value": number_in(text),
                "text": text,
                "unit": one.unit,
                "lod": one.lod.get(analyte),
                "loq": one.loq.get(analyte, one.limits.get(analyte)),
            }


AMOUNTS = Table(
    "amounts",
    "Amounts by analyte",
    "As reported. `value` is empty where an amount is under a limit: no number is made of it, and `text` has what was written.",
    ("result", "analyte"),
    (
        Column("result", needed=True, refers="results"),
        Column("analyte", needed=True, miappe="Trait"),
        Column("value", NUMBER, "where it is a number", miappe="Value"),
        Column("text", means="as it was written"),
        Column("unit", means="of value and limits"),
        Column("lod", NUMBER, "limit of detection"),
        Column("loq", NUMBER, "limit of quantification, or the one under which the laboratory tells nothing"),
    ),
    _amount_rows,
)


def _pass_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in by_day(plan.season.passes):
        lot = lot_named(plan.season, one.lot)
        yield {
            **PASSES.kept_of(one),
            "cohort": lot and lot.cohort,
            "plots": " ".join(one.plots),
            "fresh_kg": None if one.weight_kg is None else round(one.weight_kg, 6),
        }


PASSES = Table(
    "passes",
    "Passes",
    "Rounds of cutting.",
    ("pass",),
    (
        kept("pass", "id", name="pass", needed=True),
        kept("pass", "date", DATE, needed=True, icasa="HADAT"),
        kept("pass", "lot"),
        Column("cohort", means="empty where the lot is not known", refers="cohorts"),
        kept("pass", "part"),
        Column("plots", means="which plots, where not all, with blanks between"),
        kept("pass", "share", NUMBER),
        Column("fresh_kg", NUMBER, "weighed, all parts together", "kg"),
        kept("pass", "why", categories=WHYS),
        kept("pass", "last", BOOLEAN),
        kept("pass", "batch", refers="batches"),
        NOTE,
    ),
    _pass_rows,
)


def _weight_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in by_day(plan.season.passes):
        for part, kg in one.fresh_kg.items():
            yield {"pass": one.id, "part": part, "fresh_kg": kg}


WEIGHTS = Table(
    "weights",
    "Weights of passes by part",
    "Each part of the plants as it was weighed fresh.",
    ("pass", "part"),
    (
        Column("pass", needed=True, refers="passes"),
        Column("part", needed=True, means="of the plants"),
        Column("fresh_kg", NUMBER, "weighed fresh", "kg"),
    ),
    _weight_rows,
)


def _batch_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    return map(BATCHES.kept_of, by_day(plan.season.batches))


BATCHES = Table(
    "batches",
    "Batches",
    "What dried together.",
    ("batch",),
    (
        kept("batch", "id", name="batch", needed=True),
        kept("batch", "date", DATE, needed=True),
        kept("batch", "area_m2", NUMBER),
        kept("batch", "trays", INTEGER),
        kept("batch", "out", DATE),
        kept("batch", "moisture", NUMBER),
        kept("batch", "dry_kg", NUMBER),
        kept("batch", "retained_g", NUMBER),
        NOTE,
    ),
    _batch_rows,
)
