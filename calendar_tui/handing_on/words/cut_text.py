"""The day to cut in words: both ends with what binds, ripeness beside them, a conflict with both rules, what would be won."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import count_text, hanging, wrapped
from calendar_tui.nature.canopy import LEAST_DATES
from calendar_tui.nature.cutting_days import Bound
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.gains import Gain
from calendar_tui.planning.cutting.limits import LimitDays
from calendar_tui.planning.cutting.made_cuts import of_cuts
from calendar_tui.planning.cutting.windows import LotCut
from calendar_tui.season.rules import ALONE, CHECK
from calendar_tui.season.wording import day_text, days_text, full_day_text, year_day_text


def cuts_text(
    cuts: Iterable[LotCut], gains: Iterable[Gain | None], today: date, clashes: Sequence[Clash] = ()
) -> Iterator[str]:
    """Each lot's next pass, and what clashes of those that are cut."""
    for cut, gain in zip(cuts, gains, strict=True):
        yield from _lot_lines(cut, today)
        for clash in of_cuts(clashes, cut.lot):
            yield from _indented(f"! {clash.text}")
        if gain is not None:
            yield from _indented(gain_text(gain, today))
        yield ""
    yield from hanging(cautions("agent", "before a cut", "heat", "aid"))


def _lot_lines(cut: LotCut, today: date) -> Iterator[str]:
    if cut.done:
        yield f"{cut.lot.id}: cut; nothing is left to decide"
        return
    yield f"{cut.lot.id}, pass {cut.passes + 1}"
    for text in cut_facts(cut, today):
        yield from _indented(text)


def _indented(text: str) -> list[str]:
    return wrapped(text, "    ", first="  ")


def cut_facts(cut: LotCut, today: date) -> Iterator[str]:
    """What there is to know of a pass that is to come, a sentence each."""
    yield from end_texts(cut, today)
    yield from beside_texts(cut, today)
    yield f"rules: {CHECK if cut.profile is None else cut.profile.citation}"


def end_texts(cut: LotCut, today: date) -> Iterator[str]:
    """The first and the last day with what binds, a conflict, and how long cutting takes."""
    yield from _first_texts(cut, today)
    yield f"latest: {latest_text(cut)}{_last_day_text(cut)}"
    if cut.window.conflict:
        late, early = cut.window.conflict
        yield (
            f"CONFLICT: not before {full_day_text(late.day)} ({late.rule}), and not after {full_day_text(early.day)} "
            f"({early.rule}); no date is moved: decide, and ask your authority"
        )
    elif cut.latest is not None and cut.latest.day < today:
        yield f"its latest day is {days_text((today - cut.latest.day).days)} past"
    if cut.work.why:
        yield f"cutting takes {days_text(cut.work.days)}: {cut.work.why}"


def beside_texts(cut: LotCut, today: date) -> Iterator[str]:
    """When it is ripe, and when the limit is reached."""
    if cut.ripe is not None:
        yield f"ripe {day_text(cut.ripe.earliest)} to {year_day_text(cut.ripe.latest)}, likely {day_text(cut.ripe.likely)}"
    yield from limit_texts(cut.limit, today)
    for one in cut.to_come:
        by_them = next(limit_texts(one.limit, today), "")
        limit = f"; by them {by_them}" if by_them else ""
        yield f"from {year_day_text(one.begins)} on other rules hold: {one.profile.citation}{limit}"


def _first_texts(cut: LotCut, today: date) -> Iterator[str]:
    """The first day; of a lot that waits there is none, and what else holds it, now or later, stands beside what it waits for."""
    yield f"earliest: {_end_text(cut.window.earliest)}"
    yield from _held_texts(cut, today)


def _held_texts(cut: LotCut, today: date) -> Iterator[str]:
    """What it waits for, and what holds it besides."""
    window = cut.window
    for what in window.waits_for:
        yield f"waits for {what}"
    if window.waits_for and window.not_before is not None and window.not_before.day >= today:
        yield f"and not before {_end_text(window.not_before)}"


