"""The table of every key against what the views bind, have methods for, and show at their feet."""

from __future__ import annotations

import ast
from collections import Counter
from importlib import import_module
from typing import Any

import pytest
from test_views import trees

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.actions import ACTIONS, in_group
from calendar_tui.screens.kit.every_key import EVEN_TYPING, FEET, KEYS, SECTIONS
from calendar_tui.screens.kit.keys import pairs_of

# Bound by Textual itself: in fields that are typed in, and between them; in what scrolls.
OF_FIELDS = {"enter", "tab", "escape", "up", "down", "pageup", "pagedown"}
WRITTEN = {
    "esc": ("escape",),
    "/": ("slash",),
    "?": ("question_mark",),
    "up/down": ("up", "down"),
    "left/right": ("left", "right"),
    "PgUp/PgDn": ("pageup", "pagedown"),
}
# The foot that tells a word to be typed, and whose keys are those of a group of another name.
TYPED_WORDS = {"due:"}
OWN = {"page": ("view",), "said": ("view",), "typed": ("view",)}


def _classes() -> list[tuple[type[Any], ast.ClassDef]]:
    return [
        (getattr(import_module(name), node.name), node)
        for name, tree in trees()
        if not name.endswith("__init__")
        for node in tree.body
        if isinstance(node, ast.ClassDef)
    ]


def _bound(node: ast.ClassDef) -> ast.expr | None:
    """What a class sets its BINDINGS to."""
    for line in node.body:
        targets = line.targets if isinstance(line, ast.Assign) else [getattr(line, "target", None)]
        if any(isinstance(t, ast.Name) and t.id == "BINDINGS" for t in targets):
            return line.value  # type: ignore[union-attr]
    return None


CLASSES = _classes()
BOUND = {cls: value for cls, node in CLASSES if (value := _bound(node)) is not None}


def groups_of(cls: type[Any]) -> list[str]:
    """The groups of keys that a view binds, those of its bases too."""
    return [
        group.value
        for base in cls.__mro__
        if base in BOUND
        for group in BOUND[base].args  # type: ignore[attr-defined]
    ]


def test_no_view_binds_a_key_outside_the_table() -> None:
    for cls, value in BOUND.items():
        assert isinstance(value, ast.Call), cls
        assert isinstance(value.func, ast.Name), cls
        assert value.func.id == "bindings", cls
    for name, tree in trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Binding":
                assert name == "calendar_tui.screens.kit.actions"
    for cls, _ in CLASSES:
        assert not [name for name in vars(cls) if name == "on_key" or name.startswith("key_")], cls


@pytest.mark.parametrize("cls", BOUND, ids=lambda cls: cls.__name__)
def test_every_action_of_a_view_has_a_method(cls: type[Any]) -> None:
    for group in groups_of(cls):
        for action in in_group(group):
            method = f"action_{action.name.partition('(')[0]}"
            assert not action.name or hasattr(cls, method), action


@pytest.mark.parametrize("cls", BOUND, ids=lambda cls: cls.__name__)
def test_no_key_is_bound_twice_in_one_view(cls: type[Any]) -> None:
    actions = [a for group in groups_of(cls) for a in in_group(group) if a.name]
    keys = Counter(key for action in actions for key in action.key.split(","))
    assert max(keys.values()) == 1, keys.most_common(3)


def test_every_key_of_the_table_is_bound_somewhere_and_told_in_the_help_once() -> None:
    used = {group for cls in BOUND for group in groups_of(cls)}
    for group in KEYS.keys() - used:
        assert not any(action.name for action in in_group(group)), group
    told = Counter(group for _, _, groups in SECTIONS for group in groups)
    assert set(told.values()) == {1}
    assert told.keys() == {a.group for a in ACTIONS if a.text}
    assert {a.key for a in ACTIONS if not a.name} <= {*OF_FIELDS, ""}
    assert {a.key for a in ACTIONS} >= EVEN_TYPING
    assert len({a.id for a in ACTIONS if a.name}) == sum(1 for a in ACTIONS if a.name)


@pytest.mark.parametrize("foot", FEET)
def test_every_key_at_the_foot_of_a_view_does_something_there_and_all_have_room(foot: str) -> None:
    name = foot.partition(".")[0]
    sections = {section: groups for section, _, groups in SECTIONS}
    groups = {name, "view", "list", "program", *OWN.get(name, sections.get(name, ()))}
    known = {key for a in ACTIONS if a.group in groups for key in a.key.split(",")}
    for key, _ in pairs_of(FEET[foot]):
        for one in WRITTEN.get(key, (key,)):
            assert one in known | OF_FIELDS | TYPED_WORDS, (foot, key)
    # Where the planting dates have no room for all, they name the arrows in one word.
    room = 80 if foot != "response" else 101
    assert len(FEET[foot].format(chosen="shift", yes="upgrade and save", no="save nothing")) <= room


def test_the_program_itself_binds_its_own_group() -> None:
    assert groups_of(CalendarApp) == ["program"]
