"""Cohorts chosen together by place, part, variety and planting date, and tasks by their work and their cohorts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from calendar_tui.language.speaking import phrase, phrase_form, tr_in
from calendar_tui.season.finders import find_place
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text, some_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What chosen cohorts have in common; "" or None where it does not matter.

    place: where they stand at some time; part: of a place; planted: on which date they were planted, or are to be.
    """

    place: str = ""
    part: str = ""
    variety: str = ""
    planted: date | None = None


def planted_on(cohort: Cohort) -> date | None:
    """When a cohort is planted: its transplant or, where it has none, its first stage; recorded, else intended."""
    return cohort.fixed("transplant" if cohort.nursery_stays else cohort.first_stage)


def chosen(season: Season, choice: Choice) -> tuple[Cohort, ...]:
    """The cohorts of which all of the choice is true, in the order of the season. Raises Refusal where there are none."""
    place = find_place(season, choice.place).id if choice.place else ""
    variety = _variety(season, choice.variety) if choice.variety else ""
    choice = replace(choice, place=place, variety=variety)
    near = [
        cohort
        for cohort in season.cohorts.values()
        if variety in ("", cohort.variety) and _stands(cohort, place, choice.part)
    ]
    cohorts = tuple(c for c in near if choice.planted is None or planted_on(c) == choice.planted)
    if not cohorts:
        raise Refusal(_none_text(season, choice, near))
    return cohorts


def alike(season: Season, cohort: Cohort) -> tuple[tuple[str, frozenset[str]], ...]:
    """Ways to choose cohorts together with this one, the narrowest first: what they share, in words, and their ids."""
    place, planted = cohort.stays[-1].place, planted_on(cohort)
    day = "" if planted is None else f" on {full_day_text(planted)}"
    ways = (
        (f"planted in {place}{day}", Choice(place=place, planted=planted)),
        (f"planted{day}", Choice(planted=planted)),
        (f"of {cohort.variety}", Choice(variety=cohort.variety)),
        (f"in {place}", Choice(place=place)),
    )
    return tuple((words, frozenset(c.id for c in chosen(season, choice))) for words, choice in ways)


def next_alike(season: Season, cohort: Cohort, marked: frozenset[str]) -> tuple[str, frozenset[str]]:
    """The way to choose that comes after the one that is marked: the first after none, and none after the last."""
    ways = alike(season, cohort)
    at = next((n for n, (_, ids) in enumerate(ways) if ids == marked), -1)
    # A way that chooses the same cohorts as the one before it is passed over.
    later = [way for way in ways[at + 1 :] if way[1] != marked]
    return later[0] if later else ("", frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Which tasks are meant. words: of what is done, in any case of letters, or the id of a chore; until: due by then.

    cohorts: only theirs, or None. states: that they may have.
    """

    words: str = ""
    until: date | None = None
    cohorts: Choice | None = None
    states: tuple[str, ...] = ("open",)


def chosen_tasks(season: Season, work: Work) -> tuple[Task, ...]:
    """The tasks of which all of it is true, in the order of the season. Raises Refusal where there are none."""
    names = None if work.cohorts is None else {cohort.id for cohort in chosen(season, work.cohorts)}
    words = work.words.casefold().split()
    tasks = tuple(
        task
        for task in season.tasks
        if task.state in work.states
        and (work.until is None or task.date <= work.until)
        and (names is None or not names.isdisjoint(task.about))
        and (task.chore.casefold() == work.words.casefold() or all(w in task.what.casefold() for w in words))
    )
    if not tasks:
        raise Refusal(phrase("{none}; see the week", none=_no_task_text(work)))
    return tasks


# By whether open tasks were looked for, or such as are done or skipped; of certain cohorts or of all.
_NO_TASK = {
    (True, False): phrase_form("no open task {holds}"),
    (True, True): phrase_form("no open task of these cohorts {holds}"),
    (False, False): phrase_form("no done or skipped task {holds}"),
    (False, True): phrase_form("no done or skipped task of these cohorts {holds}"),
}


def _no_task_text(work: Work) -> str:
    is_open, of_cohorts = "open" in work.states, work.cohorts is not None
    holds = [phrase('has "{words}" in its work', words=work.words)] if work.words else []
    holds += [] if work.until is None else [phrase("is due by {day}", day=full_day_text(work.until))]
    if holds:
        return phrase(_NO_TASK[is_open, of_cohorts], holds=tr_in("list", " and ").join(holds))
    return (
        phrase("these cohorts have no open task")
        if is_open
        else phrase("these cohorts have no done or skipped task")
    )


def _stands(cohort: Cohort, place: str, part: str) -> bool:
    return any(
        place in ("", stay.place) and part.casefold() in ("", stay.part.casefold()) for stay in cohort.stays
    )


def _variety(season: Season, name: str) -> str:
    by_folded = {known.casefold(): known for known in season.varieties}
    variety = name if name in season.varieties else by_folded.get(name.casefold())
    if variety is None:
        there = choices(name, season.varieties, phrase_form("Varieties"))
        raise Refusal(
            phrase('"{word}" is not a {kind} of this season', word=name, kind=phrase("variety")) + there
        )
    return variety


def _none_text(season: Season, choice: Choice, near: Iterable[Cohort]) -> str:
    whose = (
        phrase("cohort of {variety_id}", variety_id=choice.variety) if choice.variety else phrase("cohort")
    )
    where = " ".join(filter(None, (choice.place, choice.part)))
    whose = phrase("{cohort_of} in {place}", cohort_of=whose, place=where) if where else whose
    days = sorted({day for cohort in near if (day := planted_on(cohort)) is not None})
    if choice.planted is None or not days:
        return phrase("there is no {cohort_of}", cohort_of=whose) + _there_is(season, choice)
    return phrase(
        "no {cohort_of} is planted on {day}; planting dates there: {dates_there}",
        cohort_of=whose,
        day=full_day_text(choice.planted),
        dates_there=some_text([full_day_text(day) for day in days]),
    )


def _there_is(season: Season, choice: Choice) -> str:
    """What there is in place of a choice that none fits: varieties, parts or places that have cohorts."""
    cohorts = season.cohorts.values()
    there = [c for c in cohorts if _stands(c, choice.place, choice.part)]
    in_place = [c for c in cohorts if _stands(c, choice.place, "")]
    if not cohorts:
        return phrase("; the season has none")
    if choice.variety and there:
        what, names = phrase("varieties there"), [c.variety for c in there]
    elif choice.part and in_place:
        stays = [stay for c in in_place for stay in c.stays if stay.place == choice.place]
        what, names = phrase("parts with cohorts there"), [stay.part for stay in stays if stay.part]
    else:
        what, names = phrase("places with cohorts"), [stay.place for c in cohorts for stay in c.stays]
    return f"; {what}: {some_text([*dict.fromkeys(names)]) or phrase('none')}"
