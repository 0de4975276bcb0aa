"""A result in a sentence each way: taken, with what it comes to, or kept aside, with the reason."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.results.used import Aside, Results, Used
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Result, Sample
from calendar_tui.season.wording import day_text, position_text, unit_text


def bag_text(sample: Sample) -> str:
    """ "26A-1TA, A1 top, cut 10 Mar"."""
    return phrase(
        "{bag}, {unit}, cut {day}",
        bag=grouped(sample.id),
        unit=position_text(unit_text(*sample.of.unit), sample.position),
        day=day_text(sample.date),
    )


def found_text(result: Result) -> str:
    """What is in the report, as it is written there: "THC <0.02, THCA 0.25 %"."""
    found = ", ".join(f"{analyte} {text}" for analyte, text in result.found.items())
    return f"{found} {result.unit}" if found else "nothing"


def taken_texts(results: Results, names: Collection[str]) -> Iterator[str]:
    """Of these results, those that count."""
    return (_taken_text(one) for one in results.used if one.result.id in names)


def _taken_text(one: Used) -> str:
    total = "" if one.figures.thc is None else f": total THC {one.figures.thc_text}"
    return f"taken: {one.result.id} of {bag_text(one.sample)}: {found_text(one.result)}{total}"


def aside_texts(results: Results, names: Collection[str]) -> Iterator[str]:
    """Of these results, those that do not count, and why."""
    return (aside_text(one) for one in results.aside if one.result.id in names)


def aside_text(one: Aside) -> str:
    return f"kept aside: {one.result.id} of {one.result.sample}: {one.why}"


def displaced_texts(before: Results, after: Results) -> Iterator[str]:
    """The results that counted before a change and do not after it, each with the reason."""
    counted = {one.result.id for one in before.used}
    return (
        f"{one.result.id} would count no more: {one.why}" for one in after.aside if one.result.id in counted
    )
