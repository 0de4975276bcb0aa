"""Two people who cut and dry in copies of one season, merged and undone: what only both together make wrong is told."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest
from cut_season import cut_season
from small_season import Ran, run

from calendar_tui.commands import history as history_commands
from calendar_tui.commands.command_input import now
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import load, save_change

TODAY = "2027-04-20"
FIRST = "2027-04-18"
LOTS = """
[capacity]
dryer_m2 = 10
dryer_kg_per_m2 = 4
[[profile]]
id = "rule"
name = "A rule"
commingled = "never"
limit_percent = 0.3
acid_factor = 0.877
as_of = 2026-11-01
[[lot]]
id = "A1-east"
cohort = "A1"
part = "east"
[[lot]]
id = "A1-west"
cohort = "A1"
part = "west"
"""
MIXED = "lots are never mixed under A rule"
TOO_MUCH = "10 m2"


def typed(*words: object) -> Ran:
    ran = run(*words, today=TODAY)
    assert ran.status == 0, ran.said
    return ran


@pytest.fixture
def sides(tmp_path: Path) -> tuple[Path, Path, Path]:
    """The season as it was, ours and theirs: both cut a lot of A1 and put it into a batch D1."""
    base = cut_season(tmp_path, LOTS)
    copies = [tmp_path / f"{name}.toml" for name in ("ours", "theirs")]
    for copy, lot in zip(copies, ("A1-east", "A1-west"), strict=True):
        copy.write_bytes(base.read_bytes())
        typed("pass", copy, lot, FIRST, "top", "9", "kg", "why", "ripe", "batch", "D1", "--yes")
    return base, *copies


def words(text: str) -> str:
    return " ".join(text.split())


def test_lots_that_two_people_put_into_one_batch_are_told_by_the_merge(
    sides: tuple[Path, Path, Path],
) -> None:
    for side in sides[1:]:
        assert MIXED not in words(typed("check", side).said)
    ran = typed("merge", *sides, "--dry-run")
    assert "clash of both together: batch D1: A1-east-1 is of lot A1-east" in words(ran.out)
    ran = typed("merge", *sides, "--json", "--dry-run")
    assert any(MIXED in text for text in json.loads(ran.out)["clashes"])
    typed("merge", *sides)
    ours = sides[1]
    assert MIXED in words(typed("check", ours).said)
    assert MIXED in words(typed("decide", ours).out)
    # The merge is one change, and goes as one.
    typed("undo", ours)
    assert MIXED not in words(typed("check", ours).said)


def test_batches_that_only_together_are_over_the_area_of_the_dryer_are_told_by_the_merge(
    sides: tuple[Path, Path, Path],
) -> None:
    base, ours, theirs = sides
    for side in sides[1:]:
        typed("undo", side)
    for side, lot, name in ((ours, "A1-east", "D1"), (theirs, "A1-west", "D2")):
        typed("pass", side, lot, FIRST, "top", "9", "kg", "why", "ripe", "batch", name, "--yes")
        typed("set", side, "batch", name, "area", "6", "--yes")
        assert TOO_MUCH not in words(typed("check", side).said)
    ran = typed("merge", base, ours, theirs)
    assert "clash of both together: batch D" in words(ran.out)
    assert "the dryer holds 10 m2" in words(ran.out)
    assert "the dryer holds 10 m2" in words(typed("check", ours).said)


def test_a_merge_of_what_fits_tells_no_clash(sides: tuple[Path, Path, Path]) -> None:
    base, ours, theirs = sides
    typed("undo", theirs)
    typed("pass", theirs, "A1-west", FIRST, "top", "9", "kg", "why", "ripe", "batch", "D2", "--yes")
    assert "clash" not in typed("merge", base, ours, theirs).out


def test_undoing_anothers_change_that_kept_lots_apart_leaves_a_clash_that_is_told(
    sides: tuple[Path, Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ana moved the pass into a batch of its own; Ben takes her change back, and both lots dry in D1 again."""
    _, ours, _ = sides
    monkeypatch.setattr(history_commands, "who", lambda: "ben")
    mixed = {"id": "A1-west-1", "date": load(ours).data["pass"][0]["date"], "lot": "A1-west", "batch": "D1"}
    for n, (what, edit) in enumerate(
        (
            ("both in D1", Edit("add", "pass", ("A1-west-1",), (), mixed)),
            ("a batch of its own", Edit("unset", "pass", ("A1-west-1",), ("batch",))),
        )
    ):
        save_change(ours, Change(what, (edit,)), who="ana", when=now() - timedelta(hours=2 - n))
    assert MIXED not in words(typed("check", ours).said)
    assert "a batch of its own" in typed("undo", ours, "--yes").out
    assert MIXED in words(typed("check", ours).said)
    typed("redo", ours, "--yes")
    assert MIXED not in words(typed("check", ours).said)
