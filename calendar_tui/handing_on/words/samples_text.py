"""Bags in words: what is to be cut this week, what the budget gives up, who has what, and what plants a bag mean."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from datetime import date, timedelta
from itertools import groupby

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import count_text, hanging
from calendar_tui.language.speaking import phrase, tr, tr_in
from calendar_tui.nature.canopy import LEAST_DATES, TOP
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import Due
from calendar_tui.planning.sampling.bag_states import BagState
from calendar_tui.planning.sampling.budget import price_of, spent, unpriced
from calendar_tui.planning.sampling.missed import is_cut_since, is_left_out
from calendar_tui.planning.sampling.planned import tagged_of
from calendar_tui.planning.sampling.week import SamplingWeek, bag_sizes
from calendar_tui.season.records import Season
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import cohorts_text, full_day_text, number_text, unit_text, weekday_text

NOT_OFFICIAL = cautions("own tests", "agent", "own results")
# The keys of `[capacity]` as limits are told.
_LIMITS = {
    "samples_per_week": "samples a week",
    "samples": "samples a season",
    "sample_money_per_week": "money a week",
    "sample_money": "money a season",
}


def samples_text(plan: Plan, week: SamplingWeek, held: Sequence[Sample], out: Sequence[Due]) -> list[str]:
    """The week's bags, the budget, who has what, and what more or fewer plants would mean."""
    parts = (
        week_lines(plan.season, week, plan.today),
        budget_lines(plan.season, week),
        _held_lines(held),
        _out_lines(out, plan.today),
        _size_lines(plan.season, week),
        hanging(NOT_OFFICIAL),
    )
    lines: list[str] = []
    for part in parts:
        if of_part := list(part):
            lines += ["", *of_part] if lines else of_part
    return lines


def week_lines(season: Season, week: SamplingWeek, today: date) -> Iterator[str]:
    """Each trip of the week with its bags, a line for each unit that is sampled."""
    yield f"Bags from {full_day_text(week.first)} to {full_day_text(week.last)}"
    for text in closed_texts(season, week):
        yield from hanging(text)
    if not week.bags and not week.further:
        none = (
            f"none in this week{next_trip_text(week)}"
            if season.samplings
            else "none: there is no sampling plan"
        )
        yield f"  {none}"
    given_up = {one.bag: "given up" for one in week.given_up}
    left_out = {
        one.bag: "cut later" if is_cut_since(season, one) else "left out"
        for one in week.bags
        if is_left_out(season, one, today)
    }
    settled = given_up | left_out
    for day, of_day in groupby(week.bags, key=lambda one: one.bag.day):
        bags = list(of_day)
        names = cohorts_text(list(dict.fromkeys(one.bag.cohort for one in bags)))
        left = sum(one.is_open and one.bag not in settled for one in bags)
        yield f"{weekday_text(day)}: {count_text(len(bags), 'bag')} of {names}, {left} to cut"
        if why := next((one.bag.why for one in bags if one.bag.why), ""):
            yield f"  {why}"
        for text in tagged_texts(season, bags):
            yield from hanging(f"  {text}")
        for unit, of_unit in groupby(bags, key=lambda one: one.bag.of.unit):
            texts = [_state_text(one, settled.get(one.bag, "to cut")) for one in of_unit]
            yield from hanging(f"  {unit_text(*unit)}  {'; '.join(texts)}")
    for sample in week.further:
        yield f"  besides: {sample_text(sample)}"


def next_trip_text(week: SamplingWeek) -> str:
    """When bags are cut after a week without any, behind what says that there are none."""
    later = [bag for bag in week.kept.kept if bag.day > week.last]
    if not later:
        return ", and none after it"
    day = min(bag.day for bag in later)
    bags = [bag for bag in later if bag.day == day]
    names = cohorts_text(list(dict.fromkeys(bag.cohort for bag in bags)))
    return f"; next on {weekday_text(day)}: {count_text(len(bags), 'bag')} of {names}"


def tagged_texts(season: Season, bags: Iterable[BagState]) -> Iterator[str]:
    """The tagged plants of each plan of a trip."""
    for name in dict.fromkeys(one.bag.plan for one in bags):
        if tagged := season.samplings[name].tagged:
            yield f"tagged plants: {', '.join(tagged)}; cut each time, so that the trend is smooth but may lie off the lot"


def tagged_rows(season: Season, bags: Iterable[Sample]) -> Iterator[str]:
    """The tagged plants that bags are cut from, by cohort."""
    tagged = {
        (bag.cohort, plants): 1 for bag in bags if (plants := tagged_of(season, bag.cohort, bag.position))
    }
    for cohort, plants in tagged:
        yield tr("Tagged plants of {cohort}: {plants}", cohort=cohort, plants=", ".join(plants))


def closed_texts(season: Season, week: SamplingWeek) -> tuple[str, ...]:
    """Which places nobody enters in the week, and until when: bags are not cut there before."""
    if not season.sprays:
        return ()
    from calendar_tui.planning.spraying.closed_work import entry_texts
    from calendar_tui.planning.spraying.closures import closures

    days = [week.first + timedelta(days=n) for n in range(7)]
    return entry_texts(one for one in closures(season, week.first) if any(map(one.covers, days)))


