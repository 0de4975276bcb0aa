"""What may be typed next, for the shell that completes a command: quick, and quiet whatever is wrong.

The season's file is not read as such, and nothing is planned.
"""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from calendar_tui.commands.parsing import TODAY_FLAG, Flags, command_of, takes_word
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.usages import all_usages
from calendar_tui.commands.word_forms import literals_of, next_words
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.finding import names_file, pick_season, season_files
from calendar_tui.storage.names import Named, season_names

SHELLS = ("bash", "zsh", "fish")
# A flag in a form, in brackets of its own or not, with the word behind it.
_FLAG = re.compile(r"\[?(?P<flag>--[\w-]+)\]?(?P<behind> [^\s\[-][^\s]*)?")
_DATES = ("today", "tomorrow", "yesterday", "next")
# Of which kinds of record the names are that a word of a form, or the value of a flag, stands for.
KINDS_OF: Mapping[str, tuple[str, ...]] = {
    "BAG": ("sample",),
    "BATCH": ("batch",),
    "CHORE": ("chore",),
    "COHORT": ("cohort",),
    "LABORATORY": ("laboratory",),
    "LOT": ("lot", "cohort"),
    "PASS": ("pass",),
    "PLACE": ("place",),
    "PLOT": ("plot", "cohort"),
    "PROFILE": ("profile",),
    "SPRAY": ("spray",),
    "TASK": ("task",),
    "TRIAL": ("trial",),
    "VARIABLE": ("variable",),
    "VARIETY": ("variety",),
}
# The words that stand for files, and how the names of these end; of a folder none does.
_ENDINGS: Mapping[str, str] = {
    **dict.fromkeys(("SEASON", "SURVEY", "BASE", "OURS", "THEIRS"), ".toml"),
    **dict.fromkeys(("FILE", "PATH"), ""),
    "FOLDER": "/",
}
# The states of the tasks that a command is for; the others are for open ones.
_SHUT = {"reopen": ("done", "skipped")}
Offer = tuple[str, str]


class _Line(NamedTuple):
    """What is typed: a command, the words behind it without flags, the word that is begun; the folder at hand, the names in its season."""

    command: str
    typed: tuple[str, ...]
    begun: str
    folder: Path
    names: tuple[Named, ...]


def print_candidates(words: Sequence[str]) -> int:
    """Print what may stand in place of the last of the words, one to a line, what it is behind a tab."""
    with contextlib.suppress(OSError, Refusal):
        for word, what in candidates(words, Path.cwd()):
            # Nothing in a file steers a terminal: such a name is not offered, such a text not told.
            if word.isprintable():
                told = f"\t{what}" if what and what.isprintable() else ""
                sys.stdout.write(f"{word}{told}\n")
    return 0


def candidates(words: Sequence[str], folder: Path) -> list[Offer]:
    """What the last word may become, with what it is. words: behind the program's name, as far as they are typed.

    Raises OSError, Refusal where the words lead nowhere.
    """
    # --place=H, which bash takes apart by itself.
    *before, begun = [part for word in words for part in _parted(word)] or [""]
    before = [word for word in before if word != "="]
    name, behind = command_of(before, COMMANDS)
    flags = {TODAY_FLAG: {"metavar": "DATE"}, **COMMANDS[name].all_flags()}
    line = _Line(name, _without_flags(behind, flags), "" if begun == "=" else begun, folder, ())
    line = line._replace(names=tuple(_names(line.typed, folder)))
    flag = flags.get(behind[-1], {}) if behind else {}
    nexts = [str(flag["metavar"])] if "metavar" in flag else _nexts(line)
    offers = {word: what for token in nexts for word, what in _offers(token, line)}
    start = line.begun.casefold()
    return [(word, what) for word, what in offers.items() if word.casefold().startswith(start)]


def _parted(word: str) -> tuple[str, ...]:
    return word.partition("=") if word.startswith("--") and "=" in word else (word,)


def _without_flags(words: Sequence[str], flags: Flags) -> tuple[str, ...]:
    typed: list[str] = []
    value = False
    for word in words:
        if not value and not word.startswith("-"):
            typed.append(word)
        value = not value and takes_word(word, flags)
    return tuple(typed)


def _names(typed: Sequence[str], folder: Path) -> list[Named]:
    """The names in the season that the words mean, or that is at hand; none where that is not clear."""
    with contextlib.suppress(OSError, Refusal):
        return season_names(_season(typed, folder))
    return []


def _season(typed: Sequence[str], folder: Path) -> Path:
    try:
        return pick_season(typed[:1], folder)[0]
    except Refusal:
        from calendar_tui.storage.own.settings_file import read_own, settings_file

        if not (path := read_own(settings_file()).settings.season):
            raise
        return Path(path)


