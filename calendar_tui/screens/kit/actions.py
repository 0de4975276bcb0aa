"""The registry of actions, from the table of every key: bindings, footers, help and palette all come from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from textual.binding import Binding, BindingType

from calendar_tui.screens.kit.canvas import Runs, joined
from calendar_tui.screens.kit.every_key import EVEN_TYPING, KEYS
from calendar_tui.screens.kit.key import Key, id_of
from calendar_tui.screens.kit.preferences import AS_IT_COMES, NO_KEYS, Preferences
from calendar_tui.season.cells import cell_len

# Every key by the id of its binding, which tells it from those of other views that do the same.
BY_ID: Mapping[str, Key] = {id_of(group, key): key for group, keys in KEYS.items() for key in keys}
# The names of the actions that change the season.
EDITS = frozenset(key.action.removeprefix("app.").partition("(")[0] for key in BY_ID.values() if key.edits)


def in_group(*groups: str, own: Mapping[str, Key] = NO_KEYS) -> tuple[Key, ...]:
    """The keys of these groups, group by group. own: those that a person has in place of the table's, by their ids."""
    return tuple(own.get(id_of(group, key), key) for group in groups for key in KEYS[group])


def keys_on(screen: Any, *groups: str) -> tuple[Key, ...]:
    """The keys of these groups as the person in front of a screen has them."""
    return in_group(*groups, own=own_keys_of(screen))


def own_keys_of(screen: Any) -> Mapping[str, Key]:
    """The keys that the person in front of a screen, or a widget, has in place of the table's."""
    preferences: Preferences = getattr(screen.app, "preferences", AS_IT_COMES)
    return preferences.keys


def written(own: Mapping[str, Key], name: str) -> str:
    """How the key of a binding is written, by its id in the table. own: the keys that a person has in place of the table's."""
    return own.get(name, BY_ID[name]).shown


def shown_key(screen: Any, name: str) -> str:
    """How the key of a binding is written for the person in front of a screen, by its id in the table."""
    return written(own_keys_of(screen), name)


def bindings(*groups: str) -> list[BindingType]:
    """Textual's bindings for the keys of these groups."""
    return [
        Binding(
            key.names,
            key.action,
            key.foot or key.text,
            show=bool(key.foot),
            key_display=key.shown,
            priority=key.names in EVEN_TYPING,
            id=id_of(group, key),
        )
        for group in groups
        for key in KEYS[group]
        if key.action
    ]


# What a footer names as long as there is room: the ways to all else, the first of them gives way first.
LAST_ACTIONS = tuple(key.action for group in ("undo", "anything", "help") for key in KEYS[group])
# Of these, what gives way before the first two keys, in this order.
GIVING_WAY = tuple(key.action for group in ("anything", "undo") for key in KEYS[group])
# Between two pairs of a key and what it does.
GAP = "  "


def keys_with_room(named: Sequence[Key], width: int) -> list[Key]:
    """The keys that fit with their words, which may be of any language; where there are too many, the later ones give
    way, then the palette, then undo, then the first two, and then help; the last, the way out, stays.
    """
    fitting = list(named)
    while cell_len(GAP.join(f"{key.shown} {key.foot}" for key in fitting)) > width:
        later = [key for key in fitting[2:-1] if key.action not in LAST_ACTIONS][-1:]
        after = [key for action in GIVING_WAY for key in fitting[:-1] if key.action == action]
        first = [key for key in fitting[:-1] if key.action not in LAST_ACTIONS][-1:]
        if not (going := later or after or first or fitting[:-1]):
            break
        fitting.remove(going[0])
    return fitting


def footer(keys: Iterable[Key], width: int, arrows: Mapping[str, str]) -> list[tuple[str, str]]:
    """The keys and their words for a footer this many cells wide, two blanks between; arrows: glyphs by key."""
    groups = (
        list(alike) for _, alike in groupby((key for key in keys if key.foot), key=lambda key: key.foot)
    )
    named = [
        alike[0]._replace(shown=_together([key.shown.split()[0] for key in alike], arrows))
        for alike in groups
    ]
    return [(key.shown, key.foot) for key in keys_with_room(named, width)]


def footer_runs(keys: Iterable[Key], width: int, arrows: Mapping[str, str]) -> Runs:
    """The same as a row of a sheet."""
    pairs = footer(keys, width, arrows)
    runs = [run for key, does in pairs for run in ((key, "key"), (f" {does}", "footer"), (GAP, "footer"))]
    return joined(runs[:-1])


def _together(shown: Sequence[str], arrows: Mapping[str, str]) -> str:
    """Keys with one word, such as ←→, +-, n/Esc."""
    if len(shown) > 2 and not arrows:
        return "arrows"
    glyphs = [arrows.get(key, key) for key in shown]
    return ("" if max(map(len, glyphs)) == 1 else "/").join(glyphs)
