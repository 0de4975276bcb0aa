"""The rows of the results' view: what is due, what is in, the newest first, and what is kept aside and why."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.words.results_text import (
    due_text,
    report_text,
    result_line,
    used_text,
    variety_texts,
    weighted_texts,
)
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import due_results
from calendar_tui.planning.results.used import Aside, Used
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, PLAIN, WARNING, ListRow, fitted, row, wrapped
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import day_text

SAMPLE, RESULT = "sample", "result"


def newest(plan: Plan) -> list[Used]:
    """What counts, the newest report first; of one day by lot and position."""
    by_bag = sorted(
        plan.results.used, key=lambda one: (one.sample.lot or one.sample.cohort, one.sample.position)
    )
    return sorted(by_bag, key=lambda one: one.result.date, reverse=True)


def result_rows(plan: Plan, width: int, ascii_only: bool) -> Iterator[ListRow]:
    """All rows of the view; the cursor stands on "sample ID" or "result ID"."""
    yield from _due_rows(plan, width)
    yield row(("In", HEADING), "  total THC, the newest report first")
    used = newest(plan)
    for one in used:
        begin = f"{day_text(one.result.date):<7}{_whose(one.sample)}"
        text = fitted(_signs(result_line(plan, one), ascii_only), max(width - len(begin), 0))
        yield row((begin, BOLD), text, key=f"{RESULT} {one.result.id}")
    if not used:
        yield row(("  none yet", DIM))
    for text in (*weighted_texts(plan), *variety_texts(plan)):
        yield from wrapped(text, width, "  ", "    ")
    if plan.results.aside:
        yield row(("Kept aside, not used", HEADING))
    for aside in plan.results.aside:
        yield _aside_row(aside, width)


def _due_rows(plan: Plan, width: int) -> Iterator[ListRow]:
    due = due_results(plan.season)
    late = sum(one.is_overdue(plan.today) for one in due)
    if due:
        yield row(
            ("At a laboratory", HEADING), f"  {len(due)} out", (f", {late} overdue" if late else "", WARNING)
        )
    for one in due:
        begin = f"{grouped(one.sample.id):<9}{_whose(one.sample)}"
        style = WARNING if one.is_overdue(plan.today) else PLAIN
        text = fitted(due_text(plan, one), max(width - len(begin), 0))
        yield row((begin, BOLD), (text, style), key=f"{SAMPLE} {one.sample.id}")


def _whose(sample: Sample) -> str:
    """The plot tells the cohort."""
    return f"{fitted(sample.plot or sample.lot or sample.cohort, 9)} {fitted(sample.position, 7)} "


def _aside_row(one: Aside, width: int) -> ListRow:
    begin = f"{day_text(one.result.date):<7}"
    text = fitted(f"{one.result.id}: {one.why}", max(width - len(begin), 0))
    return row((begin, BOLD), (text, WARNING), key=f"{RESULT} {one.result.id}")


def _signs(text: str, ascii_only: bool) -> str:
    return text.replace("±", "+-") if ascii_only else text


def detail_text(plan: Plan, key: str, ascii_only: bool) -> str:
    """What stands below the list, in full, of what the cursor is on."""
    kind, _, name = key.partition(" ")
    if kind == SAMPLE:
        return next(
            (
                f"{grouped(name)}: {due_text(plan, one)}"
                for one in due_results(plan.season)
                if one.sample.id == name
            ),
            "",
        )
    texts = {one.result.id: f"{used_text(plan, one)}. {report_text(one.result)}" for one in plan.results.used}
    texts |= {one.result.id: f"{one.why}. {report_text(one.result)}" for one in plan.results.aside}
    return _signs(texts.get(name, ""), ascii_only)
