"""The tables of a trial's analysis in lines of 80 cells: sources of variation, means, residuals on the ground."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, hanging
from calendar_tui.nature.field_analysis.analysis import MOST_CELLS, Analysis, Means
from calendar_tui.nature.field_analysis.comparisons import Kind
from calendar_tui.nature.field_analysis.designs import ERROR, Term
from calendar_tui.nature.field_analysis.diagnostics import FieldMap
from calendar_tui.nature.field_analysis.scales import PLAIN
from calendar_tui.season.cells import cell_len, cut_text, filled, filled_before
from calendar_tui.season.wording import days_in_words

_NAME, _LEAST_P = 28, 0.0001
_CELL, _WIDEST_HEAD, _LABEL = 8, 13, 10


def term_text(term: Term) -> str:
    """ "gen x nitro"; the residual is that of plots."""
    return "plots" if term.is_residual else " x ".join(term.factors)


def p_text(p: float) -> str:
    if p < _LEAST_P:
        return f"<{_LEAST_P}"
    return f"{p:.4f}" if p < 0.01 else f"{p:.3f}"


def plain_number(number: float) -> str:
    """Four digits, without an exponent where a person would write none."""
    if number and not 1e-4 <= abs(number) < 1e7:
        return f"{number:.3e}"
    decimals = 3 - math.floor(math.log10(abs(number))) if number else 0
    return f"{number:.{max(decimals, 0)}f}"


def figure_text(number: float) -> str:
    return f"{number:.6g}"


def span_text(span: tuple[float, float]) -> str:
    """One figure, or two where the lowest and the highest differ."""
    low, high = map(plain_number, span)
    return low if low == high else f"{low} to {high}"


def source_lines(analysis: Analysis) -> Iterator[str]:
    """The analysis of variance; without sums of squares by REML."""
    if analysis.by_sums:
        yield f"{'source of variation':<{_NAME}}{'df':>5}{'SS':>13}{'MS':>13}{'F':>10}{'p':>9}"
    else:
        yield f"{'source of variation':<{_NAME}}{'df':>5}{'error df':>13}{'':13}{'F':>10}{'p':>9}"
    for source in analysis.sources:
        is_error = source.term.kind == ERROR
        name = f"  error ({term_text(source.term)})" if is_error else term_text(source.term)
        f, p = (
            ("", "") if source.f is None or source.p is None else (plain_number(source.f), p_text(source.p))
        )
        if analysis.by_sums:
            middle = f"{_sum_text(source.ss):>13}{_sum_text(source.ms):>13}"
        else:
            middle = f"{'' if source.error_df is None else f'{source.error_df:.1f}':>13}{'':13}"
        yield f"{_fitted(name, _NAME)}{source.df:>5}{middle}{f:>10}{p:>9}".rstrip()


def _sum_text(number: float | None) -> str:
    if number is None:
        return ""
    return f"{number:.0f}" if 1e6 <= abs(number) < 1e11 else f"{number:.6g}"


def means_lines(analysis: Analysis, means: Means, factor: float = 1.0) -> Iterator[str]:
    """A term's means with their errors, differences and letters. Of an interaction that is not significant, a table alone.

    factor: of means that are turned back.
    """
    yield from hanging(_means_head(analysis, means))
    if len(means.factors) == 2 and not analysis.is_significant(means.source):
        yield from _two_way(means)
    elif len(means.factors) < 3 or analysis.is_significant(means.source):
        yield from _list_lines(analysis, means, factor)


def _means_head(analysis: Analysis, means: Means) -> str:
    """ "gen: p 0.272, not significant. Means of 24 plots, SE 5.01. SED 7.08 (10 df), Tukey 19.4." """
    source, level = means.source, analysis.question.level
    name = " x ".join(means.factors)
    if source.p is None:
        verdict = "not tested"
    else:
        verdict = f"p {p_text(source.p)}, {'' if source.p <= level else 'not '}significant at {level:g}"
    counts = (min(means.n), max(means.n))
    one, several = analysis.gathered.units
    many = (
        f"{counts[0]} to {counts[1]} {several}"
        if counts[0] < counts[1]
        else count_text(counts[0], one, several)
    )
    plots = f"Means of {many} each."
    return " ".join((f"{name}: {verdict}.", plots, *kinds_texts(analysis, means)))


def kinds_texts(analysis: Analysis, means: Means) -> Iterator[str]:
    """How far two means must lie apart, by what they differ in; or why nothing tells."""
    if means.comparison is not None:
        for kind in means.comparison.kinds:
            yield _kind_text(kind, analysis, means)
    elif len(means.levels) > 1 and means.source.p is not None:
        many = len(means.levels) > MOST_CELLS
        yield "So many means are not compared pair by pair." if many else "Nothing tests their differences."


def _kind_text(kind: Kind, analysis: Analysis, means: Means) -> str:
    """The errors of pairs that differ in the same factors."""
    which = "" if len(means.factors) == 1 else f"Differing in {' and '.join(kind.differing)}: "
    if kind.plots is not None:
        which += f"Means of {kind.plots[0]} and {kind.plots[1]} {analysis.gathered.units[1]}: "
    low, high = (f"{df:.3g}" for df in kind.df)
    df = low if low == high else f"{low} to {high}"
    lsd = f", LSD {span_text(kind.lsd)}" if analysis.is_significant(means.source) else ""
    tukey = f", Tukey {span_text(kind.tukey)}" if means.comparison and means.comparison.by_tukey[0] else ""
    return f"{which}SED {span_text(kind.sed)} ({df} df){lsd}{tukey}."


def _decimals(means: Means) -> int:
    """So many that the error has two digits, or the means four."""
    errors = [e for e in means.se if e > 0] or [
        k.sed[0] for k in (means.comparison.kinds if means.comparison else ())
    ]
    size = min(errors) / 10 if errors else max(map(abs, means.value)) / 1000 or 1.0
    return min(max(0, -math.floor(math.log10(size))), 8)


def _list_lines(analysis: Analysis, means: Means, factor: float) -> Iterator[str]:
    """A line a mean: level, n, mean, SE, letters by LSD after a significant F, and by Tukey."""
    columns = [column for column in _columns(analysis, means, factor) if any(column[2])]
    for line in zip(*(_column_cells(*column) for column in columns), strict=True):
        yield cut_text("".join(line).rstrip(), WIDTH)


def _columns(analysis: Analysis, means: Means, factor: float) -> Iterator[tuple[str, bool, list[str]]]:
    """Head, whether at the left, and cells of each column."""
    decimals = _decimals(means)
    yield ", ".join(means.factors), True, [days_in_words(", ".join(level)) for level in means.levels]
    yield "n", False, [str(n) for n in means.n]
    yield "mean", False, [f"{value:.{decimals}f}" for value in means.value]
    yield "SE", False, ["" if math.isnan(se) else f"{se:.{decimals}f}" for se in means.se]
    if analysis.question.scale != PLAIN:
        yield "turned back", False, [plain_number(factor * float(back)) for back in means.back]
    if means.comparison is not None:
        if analysis.is_significant(means.source):
            yield "LSD", True, list(means.comparison.by_lsd)
        yield "Tukey", True, list(means.comparison.by_tukey)


def _column_cells(head: str, is_left: bool, cells: Sequence[str]) -> list[str]:
    """Filled to one width, behind two blanks."""
    texts = [cut_text(text, _NAME) for text in (head, *cells)]
    width = max(map(cell_len, texts))
    fill = filled if is_left else filled_before
    return ["  " + fill(text, width) for text in texts]


def _two_way(means: Means) -> Iterator[str]:
    """A table of two factors: a line a level of the first, a column one of the second; in pieces where they are many."""
    rows = list(dict.fromkeys(level[0] for level in means.levels))
    columns = list(dict.fromkeys(level[1] for level in means.levels))
    decimals = _decimals(means)
    value = {level: f"{v:.{decimals}f}" for level, v in zip(means.levels, means.value, strict=True)}
    heads = {name: days_in_words(name) for name in columns}
    longest = min(max(map(cell_len, heads.values())) + 1, _WIDEST_HEAD)
    width = max(_CELL, longest, *(len(text) + 1 for text in value.values()))
    room = (WIDTH - _NAME - 2) // width
    for start in range(0, len(columns), room):
        piece = columns[start : start + room]
        yield f"  {_fitted(' by '.join(means.factors), _NAME)}{_cells([heads[name] for name in piece], width)}"
        for row in rows:
            cells = "".join(f"{value.get((row, name), '-'):>{width}}" for name in piece)
            yield f"  {_fitted(days_in_words(row), _NAME)}{cells}"


def field_lines(residuals: FieldMap) -> Iterator[str]:
    """Residuals where the plots lie, in standard deviations, in pieces of columns that fit."""
    yield from hanging(
        "Residuals where the plots lie, in standard deviations: rows down, columns across; means at the ends. A run of one sign "
        "is a trend of the ground that the design does not take out."
    )
    width = 6
    room = (WIDTH - _LABEL - width) // width
    numbers = range(len(residuals.columns))
    for start in range(0, len(residuals.columns), room):
        piece = numbers[start : start + room]
        last = piece[-1] == numbers[-1]
        yield (
            filled("", _LABEL)
            + _cells([residuals.columns[c] for c in piece], width)
            + ("  mean" if last else "")
        )
        for r, row in enumerate(residuals.rows):
            cells = [_tenths(residuals.at[r, c]) if (r, c) in residuals.at else "" for c in piece]
            end = f"{_tenths(residuals.row_means[r]):>{width}}" if last else ""
            yield (_fitted(row, _LABEL) + _cells(cells, width) + end).rstrip()
        yield filled("mean", _LABEL) + _cells([_tenths(residuals.column_means[c]) for c in piece], width)


def _tenths(number: float) -> str:
    return f"{round(number, 1) + 0.0:.1f}"


def _cells(texts: Sequence[str], width: int) -> str:
    return "".join(filled_before(cut_text(text, width - 1), width) for text in texts)


def _fitted(text: str, width: int) -> str:
    """The text in just so many cells, one of them blank at the end."""
    return filled(text if cell_len(text) < width else cut_text(text, width - 1), width)
