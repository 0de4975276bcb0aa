"""What is remarkable about a trial's table and fit, and what its analysis does not show, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from calendar_tui.handing_on.words.analysis_tables import p_text
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.nature.field_analysis.analysis import Analysis
from calendar_tui.nature.field_analysis.designs import MAIN, TREATMENT, UNIT, UNTESTED
from calendar_tui.nature.field_analysis.gathering import Sampling
from calendar_tui.nature.field_analysis.plots import Level
from calendar_tui.nature.field_analysis.scales import PLAIN

_MOST_NAMED, _FAR = 6, 3.5
LINE, PLOT = "line", "plot"
_MANY_PAIRS = 6
ONE_SITE = "One trial is one site and one season. Another may answer otherwise."


class Shown(NamedTuple):
    """How an analysis is worded. value: what was measured; rows: the name of each row of its table, a line of a file or a plot.

    factor: by which means that are turned back are multiplied: 100 of shares that are told in percent.
    """

    value: str
    rows: Sequence[str]
    row_is: str = LINE
    factor: float = 1.0


def remarks(analysis: Analysis, shown: Shown) -> Iterator[str]:
    """About the table, then the fit."""
    gathered = analysis.gathered
    if gathered.guards:
        yield f"{count_text(gathered.guards, 'row')} left out of all means, as set."
    if (sampling := gathered.sampling) and sampling.most > 1:
        yield from _sampled(gathered.units[0], sampling)
    if gathered.missing:
        named = _some([shown.rows[row] for row in gathered.missing])
        yield f"{count_text(len(gathered.missing), 'value is', 'values are')} missing: {shown.row_is} {named}."
    if gathered.absent and shown.row_is != PLOT:
        yield f"No value for {_some([' '.join(level) for level in gathered.absent])}{_of_columns(analysis)}."
    yield from _far(analysis)
    yield from _spread(analysis)
    yield from _unit(analysis)
    if not any(source.f is not None for source in analysis.sources):
        yield "Nothing is tested: no degrees of freedom are left for the error, or all plots of a treatment are alike."


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return f"{', '.join(names[:_MOST_NAMED])}{more}"


def _sampled(unit: str, sampling: Sampling) -> Iterator[str]:
    fewest, most, ms = sampling.fewest, sampling.most, sampling.ms
    each = str(fewest) if fewest == most else f"{fewest} to {most}"
    between = (
        "" if ms is None else f" Between those of one {unit} the mean square is {ms:.5g} ({sampling.df} df)."
    )
    yield f"Values are averaged, {each} in each {unit}; samples are no replicates.{between}"


def _of_columns(analysis: Analysis) -> str:
    layout = analysis.gathered.layout
    ground = layout.columns.get("block", ()) if UNIT not in layout.columns else ()
    return f" ({', '.join((*ground, *layout.factors()))})"


def _far(analysis: Analysis) -> Iterator[str]:
    """Plots that lie far from what the model has for them: looked at, not taken out."""
    residuals = analysis.residuals
    scale = float(np.sqrt(np.mean(residuals**2)))
    if not scale > 0:
        return
    columns = [n for names in analysis.gathered.layout.columns.values() for n in names]
    levels: list[Level] = analysis.gathered.plots.levels(columns)
    far = [n for n in np.argsort(-np.abs(residuals)) if abs(residuals[n]) > _FAR * scale]
    for n in far[:_MOST_NAMED]:
        side = "above" if residuals[n] > 0 else "below"
        yield (
            f"Look at the plot {' '.join(levels[n])}: it is {abs(residuals[n]) / scale:.1f} standard deviations {side} "
            "what its treatment and ground have. It is in all figures."
        )


def _spread(analysis: Analysis) -> Iterator[str]:
    for one in analysis.spreads:
        if one.p <= analysis.question.level:
            (narrow, least), (wide, most) = one.narrow, one.wide
            yield (
                f"The spread differs between the levels of {one.factor} (Bartlett's chi-square {one.chi_square:.1f}, {one.df} df, p {p_text(one.p)}): standard deviation "
                f"{least:.3g} of {narrow}, {most:.3g} of {wide}. One error for all is wrong for them; try another --scale, or "
                "compare those alone that are alike."
            )


def _unit(analysis: Analysis) -> Iterator[str]:
    layout = analysis.gathered.layout
    if UNIT not in layout.columns or layout.replicated:
        return
    applied = " and ".join(layout.columns.get(MAIN, layout.factors()))
    yield (
        f"One {layout.columns[UNIT][0]} for each level of {applied}: its error has no degrees of freedom, levels x (units a "
        f"level - 1) = 0. Its means have no test; what differs may be the {layout.columns[UNIT][0]}."
    )


def does_not_show(analysis: Analysis) -> Iterator[str]:
    """What must not be read out of it."""
    yield ONE_SITE
    yield "That a difference is not significant does not show that there is none: it may be smaller than the LSD."
    yield (
        "It holds for a trial that was drawn at random as its design has it, and for errors that are near normal and alike. The "
        "table does not show whether it was."
    )
    if any(means.comparison and len(means.levels) > _MANY_PAIRS for means in analysis.means):
        yield "LSD is for comparisons planned beforehand: of many pairs, one in twenty is over it by chance. Tukey holds for all of them."
    interactions = [m for m in analysis.means if len(m.factors) > 1 and analysis.is_significant(m.source)]
    if interactions:
        names = ", ".join(" x ".join(means.factors) for means in interactions)
        yield f"{names} is significant: the means of one factor alone are averages over unlike answers."
    if analysis.question.scale != PLAIN:
        yield "Means turned back are no arithmetic means; tests, SE and letters belong to the scale of the analysis."
    if not analysis.by_sums and len(analysis.variances) > 1:
        yield "SE of a mean has the blocks in it; compare means by SED. F is near enough, not exact, where plots are missing."
    if any(source.term.kind == UNTESTED for source in analysis.sources):
        tested = [s.term.factors[-1] for s in analysis.sources if s.term.kind == TREATMENT]
        yield f"The tests of {', '.join(dict.fromkeys(tested))} hold for these places alone."
