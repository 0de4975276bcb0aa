"""Letters that a person's language joins or keeps apart, joined emoji and pasted soft hyphens: kept in the file, and harmless."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import ids, refused_quietly, run

from tests.season_data import data_of

PERSIAN, FAMILY, PASTED = "می\u200cخواهم", "\U0001f468\u200d\U0001f469\u200d\U0001f467", "hoop\u00adhouse"


@pytest.mark.parametrize("words", [PERSIAN, FAMILY, PASTED])
def test_a_name_and_a_note_may_have_them_and_keep_them(season: Path, words: str) -> None:
    text = season.read_text(encoding="utf-8").replace("Near Fields 2026-27", f"Near {words}")
    season.write_text(text, encoding="utf-8")
    assert run("check", season).status == 0
    name = ids(season)[0]
    ran = run("note", season, name, f"see {words}")
    assert ran.status == 0, ran.err
    refused_quietly(ran.said)
    data = data_of(season.read_text(encoding="utf-8"))
    assert data["season"]["name"] == f"Near {words}"
    assert next(t for t in data["task"] if t["id"] == name)["note"] == f"see {words}"


@pytest.mark.parametrize("words", [PERSIAN, FAMILY, PASTED])
def test_they_are_left_out_where_text_is_shown_so_that_every_line_is_as_wide_as_it_counts(
    season: Path, words: str
) -> None:
    run("note", season, ids(season)[0], f"see {words}")
    shown = "".join(c for c in words if c not in "\u00ad\u200c\u200d")
    for command in (["week", season], ["history", season], ["dates", season]):
        ran = run(*command)
        assert ran.status == 0
        refused_quietly(ran.said)
    assert f"see {shown}" in run("history", season).out


@pytest.mark.parametrize("char", ["\u202e", "\u2066", "\u200f", "\u200b", "\ufeff", "\U000e0041", "\x1b"])
def test_what_turns_the_writing_hides_or_steers_stays_refused(season: Path, char: str) -> None:
    before = season.read_bytes()
    ran = run("note", season, ids(season)[0], f"red{char}light")
    assert (ran.status, season.read_bytes()) == (2, before)
    assert "control or hidden character" in ran.err


def test_an_id_has_none(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace('id = "B1"', 'id = "B\u200d1"'), encoding="utf-8")
    ran = run("check", season)
    assert ran.status == 1
    assert "id has a control or hidden character" in ran.out
