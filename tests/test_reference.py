"""The reference pages are those that the program's tables make, and the ways to call each command are whole."""

from __future__ import annotations

import re

import pytest

from calendar_tui.commands.parsing import HELP
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.usages import all_usages
from calendar_tui.screens.kit.every_key import KEYS
from calendar_tui.screens.kit.sections import SECTIONS
from tests.reference import DOCS, PAGES

USAGES = all_usages()


@pytest.mark.parametrize("name", PAGES)
def test_a_reference_page_is_as_the_tables_make_it(name: str) -> None:
    text = (DOCS / name).read_text(encoding="utf-8")
    assert text == PAGES[name](), "python -m tests.reference writes it anew"


def test_what_is_hidden_in_a_help_is_hidden_in_the_pages() -> None:
    assert "SUPPRESS" not in "".join(made() for made in PAGES.values())


def test_every_command_has_its_ways_to_be_called() -> None:
    assert {*USAGES} == {*COMMANDS, HELP}
    assert all(usages.does for usages in USAGES.values())


@pytest.mark.parametrize("name", COMMANDS)
def test_every_flag_in_a_usage_is_one_of_its_command(name: str) -> None:
    flags = {*COMMANDS[name].all_flags(), "--today"}
    for words, does in USAGES[name].does.items():
        assert {*re.findall(r"(?<![\w-])--[a-z][a-z-]*", f"{words} {does}")} <= flags, words


def test_every_key_that_is_told_stands_under_a_heading() -> None:
    headed = {group for _, _, groups in SECTIONS for group in groups}
    assert {group for group, keys in KEYS.items() if any(key.text for key in keys)} <= headed
