"""Texts broken into lines: as the standard library breaks them."""

from __future__ import annotations

import random
import textwrap

import pytest

from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from tests.counting import lines_run

PIECES = ("a", "bb", "word", "a-b", "Transplant", "[ ]", "é", " ", " ", "  ", "\t", "\n", "x" * 30)


@pytest.mark.parametrize("seed", range(20))
def test_lines_are_those_of_the_standard_library(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(100):
        text = "".join(
            chance.choice(PIECES) + " " * chance.randint(0, 1) for _ in range(chance.randint(0, 30))
        )
        width, indent, first = (
            chance.randint(20, 60),
            " " * chance.randint(0, 11),
            chance.choice(("", "A1  ")),
        )
        if chance.random() < 0.5:
            text = text.replace("\t", "").replace("\n", "").replace("x" * 30, "")
        right = textwrap.wrap(
            text, width, initial_indent=first or indent, subsequent_indent=indent, break_on_hyphens=False
        )
        assert wrapped(text, indent, width, first) == (right or [first])
        right = textwrap.wrap(text, width, subsequent_indent=indent, break_on_hyphens=False)
        assert hanging(text, width, indent) == right


def test_a_figure_stays_with_its_unit_at_every_width() -> None:
    for width in range(12, 30):
        lines = hanging("Sow 12\N{NO-BREAK SPACE}trays of amber seed, 0.5\N{NO-BREAK SPACE}h each", width)
        assert not any(line.endswith(("12", "0.5")) for line in lines)
        assert "\N{NO-BREAK SPACE}" not in "".join(lines)


def test_a_line_more_takes_a_few_steps() -> None:
    one, many = (lambda n=n: hanging("two words and more " * n, 60) for n in (3, 300))
    assert lines_run(many) < 100 * 15 + lines_run(one)


def test_a_time_and_its_half_of_the_day_stay_together() -> None:
    text = "H2 is closed until Mon 3 Aug 6:35 pm after soap"
    for width in range(12, 50):
        assert any("6:35 pm" in line for line in hanging(text, width)), width
