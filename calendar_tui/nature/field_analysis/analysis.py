"""A trial analysed: rows of a table in, sources of variation, means, differences and responses out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from calendar_tui.nature.field_analysis.comparisons import Comparison, compare
from calendar_tui.nature.field_analysis.designs import (
    COLUMN,
    DESIGNS,
    ERROR,
    MAIN,
    ROW,
    TREATMENT,
    UNTESTED,
    Layout,
    Term,
)
from calendar_tui.nature.field_analysis.diagnostics import FieldMap, Spread, field_map, spread
from calendar_tui.nature.field_analysis.distributions import t_two_tails
from calendar_tui.nature.field_analysis.estimates import Fit, Source
from calendar_tui.nature.field_analysis.gathering import Gathered, Marks, TrialProblem, gather
from calendar_tui.nature.field_analysis.plots import Cells, Floats, Level, Plots, cells_of, number_of
from calendar_tui.nature.field_analysis.response import Density, Response, Ruler, density, response
from calendar_tui.nature.field_analysis.scales import PLAIN, SCALES, on_scale
from calendar_tui.nature.field_analysis.sums import SumsFit, is_orthogonal
from calendar_tui.nature.field_analysis.unbalanced import MixedFit, NotSeparable, missing_combinations
from calendar_tui.nature.layouts.designs import AUGMENTED

# Of more cells no pairs are compared.
MOST_CELLS = 64
# So many plots take some seconds: by sums, and by REML, whose work grows with their cube.
MOST_PLOTS, MOST_BY_REML = 5000, 1000


@dataclass(frozen=True)
class Question:
    """What is asked of a trial. scale: one of SCALES; level: of significance. responses: factors whose levels are numbers or dates;
    densities: those whose levels are plants per area.

    contrasts: factor -> coefficients in the order of its levels, each adding up to 0. sampled: whether rows are samples of plots.
    groups: further columns between whose levels the spread is compared. row, column: where plots lie, for the map of residuals, "" for none.
    rulers: of responses whose levels are not written as numbers; density_rulers: of densities, likewise.
    """

    layout: Layout
    scale: str = PLAIN
    level: float = 0.05
    responses: tuple[str, ...] = ()
    densities: tuple[str, ...] = ()
    contrasts: Mapping[str, tuple[tuple[float, ...], ...]] = field(default_factory=dict)
    sampled: bool = False
    groups: tuple[str, ...] = ()
    row: str = ""
    column: str = ""
    rulers: Mapping[str, Ruler] = field(default_factory=dict)
    density_rulers: Mapping[str, Ruler] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Means:
    """Means of a term. n: plots of each; value: on the scale of the analysis; back: on that of the values. source: of the term.

    comparison: None where nothing tests their differences.
    """

    source: Source
    levels: tuple[Level, ...]
    n: tuple[int, ...]
    value: Floats
    se: Floats
    back: Floats
    comparison: Comparison | None

    @property
    def factors(self) -> tuple[str, ...]:
        return self.source.term.factors


@dataclass(frozen=True, slots=True)
class Contrast:
    """levels: of the factor, as long as the coefficients."""

    factor: str
    levels: tuple[str, ...]
    coefficients: tuple[float, ...]
    value: float
    se: float
    df: float
    p: float


@dataclass(frozen=True, eq=False)
class Analysis:
    """by_sums: whether the trial is complete and orthogonal; else by REML, or least squares where variances has the error alone.

    variances: of each random term, the residual last; () by sums. cv: of each error, its standard deviation in % of the mean, on the plain
    scale alone.
    """

    question: Question
    gathered: Gathered
    by_sums: bool
    sources: tuple[Source, ...]
    variances: tuple[tuple[Term, float], ...]
    cv: tuple[tuple[Term, float], ...]
    grand_mean: float
    means: tuple[Means, ...]
    responses: tuple[Response, ...]
    densities: tuple[tuple[str, Density | None], ...]
    contrasts: tuple[Contrast, ...]
    spreads: tuple[Spread, ...]
    residuals: Floats
    residual_map: FieldMap | None

    def is_significant(self, source: Source) -> bool:
        return source.p is not None and source.p <= self.question.level


def analyse(rows: Plots, question: Question, guards: Marks | None = None) -> Analysis:
    """Analyse the rows of a table. values: NaN where missing; guards: the rows that are in no mean.

    Raises TrialProblem where the rows are not the trial that the layout has.
    """
    gathered = gather(rows, question.layout, guards, question.sampled)
    layout = gathered.layout
    _refuse_many(len(gathered.plots), MOST_PLOTS, "")
    plots = gathered.plots.with_values(_scaled(gathered, question.scale))
    terms = layout.terms()
    by_sums = not DESIGNS[layout.design].solved and is_orthogonal(plots, terms)
    fit: SumsFit | MixedFit = SumsFit(plots, terms) if by_sums else _mixed(plots, layout)
    sources = _in_order(fit.sources, terms)
    untested = layout.columns[MAIN] if any(t.kind == UNTESTED for t in terms) else ()
    tables = tuple(
        _means(fit, plots, source, question, untested) for source in sources if _is_treatment(source)
    )
    variances = fit.variances if isinstance(fit, MixedFit) else ()
    return Analysis(
        question,
        gathered,
        by_sums,
        sources,
        variances,
        _cv(sources, variances, float(plots.values.mean())) if question.scale == PLAIN else (),
        float(plots.values.mean()),
        tables,
        _responses(fit, plots, sources, question),
        tuple((name, _density(fit, plots, sources, question, name)) for name in question.densities),
        _contrasts(fit, plots, question, untested),
        _spreads(fit, plots, (*layout.factors(), *question.groups)),
        fit.residuals,
        _map(plots, fit.residuals, question),
    )


def _scaled(gathered: Gathered, scale: str) -> Floats:
    """The values of the plots on a scale: samples are averaged as they were measured."""
    try:
        return on_scale(gathered.plots.values, scale)
    except TrialProblem as wrong:
        rows = [row for n in wrong.rows for row in gathered.rows[n]]
        raise TrialProblem(str(wrong), rows) from wrong


def _is_treatment(source: Source) -> bool:
    return source.term.kind in (TREATMENT, UNTESTED)


def _refuse_many(count: int, most: int, when: str) -> None:
    if count > most:
        raise TrialProblem(f"{count:,} plots{when}; up to {most:,} are analysed: take a part of the table")


def _mixed(plots: Plots, layout: Layout) -> MixedFit:
    _refuse_many(len(plots), MOST_BY_REML, " in a trial with plots missing, or of incomplete blocks")
    try:
        return MixedFit(plots, layout)
    except NotSeparable as wrong:
        factors = str(wrong).split(" x ")
        term = Term(tuple(factors), TREATMENT)
        lost = [" ".join(level) for level in missing_combinations(plots, term)]
        which = f": no plot has {', '.join(lost[:5])}" if lost else ""
        hint = "; leave the interactions out, or the levels that lack plots" if len(factors) > 1 else ""
        raise TrialProblem(
            f"the effect of {wrong} cannot be told apart from the others{which}{hint}"
        ) from wrong
    except ValueError as wrong:
        raise TrialProblem(str(wrong)) from wrong


def _in_order(sources: Sequence[Source], terms: Sequence[Term]) -> tuple[Source, ...]:
    return tuple(sorted(sources, key=lambda source: terms.index(source.term)))


def _means(fit: Fit, plots: Plots, source: Source, question: Question, untested: Sequence[str]) -> Means:
    cells = cells_of(plots, source.term.factors)
    value, se, _ = fit.means(cells)
    if {*untested} & {*cells.factors}:
        se = np.full(len(value), np.nan)
    by_plots = question.layout.design == AUGMENTED
    few = len(cells.levels) <= MOST_CELLS
    comparison = compare(fit, cells, question.level, untested, by_plots) if few else None
    counts = tuple(int(n) for n in cells.counts)
    return Means(source, cells.levels, counts, value, se, SCALES[question.scale].back(value), comparison)


def _cv(
    sources: Sequence[Source], variances: Sequence[tuple[Term, float]], mean: float
) -> tuple[tuple[Term, float], ...]:
    """The coefficient of variation of each error, %."""
    if not mean > 0:
        return ()
    errors = [(s.term, s.ms) for s in sources if s.term.kind == ERROR and s.ms] or variances[-1:]
    return tuple((term, 100 * ms**0.5 / mean) for term, ms in errors)


def _responses(fit: Fit, plots: Plots, sources: Sequence[Source], question: Question) -> tuple[Response, ...]:
    by_factors = {source.term.factors: source for source in sources}
    found = []
    for name in question.responses:
        cells = cells_of(plots, (name,))
        one = response(fit, cells, by_factors[(name,)].p, question.level, question.rulers.get(name))
        if one is None:
            raise TrialProblem(_why_no_response(name, [level[0] for level in cells.levels]))
        found.append(one)
    return tuple(found)


def _why_no_response(factor: str, levels: Sequence[str]) -> str:
    words = [level for level in levels if number_of(level) is None]
    if words:
        named = ", ".join(levels[:5])
        return f"{factor} has levels that are no numbers or dates: {named}; write numbers, or dates as 2027-06-09"
    return f"{factor} has two levels that are the same number: {', '.join(levels[:5])}; write each in one way"


def _density(
    fit: Fit, plots: Plots, sources: Sequence[Source], question: Question, factor: str
) -> Density | None:
    """The curve of the means on plants per area; None where levels or means are not over 0, or too few."""
    cells = cells_of(plots, (factor,))
    ruler = question.density_rulers.get(factor)
    numbers = [ruler.numbers.get(level[0]) if ruler else number_of(level[0]) for level in cells.levels]
    p = next((source.p for source in sources if source.term.factors == (factor,)), None)
    x = np.array([number or 0.0 for number in numbers])
    return density(x, fit.means(cells).value, p is not None and p <= question.level)


def _contrasts(fit: Fit, plots: Plots, question: Question, untested: Sequence[str]) -> tuple[Contrast, ...]:
    rows = [(name, row) for name, several in question.contrasts.items() for row in several]
    return tuple(_contrast(fit, cells_of(plots, (name,)), row, untested) for name, row in rows)


def _contrast(fit: Fit, cells: Cells, row: Sequence[float], untested: Sequence[str]) -> Contrast:
    name = cells.factors[0]
    if len(row) != len(cells.levels):
        levels = ", ".join(level[0] for level in cells.levels)
        raise TrialProblem(
            f"a contrast of {name} has {len(row)} numbers; write {len(cells.levels)}, in the order {levels}"
        )
    if abs(sum(row)) > 1e-9 * max(map(abs, row)) or not any(row):
        raise TrialProblem(
            f"the numbers of a contrast of {name} add up to {sum(row):g}; they must add up to 0"
        )
    value, se, df = (float(part[0]) for part in fit.combined(cells, np.array([row], dtype=float)))
    known = name not in untested and se > 0 and np.isfinite(df)
    nothing = float("nan")
    p = t_two_tails(value / se, df) if known else nothing
    names = tuple(level[0] for level in cells.levels)
    return Contrast(name, names, tuple(row), value, se if known else nothing, df if known else nothing, p)


def _spreads(fit: SumsFit | MixedFit, plots: Plots, factors: Sequence[str]) -> tuple[Spread, ...]:
    found = (spread(plots, fit.residuals, fit.residual_df, name) for name in factors)
    return tuple(one for one in found if one is not None)


def _map(plots: Plots, residuals: Floats, question: Question) -> FieldMap | None:
    row, column = question.row, question.column
    if not row and not column:
        row, column = ("".join(question.layout.columns.get(role, ())) for role in (ROW, COLUMN))
    return field_map(plots, residuals, row, column) if row and column else None
