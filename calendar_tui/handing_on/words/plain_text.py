"""Plain text for terminals, scripts and screen readers: what the views show, in lines of at most a given width."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.language.speaking import tr_n
from calendar_tui.season.cells import cell_len, cut_cells, is_single
from calendar_tui.season.stages import CODE_SOURCE, CODES
from calendar_tui.season.wording import (
    day_text,
    days_text,
    full_day_text,
    stage_text,
    start_text,
)

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.stages import StageDate
    from calendar_tui.planning.laying_out.timeline import Timeline

WIDTH = 80

# Blanks that are written as spaces.
_BLANK = re.compile(r"[\t\n\v\f\r]")
_NO_BREAK = "\N{NO-BREAK SPACE}"
# Between a time and its half of the day: "6:35 pm".
_IN_TIME = re.compile(r"(?<=\d) (?=[ap]m\b)")


def wrapped(text: str, indent: str, width: int = WIDTH, first: str = "") -> list[str]:
    """Text in lines; `first` stands before the first line in place of the indent."""
    return broken(text, width, indent, first or indent) or [first]


def hanging(text: str, width: int = WIDTH, indent: str = "  ") -> list[str]:
    """Text in lines, those below the first indented."""
    return broken(text, width, indent)


def unbroken(text: str) -> str:
    """Text that `wrapped` and `hanging` keep on one line, such as a figure and its unit."""
    return text.replace(" ", _NO_BREAK)


def broken(text: str, width: int, indent: str, first: str = "") -> list[str]:
    """Text in lines, the first led by `first`: as textwrap makes them, at a fraction of its work where no word is longer."""
    text = _IN_TIME.sub(_NO_BREAK, text)
    spaced = _BLANK.sub(" ", text)
    if not is_single(f"{first}{indent}{spaced}"):
        return _lines_of_cells(spaced, width, indent, first)
    if spaced != text:
        return _broken_lines(text, width, indent, first)
    lines, begin, rest = [], first, text
    while len(begin) + len(rest) > width:
        room = width - len(begin)
        end = rest.rfind(" ", 0, room + 1) if room > 0 else -1
        head, rest = rest[: max(end, 0)].rstrip(" "), rest[max(end, 0) :].lstrip(" ")
        if not head or len(rest.partition(" ")[0]) > room:
            return _broken_lines(text, width, indent, first)
        lines.append(begin + head)
        begin = indent
    if rest := rest.rstrip(" "):
        lines.append(begin + rest)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def _lines_of_cells(text: str, width: int, indent: str, first: str) -> list[str]:
    """The same of letters that take other than one cell each; a word longer than a line is broken at its end."""
    lines, begin, rest = [], first, text
    while cell_len(begin + rest) > width:
        fits = max(len(cut_cells(rest, width - cell_len(begin))), 1)
        end = rest.rfind(" ", 1, fits + 1)
        end = fits if end < 0 or not rest[:end].strip(" ") else end
        lines.append(begin + rest[:end].rstrip(" "))
        begin, rest = indent, rest[end:].lstrip(" ")
    if rest := rest.rstrip(" "):
        lines.append(begin + rest)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def _broken_lines(text: str, width: int, indent: str, first: str) -> list[str]:
    import textwrap

    lines = textwrap.wrap(text, width, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def count_text(count: int, one: str, several: str = "") -> str:
    """ "1 clash", "2 clashes"; `several` is the word with an s where it is left out."""
    return f"{count} {one if count == 1 else several or one + 's'}"


def task_count_text(count: int) -> str:
    """ "1 task", "2 tasks"."""
    return tr_n("{count} task", "{count} tasks", count)


def differing_text(count: int) -> str:
    """ "1 saved task differs from the plan", "30 saved tasks differ from the plan"."""
    return f"{count_text(count, 'saved task')} {'differs' if count == 1 else 'differ'} from the plan"


def dates_text(
    timelines: Iterable[Timeline], clashes: Mapping[str, Sequence[str]], evidence: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    """Every stage of every cohort: date, range, status and reason; then what clashes, and what records say."""
    for timeline in timelines:
        yield from cohort_text(timeline)
        for text in clashes.get(timeline.cohort.id, ()):
            yield from wrapped(text, "    ", first="  ! ")
        for text in evidence.get(timeline.cohort.id, ()):
            yield from evidence_lines(text)
        yield ""
    yield from wrapped(f"Four digits: {CODE_SOURCE}; xx is any leaf pair.", "")


def cohort_head(timeline: Timeline) -> str:
    """ "A1  amber, 120 plants from seed, N1, then H1"."""
    cohort = timeline.cohort
    plants = f"{count_text(cohort.plants, 'plant')} " if cohort.plants else ""
    return f"{cohort.id}  {cohort.variety}, {plants}from {start_text(cohort.start)}, {timeline.where_text}"


def cohort_text(timeline: Timeline) -> Iterator[str]:
    """What it is, and a line for each of its dates."""
    from calendar_tui.planning.why.gaps import growth_of  # the week has no use for it

    yield cohort_head(timeline)
    for stage_date in timeline.stages.values():
        yield from stage_lines(stage_date)
    if (grown := growth_of(timeline)) is not None:
        spread = f" ({grown.range_text})" if grown.range_text else ""
        yield f"  {days_text(grown.likely)} of growth before {timeline.growth_end}{spread}"


# Cells for the first words of a status; with fewer beside them its name, date and range are no columns.
_LEAST_STATUS = 12


def stage_lines(stage_date: StageDate, width: int = WIDTH) -> list[str]:
    """A stage in a table of stages: its name, growth-stage code, likely date, range, status and reason; a sentence where columns have no room."""
    name, code, day, between = (
        stage_text(stage_date.stage),
        CODES[stage_date.stage],
        full_day_text(stage_date.likely),
        range_text(stage_date),
    )
    head = f"  {name:<11} {code:<9} {day:>15}  {between:<15}  "
    if len(head) + _LEAST_STATUS <= width:
        return wrapped(stage_date.status_text, " " * 14, width, head)
    told = (day, between, stage_date.status_text, code and f"code {code}")
    return wrapped("; ".join(text for text in told if text), "    ", width, f"  {name} ")


def evidence_lines(text: str) -> Iterator[str]:
    """What a record says; its further lines hold a command, to be copied."""
    sentence, *further = text.splitlines()
    yield from wrapped(sentence, "    ", first="  = ")
    for line in further:
        yield from wrapped(line, "    ")


def range_text(stage_date: StageDate) -> str:
    """ "10 Apr - 6 May", or nothing where the date is certain."""
    if stage_date.earliest == stage_date.latest:
        return ""
    return f"{day_text(stage_date.earliest)} - {day_text(stage_date.latest)}"
