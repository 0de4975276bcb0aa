"""Who holds the lock of a season file: the note that a save leaves in it, and the sentence for those who wait in vain."""

from __future__ import annotations

import json
import os
import socket
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from calendar_tui.season.readers import plain

# Windows locks the first byte against reading, so the note begins after it.
_NOTE_AT = 1
_LONGEST_NOTE = 1000
_PROCESSES = Path("/proc")


@dataclass(frozen=True, slots=True)
class LockHolder:
    """Who holds a lock. started: when the process began, in ticks since the machine did; 0 if unknown. written: when
    the note was written, in ns, which tells one save of a process from the next.
    """

    host: str
    pid: int
    started: int
    user: str
    written: int = 0


def write_note(handle: int, who: str) -> None:
    """Write into a lock that is held who holds it. Raises OSError."""
    row = asdict(LockHolder(socket.gethostname(), os.getpid(), _process(os.getpid())[0], who))
    del row["written"]
    note = b"\n" + json.dumps(row).encode() + b"\n"
    os.write(handle, note)
    os.ftruncate(handle, len(note))


def read_note(handle: int) -> LockHolder | None:
    """The note that the holder has left; None where there is none yet, or no such one. Raises OSError."""
    os.lseek(handle, _NOTE_AT, os.SEEK_SET)
    try:
        row = json.loads(os.read(handle, _LONGEST_NOTE))
        host, user = plain(str(row["host"])), plain(str(row["user"]))
        return LockHolder(host, int(row["pid"]), int(row["started"]), user, os.fstat(handle).st_mtime_ns)
    except (ValueError, KeyError, TypeError, RecursionError):
        return None


def holder_text(lock: Path, handle: int, holder: LockHolder | None, seconds: float) -> str:
    """Why a lock cannot be had, and what would be right. handle: of the lock's file; seconds: how long it was tried."""
    held = f"{lock} was locked for {seconds:g} s"
    if holder is None:
        return f"somebody else is saving it: {held}; try again in a moment"
    who = holder.user or "somebody"
    where = f"process {holder.pid} on {holder.host}"
    if holder.host != socket.gethostname():
        right = f"try again in a moment; if {holder.host} is off, delete {lock.name}, and save again"
        return f"{who} is saving it, with {where}: {held}; {right}"
    started, state = _process(holder.pid)
    if not state or started != holder.started:
        return f"{held} for {who}, whose {where} does not run any more; {_others_text(lock, handle)}"
    if state == "T":
        right = f"that process is stopped: continue it (kill -CONT {holder.pid}) or end it (kill -KILL {holder.pid})"
        return f"{who} is saving it, with {where}: {held}; {right}"
    return f"{who} is saving it, with {where}: {held}; try again in a moment, or end that process"


def _others_text(lock: Path, handle: int) -> str:
    """Which other programs may hold it: to delete the lock under one that saves would let two save at once."""
    others = list(_with_it_open(handle))
    if others:
        named = " or ".join(f"process {pid} ({plain(name)})" for pid, name in others)
        return f"now {named} holds it: end it, and save again"
    return (
        f"another program holds it, of another person or on another machine: look with: fuser -v {lock}; "
        "where nothing has it open, delete that file, and save again"
    )


def _with_it_open(handle: int) -> Iterator[tuple[int, str]]:
    """The other processes of this machine that have an open file open too, as far as the system tells."""
    own = os.fstat(handle)
    for folder in _PROCESSES.glob("[0-9]*"):
        if int(folder.name) == os.getpid():
            continue
        try:
            if any(os.path.samestat(own, open_file.stat()) for open_file in (folder / "fd").iterdir()):
                yield int(folder.name), (folder / "comm").read_text(errors="replace").strip()
        except OSError:  # ended just now, or another person's
            continue


def runs(pid: int) -> bool:
    """Whether a process of this machine runs, as far as the system tells."""
    return bool(_process(pid)[1])


def _process(pid: int) -> tuple[int, str]:
    """When a process of this machine began, in ticks since the machine did, and the letter of its state.

    (0, "") for one that does not run, (0, "?") where the system does not tell.
    """
    table = _PROCESSES
    if not (table / "self" / "stat").exists():
        return 0, "?"
    try:
        # The name of the program, in brackets, may hold anything.
        fields = (table / str(pid) / "stat").read_text(errors="replace").rpartition(")")[2].split()
    except (FileNotFoundError, ProcessLookupError):
        return 0, ""
    return (0, "") if fields[0] in "ZX" else (int(fields[19]), fields[0])
