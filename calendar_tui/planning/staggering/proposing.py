"""From a wish to a scheme: harvests, what may be planted for them, the choice, and the calendar run forward."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.impossible import (
    impossible_text,
    is_left_out,
    is_small,
    left_out_text,
    small_text,
)
from calendar_tui.planning.staggering.options import (
    Bench,
    Option,
    bench_of,
    cohort_of,
    harvests_of,
    options_in,
)
from calendar_tui.planning.staggering.problem import HARD, Chosen, Held, SolverProblem, problem_of
from calendar_tui.planning.staggering.room import (
    Over,
    hours_of,
    not_looked_at,
    overs,
    room_of,
    rows_of,
    uses_of,
)
from calendar_tui.planning.staggering.scheme import Scheme, new_ids, scheme_of
from calendar_tui.planning.staggering.shared_light import disputes, free, own_turns
from calendar_tui.planning.staggering.solve import SEARCH_S, need_solver, never_stopped, solve
from calendar_tui.planning.staggering.wish import Wish, checked, harvests, wish_text
from calendar_tui.season.records import Cohort
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import day_text, days_text, full_day_text, season_days_text, year_day_text


class Stopped(Exception):
    """The person has had enough before there was anything to show."""


@dataclass(frozen=True, slots=True)
class Watch:
    """report: takes a step in words, and how far it is, 0 to 1; stopped: True ends the search with what it has."""

    report: Callable[[str, float], None] = lambda step, part: None
    stopped: Callable[[], bool] = never_stopped


def stagger(plan: Plan, wish: Wish, seconds: float = SEARCH_S, watch: Watch | None = None) -> Scheme:
    """The scheme for a wish. seconds: of search.

    Raises Refusal where nothing can be proposed, NoSolver where it is for more than one cohort, and Stopped.
    """
    watch = watch or Watch()
    if wish.count != 1:
        need_solver()
    wish = checked(plan.season, wish)
    bench = bench_of(plan.season, wish, plan.warmth, plan.today)
    targets = dict(enumerate(_harvests(bench, wish)))
    possible = _options(bench, targets, watch)
    options = [o for o in possible if not is_left_out(wish, o)]
    own = own_turns(plan.season, plan.timelines, plan.light)
    left = sorted(free(options, own), key=lambda o: (o.target, wish.lights.index(o.light), o.cost))
    watch.report("limits", 0.6)
    problem = _problem(plan, wish, left)
    watch.report("search", 0.7)
    chosen, beyond = _chosen(problem, wish, seconds, watch)
    taken, past = [left[n] for n in chosen.taken], [left[n] for n in beyond]
    if not taken and not chosen.best:
        if watch.stopped():
            raise Stopped
        raise Refusal(
            f"no choice was found in {seconds:g} s of search; search longer (--seconds), or ask for fewer cohorts or places"
        )
    missed = {n: day for n, day in targets.items() if n not in {o.target for o in (*taken, *past)}}
    notes = [*_fewer_text(plan, bench, taken, past), *_missed_text(bench, missed, options, left)]
    notes += [*small_text(bench, taken), *left_out_text(bench, possible, options)]
    if not taken:
        raise Refusal("; ".join((*notes, *_in_the_way(plan, left))))
    scheme = scheme_of(plan, _cohorts(plan, wish, taken), wish_text(wish))
    watch.report("", 1.0)
    blind = dict.fromkeys(text for s in scheme.sown for text in not_looked_at(plan.season, s.cohort))
    return replace(scheme, notes=(*notes, *blind, *_checks(scheme, taken), *scheme.notes), best=chosen.best)


def _harvests(bench: Bench, wish: Wish) -> tuple[date, ...]:
    if bench.begin > bench.season.last_day:
        raise Refusal(
            f"the season ended on {full_day_text(bench.season.last_day)}, and nothing is started before today, {full_day_text(bench.begin)}"
        )
    if wish.first is not None and (wish.last is not None or wish.count is not None):
        span: tuple[date, date] | None = (wish.first, bench.season.last_day)
    else:
        span = harvests_of(bench, wish.lights)
    if span is None:
        raise Refusal(
            f"nothing planted in {', '.join(wish.lights)} from {year_day_text(bench.begin)} on comes to a harvest by "
            f"{year_day_text(bench.season.last_day)}, inside the windows and on working days"
        )
    dates = harvests(wish, *span)
    if not dates:
        last = wish.last or bench.season.last_day
        raise Refusal(
            f"the first harvest that can be had, {full_day_text(span[0])}, is after the last, {full_day_text(last)}"
        )
    outside = [day for day in dates if not bench.season.first_day <= day <= bench.season.last_day]
    if outside:
        raise Refusal(
            f"a harvest on {full_day_text(outside[0])} is outside the season, {season_days_text(bench.season)}; "
            f"ask for fewer cohorts, or fewer days between them"
        )
    return dates


def _options(bench: Bench, targets: Mapping[int, date], watch: Watch) -> list[Option]:
    options: list[Option] = []
    lights = bench.wish.lights

    def end_if_stopped() -> None:
        if watch.stopped():
            raise Stopped

    for n, light in enumerate(lights):
        watch.report(f"harvests in {light}", 0.6 * n / len(lights))
        options += options_in(bench, light, targets, end_if_stopped)
    return options


def _problem(plan: Plan, wish: Wish, left: Sequence[Option]) -> SolverProblem:
    rows = rows_of(room_of(plan.season, plan.timelines, plan.today), left)
    problem = problem_of(left, rows, disputes(plan.season, left), wish.as_many_as_fit)
    return replace(problem, small=frozenset(n for n, option in enumerate(left) if is_small(wish, option)))


def _chosen(
    problem: SolverProblem, wish: Wish, seconds: float, watch: Watch
) -> tuple[Chosen, tuple[int, ...]]:
    """The choice, and what would be taken for all harvests where that is more than fits.

    All limits are kept where every harvest can be had so. Else those that can be stretched are broken as little as can
    be; then, where not even one cohort fits so, growth; and last, where there is ground for none, ground.
    """
    choice = solve(problem, seconds, stopped=watch.stopped)
    for held in (Held.HARD, Held.GROUND, Held.NONE):
        if wish.as_many_as_fit or len(choice.taken) == len(problem.groups) or watch.stopped():
            break
        watch.report("search past the limits", 0.8)
        choice = solve(problem, seconds, held, choice.taken, watch.stopped)
        if held is not Held.NONE and 0 < len(choice.taken) < len(problem.groups):
            more = solve(problem, seconds, Held.NONE, choice.taken, watch.stopped).taken
            return choice, more if len(more) > len(choice.taken) else ()
    return choice, ()


def _fewer_text(plan: Plan, bench: Bench, taken: Sequence[Option], past: Sequence[Option]) -> Iterator[str]:
    """Where fewer cohorts fit than are asked for: how many, and what all of them would break."""
    if not past:
        return
    broken = [over.text for over in _broken(plan, past) if over.limit.kind in HARD]
    small = small_text(bench, [option for option in past if is_small(bench.wish, option)])
    yield (
        f"{len(taken)} of {len(past)} cohorts fit, and no more are proposed; all {len(past)} would break: "
        f"{'; '.join((*broken, *small)) or 'the days of growth wished for'}"
    )


def _broken(plan: Plan, taken: Sequence[Option]) -> tuple[Over, ...]:
    """The limits that these plantings break together; without the hours of shared work."""
    uses = [
        use
        for o in taken
        for use in (*uses_of(plan.season, o.light, o.timeline), *hours_of(plan.season, o.timeline))
    ]
    return overs(room_of(plan.season, plan.timelines, plan.today), uses)


def _in_the_way(plan: Plan, left: Sequence[Option]) -> Iterator[str]:
    """Where nothing fits: the limits that the cheapest planting would break."""
    if left:
        option = min(left, key=lambda o: o.cost)
        broken = _broken(plan, [option])
        where = f"not even one cohort fits: harvested on {year_day_text(option.harvest)} in {option.light} it would break"
        yield f"{where} {'; '.join(over.text for over in broken)}"


def _cohorts(plan: Plan, wish: Wish, taken: Sequence[Option]) -> list[Cohort]:
    ordered = sorted(taken, key=lambda o: (o.harvest, o.planted, o.light))
    names = new_ids(plan.season, wish.variety, len(ordered))
    return [
        cohort_of(plan.season, wish, o.light, o.begun, o.planted, o.off, name)
        for o, name in zip(ordered, names, strict=True)
    ]


def _missed_text(
    bench: Bench, missed: Mapping[int, date], options: Sequence[Option], left: Sequence[Option]
) -> Iterator[str]:
    """Why no choice has these harvests, by number."""
    wish, places = bench.wish, ", ".join(bench.wish.lights)
    possible, not_shared = {o.target for o in options}, {o.target for o in left}
    if never := [day for number, day in missed.items() if number not in possible]:
        yield impossible_text(bench, never)
    if dates := _dates_text(day for number, day in missed.items() if number in possible - not_shared):
        yield f"no harvest about {dates}: the season's own cohorts need other light in {places} at that time"
    dates = _dates_text(day for number, day in missed.items() if number in not_shared)
    if dates and not wish.as_many_as_fit:
        yield (
            f"no harvest about {dates}: in {places} another cohort would be lit while this one has to be dark, or no "
            f"date inside the windows is left"
        )


def _dates_text(days: Iterable[date]) -> str:
    return ", ".join(map(year_day_text, days))


def _checks(scheme: Scheme, taken: Sequence[Option]) -> Iterator[str]:
    """Where the calendar, run forward with all cohorts, gives another harvest than was promised for one alone."""
    promised = sorted(o.harvest for o in taken)
    for day, sown in zip(promised, scheme.sown, strict=True):
        harvest = sown.timeline.likely("harvest")
        if harvest != day:
            other = (
                "no harvest"
                if harvest is None
                else f"{day_text(harvest)}, {days_text(abs((harvest - day).days))} off"
            )
            yield f"alone {sown.cohort.id} would be harvested on {day_text(day)}; with all cohorts in its light: {other}"
