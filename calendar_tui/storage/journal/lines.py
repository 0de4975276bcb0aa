"""The lines of a history: what was changed, as one JSON object each, and back."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone
from typing import Any

from calendar_tui.season.edits import Edit, renamed
from calendar_tui.storage.toml.splices import Anchor, Splice


@dataclass(frozen=True, slots=True)
class Step:
    """From one state of the file to the next.

    edits and back are the edits and those that take them back; before and after are the SHA-256 of the file's bytes;
    undoes or redoes is the number of the change that the step takes back or brings back; anchors tell where lines stood
    that went.
    """

    edits: tuple[Edit, ...]
    back: tuple[Edit, ...]
    splices: tuple[Splice, ...]
    before: str
    after: str
    undoes: int | None = None
    redoes: int | None = None
    anchors: tuple[Anchor, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """What one save did: a change is one step, an undo or redo one for each change that it takes or brings back."""

    n: int
    when: datetime
    who: str
    what: str
    steps: tuple[Step, ...]

    @property
    def before(self) -> str:
        """The SHA-256 of the file's bytes before the save."""
        return self.steps[0].before

    @property
    def after(self) -> str:
        """The SHA-256 of the file's bytes after the save."""
        return self.steps[-1].after

    @property
    def is_change(self) -> bool:
        """Whether it is a change of its own, and neither undo nor redo."""
        return all(step.undoes is None and step.redoes is None for step in self.steps)


@dataclass(frozen=True, slots=True)
class Never:
    """The change `n` never reached the file: the program was stopped before."""

    n: int
    when: datetime
    who: str


@dataclass(frozen=True, slots=True)
class Shortened:
    """The lines of changes before a date went to another file; `last` is the highest number among them."""

    before: date
    moved_to: str
    last: int
    when: datetime
    who: str


Line = Entry | Never | Shortened
# The time zones farthest from UTC either way, and some.
_FARTHEST = tuple(timezone(timedelta(hours=hours)) for hours in (-15, 15))


def encoded(line: Line) -> bytes:
    """A line of a history, its end included."""
    if isinstance(line, Entry):
        row = _entry_row(line)
    elif isinstance(line, Never):
        row = {"never": line.n, **_signed(line)}
    else:
        row = {"shortened": line.before.isoformat(), "moved_to": line.moved_to, "last": line.last}
        row |= _signed(line)
    return json.dumps(row, ensure_ascii=False, allow_nan=False).encode(errors="replace") + b"\n"


def decoded(line: bytes) -> Line | None:
    """What a line says; None if the line is not whole."""
    try:
        row = json.loads(line)
        if "never" in row:
            return Never(_whole(row["never"]), _when(row), _text(row["who"]))
        if "shortened" in row:
            day = date.fromisoformat(row["shortened"])
            return Shortened(day, _text(row["moved_to"]), _whole(row["last"]), _when(row), _text(row["who"]))
        steps = tuple(map(_step_of, row.get("steps", [row])))
        if not steps:
            return None
        return Entry(_whole(row["n"]), _when(row), _text(row["who"]), _text(row["what"]), steps)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError):
        return None


def _signed(line: Never | Shortened) -> dict[str, Any]:
    return {"when": line.when.isoformat(), "who": line.who}


def _entry_row(entry: Entry) -> dict[str, Any]:
    row = {"n": entry.n, "when": entry.when.isoformat(), "who": entry.who, "what": entry.what}
    steps = [_step_row(step) for step in entry.steps]
    return {**row, **steps[0]} if len(steps) == 1 else {**row, "steps": steps}


def _step_row(step: Step) -> dict[str, Any]:
    pairs = zip(step.edits, reversed(step.back), strict=True)
    row: dict[str, Any] = {
        "edits": [_edit_row(edit, back) for edit, back in pairs],
        "splices": [[s.at, s.old, s.new] for s in step.splices],
        "before": step.before,
        "after": step.after,
    }
    if step.anchors:
        row["anchors"] = [list(anchor) for anchor in step.anchors]
    named = {"undoes": step.undoes, "redoes": step.redoes}
    return row | {key: n for key, n in named.items() if n is not None}


