"""Write a season file in the form that this program writes; the old file stays beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path

from calendar_tui.season.edits import Edit
from calendar_tui.season.upgrades import FORMAT, form_of, is_newer, is_older, newer, upgrade_problems
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.disk.lock import in_turn
from calendar_tui.storage.disk.whole_file import fresh_path, parted_text, put_beside, reason, refused
from calendar_tui.storage.opening import season_problems
from calendar_tui.storage.problems import SeasonFileError, StorageError
from calendar_tui.storage.season_file import (
    Loaded,
    Made,
    Note,
    Saved,
    current,
    put_in_place,
    real_path,
    step_of,
)
from calendar_tui.storage.toml.located import located
from calendar_tui.storage.toml.raising import raised
from calendar_tui.storage.toml.splice import Spliced


@dataclass(frozen=True, slots=True)
class Upgrade:
    """What an upgrade changes in a file, and the name under which the old file is kept beside it."""

    edits: tuple[Edit, ...]
    made: Spliced
    kept: Path


def upgrade_of(path: Path, loaded: Loaded | None = None) -> Upgrade | None:
    """What would bring a season file to the form that this program writes; None where it has that form.

    Raises SeasonFileError where it cannot be upgraded, with the reasons.
    """
    now = loaded or current(path)
    if is_newer(now.data):
        raise SeasonFileError(located(path, now.text, (newer(now.data),)))
    if problems := tuple(upgrade_problems(now.data)):
        raise SeasonFileError(located(path, now.text, problems))
    if not is_older(now.data):
        return None
    try:
        made = raised(now.text, now.data, FORMAT)
    except StorageError as error:
        raise refused(path, f"not upgraded: {error}", error.line) from error
    try:
        kept = _free_name(real_path(path), form_of(now.data) or 0, now.text.encode())
    except OSError as error:
        raise refused(path, f"not upgraded: {reason(error)} ({error.filename})") from error
    return Upgrade(made.edits, made, kept)


def _free_name(real: Path, form: int, content: bytes) -> Path:
    """two-rivers.format1.toml, or the next number where that holds something else than this content."""
    names = (f"{real.stem}.format{form}{f'-{n}' if n > 1 else ''}{real.suffix}" for n in count(1))
    return next(path for path in map(real.with_name, names) if not path.exists() or _holds(path, content))


def _holds(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def upgrade_season(path: Path, *, who: str, when: datetime) -> tuple[Saved, Path | None]:
    """Upgrade a season file as one change of its history; gives the file, and where the old one is kept.

    None for that where the file has the form already, and then nothing is written. Raises SeasonFileError, and then
    the season file stands as it was.
    """
    return in_turn(real_path(path), who, lambda: _upgrade(path, who, when))


def _upgrade(path: Path, who: str, when: datetime) -> tuple[Saved, Path | None]:
    now = current(path)
    upgrade = upgrade_of(path, now)
    if upgrade is None:
        return Saved(path, now.text, now.data, None), None
    real, old, made = real_path(path), now.text.encode(), upgrade.made
    try:
        warnings = parted_text(real)
        fresh = not upgrade.kept.exists()
        if fresh:
            put_beside(upgrade.kept, old, real.stat(), fresh_path(history_path(real)))
    except OSError as error:
        raise refused(path, f"not upgraded: {reason(error)} ({upgrade.kept})") from error
    try:
        whole = Made(made.text, made.data, [step_of(now.text, made)])
        note = Note(f"upgraded to format {FORMAT}", who, when)
        n = put_in_place(path, now.text, whole, note, season_problems)
    except SeasonFileError:
        if fresh:
            _take_away(upgrade.kept, real, old)
        raise
    return Saved(path, made.text, made.data, n, warnings=warnings), upgrade.kept


def _take_away(kept: Path, real: Path, old: bytes) -> None:
    """Take the copy away where the season still stands as it was, and not where it is saved and only unconfirmed."""
    try:
        if _holds(real, old):
            kept.unlink(missing_ok=True)
    except OSError:
        return  # what went wrong first is being told, and the next upgrade takes the same copy