def _end_text(end: Bound | None) -> str:
    return "not known" if end is None else f"{full_day_text(end.day)}: {end.rule}"


def latest_text(cut: LotCut) -> str:
    """The last day with what binds, or why it is not known."""
    return f"not known: {cut.why_no_latest}" if cut.why_no_latest else _end_text(cut.latest)


def _last_day_text(cut: LotCut) -> str:
    if cut.latest is None or cut.complete_by is None or cut.work.days == 1:
        return ""
    return f"; begun then, it takes {days_text(cut.work.days)}, complete by {day_text(cut.complete_by.day)}"


def limit_texts(limit: LimitDays | None, today: date) -> Iterator[str]:
    """When the limit is reached, and how late what is known of it is; before a trend, the guess beside it."""
    if limit is None:
        return
    if limit.missing:
        yield f"limit {limit.limit:g} %: {count_text(limit.missing, 'date')} of results missing for a trend{_guess(limit)}"
    else:
        mark = " (provisional)" if limit.provisional else ""
        days = _reached_text((limit.earliest, limit.likely, limit.latest))
        yield f"limit {limit.limit:g} %{_judged_text(limit)} by the {limit.position}{mark}: {days}"
        if limit.plain:
            yield f"by the plain {limit.limit:g} %, with nothing taken off: {_reached_text(limit.plain)}"
        elif limit.is_taken_off:
            yield "the rules take the measurement uncertainty off, and no report has one: nothing is taken off, and it is not zero"
        if limit.is_of_mean:
            yield f"the limit's days are {ALONE}"
        if limit.is_cut:
            yield f"the {limit.position} is cut, and decides until what stands has results of {LEAST_DATES} dates"
    if limit.newest is not None and limit.back is not None:
        yield (
            f"known today is the cut of {year_day_text(limit.newest)}, {days_text((today - limit.newest).days)} ago; a bag cut "
            f"today is known about {day_text(limit.back)}"
        )


def _reached_text(days: Sequence[date | None]) -> str:
    """The earliest, likely and latest day; those that are not reached together."""
    named = [*zip(("earliest", "likely", "latest"), days, strict=True)]
    texts = [f"{word} {year_day_text(day)}" for word, day in named if day is not None]
    never = [word for word, day in named if day is None] if texts else [""]
    return ", ".join(
        [*texts, *([f"{' and '.join(never)} not within 35 d of the newest bag".lstrip()] if never else [])]
    )


def _judged_text(limit: LimitDays) -> str:
    """What is taken off, and up to which result it is acceptable."""
    if not limit.uncertainty or limit.judged is None:
        return ""
    return (
        f" after {limit.uncertainty} are taken off, the measurement uncertainty of the newest report that has one: up to "
        f"{limit.judged:.4g} % as reported,"
    )


def _guess(limit: LimitDays) -> str:
    if limit.half_by is None:
        return ""
    return f"; a guess, which moves nothing: of such crops that reach it, half have by {year_day_text(limit.half_by)}"


def gain_text(gain: Gain, today: date) -> str:
    """What is tried, and what it wins; of a lot that waits all the same, for what, and which day holds it besides."""
    parts = [
        f"if so: earliest {_end_text(gain.tried.window.earliest)}",
        *_held_texts(gain.tried, today),
        f"latest {latest_text(gain.tried)}",
    ]
    if gain.tried.work.why:
        parts.append(f"cutting takes {days_text(gain.tried.work.days)}: {gain.tried.work.why}")
    parts.append(_days_gained(gain.days))
    if gain.over_before is not None and gain.over_after is not None:
        before, after = 100 * gain.over_before, 100 * gain.over_after
        parts.append(
            f"chance to be over the limit on the last day {before:.0f} % -> {after:.0f} % ({after - before:+.0f} percentage points)"
        )
    if gain.tried.window.conflict:
        parts.append("CONFLICT: the latest day is before the earliest")
    return "; ".join(parts)


def _days_gained(days: int | None) -> str:
    if days is None:
        return "days gained: not known"
    return f"{days:+d} d" if days else "no day gained"