def _step_of(row: dict[str, Any]) -> Step:
    pairs = [_edits_of(edit) for edit in row["edits"]]
    undoes, redoes = (None if row.get(key) is None else _whole(row[key]) for key in ("undoes", "redoes"))
    return Step(
        edits=tuple(edit for edit, _ in pairs),
        back=tuple(back for _, back in reversed(pairs)),
        splices=tuple(
            Splice(_whole(at), tuple(map(_text, old)), tuple(map(_text, new)))
            for at, old, new in row["splices"]
        ),
        before=_text(row["before"]),
        after=_text(row["after"]),
        undoes=undoes,
        redoes=redoes,
        anchors=tuple(
            Anchor(_whole(splice), _text(line), _whole(below))
            for splice, line, below in row.get("anchors", ())
        ),
    )


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise ValueError(value)
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    value.encode()  # half a character is none
    return value


def _when(row: dict[str, Any]) -> datetime:
    when = datetime.fromisoformat(row["when"])
    if when.utcoffset() is None:
        raise ValueError(when)
    for zone in _FARTHEST:
        when.astimezone(zone)  # a time that no calendar of some zone has is none
    return when


def _edit_row(edit: Edit, back: Edit) -> dict[str, Any]:
    """An edit with the values before and after it, where there are any."""
    row = {"op": edit.op, "kind": edit.kind, "ident": _plain(list(edit.ident)), "field": list(edit.field)}
    if back.op in ("set", "add"):
        row["before"] = _plain(back.value)
    if edit.op in ("set", "add"):
        row["after"] = _plain(edit.value)
    return row


def _edits_of(row: dict[str, Any]) -> tuple[Edit, Edit]:
    """An edit and the one that takes it back."""
    op, kind = row["op"], _text(row["kind"])
    ident, field = tuple(_value(row["ident"])), tuple(map(_text, row["field"]))
    hash(ident)  # a record is looked up by it
    after = _value(row["after"]) if op in ("set", "add") else None
    before = _value(row["before"]) if "before" in row or op in ("unset", "remove") else None
    if op in ("add", "remove"):
        opposite: Any = {"add": "remove", "remove": "add"}[op]
        return Edit(op, kind, ident, field, after), Edit(opposite, kind, ident, field, before)
    if op not in ("set", "unset"):
        raise ValueError(op)
    edit = Edit(op, kind, ident, field, after)
    back = Edit("set" if "before" in row else "unset", kind, renamed(edit) or ident, field, before)
    return edit, back


def _plain(value: Any) -> Any:
    """A TOML value as JSON; what JSON has no type for becomes an object with one key that starts with "$"."""
    if isinstance(value, dict):
        inner = {key: _plain(v) for key, v in value.items()}
        return {"$table": inner} if any(key.startswith("$") for key in inner) else inner
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    if isinstance(value, float) and not math.isfinite(value):
        return {"$float": repr(value)}
    for tag, kind in _TAGS.items():
        if isinstance(value, kind):
            return {tag: value.isoformat()}
    return value


def _value(plain: Any) -> Any:
    """The TOML value that `_plain` has written down. Raises ValueError or TypeError where TOML has no such value."""
    if isinstance(plain, list):
        return [_value(v) for v in plain]
    if isinstance(plain, dict):
        return _tagged(plain)
    if plain is None:
        raise TypeError("no value")
    return _text(plain) if isinstance(plain, str) else plain


def _tagged(plain: dict[str, Any]) -> Any:
    if len(plain) == 1:
        tag, inner = next(iter(plain.items()))
        if tag == "$float":
            return float(inner)
        if tag in _TAGS:
            return _TAGS[tag].fromisoformat(inner)
        plain = inner if tag == "$table" else plain
    return {_text(key): _value(v) for key, v in plain.items()}


# A datetime is a date as well, so it comes first.
_TAGS: dict[str, Any] = {"$datetime": datetime, "$date": date, "$time": time}
