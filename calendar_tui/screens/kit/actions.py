"""The registry of actions, from the table of every key: bindings, footers, help and palette all come from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from rich.cells import cell_len
from textual.binding import Binding, BindingType

from calendar_tui.screens.kit.every_key import EVEN_TYPING, KEYS


@dataclass(frozen=True, slots=True)
class Action:
    """Something a key does.

    key: Textual's names, comma separated where several do the same. name: of the method action_NAME, with its
    arguments; "" where a field or the mouse does it. text: one sentence for help and palette. group: the view it
    belongs to, or the part. shown: the key as people write it. short: for the season view's footer.
    """

    key: str
    name: str
    text: str
    group: str
    shown: str
    short: str = ""

    @property
    def id(self) -> str:
        """Tells it from those of other views that do the same."""
        return f"{self.group}.{self.key}"


ACTIONS = tuple(
    Action(key, name, text, group, shown, short)
    for group, keys in KEYS.items()
    for key, name, shown, short, text in keys
)


# What changes the season, and is refused where it is shown as it was.
EDITS = frozenset(
    {
        "record",
        "outage",
        "step",
        "tick",
        "done_on",
        "skip_tasks",
        "move_tasks",
        "note_tasks",
        "change",
        "switch_chore",
        "add_chore",
        "remove_chore",
        "keep",
        "drop",
        "save",
        "undo",
        "redo",
        "go_here",
    }
)


def in_group(*groups: str) -> tuple[Action, ...]:
    """The actions of these groups, in the registry's order."""
    return tuple(a for a in ACTIONS if a.group in groups)


def bindings(*groups: str) -> list[BindingType]:
    """Textual's bindings for the actions of these groups."""
    return [
        Binding(
            a.key,
            a.name,
            a.short or a.text,
            show=bool(a.short),
            key_display=a.shown,
            priority=a.key in EVEN_TYPING,
            id=a.id,
        )
        for a in in_group(*groups)
        if a.name
    ]


# Between two pairs of a key and what it does.
GAP = "  "


def pairs_with_room(pairs: Sequence[tuple[str, str]], width: int) -> list[tuple[str, str]]:
    """The pairs that fit; where there are too many, the later ones give way, but for help and the last, the way out."""
    kept = list(pairs)
    while cell_len(GAP.join(" ".join(pair) for pair in kept)) > width:
        later = [pair for pair in kept[:-1] if pair[0] != "?"][-1:] or kept[:-1]
        if not later:
            break
        kept.remove(later[0])
    return kept


# What the footer leaves out first where there is little room.
_LEFT_OUT_FIRST = ("today", "move", "zoom", "open")


def footer(actions: Iterable[Action], width: int, arrows: Mapping[str, str]) -> list[tuple[str, str]]:
    """The keys and their words for a footer this many cells wide, two blanks between; arrows: glyphs by key."""
    pairs = [
        (_keys([a.shown for a in group], arrows), word)
        for word, group in groupby((a for a in actions if a.short), key=lambda a: a.short)
    ]
    for word in _LEFT_OUT_FIRST:
        if sum(len(keys) + len(word) + 3 for keys, word in pairs) - 2 <= width:
            break
        pairs = [pair for pair in pairs if pair[1] != word]
    return pairs_with_room(pairs, width)


def _keys(shown: list[str], arrows: Mapping[str, str]) -> str:
    if len(shown) > 2 and not arrows:
        return "arrows"
    return "".join(arrows.get(key, key) for key in shown)
