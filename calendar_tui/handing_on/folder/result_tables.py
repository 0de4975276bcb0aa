"""Samples, results, cutting and drying as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.folder.columns import BOOLEAN, DATE, INTEGER, NUMBER, Column, Row, Table
from calendar_tui.handing_on.words.openness import Asked
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.plan import Plan
from calendar_tui.season.cutting import WHYS
from calendar_tui.season.lots import lot_named
from calendar_tui.season.observing import number_in


def _sample_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season = plan.season
    for one in sorted(season.samples.values(), key=lambda one: (one.date, one.id)):
        yield {
            **{name: getattr(one, name) for name in _OF_SAMPLES},
            "sample": one.id,
            "plot": one.plot if one.plot in season.plots else None,
            "cohort": one.cohort if one.cohort in season.cohorts else None,
            "by": one.who if asked.names else None,
            "note": one.note if asked.names else None,
        }


_OF_SAMPLES = ("date", "lot", "position", "block", "plants", "cut_cm", "laboratory", "state", "again")

SAMPLES = Table(
    "samples",
    "Samples",
    "Bags cut from a cohort at a place on the plants.",
    ("sample",),
    (
        Column("sample", needed=True, means="the sign on the bag", miappe="Sample ID", rdf="sample"),
        Column("date", DATE, "cut, or to be cut", needed=True, miappe="Collection date"),
        Column("cohort", means="of which cohort", refers="cohorts", miappe="Observation unit ID"),
        Column("lot", means="of which lot, where its cohort has several"),
        Column("position", means="where on the plants", miappe="Plant anatomical entity"),
        Column("block", means="of which block"),
        Column("plot", means="of which plot, where a bag is of one", refers="plots"),
        Column("plants", INTEGER, "in the bag"),
        Column("cut_cm", NUMBER, "length of what is cut", "cm"),
        Column("laboratory", means="where it went, by the season's short name"),
        Column("state", means="how it stands", categories=("planned", "taken", "sent", "lost")),
        Column("again", means="in place of which bag it was cut"),
        Column("by", means="who cut it; left out unless names were asked for"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _sample_rows,
)


def _result_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season = plan.season
    used = {one.result.id: one for one in plan.results.used}
    for one in sorted(season.results.values(), key=lambda one: (one.date, one.id)):
        counted = used.get(one.id)
        figures = counted and counted.figures
        yield {
            **{name: getattr(one, name) for name in _OF_RESULTS},
            "result": one.id,
            "sample": one.sample if one.sample in season.samples else None,
            "sample_text": one.sample,
            "day": counted and counted.day,
            **_ends("total_thc", figures and figures.thc),
            **_ends("total_cbd", figures and figures.cbd),
            "total_basis": figures and figures.basis,
            "acid_factor": figures and figures.factor,
            "counts": counted is not None,
            "note": one.note if asked.names else None,
        }


def _ends(name: str, found: Interval | None) -> Row:
    return {} if found is None else {f"{name}_low": found.low, f"{name}_high": found.high}


_OF_RESULTS = (
    *(
        "date",
        "laboratory",
        "method",
        "tested",
        "unit",
        "basis",
        "water",
        "water_is",
        "uncertainty",
        "uncertainty_is",
    ),
)

RESULTS = Table(
    "results",
    "Results",
    "What a laboratory found in a bag, and the totals that follow: both ends where a part is under a limit of the method. What was "
    "reported of each analyte stands in the table amounts.",
    ("result",),
    (
        Column("result", needed=True, means="made by the season"),
        Column("date", DATE, "of the report", needed=True),
        Column(
            "sample", means="empty where the season knows no such bag", refers="samples", miappe="Sample ID"
        ),
        Column("sample_text", means="the bag as written"),
        Column("day", INTEGER, "days after 50 % flowering on which the bag was cut"),
        Column("laboratory", means="by the season's short name"),
        Column("method", means="by which it was tested", miappe="Method"),
        Column("tested", DATE, "when it was tested"),
        Column("unit", means="of the amounts"),
        Column("basis", means="what the amounts are a share of, as reported"),
        Column("water", NUMBER, "of the sample", "%"),
        Column("water_is", means="what the water is a share of"),
        Column("uncertainty", NUMBER, "of the total THC, as reported"),
        Column("uncertainty_is", means="in percentage points, or in percent of the total"),
        Column("total_thc_low", NUMBER, "lower end of the total", "%"),
        Column("total_thc_high", NUMBER, "upper end; the same where it is exact", "%"),
        Column("total_cbd_low", NUMBER, "lower end of the total", "%"),
        Column("total_cbd_high", NUMBER, "upper end; the same where it is exact", "%"),
        Column("total_basis", means="what the totals are a share of"),
        Column("acid_factor", NUMBER, "by which acids are counted in the totals"),
        Column("counts", BOOLEAN, "false: kept aside, and in no total"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _result_rows,
)


def _amount_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for one in sorted(plan.season.results.values(), key=lambda one: (one.date, one.id)):
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


def _pass_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season = plan.season
    for one in sorted(season.passes.values(), key=lambda one: (one.date, one.id)):
        lot = lot_named(season, one.lot)
        yield {
            **{name: getattr(one, name) for name in ("date", "lot", "part", "share", "why", "last")},
            "pass": one.id,
            "cohort": lot and lot.cohort,
            "plots": " ".join(one.plots),
            "fresh_kg": None if one.weight_kg is None else round(one.weight_kg, 6),
            "batch": one.batch if one.batch in season.batches else None,
            "note": one.note if asked.names else None,
        }


PASSES = Table(
    "passes",
    "Passes",
    "Rounds of cutting.",
    ("pass",),
    (
        Column("pass", needed=True, means="made by the season"),
        Column("date", DATE, "when it was cut", needed=True, icasa="HADAT"),
        Column("lot", means="what was cut"),
        Column("cohort", means="empty where the lot is not known", refers="cohorts"),
        Column("part", means="which part of the plants"),
        Column("plots", means="which plots, with blanks between"),
        Column("share", NUMBER, "of the lot's plants, where not all are cut"),
        Column("fresh_kg", NUMBER, "weighed, all parts together", "kg"),
        Column("why", means="for what it was cut on this day", categories=WHYS),
        Column("last", BOOLEAN, "whether nothing is left to cut"),
        Column("batch", means="in which it dries", refers="batches"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _pass_rows,
)


def _weight_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for one in sorted(plan.season.passes.values(), key=lambda one: (one.date, one.id)):
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


def _batch_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for one in sorted(plan.season.batches.values(), key=lambda one: (one.date, one.id)):
        yield {
            **{
                name: getattr(one, name)
                for name in ("date", "area_m2", "trays", "out", "moisture", "dry_kg", "retained_g")
            },
            "batch": one.id,
            "note": one.note if asked.names else None,
        }


BATCHES = Table(
    "batches",
    "Batches",
    "What dried together.",
    ("batch",),
    (
        Column("batch", needed=True, means="made by the season"),
        Column("date", DATE, "from when on it dried", needed=True),
        Column("area_m2", NUMBER, "of the dryer", "m2"),
        Column("trays", INTEGER, "of the dryer"),
        Column("out", DATE, "when it was out"),
        Column("moisture", NUMBER, "share of water then"),
        Column("dry_kg", NUMBER, "weighed then", "kg"),
        Column("retained_g", NUMBER, "kept sample", "g"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _batch_rows,
)