def _state_text(one: BagState, without: str) -> str:
    """ "top to cut", "middle given up", "bottom K7Q-2RY sent". without: how it stands where it has no id."""
    if one.sample is not None:
        return f"{one.bag.position} {grouped(one.sample.id)} {one.sample.state}"
    return f"{one.bag.position} {without}"


def budget_lines(season: Season, week: SamplingWeek) -> Iterator[str]:
    """The same as `budget_texts`, in lines."""
    for text in budget_texts(season, week):
        yield from hanging(text)


def budget_texts(season: Season, week: SamplingWeek) -> Iterator[str]:
    """What the budget leaves of all that is still to be cut, what is given up, and of which lots too little is left."""
    kept, given = week.kept.kept, week.kept.given_up
    if names := unpriced(season, (*kept, *(one.bag for one in given))):
        whose = ", ".join(name or "no laboratory" for name in names)
        yield f"Bags for {whose} have no price, so that money does not hold them: give its price"
    if not given:
        return
    by = [text for key, text in _LIMITS.items() if any(one.by == key for one in given)]
    total = len(kept) + len(given)
    money = sum(price_of(season, bag.laboratory) for bag in kept)
    cost = f", {number_text(money)} money" if money else ""
    yield f"Budget: {total} bags are still asked for, and {len(kept)} can be kept{cost} ({' and '.join(by)}){_spent_text(season, {one.by for one in given})}"
    reasons = tuple(_LIMITS)
    in_turn = sorted(given, key=lambda one: (one.bag.cohort, reasons.index(one.by)))
    for (name, key), alike in groupby(in_turn, key=lambda one: (one.bag.cohort, one.by)):
        why = f" ({_LIMITS[key]})" if len(by) > 1 else ""
        yield f"  given up: {name}  {_counted(one.bag.position for one in alike)}{why}"
    for (cohort, lot), n in week.kept.short.items():
        yield (
            f"  {lot or cohort} would come to {count_text(n, 'date')} of the top; a trend needs {LEAST_DATES}. "
            "Ask for more samples, or give up another lot's"
        )
    if any(one.bag.position != TOP for one in given):
        yield "  Where only the top is cut, nothing is known of the rest: the top decides"


def _spent_text(season: Season, by: Set[str]) -> str:
    """What the bags that are cut have taken of a budget of the season."""
    if by.isdisjoint(("samples", "sample_money")) or not (cut := spent(season))[0]:
        return ""
    money = f" for {number_text(cut[1])} money" if cut[1] else ""
    return f"; {count_text(cut[0], 'bag')}{money} are cut already"


def _counted(positions: Iterable[str]) -> str:
    """ "middle 7, bottom 7"."""
    counts: dict[str, int] = {}
    for position in positions:
        counts[position] = counts.get(position, 0) + 1
    return ", ".join(f"{position} {n}" for position, n in counts.items())


def sample_text(sample: Sample) -> str:
    """A bag in a line: its id, what it is of, its day, and how it stands."""
    parts = (
        grouped(sample.id),
        unit_text(*sample.of.unit),
        phrase(sample.position),
        weekday_text(sample.date),
        _state_now_text(sample),
        tr("to {laboratory}", laboratory=sample.laboratory) if sample.laboratory else "",
        tr("in place of {bag}", bag=grouped(sample.again)) if sample.again else "",
    )
    return "  ".join(filter(None, parts))


def _state_now_text(sample: Sample) -> str:
    """ "taken", "sent Wed 9 Dec"."""
    if sample.sent and sample.state == "sent":
        return tr("sent {day}", day=weekday_text(sample.sent))
    return tr_in("bag", sample.state)


def _held_lines(held: Sequence[Sample]) -> Iterator[str]:
    if held:
        yield "Not sent yet"
        yield from (f"  {sample_text(sample)}" for sample in held)


def _out_lines(out: Sequence[Due], today: date) -> Iterator[str]:
    if out:
        yield "At a laboratory"
        for due in out:
            late = f"overdue since {weekday_text(due.overdue_since)}" if due.is_overdue(today) else ""
            when = late or f"due {weekday_text(due.likely)}, at the latest {weekday_text(due.latest)}"
            yield f"  {sample_text(due.sample)}  {when}"


def _size_lines(season: Season, week: SamplingWeek) -> Iterator[str]:
    """What more or fewer plants a bag mean, once for each way a cohort was begun and number of plants."""
    pairs = ((season.cohorts[one.bag.cohort].start, one.bag.plants) for one in week.bags)
    for start, plants in dict.fromkeys(pairs):
        sizes = bag_sizes(start, plants)
        own = next(size for size in sizes if size.plants == plants)
        others = ", ".join(f"{size.plants}: {size.cv:.0f} %" for size in sizes if size.plants != plants)
        begun = "seed" if start == "seed" else "cuttings"
        yield from hanging(
            f"{count_text(plants, 'plant')} a bag, from {begun}: results scatter by about {own.cv:.0f} % (CV; from memory); "
            f"with {others}"
        )


def unit_rows(bags: Sequence[Sample]) -> list[str]:
    """Bags that were just given ids, a line for each."""
    return [f"  {sample_text(bag)}" for bag in bags]
