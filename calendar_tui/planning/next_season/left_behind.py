"""What the next season does not have, line by line, so that nothing is missed unseen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.planning.next_season.carried import LEFT_KEYS, filled_stages, is_left, records_of
from calendar_tui.season.edits import Data
from calendar_tui.season.field_names import field_words
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.kinds import KINDS, Kind
from calendar_tui.season.wording import some_text, stage_text, year_day_text

# So many tasks, notes and plots are told one by one; the rest are counted.
MOST_TOLD = 8


class Left(NamedTuple):
    """Something left behind. kind: of record; number: of records, or of values; text: what, in words."""

    kind: str
    number: int
    text: str


def left_behind(data: Data) -> Iterator[Left]:
    """All of it, by kind, in the order of the kinds. data: of the season that is carried over, of the newest form."""
    for kind in KINDS:
        records = records_of(data, kind)
        if not records:
            continue
        if is_left(kind):
            told = _TOLD.get(kind.name, _counted)
            yield from told(kind, records)
        elif kind.name in LEFT_KEYS:
            yield from _values(kind, records)


def _counted(kind: Kind, records: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    """ "12 results, 3 Mar 2027 to 20 Apr 2027"."""
    name = kinds_text(_NAMES.get(kind.name, kind.name), len(records))
    yield Left(kind.name, len(records), f"{len(records)} {name}{_span(records)}")


_NAMES = {"official": "official sample", "reading": "dryer reading"}


def _span(records: Iterable[Mapping[str, Any]]) -> str:
    days = sorted({record["date"] for record in records if isinstance(record.get("date"), date)})
    if not days:
        return ""
    return f", {' to '.join(dict.fromkeys(map(year_day_text, (days[0], days[-1]))))}"


def _tasks(kind: Kind, tasks: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    """All are made anew of the chores; what no chore makes, and what a hand did to them, is told by itself."""
    states = [str(task.get("state", "open")) for task in tasks]
    by_state = [f"{count} {state}" for state in ("done", "skipped", "open") if (count := states.count(state))]
    yield Left(
        "task", len(tasks), f"{len(tasks)} tasks ({', '.join(by_state)}); new ones are made of the chores"
    )
    own = [task for task in tasks if not task.get("chore")]
    moved = [task for task in tasks if task.get("moved") and task.get("chore")]
    noted = [task for task in tasks if task.get("note") or task.get("fact")]
    timed = [task for task in tasks if "spent" in task]
    for some, what in (
        (own, "of your own, which no chore makes"),
        (moved, "put on their dates by hand"),
        (noted, "with a note or a fact"),
    ):
        if some:
            yield Left("task", len(some), f"of these {len(some)} {what}: {_some_tasks(some)}")
    if timed:
        yield Left("task", len(timed), f"of these {len(timed)} with the hours that they took")


def _some_tasks(tasks: Sequence[Mapping[str, Any]]) -> str:
    texts = [f'"{task["what"]}" {year_day_text(task["date"])}' for task in tasks[:MOST_TOLD]]
    more = len(tasks) - MOST_TOLD
    return ", ".join(texts) + (f" and {more} more" if more > 0 else "")


def _plots(kind: Kind, plots: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    trials = list(dict.fromkeys(plot["trial"] for plot in plots))
    yield Left("plot", len(plots), f"{len(plots)} plots of {', '.join(trials)}, as they were drawn")
    lost = [plot for plot in plots if "lost" in plot]
    if lost:
        texts = [
            f"{plot['id']} since {year_day_text(plot['lost'])}"
            + (f" ({plot['why']})" if "why" in plot else "")
            for plot in lost
        ]
        yield Left("plot", len(lost), f"of these lost: {some_text(texts)}")


def _outages(kind: Kind, outages: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    for one in outages:
        nights = " to ".join(dict.fromkeys(map(year_day_text, (one["from"], one["to"]))))
        yield Left("outage", 1, f"outage of {one['place']}, {nights}")


def _drafts(kind: Kind, drafts: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    yield Left("draft", len(drafts), f"{kinds_text('draft', 2)}: {some_text([one['id'] for one in drafts])}")


_TOLD = {"task": _tasks, "plot": _plots, "outage": _outages, "draft": _drafts}


# --- values of records that are carried over


def _values(kind: Kind, records: Sequence[Mapping[str, Any]]) -> Iterator[Left]:
    by_words: dict[str, list[Mapping[str, Any]]] = {}
    for key in LEFT_KEYS[kind.name]:
        if not (holding := [record for record in records if key in record]):
            continue
        if kind.name == "cohort" and isinstance(holding[0][key], dict):
            of_words = by_words.setdefault(_TABLES.get(key, _PROJECTED), [])
            of_words += [{"id": record["id"], **record[key]} for record in holding]
        elif kind.name == "cohort" and key == "note":
            texts = [f'{record["id"]} "{record["note"]}"' for record in holding]
            yield Left("cohort", len(holding), f"notes of cohorts: {'; '.join(texts)}")
        else:
            names = [record["id"] for record in holding if "id" in record]
            of = f"{kinds_text(kind.name, len(names))} {some_text(names)}" if names else f"[{kind.name}]"
            yield Left(kind.name, len(holding), f"{field_words(kind.name, key).removesuffix(' of')} of {of}")
    for words, tables in by_words.items():
        count = sum(len(table) - 1 for table in tables)
        names = list(dict.fromkeys(str(table["id"]) for table in tables))
        yield Left(
            "cohort",
            count,
            f"{count} {words} of {kinds_text('cohort', len(names))} {some_text(names)}",
        )


# What the tables of a cohort hold, in words; of the others it is what was projected.
_TABLES: Mapping[str, str] = {
    "replanned": "dates that replaced planned ones",
    "recorded": "recorded dates",
    "not_yet": "looks that did not see a stage yet",
    "causes": "causes of slips",
}
_PROJECTED = "projections kept with records"


def planned_as_it_was(data: Data) -> Iterator[str]:
    """That a stage without a planned date is planned as it was replanned or happened, a sentence a cohort."""
    for cohort in data.get("cohort", ()):
        if filled := filled_stages(cohort):
            texts = [f"{stage_text(one.stage)} {_was(one.table)}" for one in filled]
            yield f"{cohort['id']} had no planned date for {', '.join(texts)}; that date is planned now"


def _was(table: str) -> str:
    return "but a replanned one" if table == "replanned" else "but a recorded one"
