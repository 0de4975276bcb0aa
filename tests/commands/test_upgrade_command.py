"""Seasons of an older and of a newer format on the command line."""

from __future__ import annotations

from fnmatch import fnmatch
from pathlib import Path

import pytest
from small_season import ids, run

TELLS = (
    ["dates"],
    ["week"],
    ["chart"],
    ["lamps"],
    ["load", "hours"],
    ["daylight"],
    ["why", "A1", "harvest"],
    ["check"],
    ["variety"],
)


def in_format(season: Path, form: int) -> bytes:
    text = season.read_text(encoding="utf-8").replace("format = 3", f"format = {form}   # mine")
    season.write_text(text, encoding="utf-8")
    return season.read_bytes()


@pytest.mark.quick(6)
@pytest.mark.parametrize("words", TELLS, ids=lambda w: w[0])
@pytest.mark.parametrize(
    ("form", "said"),
    [(1, "this program writes 3; calendar-tui upgrade"), (4, "this program writes 3; get a newer program")],
    ids=["older", "newer"],
)
def test_every_command_that_tells_says_so_beside_what_it_tells(season, words, form, said):
    plain = run(words[0], season, *words[1:])
    in_format(season, form)
    ran = run(words[0], season, *words[1:])
    assert ran.err.count(f"this file is format {form}; {said}") == 1
    if words != ["check"]:
        assert (ran.status, ran.out) == (plain.status, plain.out)


@pytest.mark.parametrize("form", [1, 4])
def test_no_command_saves_to_another_format(season, form):
    before = in_format(season, form)
    said = {1: "calendar-tui upgrade", 4: "get a newer program"}[form]
    words = (
        ["done", season, ids(season)[0]],
        ["record", season, "A1", "transplant", "2026-11-08", "--yes"],
        ["plan", season, "B1", "sticking", "2026-11-25", "--yes"],
        ["variety", season, "amber", "drying_d", "7", "--yes"],
    )
    for command in words:
        ran = run(*command)
        assert ran.status == 2
        assert "not saved: this file is format" in ran.err
        assert said in ran.err
        assert season.read_bytes() == before


def test_upgrade_shows_asks_keeps_and_can_be_undone(season):
    before = in_format(season, 1)
    ran = run("upgrade", season, typed="n\n")
    assert ran.status == 0
    assert "- format = 1   # mine" in ran.out
    assert "+ format = 3   # mine" in ran.out
    assert "Nothing saved." in ran.out
    assert season.read_bytes() == before
    ran = run("upgrade", season, typed="y\n")
    assert "Upgraded to format 3; the old file is" in ran.out
    assert season.with_name("near-fields.format1.toml").read_bytes() == before
    assert season.read_bytes() == before.replace(b"format = 1", b"format = 3")
    assert run("done", season, ids(season)[0]).status == 0
    ran = run("undo", season, "2")
    assert ran.status == 0
    assert "this file is format 1" in ran.err
    assert season.read_bytes() == before


def test_upgrade_asks_nobody_with_yes_and_refuses_without_an_answer(season):
    before = in_format(season, 1)
    assert run("upgrade", season).status == 2
    assert season.read_bytes() == before
    assert run("upgrade", season, "--yes").status == 0
    ran = run("upgrade", season, "--yes")
    assert "is format 3 already." in ran.out


def test_upgrade_refuses_a_newer_file_with_its_line(season):
    before = in_format(season, 4)
    ran = run("upgrade", season, "--yes")
    assert (ran.status, season.read_bytes()) == (2, before)
    assert f"{season}:2: this file is format 4; this program writes 3; get a newer program" in ran.err


def test_a_newer_file_that_does_not_read_says_why(season):
    in_format(season, 4)
    season.write_text(season.read_text(encoding="utf-8").replace("latitude", "north"), encoding="utf-8")
    ran = run("dates", season)
    assert ran.status == 2
    assert ":2: this file is format 4" in ran.err
    assert "the site has no latitude" in ran.err


def test_the_kept_copies_are_not_taken_for_seasons(season, monkeypatch):
    before = in_format(season, 1)
    monkeypatch.chdir(season.parent)
    season.with_name("near-fields.format1.toml").write_bytes(before + b"# mine, older still")
    assert run("upgrade", "--yes").status == 0
    assert season.with_name("near-fields.format1-2.toml").read_bytes() == before
    season.with_name("near-fields.conflicts.txt").write_text("[season]\n", encoding="utf-8")
    for words in (["week"], ["done", ids(season)[0]], ["undo"], ["history"], ["check"]):
        ran = run(*words)
        assert ran.status == 0, ran.said
    assert run("week", "near-fields.format1.toml").status == 0
    other = season.with_name("low.format.toml")
    other.write_bytes(before)
    assert "holds 2: low.format.toml, near-fields.toml" in run("week").err


def test_git_is_told_to_ignore_the_kept_copies(season):
    in_format(season, 1)
    assert run("upgrade", season, "--yes").status == 0
    page = (Path(__file__).parents[2] / "docs" / "sharing-with-git.md").read_text(encoding="utf-8")
    ignored = page.split("In `.gitignore`:", 1)[1].split("```")[1].split()
    (kept,) = (p for p in season.parent.glob("*.toml") if p != season)
    assert any(fnmatch(kept.name, pattern) for pattern in ignored)
    assert not any(fnmatch(season.name, pattern) for pattern in ignored)


def test_a_long_upgrade_shows_the_beginning_of_both_sides(season):
    more = "".join(f'\n[[task]]\nid = "x{n}"\ndate = 2026-11-09\nwhat = "Hoe"\n' for n in range(30))
    text = season.read_text(encoding="utf-8").split("[records]")[0].replace("format = 3", "format = 2")
    season.write_text(text + more, encoding="utf-8")
    out = run("upgrade", season, typed="n\n").out
    assert '- id = "x0"' in out
    assert '+   { id = "x0", date = 2026-11-09, what = "Hoe" },' in out
    assert "- ... and " in out
    assert "+ ... and " in out
    assert len(out.splitlines()) < 60