def forms_of(name: str) -> list[str]:
    """The forms that the words of a command may have, without its flags and what these take."""
    flags = COMMANDS[name].all_flags()
    return [_FLAG.sub(lambda found: _flagless(found, flags), form) for form in all_usages()[name].does]


def _flagless(found: re.Match[str], flags: Flags) -> str:
    """What is left of a flag in a form: nothing, or the word behind it that it does not take."""
    return "" if takes_word(found["flag"], flags) else found["behind"] or ""


def _nexts(line: _Line) -> list[str]:
    """The tokens that may come next, by any form of the command."""
    return [
        token
        for form in forms_of(line.command)
        for token in next_words(form, line.typed, lambda token, word: _fits(token, word, line))
    ]


def _fits(token: str, word: str, line: _Line) -> bool:
    if token == "SEASON":
        return names_file(word)
    if token not in KINDS_OF and token not in _LISTS:
        return True
    known = (known.casefold() for known, _ in _offers(token, line._replace(begun="")))
    # Tasks may be named by the beginnings of their ids.
    return any(one.startswith(word.casefold()) for one in known)


def _offers(token: str, line: _Line) -> Iterator[Offer]:
    if literals_of(token):
        yield from ((word, "") for word in literals_of(token))
    elif token == "SEASON" and not line.begun:
        yield from ((str(path.relative_to(line.folder)), "") for path in season_files(line.folder))
    elif (ending := _ending(token)) is not None:
        yield from _paths(line.begun, ending)
    elif token in KINDS_OF:
        yield from _of_kinds(KINDS_OF[token], line)
    elif token in _LISTS:
        yield from ((word, "") for word in _LISTS[token](line))


def _ending(token: str) -> str | None:
    """How the files end that a word stands for; None where it stands for none. FILE.csv is one that ends so."""
    return token.removeprefix("FILE") if token.startswith("FILE.") else _ENDINGS.get(token)


def is_offered(token: str) -> bool:
    """Whether there may be anything to offer for a word of a form."""
    return bool(literals_of(token)) or token in KINDS_OF or token in _LISTS or _ending(token) is not None


def _of_kinds(kinds: Sequence[str], line: _Line) -> Iterator[Offer]:
    states = _SHUT.get(line.command, ("open", ""))
    start = line.begun.casefold()
    # The line of a record is looked into only where its id may be meant: there may be thousands.
    for named in line.names:
        if not named.id.casefold().startswith(start):
            continue
        if named.kind in kinds and (named.kind != "task" or named.value("state") in states):
            yield named.id, " ".join(filter(None, map(named.value, ("date", "cohort", "what"))))


def _paths(begun: str, ending: str) -> Iterator[Offer]:
    """Files in the folder that is begun, and the folders there once one is."""
    folder, slash, start = begun.rpartition("/")
    for path in sorted(Path(f"{folder}{slash}" or ".").glob(f"{_plain(start)}*")):
        if path.is_dir():
            if begun:
                yield f"{folder}{slash}{path.name}/", ""
        elif path.name.endswith(ending):
            yield f"{folder}{slash}{path.name}", ""


def _plain(start: str) -> str:
    """The beginning of a name, in which nothing stands for other letters."""
    from glob import escape

    return escape(start)


def _kinds(line: _Line) -> Sequence[str]:
    from calendar_tui.season.field_names import KINDS_BY_FIELDS, STAY

    return *KINDS_BY_FIELDS, STAY


def _fields(line: _Line) -> Iterator[str]:
    """The fields of the kind that a command is for, or that stands among its words."""
    from calendar_tui.season.field_names import fields_of

    kinds = _kinds(line)
    kind = {"chores": "chore"}.get(line.command, line.command)
    named = (word for word in (kind, *line.typed) if word in kinds)
    for kind in (*named,)[:1]:
        yield from (field.words.replace(" ", "-") for field in fields_of(kind) if not field.takes_name)


def _record_names(line: _Line) -> list[str]:
    kind = next((word for word in line.typed if word in _kinds(line)), "")
    return [named.id for named in line.names if named.kind == kind]


def _stages(line: _Line) -> Sequence[str]:
    from calendar_tui.season.stages import STAGES

    return STAGES


def _settings(line: _Line) -> Sequence[str]:
    from calendar_tui.storage.own.settings import KEYS, SETTINGS

    return *SETTINGS, KEYS


# The words of forms that stand for something that the program knows by itself.
_LISTS: Mapping[str, Callable[[_Line], Iterator[str] | Sequence[str]]] = {
    "DATE": lambda line: _DATES,
    "FROM": lambda line: _DATES,
    "FIELD": _fields,
    "FIGURE": _fields,
    "KIND": _kinds,
    "NAME": _record_names,
    "SETTING": _settings,
    "STAGE": _stages,
    "TO": lambda line: _DATES,
}
