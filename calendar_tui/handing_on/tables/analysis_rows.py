"""A trial's analysis as plain data for JSON; null where nothing tests or measures it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

from calendar_tui.nature.field_analysis.analysis import Analysis, Contrast, Means
from calendar_tui.nature.field_analysis.comparisons import Comparison
from calendar_tui.nature.field_analysis.designs import Term
from calendar_tui.nature.field_analysis.estimates import Source
from calendar_tui.nature.field_analysis.response import Part, Response
from calendar_tui.nature.field_analysis.under_limit import Counted

Row = dict[str, Any]
_FIGURES = ("df", "ss", "ms", "f", "error_df", "p")


def analysis_row(analysis: Analysis, value: str, rows: Sequence[Any], row_is: str = "line") -> Row:
    """All that is numbers. value: what was measured; rows: the line of a file, or the plot, of each row of the table."""
    return {
        **_trial(analysis, value, rows, row_is),
        "sources": list(map(_source, analysis.sources)),
        "variances": [{"source": _term(term), "variance": v} for term, v in analysis.variances],
        "cv_percent": [{"error": _term(term), "cv": percent} for term, percent in analysis.cv],
        "means": [_means(analysis, means) for means in analysis.means],
        "contrasts": list(map(_contrast, analysis.contrasts)),
        "responses": list(map(_response, analysis.responses)),
        "densities": [
            {
                "factor": factor,
                **({} if ruler is None else {"unit": ruler.unit, "densities": dict(ruler.numbers)}),
                **({} if curve is None else asdict(curve)),
            }
            for factor, curve in analysis.densities
            for ruler in (analysis.question.density_rulers.get(factor),)
        ],
        "spread": [
            {"factor": s.factor, "chi_square": s.chi_square, "df": s.df, "p": s.p} for s in analysis.spreads
        ],
        "residuals": _residuals(analysis, rows, row_is),
    }


def _trial(analysis: Analysis, value: str, rows: Sequence[Any], row_is: str) -> Row:
    """The trial and its table."""
    gathered, question, sampling = analysis.gathered, analysis.question, analysis.gathered.sampling
    samples = (
        None
        if sampling is None
        else {"fewest": sampling.fewest, "most": sampling.most, "df": sampling.df, "ms": sampling.ms}
    )
    return {
        "value": value,
        "design": gathered.layout.design,
        "columns": {role: list(names) for role, names in gathered.layout.columns.items()},
        "scale": question.scale,
        "level": question.level,
        "method": _method(analysis),
        "plots": len(gathered.plots),
        f"missing_{row_is}s": [rows[row] for row in gathered.missing],
        "absent": [list(level) for level in gathered.absent],
        "rows_left_out": gathered.guards,
        "samples": samples,
    }


def _source(source: Source) -> Row:
    return {
        "source": _term(source.term),
        "kind": source.term.kind,
        **dict(zip(_FIGURES, source[1:], strict=True)),
    }


def _contrast(one: Contrast) -> Row:
    return {
        "factor": one.factor,
        "levels": list(one.levels),
        "coefficients": list(one.coefficients),
        "value": one.value,
        **_numbers(se=one.se, df=one.df, p=one.p),
    }


def under_limit_row(found: Iterable[Counted], factors: Sequence[str], value: str) -> Row:
    """Where some values are under a limit: no means, no tests."""
    return {
        "value": value,
        "factors": list(factors),
        "under_limit": [
            {
                "level": list(one.level),
                "n": one.n,
                "under": one.under,
                "median": one.median,
                "lowest_measured": one.lowest,
                "highest_measured": one.highest,
            }
            for one in found
        ],
    }


def _method(analysis: Analysis) -> str:
    if analysis.by_sums:
        return "sums of squares"
    return "REML, Satterthwaite" if len(analysis.variances) > 1 else "least squares"


def _term(term: Term) -> str:
    return "plots" if term.is_residual else " x ".join(term.factors)


def _numbers(**figures: float) -> Row:
    return {name: None if math.isnan(figure) else float(figure) for name, figure in figures.items()}


def _means(analysis: Analysis, means: Means) -> Row:
    comparison = means.comparison
    significant = analysis.is_significant(means.source)
    return {
        "factors": list(means.factors),
        "p": means.source.p,
        "significant": significant if means.source.p is not None else None,
        "means": [
            {
                "level": list(level),
                "n": means.n[n],
                "mean": float(means.value[n]),
                "turned_back": float(means.back[n]),
                **_numbers(se=float(means.se[n])),
                "lsd_letters": comparison.by_lsd[n] if comparison and significant else None,
                "tukey_letters": comparison.by_tukey[n] if comparison else None,
            }
            for n, level in enumerate(means.levels)
        ],
        "differences": [] if comparison is None else _differences(comparison, means),
    }


def _differences(comparison: Comparison, means: Means) -> list[Row]:
    value, se, df = comparison.pairs.differences
    pairs = enumerate(zip(comparison.pairs.first, comparison.pairs.second, strict=True))
    return [
        {
            "first": list(means.levels[i]),
            "second": list(means.levels[j]),
            "difference": float(value[n]),
            **_numbers(sed=float(se[n]), df=float(df[n]), p_t=comparison.lsd_p[n]),
            **({} if comparison.tukey_p is None else _numbers(p_tukey=comparison.tukey_p[n])),
        }
        for n, (i, j) in pairs
    ]


def _response(one: Response) -> Row:
    return {
        "factor": one.factor,
        "x": list(one.x),
        "unit": one.unit or None,
        "days_from": one.from_date or None,
        "parts": list(map(_part, one.parts)),
        "slope": one.slope[0],
        **_numbers(slope_se=one.slope[1]),
        "optimum": None if one.optimum is None else {"x": one.optimum.x, "is": one.optimum.which},
        "why_none": one.why_none or None,
    }


def _part(part: Part) -> Row:
    return {"name": part.name, "df": part.df, "f": part.f, "error_df": part.error_df, "p": part.p}


def _residuals(analysis: Analysis, rows: Sequence[Any], row_is: str) -> list[Row]:
    """Each plot of the analysis, by the rows that it was made of."""
    pairs = zip(analysis.gathered.rows, analysis.residuals, strict=True)
    return [
        {f"{row_is}s": list(dict.fromkeys(rows[row] for row in made_of)), "residual": float(residual)}
        for made_of, residual in pairs
    ]
