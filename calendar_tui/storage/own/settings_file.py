"""A person's own file of settings: read line by line where it must be, and one value set in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import tomli

from calendar_tui.storage.own.folders import CONFIG, own_folder
from calendar_tui.storage.own.settings import Settings, Wrong, read_settings
from calendar_tui.storage.problems import FileProblem, SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.storage.toml.lines import Lines

# A larger text is no file of settings; and no more lines are taken out of one that is not TOML.
MOST_BYTES, MOST_LINES = 100_000, 20
_NOT_TOML = "not-toml-"


class Own(NamedTuple):
    """A file of settings as read; problems: what in it counts as not set."""

    file: Path
    text: str
    settings: Settings
    problems: tuple[FileProblem, ...]

    def placed(self, wrong: Wrong) -> FileProblem:
        """What is wrong, with its line."""
        from calendar_tui.storage.toml.lines import locate

        return FileProblem(str(self.file), locate(self.text).line(wrong.path), wrong.message)


def settings_file() -> Path:
    """The file, which may not be there."""
    return own_folder(CONFIG) / "settings.toml"


def read_own(file: Path) -> Own:
    """What a person has set, in this file; what cannot be read of it is named and counts as not set."""
    try:
        text = _text(file)
    except SeasonFileError as error:
        return Own(file, "", Settings(), error.problems)
    data, broken = _data(file, text)
    settings, wrong = read_settings({k: v for k, v in data.items() if not k.startswith(_NOT_TOML)})
    own = Own(file, text, settings, broken)
    problems = (*broken, *map(own.placed, wrong))
    return own._replace(problems=tuple(sorted(problems, key=lambda p: p.line or 0)))


def _text(file: Path) -> str:
    """The text, "" where there is no file. Raises SeasonFileError."""
    from calendar_tui.storage.disk.whole_file import reason, refused

    try:
        if not file.is_file():
            if not file.exists():
                return ""
            raise refused(file, "is not a file; nothing is set by it")
        if file.stat().st_size > MOST_BYTES:
            raise refused(file, f"is larger than {MOST_BYTES // 1000} kB; nothing is set by it")
        return file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise refused(file, "these characters are not UTF-8; save the file as UTF-8 text", line) from None
    except OSError as error:
        raise refused(file, f"cannot be read: {reason(error)}") from error


def _data(file: Path, text: str) -> tuple[dict[str, Any], tuple[FileProblem, ...]]:
    """What the text says without the lines that are not TOML, and these.

    A header gives way to another, so that the keys below it do not come under the table above.
    """
    pieces = text.split("\n")
    problems: list[FileProblem] = []
    while len(problems) <= MOST_LINES:
        try:
            return tomli.loads("\n".join(pieces)), tuple(problems)
        except tomli.TOMLDecodeError as error:
            problem = _problem(file, "\n".join(pieces), error)
        except (ValueError, RecursionError) as error:
            from calendar_tui.storage.season_file import beyond_reading

            return {}, (FileProblem(str(file), None, f"{beyond_reading(error)}; nothing is set by it"),)
        problems.append(problem)
        at = (problem.line or 1) - 1
        is_header = pieces[at].lstrip().startswith("[")
        pieces[at] = f"[{_NOT_TOML}{len(problems)}]" if is_header else ""
    return {}, tuple(problems)


def _problem(file: Path, text: str, error: tomli.TOMLDecodeError) -> FileProblem:
    """What is wrong where a reader of TOML stops; always with a line."""
    from calendar_tui.storage.season_file import not_toml

    first = not_toml(file, text, error).problems[0]
    return first._replace(line=first.line or min(error.lineno, text.count("\n") + 1), column=None)


def with_value(own: Own, path: tuple[str, ...], value: Any) -> str:
    """The text with a value at a path, or without it for None; all else stays as it is.

    Raises SeasonFileError where the file cannot be read, or has it in a form in which that cannot be done.
    """
    if own.problems and not own.text:  # nothing was read: what is there would be lost
        raise SeasonFileError(own.problems)
    from calendar_tui.storage.disk.whole_file import refused
    from calendar_tui.storage.toml.lines import locate

    lines = locate(own.text)
    new = _put(lines, path, value)
    if _differs(new, own.text, path, value):
        raise refused(
            own.file, "this cannot be set in the form the file has; edit it by hand", lines.line(path)
        )
    return new


def _put(lines: Lines, path: tuple[str, ...], value: Any) -> str:
    from calendar_tui.storage.toml.rendering import entry_text, key_text, toml_value

    text, (block, way, rest) = lines.text, lines.trail(path)
    starts = [*lines.starts, len(text)]
    if way and not rest:
        if value is not None:
            return text[: way[-1].value] + toml_value(value) + text[way[-1].end :]
        return text[: starts[lines.line_at(way[-1].start)]] + text[starts[lines.line_at(way[-1].end) + 1] :]
    if value is None:
        return text
    entry = entry_text(path[-1:], value)
    if block.path != path[:-1]:
        return f"{text.rstrip()}\n\n[{key_text(path[:-1])}]\n{entry}\n".lstrip("\n")
    entries = lines.entries(block)
    after = lines.line_at(entries[-1].end) + 1 if entries else block.header + 1
    before = text[: starts[after]]
    return (
        before + ("" if before.endswith("\n") or not before else "\n") + f"{entry}\n" + text[starts[after] :]
    )


def _differs(new: str, old: str, path: tuple[str, ...], value: Any) -> bool:
    """Whether the new text comes to anything but the old one with this value at the path."""
    try:
        meant, data = tomli.loads(old), tomli.loads(new)
    except (ValueError, RecursionError):  # not TOML, or beyond what its reader takes
        return True
    at = meant
    for name in path[:-1]:
        at = at.setdefault(name, {})
    if value is None:
        at.pop(path[-1], None)
    else:
        at[path[-1]] = value
    return bool(meant != data)


def write_own(own: Own, text: str) -> None:
    """Write the file with this text, whole or not at all. Raises SeasonFileError."""
    from calendar_tui.storage.disk.handed_file import hand_out
    from calendar_tui.storage.own.folders import make_folder

    make_folder(own.file.parent)
    hand_out({own.file: text.encode()})
