"""A trial's analysis as plain text: what was measured how, tests, means, differences, responses, and what it does not show."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from calendar_tui.handing_on.words.analysis_notes import does_not_show, remarks
from calendar_tui.handing_on.words.analysis_tables import (
    field_lines,
    figure_text,
    means_lines,
    p_text,
    plain_number,
    source_lines,
    span_text,
    term_text,
)
from calendar_tui.handing_on.words.plain_text import count_text, hanging, wrapped
from calendar_tui.nature.field_analysis.analysis import Analysis, Contrast
from calendar_tui.nature.field_analysis.designs import Layout
from calendar_tui.nature.field_analysis.response import Density, Response
from calendar_tui.nature.field_analysis.scales import PLAIN, SCALES
from calendar_tui.nature.field_analysis.under_limit import Counted


def analysis_text(
    analysis: Analysis, value: str, lines: Sequence[int], notes: Sequence[str]
) -> Iterator[str]:
    """All of it. value: what was measured; lines: of the file, of each row of the table; notes: what is odd about the labels."""
    yield from hanging(head_text(analysis, value))
    for sentence in (*notes, *remarks(analysis, lines)):
        yield from hanging(sentence)
    yield ""
    yield from source_lines(analysis)
    yield from hanging(error_text(analysis))
    for means in analysis.means:
        yield ""
        yield from means_lines(analysis, means)
    for sentence in (*map(contrast_text, analysis.contrasts), *_responses(analysis)):
        yield ""
        yield from hanging(sentence)
    if analysis.residual_map is not None:
        yield ""
        yield from field_lines(analysis.residual_map)
    yield ""
    yield "What this does not show:"
    for sentence in does_not_show(analysis):
        yield from wrapped(sentence, "  ", first="- ")


def head_text(analysis: Analysis, value: str) -> str:
    """ "yield: split plot; block: block, main: gen, sub: nitro; 72 plots." """
    layout, gathered = analysis.gathered.layout, analysis.gathered
    roles = ", ".join(f"{role} {' and '.join(names)}" for role, names in layout.columns.items())
    scale = analysis.question.scale
    on_it = "" if scale == PLAIN else f", analysed as {SCALES[scale].words}"
    return f"{value}{on_it}: {layout.design}; {roles}; {count_text(len(gathered.plots), 'plot')}."


def error_text(analysis: Analysis) -> str:
    """How it was worked out, the variances or the coefficients of variation."""
    if analysis.by_sums:
        how = "By sums of squares."
    elif len(analysis.variances) == 1:
        how = "By least squares, effects adjusted for one another."
    else:
        how = "By REML, degrees of freedom of the error by Satterthwaite."
    variances = [f"{term_text(term)} {plain_number(variance)}" for term, variance in analysis.variances]
    if variances:
        how += f" Variances: {', '.join(variances)}."
    cv = ", ".join(f"{percent:.1f} % ({term_text(term)})" for term, percent in analysis.cv)
    return f"{how} CV {cv}." if cv else how


def contrast_text(one: Contrast) -> str:
    pairs = zip(one.levels, one.coefficients, strict=True)
    coefficients = ", ".join(f"{level} {round(c, 4):g}" for level, c in pairs if c)
    if math.isnan(one.p):
        return f"Contrast of {one.factor} ({coefficients}): {plain_number(one.value)}; nothing tests it."
    return (
        f"Contrast of {one.factor} ({coefficients}): {plain_number(one.value)}, SE {plain_number(one.se)}, "
        f"{one.df:.3g} df, p {p_text(one.p)}."
    )


def _responses(analysis: Analysis) -> Iterator[str]:
    for one in analysis.responses:
        yield response_text(one, analysis)
    for factor, curve in analysis.densities:
        yield density_text(factor, curve)


def response_text(one: Response, analysis: Analysis) -> str:
    """ "Response to nitro: linear p <0.0001, ...; a unit more changes the mean by 73.7 (SE 7.0). No optimum: ..." """
    more = f"1 {one.unit} more" if one.unit else "a unit more"
    unit = f"a day later than {one.from_date}" if one.from_date else more
    parts = ", ".join(
        f"{part.name} {'not tested' if part.p is None else 'p ' + p_text(part.p)}" for part in one.parts
    )
    slope, se = one.slope
    error = "" if math.isnan(se) else f" (SE {plain_number(se)})"
    text = f"Response to {one.factor}: {parts}. Along a straight line {unit} changes the mean by {plain_number(slope)}{error}."
    if one.optimum is None:
        return f"{text} No optimum is given: {one.why_none}."
    span = f"{min(one.x):g} to {max(one.x):g}"
    days = f" days after {one.from_date}" if one.from_date else f" {one.unit}".rstrip()
    best = float(SCALES[analysis.question.scale].back(np.array(one.optimum.value)))
    return (
        f"{text} The {one.optimum.which} of the parabola is at {plain_number(one.optimum.x)}{days}, with "
        f"{plain_number(best)} there, inside the levels tried ({span}). It is a likely figure, without its error."
    )


def density_text(factor: str, curve: Density | None) -> str:
    """What the curve of yield on plants per area has for its best density, if anything."""
    if curve is None:
        return f"Density {factor}: no curve; it needs three levels or more, all of them and all means over 0."
    text = f"Density {factor}: mean = {curve.a:.4g} x density x {curve.k:.4g}^density."
    if curve.best is None:
        return f"{text} No best density is given: the curve's top lies outside the densities that were tried."
    return f"{text} Its top is at {plain_number(curve.best)}, inside the densities that were tried."


def under_limit_text(found: Sequence[Counted], layout: Layout, value: str) -> Iterator[str]:
    """Where some values are under a limit."""
    under, n = sum(one.under for one in found), sum(one.n for one in found)
    yield from hanging(
        f"{value}: {under} of {n} values are under a limit. No number is made of them, so there is no mean and no test; a "
        "median stands where more than half are measured."
    )
    yield ""
    names = ", ".join(layout.factors())
    yield f"{names:<30}{'n':>5}{'under':>7}{'median':>10}  measured"
    for one in found:
        median = "-" if one.median is None else figure_text(one.median)
        span = "-" if one.lowest is None or one.highest is None else span_text((one.lowest, one.highest))
        yield f"{', '.join(one.level):<30}{one.n:>5}{one.under:>7}{median:>10}  {span}"
