"""Clashes in words: each once where it belongs, and of a cohort what is its own in full and the rest in a line."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.words.plain_text import WIDTH, wrapped
from calendar_tui.planning.capacity.hours import figure_text
from calendar_tui.planning.clash_groups import ClashesOnce, ClashGroup, clashes_once
from calendar_tui.planning.plan import Plan
from calendar_tui.season.measures import measured
from calendar_tui.season.wording import day_text, some_text


def once_lines(once: ClashesOnce, width: int = WIDTH) -> Iterator[str]:
    """What belongs to the farm, to its places, and to several cohorts alike, under a heading each."""
    by_place: dict[str, list[ClashGroup]] = {}
    for group in once.places:
        by_place.setdefault(group.place, []).append(group)
    for heading, groups in (
        ("The farm", once.farm),
        *by_place.items(),
        ("Several cohorts alike", once.alike),
    ):
        if groups:
            yield heading
        for group in groups:
            yield from wrapped(group_text(group), "    ", width, "  ! ")


def cohort_texts(once: ClashesOnce, name: str) -> list[str]:
    """What is a cohort's own, each a paragraph, and last in one line what else touches it."""
    also = once.also[name]
    return [clash.text for clash in once.own[name]] + ([f"also: {some_text(also, '; ')}"] if also else [])


def one_cohort_texts(plan: Plan, name: str) -> list[str]:
    """The same of one cohort alone, where nothing stands above it: the farm's and places' groups, a sentence each."""
    once = clashes_once(plan.clashes_of(name), [name])
    held = [text for text in once.also[name] if text not in {g.of for g in (*once.farm, *once.places)}]
    shared = [group_text(group) for group in (*once.farm, *once.places)]
    return [
        *(clash.text for clash in once.own[name]),
        *shared,
        *([f"also: {some_text(held, '; ')}"] if held else []),
    ]


def group_text(group: ClashGroup) -> str:
    """What a group is: of several over-full weeks or spells how many, from when to when, and the worst of them."""
    first = group.clashes[0]
    if len(group.clashes) == 1:
        return first.text
    over = [clash.excess for clash in group.clashes if clash.excess is not None]
    if not over:
        return f"{some_text(group.cohorts)}, each: {first.text.removeprefix(first.own).strip()}"
    days = sorted(excess.day for excess in over)
    worst = max(over, key=lambda excess: excess.amount - excess.has)
    most = " of ".join(measured(amount, worst.unit, figure_text) for amount in (worst.amount, worst.has))
    return (
        f"{group.of}: over-full {len(over)} times, {day_text(days[0])} to {day_text(days[-1])}, most of all from "
        f"{day_text(worst.day)}: {most}; calendar-tui load shows each week"
    )
