"""The history of a season file: one JSON object a line in a file beside it, only ever added to.

An entry reaches the disk before the season file is replaced, so no change can be in the file and not in the history.
If the program stops between the two, the entry says what never happened. Such an entry is known by the next content
that was seen (the file now, or what the next entry started from): it is what the entry started from, not what it
would have made. `holding` leaves these out, so they do no harm.
"""

from __future__ import annotations

import json
import math
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from calendar_tui.season.edits import Edit
from calendar_tui.storage.splices import Splice
from calendar_tui.storage.whole_file import keep_access


@dataclass(frozen=True, slots=True)
class Entry:
    """One change. edits and back are the edits and those that take them back; before and after are the SHA-256 of
    the file's bytes; undoes is the number of the change that this one undoes.
    """

    n: int
    when: datetime
    who: str
    what: str
    edits: tuple[Edit, ...]
    back: tuple[Edit, ...]
    splices: tuple[Splice, ...]
    before: str
    after: str
    undoes: int | None = None


def digest(content: bytes) -> str:
    """The SHA-256 of a file's bytes, in hexadecimal."""
    import hashlib

    return hashlib.sha256(content).hexdigest()


def history_path(season: Path) -> Path:
    """two-rivers.toml has its history in two-rivers.history.jsonl."""
    return season.with_name(f"{season.stem}.history.jsonl")


def read_entries(file: Path) -> tuple[list[Entry], list[str]]:
    """The entries of a history, none if there is no file, and a sentence for each line that cannot be read.

    Raises OSError if the file is there and cannot be read.
    """
    entries: list[Entry] = []
    warnings: list[str] = []
    content = file.read_bytes() if file.exists() else b""
    for number, line in enumerate(content.splitlines(), 1):
        entry = _decoded(line)
        if entry is not None:
            entries.append(entry)
        elif line.strip():
            warnings.append(f"{file}:{number}: this line is not whole and is passed over")
    return entries, warnings


def next_number(file: Path) -> int:
    """The number of the next entry: one more than the last that can be read."""
    for line in reversed(file.read_bytes().splitlines() if file.exists() else []):
        entry = _decoded(line)
        if entry is not None:
            return entry.n + 1
    return 1


def holding(entries: Sequence[Entry], now: str) -> list[Entry]:
    """The entries whose change is in the file or was; `now` is the SHA-256 of the file as it is."""
    seen = [*(entry.before for entry in entries), now][1:]
    return [e for e, found in zip(entries, seen, strict=True) if e.before == e.after or found != e.before]


@contextmanager
def noted(file: Path, entry: Entry, like: os.stat_result) -> Iterator[None]:
    """Add an entry for what happens inside; if that fails, the entry is taken back.

    A new history gets the permissions of the season file, `like`. Raises OSError.
    """
    size = file.stat().st_size if file.exists() else None
    try:
        _append(file, _encoded(entry))
        if size is None:
            keep_access(file, like)
        yield
    except BaseException:
        if size is None:
            file.unlink(missing_ok=True)
        else:
            os.truncate(file, size)
        raise


def _append(file: Path, line: bytes) -> None:
    with file.open("a+b") as stream:
        if stream.seek(0, os.SEEK_END):
            stream.seek(-1, os.SEEK_END)
            # The rest of a torn line must not swallow this one.
            line = line if stream.read(1) == b"\n" else b"\n" + line
        stream.write(line)
        stream.flush()
        os.fsync(stream.fileno())


def _encoded(entry: Entry) -> bytes:
    steps = zip(entry.edits, reversed(entry.back), strict=True)
    row: dict[str, Any] = {
        "n": entry.n,
        "when": entry.when.isoformat(),
        "who": entry.who,
        "what": entry.what,
        "edits": [_step(edit, back) for edit, back in steps],
        "splices": [[s.at, s.old, s.new] for s in entry.splices],
        "before": entry.before,
        "after": entry.after,
    }
    if entry.undoes is not None:
        row["undoes"] = entry.undoes
    return json.dumps(row, ensure_ascii=False, allow_nan=False).encode(errors="replace") + b"\n"


def _decoded(line: bytes) -> Entry | None:
    """The entry in a line; None if the line does not hold a whole one."""
    try:
        row = json.loads(line)
        steps = [_unstep(step) for step in row["edits"]]
        return Entry(
            n=int(row["n"]),
            when=datetime.fromisoformat(row["when"]),
            who=row["who"],
            what=row["what"],
            edits=tuple(edit for edit, _ in steps),
            back=tuple(back for _, back in reversed(steps)),
            splices=tuple(Splice(at, tuple(old), tuple(new)) for at, old, new in row["splices"]),
            before=row["before"],
            after=row["after"],
            undoes=row.get("undoes"),
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _step(edit: Edit, back: Edit) -> dict[str, Any]:
    """An edit with the values before and after it, where there are any."""
    row = {"op": edit.op, "kind": edit.kind, "ident": _plain(list(edit.ident)), "field": list(edit.field)}
    if back.op in ("set", "add"):
        row["before"] = _plain(back.value)
    if edit.op in ("set", "add"):
        row["after"] = _plain(edit.value)
    return row


def _unstep(row: dict[str, Any]) -> tuple[Edit, Edit]:
    """An edit and the one that takes it back."""
    op, kind = row["op"], row["kind"]
    ident, field = tuple(_value(row["ident"])), tuple(row["field"])
    before, after = _value(row.get("before")), _value(row.get("after"))
    if op in ("add", "remove"):
        opposite: Any = {"add": "remove", "remove": "add"}[op]
        return Edit(op, kind, ident, field, after), Edit(opposite, kind, ident, field, before)
    if op not in ("set", "unset"):
        raise ValueError(op)
    back = Edit("set" if "before" in row else "unset", kind, ident, field, before)
    return Edit(op, kind, ident, field, after), back


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
    """The TOML value that `_plain` has written down."""
    if isinstance(plain, list):
        return [_value(v) for v in plain]
    if not isinstance(plain, dict):
        return plain
    if len(plain) == 1:
        tag, inner = next(iter(plain.items()))
        if tag == "$table":
            return {key: _value(v) for key, v in inner.items()}
        if tag == "$float":
            return float(inner)
        if tag in _TAGS:
            return _TAGS[tag].fromisoformat(inner)
    return {key: _value(v) for key, v in plain.items()}


# A datetime is a date as well, so it comes first.
_TAGS: dict[str, Any] = {"$datetime": datetime, "$date": date, "$time": time}
