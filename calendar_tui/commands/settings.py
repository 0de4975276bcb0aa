"""The command that shows what a person has set for themselves, what can be set, and sets it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from calendar_tui.commands.command_input import emit, print_json, tell
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.own_settings import keys_of
from calendar_tui.season.readers import Unreadable, choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.yes_no import is_yes
from calendar_tui.storage.own.settings import KEYS, SETTINGS, setting_of
from calendar_tui.storage.own.settings_file import Own, read_own, settings_file, with_value, write_own


def settings(args: argparse.Namespace) -> int:
    own = read_own(settings_file())
    name, *values = args.words or ("",)
    path = tuple(name.split("."))
    if args.unset or (values and not (path == (KEYS,) and len(values) == 1)):
        return _set(own, path, values, args.unset)
    if args.json:
        print_json(_json(own))
        return 0
    if path[0] == KEYS:
        emit(_keys_text(own, values[0] if values else ".".join(path[1:])))
    else:
        emit(_text(own, name))
    tell(map(str, keys_of(own)[1].problems))
    return 0


# --- what is shown


def _text(own: Own, name: str) -> Iterator[str]:
    if name:
        _known(name)
    there = "" if own.file.exists() else " (not there yet; setting one makes it)"
    yield f"{own.file}{there}"
    for known, setting in SETTINGS.items():
        if name in ("", known):
            value = getattr(own.settings, known)
            is_set = "" if value != setting.first else "  (as it comes)"
            yield f"  {known:<12} {_value_text(value)}{is_set}"
            yield f"  {'':<12} {setting.what}"
            yield f"  {'':<12} takes: {setting.takes}"
    if not name:
        count = sum(map(len, own.settings.keys.values()))
        yield f"  {KEYS:<12} {count or 'none'} of your own; calendar-tui settings keys lists all"
        yield "Set one with: calendar-tui settings NAME VALUE; take it out with: calendar-tui settings NAME --unset"


def _value_text(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) or "not set"


def _keys_text(own: Own, only: str) -> Iterator[str]:
    """The keys that can be another, by the groups in which they are there together. only: one group, "" for all."""
    from textwrap import wrap

    from calendar_tui.screens.kit.every_key import KEYS as GROUPS
    from calendar_tui.screens.kit.key import id_of
    from calendar_tui.screens.kit.own_keys import named

    groups = [group for group in GROUPS if named(group)]
    if only and only not in groups:
        raise Refusal(f"keys.{only} is no group of keys{choices(only, groups, 'Groups')}")
    mine = keys_of(own)[0].keys
    for group in groups:
        if only not in ("", group):
            continue
        yield f"{KEYS}.{group}" if group.isidentifier() else f'{KEYS}."{group}"'
        for name, key in named(group).items():
            now = mine.get(id_of(group, key))
            changed = f" (was {key.shown.split()[0]})" if now else ""
            begin = f"  {name:<18} {(now or key).shown.split()[0] + changed:<12} "
            yield from wrap(key.text, 79, initial_indent=begin, subsequent_indent=" " * len(begin)) or [begin]
    yield 'Set one with: calendar-tui settings "keys.GROUP.NAME" KEY, such as keys.season.open-week F5'


def _json(own: Own) -> Mapping[str, Any]:
    with_keys = keys_of(own)[1]
    values = {name: value for name, value in own.settings._asdict().items() if name != KEYS}
    return {
        "file": str(own.file),
        "exists": own.file.exists(),
        **values,
        KEYS: own.settings.keys,
        "problems": [str(problem) for problem in with_keys.problems],
    }


# --- what is set


def _set(own: Own, path: tuple[str, ...], values: list[str], unset: bool) -> int:
    _known(path[0])
    if (len(path) == 3) != (path[0] == KEYS) or (path[0] != KEYS and len(path) != 1):
        raise Refusal(
            'a key is set by its group and name, such as: calendar-tui settings keys.season.open-week "F5"'
        )
    name = ".".join(path)
    if unset and values:
        raise Refusal(f"--unset takes {name} out; write it without a value")
    value = None if unset else _value(path, " ".join(values))
    new = own._replace(text=with_value(own, path, value))
    _refuse_clash(new, path)
    if new.text != own.text:
        write_own(own, new.text)
        note_saved(f"{name} set in {own.file}")
    emit([f"{name} is {'not set' if unset else _value_text(value)} in {own.file}."])
    return 0


def _known(name: str) -> None:
    if name != KEYS:
        try:
            setting_of(name)
        except Unreadable as why:
            raise Refusal(f"{name} {why}") from None


def _value(path: tuple[str, ...], typed: str) -> Any:
    """What is typed as it stands in the file. Raises Refusal where the setting does not take it."""
    if path[0] == KEYS:
        return typed
    setting = SETTINGS[path[0]]
    meant = is_yes(typed) if isinstance(setting.first, bool) else None
    value: Any = typed if meant is None else meant
    if path[0] == "season" and typed:
        value = str(Path(typed).expanduser().resolve())
        if not Path(value).is_file():
            raise Refusal(f"season is {value}, and there is no such file; name one that is there")
    elif typed.casefold() in setting.takes.split(", ") and isinstance(value, str):
        value = typed.casefold()
    try:
        setting.read(value)
    except Unreadable as why:
        raise Refusal(f"{path[0]} {why}") from None
    return value


def _refuse_clash(new: Own, path: tuple[str, ...]) -> None:
    """Raise Refusal where a key is none, or does two things with those that are set."""
    import tomli

    from calendar_tui.screens.kit.own_keys import own_keys
    from calendar_tui.storage.own.settings import read_settings

    if path[0] != KEYS:
        return
    wrong = own_keys(read_settings(tomli.loads(new.text))[0].keys).wrong
    if why := next((w.message for w in wrong if w.path == path), ""):
        raise Refusal(why)
