"""The table of every key against what the views bind, have methods for, and show at their feet."""

from __future__ import annotations

import ast
from collections import Counter
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import pytest
from test_views import trees

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.actions import BY_ID, EDITS, footer, in_group
from calendar_tui.screens.kit.every_key import EVEN_TYPING, KEYS
from calendar_tui.screens.kit.glyphs import ASCII, UNICODE, Glyphs
from calendar_tui.screens.kit.sections import SECTIONS
from calendar_tui.screens.kit.together import ANYWHERE, EVERYWHERE, TOGETHER

# Bound by Textual itself: in fields that are typed in, and between them; in what scrolls.
OF_FIELDS = {"enter", "tab", "escape", "up", "down", "pageup", "pagedown"}
# What serves a browser has no keys, and needs libraries of an extra.
TREES = [
    (name, tree)
    for name, tree in trees()
    if not name.startswith("calendar_tui.screens.browser.") or find_spec("aiohttp") is not None
]
# What views fill into the words of their keys, at its longest.
WORDS = {"chosen": " shift", "yes": "upgrade and save", "other": "residuals"}


def _classes() -> list[tuple[type[Any], ast.ClassDef]]:
    return [
        (getattr(import_module(name), node.name), node)
        for name, tree in TREES
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
FEET = {
    f"{name.removeprefix('calendar_tui.screens.')} {constant}": groups
    for name, _ in TREES
    for constant, groups in vars(import_module(name)).items()
    if constant.endswith("FOOT")
}
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
    for name, tree in TREES:
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Binding":
                assert name == "calendar_tui.screens.kit.actions"
    for cls, _ in CLASSES:
        # Where letters are typed, they and no other keys are taken as they come.
        letters = {"on_key"} if "check_consume_key" in vars(cls) else set()
        assert not [name for name in vars(cls) if name in {"on_key"} - letters or name.startswith("key_")], (
            cls
        )


# A question is answered by y, which elsewhere opens the history.
ANSWERS = {("y", "answer(True)"), ("y", "save")}


@pytest.mark.parametrize("cls", BOUND, ids=lambda cls: cls.__name__)
def test_every_action_of_a_view_has_a_method(cls: type[Any]) -> None:
    for key in in_group(*groups_of(cls)):
        name = key.action.partition("(")[0]
        owner = CalendarApp if name.startswith("app.") else cls
        assert not name or hasattr(owner, f"action_{name.removeprefix('app.')}"), key


@pytest.mark.parametrize("cls", BOUND, ids=lambda cls: cls.__name__)
def test_no_key_is_bound_twice_in_one_view(cls: type[Any]) -> None:
    bound = [key for key in in_group(*groups_of(cls)) if key.action]
    names = Counter(name for key in bound for name in key.names.split(","))
    assert max(names.values()) == 1, names.most_common(3)


@pytest.mark.parametrize(
    "cls", [cls for cls in BOUND if cls is not CalendarApp], ids=lambda cls: cls.__name__
)
def test_no_key_of_a_view_hides_one_that_does_something_else_everywhere(cls: type[Any]) -> None:
    everywhere = {
        n: key.action.removeprefix("app.")
        for key in in_group(*groups_of(CalendarApp))
        for n in key.names.split(",")
    }
    own = {
        n: key.action.removeprefix("app.") for key in in_group(*groups_of(cls)) for n in key.names.split(",")
    }
    hidden = {n: action for n, action in own.items() if action and everywhere.get(n, action) != action}
    assert hidden.items() <= ANSWERS


def test_every_key_of_the_table_is_bound_or_named_somewhere_and_told_in_the_help_once() -> None:
    bound = {group for cls in BOUND for group in groups_of(cls)}
    named = {group for groups in FEET.values() for group in groups}
    assert KEYS.keys() == bound | named | {"mouse"}
    for group in KEYS.keys() - bound:
        assert not any(key.action for key in in_group(group)), group
    told = Counter(group for _, _, groups in SECTIONS for group in groups)
    assert set(told.values()) == {1}
    assert told.keys() == {group for group, keys in KEYS.items() if any(key.text for key in keys)}
    assert {key.names for key in BY_ID.values() if not key.action} <= {*OF_FIELDS, ""}
    assert {key.names for key in BY_ID.values()} >= EVEN_TYPING


def test_an_action_is_an_edit_in_every_view_or_in_none() -> None:
    for key in BY_ID.values():
        assert key.edits == (key.action.removeprefix("app.").partition("(")[0] in EDITS), key


@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
@pytest.mark.parametrize("foot", FEET)
def test_the_first_keys_of_a_footer_have_room_in_80_columns_and_the_way_out_always(
    foot: str, glyphs: Glyphs
) -> None:
    keys = [key._replace(foot=key.foot.format(**WORDS)) for key in in_group(*FEET[foot])]
    whole = footer(keys, 1000, glyphs.arrows)
    for width in (80, 40):
        pairs = footer(keys, width, glyphs.arrows)
        assert pairs[-1] == whole[-1]
        assert pairs[0] == whole[0] or width < 80
        assert sum(len(f"{key} {word}  ") for key, word in pairs) - 2 <= width
        assert ("?", "help") in pairs or "help" not in FEET[foot]
    assert whole[-1][0].split("/")[-1] in {"Esc", "q"}


def test_undo_is_bound_only_in_views_whose_footer_names_it() -> None:
    """Elsewhere, a key typed once too often would change the file."""
    named = {name.split()[0] for name, groups in FEET.items() if "undo" in groups}
    bound = {
        cls.__module__.removeprefix("calendar_tui.screens.") for cls in BOUND if "undo" in groups_of(cls)
    }
    # Lists of records have them bound by what they have in common.
    assert bound - {"forms.records_view"} == named


def test_the_program_itself_binds_its_own_groups() -> None:
    assert groups_of(CalendarApp) == ["help", "program", "anything"]


def test_the_groups_of_every_view_stand_together_in_the_table() -> None:
    rows = [set(row) for row in TOGETHER]
    for cls in BOUND:
        groups = set(groups_of(cls)) - set(EVERYWHERE)
        if len(groups - set(ANYWHERE)) > 1:
            assert any(groups <= row for row in rows), (
                f"{cls.__name__}: {sorted(groups)} is no row of TOGETHER"
            )
    assert all(group in KEYS for row in (*TOGETHER, EVERYWHERE) for group in row)
