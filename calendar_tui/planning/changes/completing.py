"""A report that only adds to one that is in: what it adds to that result, old beside new. Nothing is written over unseen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from calendar_tui.planning.changes.held_season import Record
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import words_for
from calendar_tui.season.measured_texts import is_below
from calendar_tui.season.wording import year_day_text

KIND = "result"
# Tables by analyte, which grow; what a corrected report may have otherwise; all else must be as it is.
_GROW = ("found", "lod", "loq", "limits", "uncertainties")
_MAY_DIFFER = ("report", "method", "collected", "received", "tested", "date")
_OF_THE_RECORD = ("id", "sample", "laboratory", "aside", "note", *_GROW, *_MAY_DIFFER)
_PLAIN = {"unit": "%", "basis": "dry", "water_is": "of total", "uncertainty_is": "absolute"}


class Completion(NamedTuple):
    """name: of the result that is completed. edits, and text: "26A1TA-1 is completed: amount of CBD none -> 4.10"."""

    name: str
    edits: tuple[Edit, ...]
    text: str


def completion_of(records: Iterable[Record], new: Record, *, dated: bool) -> Completion | None:
    """What a report adds to the first result of its bag that it does not contradict; None where there is none, or nothing is added.

    records: the results that are in. dated: whether the report gives the new one's date itself.
    """
    for there in sorted(records, key=lambda one: not _waits_for_limit(one, new)):
        if there.get("sample") == new.get("sample") and not there.get("aside") and _agree(there, new):
            steps = [step for step in _steps(there, new) if dated or step[0] != ("date",)]
            return _completion(there, steps) if _adds(there, new, steps) else None
    return None


_Step = tuple[tuple[str, ...], Any, Any]


def _agree(there: Record, new: Record) -> bool:
    laboratories = {one["laboratory"] for one in (there, new) if one.get("laboratory")}
    return (
        len(laboratories) < 2
        and all(
            _is_same(there.get(k, {})[n], v) or (k == "found" and _gives_limit(there, n, v))
            for k in _GROW
            for n, v in new.get(k, {}).items()
            if n in there.get(k, {})
        )
        and all(
            _is_same(there.get(key, _PLAIN.get(key)), value) or (key not in there and key not in _PLAIN)
            for key, value in _others(new).items()
        )
        and all(
            new.get(key, plain) == there.get(key, plain)
            for key, plain in _PLAIN.items()
            if key == "unit" or (key == "basis" and not (_is_same_report(there, new) and key not in new))
        )
    )


def _gives_limit(there: Record, analyte: str, written: object) -> bool:
    """Whether what is written is the limit, "<0.05", of a result that is in as below one that was not given, "<LOQ"."""
    old, new = str(there["found"].get(analyte, "")), str(written)
    known = any(analyte in there.get(key, {}) for key in ("lod", "loq", "limits"))
    return not known and all(map(is_below, (old, new))) and not _has_digit(old) and _has_digit(new)


def _waits_for_limit(there: Record, new: Record) -> bool:
    """Whether the new one has the limit of what is in as below one that was not given."""
    limits = {name for key in ("lod", "loq", "limits") for name in new.get(key, {})}
    return any(_gives_limit(there, name, "<1") for name in limits & there.get("found", {}).keys())


def _has_digit(text: str) -> bool:
    return any(map(str.isdigit, text))


def _is_same_report(there: Record, new: Record) -> bool:
    return bool(new.get("report")) and there.get("report") == new["report"]


def _others(record: Record) -> Mapping[str, Any]:
    return {key: value for key, value in record.items() if key not in _OF_THE_RECORD}


def _is_same(one: object, other: object) -> bool:
    if one == other:
        return True
    try:
        return Decimal(str(one)) == Decimal(str(other))
    except InvalidOperation:
        return False


def _adds(there: Record, new: Record, steps: list[_Step]) -> bool:
    """Whether it is more of a report: it has something of an analyte more, is the same report with more in it, or has no figure at all."""
    more = any(path[0] == "found" for path, _, _ in steps)
    bare = not new.get("found") and any(path[0] not in _MAY_DIFFER for path, _, _ in steps)
    return (
        more
        or bare
        or (
            bool(steps)
            and there.get("report") == new.get("report")
            and there.get("found") == new.get("found")
        )
    )


def _steps(there: Record, new: Record) -> Iterator[_Step]:
    """Where the new report has something that is not there, or otherwise: the path, old and new."""
    for key in _GROW:
        for name, value in new.get(key, {}).items():
            old = there.get(key, {}).get(name)
            if old is None or (key == "found" and _gives_limit(there, name, value)):
                yield (key, name), old, value
    for key in (*_others(new), *_MAY_DIFFER):
        if key in new and not _is_same(there.get(key, _PLAIN.get(key)), new[key]):
            yield (key,), there.get(key), new[key]


def _completion(there: Record, steps: Iterable[_Step]) -> Completion:
    name = str(there["id"])
    every = list(steps)
    edits = tuple(Edit("set", KIND, (name,), path, new) for path, _, new in every)
    texts = [f"{words_for(KIND, path)} {_shown(old)} -> {_shown(new)}" for path, old, new in every]
    return Completion(name, edits, f"{name} is completed: {', '.join(texts)}")


def _shown(value: object) -> str:
    return "none" if value is None else year_day_text(value) if isinstance(value, date) else str(value)
