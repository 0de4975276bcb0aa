"""What a fit of a variety to its records teaches, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, hanging, wrapped
from calendar_tui.handing_on.words.varieties_text import key_words
from calendar_tui.nature.refit import Margin
from calendar_tui.planning.changes.variety_change import value_text
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.choice import Choice
from calendar_tui.planning.refit.doubts import Outside
from calendar_tui.planning.refit.fit import Fit, SpanFit, UsedRecord, kind_text
from calendar_tui.planning.refit.outlook import Lesson, Outlook
from calendar_tui.planning.refit.records import AS_ASKED, Named
from calendar_tui.season.fitted_sets import IN_SETS, STEPS
from calendar_tui.season.records import Span
from calendar_tui.season.wording import day_text, hours_text, some_text

# So many of the cohorts to come are told by what they would teach.
MOST_TAUGHT = 3
# Of a figure, of whose spread more would be left, nothing is told.
_WORTH_NAMING = 0.97


class FitLine(NamedTuple):
    """A line of a fit, and the id of the cohort whose record alone it tells of; "" for any other."""

    text: str
    cohort: str = ""


def fit_text(fit: Fit, width: int = WIDTH) -> Iterator[str]:
    """The records, those that the others contradict, what is left out, every figure before and after, how far to rely on it, and what to plant next."""
    return (line.text for line in fit_lines(fit, width))


def fit_lines(fit: Fit, width: int = WIDTH) -> Iterator[FitLine]:
    """The same, with the cohorts whose records the lines tell of."""
    yield from map(FitLine, hanging(f"{fit.variety.id}: {_head(fit)}", width))
    yield from _below(_notes(fit), width)
    names = [*(one.name for one in (*fit.records, *fit.contradicted)), *(one.name for one in fit.left_out)]
    several = len({name.season for name in names}) > 1
    for used in fit.records:
        asked = "; counts as asked" if used.name.cohort in fit.counted else ""
        yield from _of_cohort(used.name, record_text(used, several) + asked, width, "  - ")
    for odd in fit.contradicted:
        yield from _of_cohort(odd.name, record_text(odd, several) + _contradicted_text(fit), width, "  ! ")
    if fit.outside:
        yield from _below([_outside_text(fit.outside, kind_text(fit.start), several)], width)
    for which, text in _left_out_text(fit, several):
        yield from _of_cohort(which[0], text, width, "  ") if len(which) == 1 else _below([text], width)
    yield from map(FitLine, _figures_text(fit))
    yield from _below(reliance_lines(fit), width)
    yield from _below(map(_span_text, fit.spans), width)
    yield from _below(outlook_lines(fit.outlook, fit.records), width)


def _below(texts: Iterable[str], width: int) -> Iterator[FitLine]:
    for text in texts:
        yield from map(FitLine, wrapped(text, "    ", width, "  "))


def _of_cohort(name: Named, text: str, width: int, first: str) -> Iterator[FitLine]:
    for line in wrapped(text, "    ", width, first):
        yield FitLine(line, name.cohort)


def _head(fit: Fit) -> str:
    seasons = ", ".join(fit.seasons)
    if not fit.records:
        return f"no fit: no record of induction counts, {seasons}; its response to light stays as it is"
    return f"{count_text(len(fit.records), 'record')} of induction, {seasons}"


def _outside_text(outside: Outside, kind: str, several: bool) -> str:
    names = some_text([_name(name, several) for name in outside.names])
    verbs = ("lies", "counts") if len(outside.names) == 1 else ("lie", "count")
    better = f"; another type fits better: {', '.join(outside.better)}" if outside.better else ""
    return (
        f"! {names} {verbs[0]} outside what {kind} allows (under 1 %), but {verbs[1]}{better}. Look at the type, the light, "
        "lamps and outages before you take the fit over"
    )


def _notes(fit: Fit) -> Iterator[str]:
    if fit.aside:
        kind = f"the type {fit.start.type}" if fit.start.type else "the program"
        yield (
            f"Fitted before: {', '.join(fit.aside)}. Each record counts once, so the fit starts from what stood before "
            f"them, or from {kind}; name every season whose records are to count"
        )
    if fit.sites:
        yield f"At another site, by the light there: {', '.join(fit.sites)}"


def _name(name: Named, several: bool) -> str:
    return f"{name.cohort} ({name.season})" if several else name.cohort


_BY = {"induced": "", "flowering": " (from its flowering)", "look": " (not yet then)"}


def record_text(used: UsedRecord, several: bool) -> str:
    """ "A1 induced by 3 Feb 2027; projected 5 Feb from the others (2 d late), 12 Feb without records (9 d late)"."""
    until, after = used.until, used.after
    days = [f"by {day_text(until)} {until.year}"] if until else []
    if after and (until is None or (until - after).days > 1):
        days.insert(0, f"after {day_text(after)}")
    by_others = [] if used.alone else [_projected_text(used.by_others, "from the others", used.error_d)]
    by_none = _projected_text(used.by_none, "without records", used.error_before_d)
    return f"{_name(used.name, several)} induced {' and '.join(days)}{_BY[used.by]}; projected {', '.join([*by_others, by_none])}"


def _contradicted_text(fit: Fit) -> str:
    """Why a record does not count, and how all that do not would."""
    names = " ".join(one.name.cohort for one in fit.contradicted)
    return (
        ". The others contradict it, so it does not count: look at its dates, light and seed. Where all of them are right: "
        f"--count {names}"
    )


def _projected_text(day: date | None, how: str, error: int | None) -> str:
    """error: days from the projection to the record."""
    if day is None or error is None:
        return f"not at all {how}"
    off = "right" if error == 0 else f"{abs(error)} d {'early' if error > 0 else 'late'}"
    return f"{day_text(day)} {how} ({off})"


def _left_out_text(fit: Fit, several: bool) -> Iterator[tuple[Sequence[Named], str]]:
    """Cohorts that are left out for one reason, and what is told of them; one that a person may ask for stands alone."""
    in_spans = {name for span in fit.spans for name, _ in span.recorded}
    by_why: dict[tuple[str, bool, Named | None], list[Named]] = {}
    for one in fit.left_out:
        alone = one.improbable or one.why == AS_ASKED or one.name in in_spans
        by_why.setdefault((one.why, one.improbable, one.name if alone else None), []).append(one.name)
    for (why, improbable, _), names in by_why.items():
        listed = some_text([_name(name, several) for name in names])
        yield names, f"{'! ' if improbable else ''}Left out: {listed}: {why}"


def _figures_text(fit: Fit) -> Iterator[str]:
    if not fit.figures:
        return
    rows = [
        (
            key_words(f.key),
            margin_text(f.key, f.before),
            figures_text(f.key, getattr(fit.fitted, f.key)),
            f.how,
        )
        for f in fit.figures
    ]
    heads = ("", "before", "after", "from the records")
    wide = [max(len(row[n]) for row in (heads, *rows)) for n in range(3)]
    for row in (heads, *rows):
        yield f"  {row[0]:<{wide[0]}}  {row[1]:<{wide[1]}}  {row[2]:<{wide[2]}}  {row[3]}"


def margin_text(key: str, margin: Margin) -> str:
    """ "13:28 14:06 14:44": the early, likely and late figure, rounded as the variety keeps it."""
    return figures_text(key, Span(margin.early, margin.likely, margin.late))


def figures_text(key: str, span: Span) -> str:
    """Three figures of a key, as the season file has them, without brackets."""
    if STEPS.get(key) != 60:
        return " ".join(f"{round(n, 1):g}" for n in span)
    return " ".join(hours_text(n).replace(" h ", ":") for n in span)


def reliance_lines(fit: Fit) -> Iterator[str]:
    """What is known only together, and how far each record is from what the others give."""
    for tie in fit.pairs:
        yield f"{key_words(tie.one)} and {key_words(tie.other)} are known only together (correlation {tie.correlation:.1f})"
    seen = [used for used in fit.records if used.until is not None]
    errors = [abs(one.error_d) for one in seen if one.error_d is not None]
    before = [abs(one.error_before_d) for one in seen if one.error_before_d is not None]
    if len(fit.records) > 1 and errors and before:
        yield (
            f"Each projected from the others alone: {_mean_text(errors)} off on the average; without records "
            f"{_mean_text(before)}"
        )
        if sum(errors) / len(errors) > sum(before) / len(before):
            yield (
                "! With these records it projects worse than with none: look at each date, its light and its seed before "
                "it is taken over"
            )
    elif fit.records:
        yield "One record cannot be checked against others"


def _mean_text(errors: Sequence[int]) -> str:
    return f"{sum(errors) / len(errors):.1f} d"


def _span_text(span: SpanFit) -> str:
    days = ", ".join(str(n) for _, n in span.recorded)
    return f"{key_words(span.key)}: {value_text(list(span.before))} -> {value_text(list(span.after))}, from {days} d"


def outlook_lines(outlook: Outlook, used: Sequence[UsedRecord]) -> Iterator[str]:
    """Where the records do not bracket what is to come, and what to record next to learn most."""
    for one in outlook.gaps:
        yield (
            f"! {one.cohort} lies outside the records: {one.days} of its days are {hours_text(one.low_h)} to "
            f"{hours_text(one.high_h)} long, and no recorded cohort had such days; its dates are less sure than they look"
        )
    if outlook.by_age and used:
        yield f"The days are short already when {some_text(outlook.by_age)} can count: the juvenile time alone sets when"
    if outlook.lessons:
        best = outlook.lessons[:MOST_TAUGHT]
        yield f"To learn most, record when these are induced: {'; '.join(map(_teaches_text, best))}"


def _teaches_text(one: Lesson) -> str:
    left = [
        f"{key_words(key)} to {left * 100:.0f} % of its spread"
        for key, left in _most_taught(one)
        if left < _WORTH_NAMING
    ]
    teaches = f"narrows {' and '.join(left)}" if left else "teaches next to nothing"
    return f"{one.cohort} (planted {day_text(one.planted)}) {teaches}"


def _most_taught(one: Lesson) -> Iterable[tuple[str, float]]:
    return sorted(((key, one.left[key]) for key in IN_SETS), key=lambda item: item[1])[:2]


def choice_lines(plan: Plan, variety: str, choice: Choice) -> Iterator[FitLine]:
    """What is chosen for the cohorts of a variety, where there is no fit that would tell it; nothing of one that is gone."""
    for cohort in plan.season.cohorts.values():
        if cohort.variety == variety:
            yield FitLine(f"  {cohort.id}: {_choice_text(cohort.id, choice)}", cohort.id)


def _choice_text(cohort: str, choice: Choice) -> str:
    if cohort in choice.without:
        return "left out, as asked"
    return "counts as asked" if cohort in choice.counted else "counts where it has a record that agrees"


def flags_text(plan: Plan, choice: Choice) -> str:
    """A choice as the command takes it: " --without A1 --count A3 A4"."""
    flags = (("--without", choice.without), ("--count", choice.counted))
    named = ((flag, [c for c in plan.season.cohorts if c in names]) for flag, names in flags)
    return "".join([f" {flag} {' '.join(cohorts)}" for flag, cohorts in named if cohorts])
