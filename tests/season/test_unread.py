"""Names that this version does not know: kept, not read, and told."""

from __future__ import annotations

import tomllib
from pathlib import Path

from calendar_tui.season.reading import read_season
from calendar_tui.season.unread import unread
from calendar_tui.storage.toml.located import located
from tests.storage.three_versions import BASE

NEWER = """
[[visitor]]
id = "S1"
[[visitor]]
id = "S2"
[buyer]
name = "x"
"""


def told(text: str) -> list[str]:
    return [str(p) for p in located(Path("farm.toml"), text, unread(tomllib.loads(text)))]


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_a_season_of_known_names_has_none() -> None:
    assert told(BASE) == []


def test_tables_and_keys_that_are_not_read_are_told_once_with_their_line() -> None:
    text = BASE.replace("plants = 120", "blocks = 4\nplants = 120") + NEWER
    assert told(text) == [
        f"farm.toml:{line_of(text, '[[visitor]]')}: [[visitor]] is not read by this version; it is kept",
        f"farm.toml:{line_of(text, '[buyer]')}: [buyer] is not read by this version; it is kept",
        f'farm.toml:{line_of(text, "blocks")}: "blocks" is not read by this version; it is kept',
    ]
    assert read_season(tomllib.loads(text)).problems == ()


def test_a_key_in_several_records_is_told_once_with_their_count() -> None:
    text = BASE.replace("[[cohort]]\n", "[[cohort]]\nblocks = 4\n")
    count = text.count("blocks = 4")
    assert count > 1
    (only,) = told(text)
    assert only.startswith(f"farm.toml:{line_of(text, 'blocks')}: ")
    assert f"(nor in {count - 1} more cohort record" in only


def test_a_slip_of_a_known_name_stays_a_problem() -> None:
    text = BASE.replace("plants = 120", "plnats = 120")
    assert told(text) == []
    assert "did you mean" in read_season(tomllib.loads(text)).problems[0].message
