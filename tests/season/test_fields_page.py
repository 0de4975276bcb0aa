"""The page on adding and changing names every field as the commands do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calendar_tui.season.field_names import fields_of
from calendar_tui.season.kind_words import ALL

PAGE = (Path(__file__).parents[2] / "docs" / "adding-and-changing.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ALL)
def test_the_page_has_every_field_of_a_kind_in_its_order_with_key_unit_and_meaning(kind):
    table = PAGE.split(f"### {kind}\n", 1)[1].split("\n### ", 1)[0]
    rows = [re.split(r" \| ", line.strip("| ")) for line in table.splitlines() if line.startswith("| ")][2:]
    lines = [" | ".join(row) for row in rows]
    meant = [
        " | ".join(
            (
                field.words + (" NAME" if field.takes_name else ""),
                f"`{'.'.join(field.path)}`",
                field.unit,
                field.meaning + ("; needed" if field.needed else ""),
            )
        )
        for field in fields_of(kind)
    ]
    assert [re.sub(r"\s+", " ", line) for line in lines] == [re.sub(r"\s+", " ", line) for line in meant]


def test_the_page_has_no_other_kind():
    assert re.findall(r"^### (\w+)$", PAGE, re.MULTILINE) == list(ALL)
