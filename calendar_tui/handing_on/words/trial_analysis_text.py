"""Trials of a season analysed, as plain text: a measure after the other, what the analyses do not show once, at the end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from calendar_tui.handing_on.words.analysis_notes import PLOT, Shown, does_not_show, remarks
from calendar_tui.handing_on.words.analysis_tables import field_lines
from calendar_tui.handing_on.words.analysis_text import figures_text, not_shown_text, under_limit_text
from calendar_tui.handing_on.words.plain_text import count_text, hanging
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.planning.trial_analysis.measures import Measure
from calendar_tui.season.wording import days_in_words, first_to_last_text, some_text

_NAME = 40


def analyses_text(analyses: Sequence[Analysed]) -> Iterator[str]:
    """All of them."""
    for n, one in enumerate(analyses):
        if n:
            yield ""
        yield from analysed_text(one)
    if sentences := not_shown(analyses):
        yield from not_shown_text(sentences)


def not_shown(analyses: Iterable[Analysed]) -> list[str]:
    """What must not be read out of these, each sentence once."""
    return list(
        dict.fromkeys(text for one in analyses if one.analysis for text in does_not_show(one.analysis))
    )


def analysed_text(one: Analysed) -> Iterator[str]:
    """A trial by one measure."""
    if one.analysis is not None:
        yield from figures_text(one.analysis, shown_of(one), list(notes_of(one)))
        if one.analysis.residual_map is None:
            for place, residuals in one.maps:
                yield ""
                yield place
                yield from field_lines(residuals)
        return
    if one.problem:
        yield from hanging(f"{value_text(one)}: not analysed: {one.problem}.")
    elif one.counted:
        yield from under_limit_text(one.counted, one.factors, value_text(one))
    else:
        yield from _marks_text(one)
    for sentence in notes_of(one):
        yield from hanging(sentence)


def shown_of(one: Analysed) -> Shown:
    """How its analysis is worded."""
    return Shown(value_text(one), one.row_plots, PLOT, one.factor)


def value_text(one: Analysed) -> str:
    """What was measured, where and when: "height (cm), 14 Jul 2027"."""
    where = f" in {one.place}" if one.place else ""
    return f"{one.measure.head}{where}{f', {_days(one)}' if one.days else ''}"


def remark_texts(one: Analysed) -> Iterator[str]:
    """All that is to be known of its values and its fit."""
    yield from notes_of(one)
    if one.analysis is not None:
        yield from map(days_in_words, remarks(one.analysis, shown_of(one)))


def notes_of(one: Analysed) -> Iterator[str]:
    """How it was measured and when else, then what to know of its values."""
    how = "; ".join(filter(None, (one.measure.definition, one.measure.method)))
    if how:
        yield f"Measured: {how}."
    if len(one.rounds) > 1:
        others = [first_to_last_text(*span) for n, span in enumerate(one.rounds) if n != one.round_at]
        yield f"Measured in {len(one.rounds)} rounds; the others: {some_text(others)}."
    yield from one.remarks


def _days(one: Analysed) -> str:
    return first_to_last_text(one.days[0], one.days[-1])


def _marks_text(one: Analysed) -> Iterator[str]:
    """Words are counted, and no number is made of them."""
    yield from hanging(f"{value_text(one)}: words; no number is made of them. How often each stands:")
    yield ""
    yield f"{', '.join(one.factors):<{_NAME}}"
    for mark in one.marks:
        words = ", ".join(f"{text} {count}" for text, count in mark.counts.items())
        yield from hanging(f"{days_in_words(', '.join(mark.level)):<{_NAME}}{words}")


def measures_text(trial: str, measures: Sequence[tuple[Measure, int, int]]) -> Iterator[str]:
    """What of a trial can be analysed. measures: each with how many values it has, in how many rounds."""
    if not measures:
        yield f"{trial}: nothing is recorded in its plots yet"
        return
    yield f"{trial}:"
    for measure, values, rounds in measures:
        counts = f"{count_text(values, 'value')}, {count_text(rounds, 'round')}"
        yield from hanging(f"  {measure.id:<24}{measure.head}; {counts}")
