"""What was found in the trials of a growers' page: means of each measure with n, errors, letters, and the plots themselves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.report.answers import Answer, answers_svg
from calendar_tui.handing_on.report.parts import (
    Drawing,
    Listed,
    Part,
    Section,
    Table,
    Text,
    numbered,
    section,
)
from calendar_tui.handing_on.words.analysis_tables import kinds_texts, p_text
from calendar_tui.handing_on.words.analysis_text import cv_text, density_text
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.nature.field_analysis.analysis import Analysis
from calendar_tui.nature.field_analysis.plots import number_of
from calendar_tui.nature.field_analysis.response import LINEAR, Response
from calendar_tui.nature.field_analysis.scales import PLAIN
from calendar_tui.planning.trial_analysis.analysed import Analysed, MeanRow, MeansTable
from calendar_tui.planning.trials.ground_map import level_name
from calendar_tui.season.trials import VARIETY
from calendar_tui.season.wording import year_day_text

_WIDE = 180.0
# Of more means a drawing shows nothing.
_MOST_DRAWN = 16
_DRY = "dry"
_WEIGHTS = ("kg", "g", "t", "lb")
_LETTERS = ("LSD", "Tukey")
_NOTHING = "Nothing is recorded in the plots yet, so there is nothing to compare."


def measure_sections(analyses: Sequence[Analysed], several_trials: bool) -> Iterator[Section]:
    """A section for each measure, in the order in which they were asked for."""
    if not analyses:
        yield section("What was found", (), _NOTHING)
    for one in analyses:
        of = f"{one.trial.id}: " if several_trials else ""
        place = f", {one.place}" if one.place else ""
        yield section(f"{of}{_capital(one.measure.name)}{place}", list(_measure(one)), _NOTHING)


def _measure(one: Analysed) -> Iterator[Part]:
    yield Text(_how(one))
    if one.problem:
        yield Text(f"Not analysed: {one.problem}.")
    yield from _under_limit(one)
    yield from _words(one)
    tables = [table for table in one.tables if _is_shown(table)]
    for table in tables:
        yield _table(one, table)
        if 1 < len(table.rows) <= _MOST_DRAWN and len(table.factors) < 3:
            yield _drawing(one, table)
    yield from density_drawings(one)
    if one.analysis is not None and (answers := tuple(_answers(one, one.analysis))):
        yield Listed(answers)
    if one.remarks:
        yield Listed(one.remarks)


def _how(one: Analysed) -> str:
    """ "Height in cm, on 12 Jan 2027; ground to the tip. 12 plots have a value." """
    unit = f" in {one.measure.unit}" if one.measure.unit else ""
    days = [year_day_text(day) for day in one.days]
    when = "" if not days else f", {days[0]}" if len(days) == 1 else f", {days[0]} to {days[-1]}"
    how = "; ".join(filter(None, (one.measure.method, one.measure.definition)))
    valued = f" {count_text(len(one.values), 'plot has', 'plots have')} a value." if one.values else ""
    rounds = f" Measured {len(one.rounds)} times; this is the last." if len(one.rounds) > 1 else ""
    return f"{_capital(one.measure.name)}{unit}{when}{f'; {how}' if how else ''}.{rounds}{valued}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _is_shown(table: MeansTable) -> bool:
    """Of combinations only those whose factors answer together: else each factor by itself says it."""
    return len(table.factors) == 1 or bool(table.is_significant)


def _table(one: Analysed, table: MeansTable) -> Table:
    decimals = _decimals(table.rows)
    columns = [column for column in _columns(one, table, decimals) if any(column[1])]
    return Table(
        f"{_capital(one.measure.name)} by {' and '.join(table.factors)}",
        tuple(head for head, _ in columns),
        tuple(zip(*(cells for _, cells in columns), strict=True)),
        _note(one, table, decimals),
        frozenset(n for n, (head, _) in enumerate(columns) if head not in (*table.factors, *_LETTERS)),
    )


def _columns(one: Analysed, table: MeansTable, decimals: int) -> Iterator[tuple[str, list[str]]]:
    """Head and cells of each; empty ones are left out. A standard error where plots are analysed as they were measured, else its
    ends, which lie unevenly.
    """
    for n, factor in enumerate(table.factors):
        yield factor, [level_name(factor, row.level[n]) for row in table.rows]
    yield "n", [str(row.n) for row in table.rows]
    yield f"mean{_unit(one)}", [f"{row.mean:.{decimals}f}" for row in table.rows]
    if _is_plain(one):
        yield "SE", ["" if row.se is None else f"{row.se:.{decimals}f}" for row in table.rows]
    else:
        for head, ends in (
            ("less an SE", [row.low for row in table.rows]),
            ("and an SE", [row.high for row in table.rows]),
        ):
            yield head, ["" if end is None else f"{end:.{decimals}f}" for end in ends]
    for head, letters in zip(
        _LETTERS, ([row.lsd for row in table.rows], [row.tukey for row in table.rows]), strict=True
    ):
        yield head, letters


def _is_plain(one: Analysed) -> bool:
    return one.analysis is not None and one.analysis.question.scale == PLAIN


def _unit(one: Analysed) -> str:
    return f", {one.measure.unit}" if one.measure.unit else ""


def _decimals(rows: Sequence[MeanRow]) -> int:
    """So many that an error has two digits, or the means three."""
    errors = [
        (row.high - row.low) / 2
        for row in rows
        if row.low is not None and row.high is not None and row.high > row.low
    ]
    size = min(errors) / 10 if errors else max(abs(row.mean) for row in rows) / 100 or 1.0
    return min(max(0, -math.floor(math.log10(size))), 6)


def _note(one: Analysed, table: MeansTable, decimals: int) -> str:
    """The test, what two means must differ by, how far plots scatter, and what it does not show."""
    texts = (f"n: {one.units[1]}.", _error_text(table), *_tests(table), *_differences(one, table, decimals))
    return " ".join(filter(None, texts))


def _error_text(table: MeansTable) -> str:
    if _has_errors(table):
        return "SE: standard error of a mean."
    if table.p is None:
        return ""
    return "No SE of one mean: errors of several kinds are in it. SED: standard error of a difference of two."


def _has_errors(table: MeansTable) -> bool:
    return any(row.low is not None for row in table.rows)


def _tests(table: MeansTable) -> Iterator[str]:
    if table.p is None:
        yield "Nothing tests these means: no plots or places are repeated, so what differs may be the ground."
        return
    f = ""
    if table.f is not None and table.error_df is not None:
        f = f", F {table.f:.2f} of {table.df} and {table.error_df:.3g} df"
    yield f"The means {'differ' if table.is_significant else 'are not shown to differ'} (p {p_text(table.p)}{f})."
    if not table.is_significant:
        yield "That shows no difference; it does not show that there is none."


def _differences(one: Analysed, table: MeansTable, decimals: int) -> Iterator[str]:
    assert one.analysis is not None
    if _is_plain(one):
        level, unit = one.analysis.question.level, _unit(one).replace(",", "")
        for name, span in zip(_LETTERS, (table.lsd, table.tukey), strict=True):
            if span is not None:
                yield f"{name} at {level:g}: {span[1]:.{decimals}f}{unit}."
        if all(span is None for span in (table.lsd, table.tukey)):
            yield from kinds_texts(one.analysis, table.means)
        if one.analysis.cv:
            yield cv_text(one.analysis)
    else:
        yield f"Tested on the scale {one.analysis.question.scale}; means are turned back from it, and are no arithmetic means."
    if any(row.lsd or row.tukey for row in table.rows):
        yield "Means that share a letter are not shown to differ."


def _drawing(one: Analysed, table: MeansTable) -> Drawing:
    lines = ", lines one standard error" if _has_errors(table) else ""
    caption = f"{_capital(one.measure.head)} by {' and '.join(table.factors)}: circles are plots, dashes means{lines}."
    answers = [
        _answer(
            "\n".join(level_name(f, level) for f, level in zip(table.factors, row.level, strict=True)),
            _at(one, table, row),
            row,
        )
        for row in table.rows
    ]
    return Drawing(_name(one, table), answers_svg(answers, one.measure.unit, caption, _WIDE), caption)


def _name(one: Analysed, table: MeansTable) -> str:
    return "-".join((one.trial.id, one.measure.id.replace(":", "-"), *one.place.split(), *table.factors))


def _answer(text: str, at: float | None, row: MeanRow) -> Answer:
    return Answer(text, at, row.mean, row.low, row.high, row.points)


def density_drawings(one: Analysed) -> Iterator[Drawing]:
    """The curve of yield on plants per area through its means and plots, from the least to the highest density that was tried."""
    if one.analysis is None or not _is_plain(one):
        return
    rulers = one.analysis.question.density_rulers
    for factor, curve in one.analysis.densities:
        ruler, table = rulers.get(factor), next((t for t in one.tables if t.factors == (factor,)), None)
        if curve is None or ruler is None or table is None:
            continue
        at = {row.level[0]: ruler.numbers[row.level[0]] for row in table.rows}
        lines = ", lines one standard error" if _has_errors(table) else ""
        caption = (
            f"{_capital(one.measure.head)} by {ruler.unit}: circles are plots, dashes means{lines}; the dashed curve is "
            "mean = a x density x k^density, drawn over what was tried alone."
        )
        answers = [
            _answer(f"{at[row.level[0]]:.3g}\n{ruler.unit}", at[row.level[0]], row) for row in table.rows
        ]
        drawn = answers_svg(
            answers, one.measure.unit, caption, _WIDE, curve.between(min(at.values()), max(at.values()))
        )
        yield Drawing("-".join((_name(one, table), "density")), drawn, caption)


def _at(one: Analysed, table: MeansTable, row: MeanRow) -> float | None:
    """Where a level lies by its size."""
    if len(table.factors) > 1:
        return None
    ruler = one.analysis.question.rulers.get(table.factors[0]) if one.analysis else None
    return ruler.numbers.get(row.level[0]) if ruler else number_of(row.level[0])


def _answers(one: Analysed, analysis: Analysis) -> Iterator[str]:
    """What the mean answers to a date, a spacing, a density."""
    yield from (_response_text(one, found) for found in analysis.responses)
    rulers = analysis.question.density_rulers
    yield from (density_text(name, curve, rulers.get(name)) for name, curve in analysis.densities)


def _response_text(of: Analysed, one: Response) -> str:
    """ "date: -0.31 kg for each day later, on a straight line (SE 0.05, p 0.001). No best level is told: the curve is not significant." """
    slope, error = one.slope
    straight = next((part for part in one.parts if part.name == LINEAR), None)
    p = "" if straight is None or straight.p is None else f", p {p_text(straight.p)}"
    each = "day later" if one.from_date else f"{one.unit or 'unit'} more"
    unit = f" {of.measure.unit}" if _is_plain(of) and of.measure.unit else ""
    scale = "" if _is_plain(of) or of.analysis is None else f" on the scale {of.analysis.question.scale}"
    text = f"{one.factor}: {slope:.3g}{unit}{scale} for each {each}, on a straight line (SE {error:.2g}{p})."
    if one.optimum is not None:
        at = f"{one.optimum.x:.3g}{' days after the first' if one.from_date else f' {one.unit}'.rstrip()}"
        return f"{text} The {one.optimum.which} of the curve is at {at}, inside what was tried."
    return f"{text} No best level is told: {one.why_none}."


def _under_limit(one: Analysed) -> Iterator[Part]:
    if not one.counted:
        return
    yield Table(
        f"{_capital(one.measure.name)} by {' and '.join(one.factors)}",
        (*one.factors, "n", "under a limit", f"median{_unit(one)}"),
        tuple(
            (
                *_levels(one, found.level),
                str(found.n),
                str(found.under),
                "" if found.median is None else f"{found.median:g}",
            )
            for found in one.counted
        ),
        "No number is made of what is under a limit, so there are no means, no SE and no test.",
        numbered(len(one.factors), len(one.factors) + 1, len(one.factors) + 2),
    )


def _words(one: Analysed) -> Iterator[Part]:
    if not one.marks:
        return
    rows = [
        (
            *_levels(one, found.level),
            "; ".join(f"{word} {count_text(n, 'time')}" for word, n in found.counts.items()),
        )
        for found in one.marks
    ]
    yield Table(
        f"{_capital(one.measure.name)} by {' and '.join(one.factors)}",
        (*one.factors, "what was written"),
        tuple(rows),
        "Words are counted, not tested: no SE.",
    )


def _levels(one: Analysed, level: Sequence[str]) -> list[str]:
    return [level_name(factor, text) for factor, text in zip(one.factors, level, strict=True)]


def headline(analyses: Sequence[Analysed], first: str) -> str:
    """The result in a sentence, with its size: of the measure that is asked for, else the first dry weight, that of the ground before that of a plant; weight; measure."""
    told = [one for one in analyses if any(map(_is_sized, one.tables))]
    weights = [one for one in told if one.measure.unit.replace("/", " ").partition(" ")[0] in _WEIGHTS]
    dry = [one for one in weights if _DRY in one.measure.name.casefold()]
    by_ground = [one for one in dry or weights if one.measure.is_of_ground]
    wanted = [one for one in told if one.measure.id == first] or by_ground or dry or weights or told
    if not wanted:
        return ""
    one = wanted[0]
    sizes = [_size(one, table) for table in one.tables if _is_sized(table)]
    together = [_together(table) for table in one.tables if len(table.factors) > 1 and table.is_significant]
    return f"{_capital(one.measure.name)}, {'; '.join((*sizes, *together))}."


def _is_sized(table: MeansTable) -> bool:
    return len(table.rows) > 1 and len(table.factors) == 1


def _together(table: MeansTable) -> str:
    """ "the answer to date differs by variety (p 0.003)"."""
    *others, last = table.factors
    p = "" if table.p is None else f" (p {p_text(table.p)})"
    return f"the answer to {' and '.join(others)} differs by {last}{p}"


def _size(one: Analysed, table: MeansTable) -> str:
    """ "by date: 3.40 kg at 20 Nov and 2.38 kg at 18 Dec, 30 % less (p 0.003, 12 plots each)"."""
    low, high = min(table.rows, key=lambda row: row.mean), max(table.rows, key=lambda row: row.mean)
    decimals, unit = _decimals(table.rows), f" {one.measure.unit}" if one.measure.unit else ""
    factor = table.factors[0]
    at = "for" if factor == VARIETY else "at"
    texts = [f"{row.mean:.{decimals}f}{unit} {at} {level_name(factor, row.level[0])}" for row in (high, low)]
    less = f", {100 * (high.mean - low.mean) / high.mean:.0f} % less" if high.mean > 0 <= low.mean else ""
    counts = {row.n for row in (high, low)}
    plots = (
        f"{count_text(min(counts), *one.units)} each"
        if len(counts) == 1
        else f"{min(counts)} and {max(counts)} {one.units[1]}"
    )
    if table.p is None:
        return f"by {factor}: {texts[0]} and {texts[1]}{less}, untested ({plots})"
    if not table.is_significant:
        return f"by {factor}: no difference shown (p {p_text(table.p)}, {plots}; {texts[0]}, {texts[1]})"
    return f"by {factor}: {texts[0]} and {texts[1]}{less} (p {p_text(table.p)}, {plots})"
