"""A trial's analysis as plain text: what was measured how, tests, means, differences, responses, and what it does not show."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from calendar_tui.handing_on.words.analysis_notes import Shown, does_not_show, remarks
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
from calendar_tui.nature.field_analysis.response import Density, Response, Ruler
from calendar_tui.nature.field_analysis.scales import PLAIN, SCALES
from calendar_tui.nature.field_analysis.under_limit import Counted
from calendar_tui.season.wording import days_in_words


def analysis_text(analysis: Analysis, shown: Shown, notes: Sequence[str]) -> Iterator[str]:
    """All of it. notes: what is odd about the values or their labels."""
    yield from figures_text(analysis, shown, notes)
    yield from not_shown_text(does_not_show(analysis))


def figures_text(analysis: Analysis, shown: Shown, notes: Sequence[str]) -> Iterator[str]:
    """What was measured how, tests, means, differences, responses, residuals."""
    yield from hanging(head_text(analysis, shown.value))
    for sentence in (*notes, *remarks(analysis, shown)):
        yield from hanging(days_in_words(sentence))
    yield ""
    yield from source_lines(analysis)
    yield from hanging(error_text(analysis))
    for means in analysis.means:
        yield ""
        yield from means_lines(analysis, means, shown.factor)
    for sentence in answer_texts(analysis, shown.factor):
        yield ""
        yield from hanging(sentence)
    if analysis.residual_map is not None:
        yield ""
        yield from field_lines(analysis.residual_map)


def not_shown_text(sentences: Iterable[str]) -> Iterator[str]:
    yield ""
    yield "What this does not show:"
    for sentence in sentences:
        yield from wrapped(sentence, "  ", first="- ")


def answer_texts(analysis: Analysis, factor: float = 1.0) -> Iterator[str]:
    """Contrasts, then what the mean answers to a date, a spacing, a rate, a density."""
    for contrast in analysis.contrasts:
        yield days_in_words(contrast_text(contrast))
    for one in analysis.responses:
        yield days_in_words(response_text(one, analysis, factor))
    for name, curve in analysis.densities:
        yield density_text(name, curve, analysis.question.density_rulers.get(name))


def head_text(analysis: Analysis, value: str) -> str:
    """ "yield: split plot; block, main gen, sub nitro; 72 plots." """
    layout, gathered = analysis.gathered.layout, analysis.gathered
    roles = ", ".join(
        role if names == (role,) else f"{role} {' and '.join(names)}"
        for role, names in layout.columns.items()
    )
    scale = analysis.question.scale
    on_it = "" if scale == PLAIN else f", analysed as {SCALES[scale].words}"
    return f"{value}{on_it}: {layout.design}; {roles}; {count_text(len(gathered.plots), *gathered.units)}."


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
    return f"{how} {cv_text(analysis)}".rstrip()


def cv_text(analysis: Analysis) -> str:
    """ "CV 16.3 % (block x date), 4.9 % (plots)." """
    cv = ", ".join(f"{percent:.1f} % ({term_text(term)})" for term, percent in analysis.cv)
    return f"CV {cv}." if cv else ""


def contrast_text(one: Contrast) -> str:
    pairs = zip(one.levels, one.coefficients, strict=True)
    coefficients = ", ".join(f"{level} {round(c, 4):g}" for level, c in pairs if c)
    if math.isnan(one.p):
        return f"Contrast of {one.factor} ({coefficients}): {plain_number(one.value)}; nothing tests it."
    return (
        f"Contrast of {one.factor} ({coefficients}): {plain_number(one.value)}, SE {plain_number(one.se)}, "
        f"{one.df:.3g} df, p {p_text(one.p)}."
    )


def response_text(one: Response, analysis: Analysis, factor: float = 1.0) -> str:
    """ "Response to nitro: linear p <0.0001, ...; a unit more changes the mean by 73.7 (SE 7.0). No optimum: ..." """
    more = f"1 {one.unit} more" if one.unit else "a unit more"
    unit = f"a day later than {one.from_date}" if one.from_date else more
    parts = ", ".join(
        f"{part.name} {'not tested' if part.p is None else 'p ' + p_text(part.p)}" for part in one.parts
    )
    slope, se = one.slope
    error = "" if math.isnan(se) else f" (SE {plain_number(se)})"
    on_scale = "" if analysis.question.scale == PLAIN else ", on the scale of the analysis"
    text = f"Response to {one.factor}: {parts}. Along a straight line {unit} changes the mean by {plain_number(slope)}{error}{on_scale}."
    if one.optimum is None:
        return f"{text} No optimum is given: {one.why_none}."
    span = f"{min(one.x):g} to {max(one.x):g}"
    days = f" days after {one.from_date}" if one.from_date else f" {one.unit}".rstrip()
    best = factor * float(SCALES[analysis.question.scale].back(np.array(one.optimum.value)))
    return (
        f"{text} The {one.optimum.which} of the parabola is at {plain_number(one.optimum.x)}{days}, with "
        f"{plain_number(best)} there, inside the levels tried ({span}). It is a likely figure, without its error."
    )


def density_text(factor: str, curve: Density | None, ruler: Ruler | None = None) -> str:
    """What the curve of yield on plants per area has for its best density, if anything."""
    if curve is None:
        return f"Density {factor}: no curve; it needs three levels or more, all of them and all means over 0."
    per = f", density in {ruler.unit}" if ruler else ""
    text = f"Density {factor}: mean = {curve.a:.4g} x density x {curve.k:.4g}^density{per}."
    if curve.best is None:
        return f"{text} No best density is given: {curve.why_none}."
    unit = f" {ruler.unit}" if ruler else ""
    return f"{text} Its top is at {plain_number(curve.best)}{unit}, inside the densities that were tried. It is a likely figure, without its error."


def under_limit_text(counted: Sequence[Counted], factors: Sequence[str], value: str) -> Iterator[str]:
    """Where some values are under a limit."""
    under, n = sum(one.under for one in counted), sum(one.n for one in counted)
    yield from hanging(
        f"{value}: {under} of {n} values are under a limit. No number is made of them, so there is no mean and no test; a "
        "median stands where more than half are measured."
    )
    yield ""
    names = ", ".join(factors)
    yield f"{names:<30}{'n':>5}{'under':>7}{'median':>10}  measured"
    for one in counted:
        median = "-" if one.median is None else figure_text(one.median)
        span = "-" if one.lowest is None or one.highest is None else span_text((one.lowest, one.highest))
        yield f"{days_in_words(', '.join(one.level)):<30}{one.n:>5}{one.under:>7}{median:>10}  {span}"
