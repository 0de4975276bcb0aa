"""A season made with the first starter list: what the latest changes is told, and taken over as one change with one undo."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from calendar_tui.season.reading import read_season, read_starter
from calendar_tui.storage.new_season import example_season_text
from calendar_tui.storage.starter_lists import LATEST, LISTS, STARTER, starter_chores
from tests.season_data import data_of

TODAY = "2026-09-20"
DATES = {
    "first_day": date(2026, 9, 15),
    "last_day": date(2027, 6, 30),
    "seeding": date(2026, 10, 5),
    "transplant": date(2026, 10, 30),
    "lights_off": date(2027, 1, 15),
}


@cache
def _new_text() -> str:
    site: Any = {"name": "Kept", "latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"}
    return example_season_text(**site, **DATES)


def _old_text() -> str:
    """As the season was made by the first list, with a comment and a figure of one's own."""
    head = _new_text().split("# Chores to start from", 1)[0]
    head = "".join(line for line in head.splitlines(True) if not line.startswith("starter_list"))
    chores = (STARTER / LISTS[1]).read_text(encoding="utf-8")
    mine = 'hours = 4   # weighed it last year\nper = "100 plants"\ntime = "07:00"'
    return head + chores.replace('hours = 3\nper = "100 plants"\ntime = "07:00"', mine)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("old") / "kept.toml"
    path.write_text(_old_text(), encoding="utf-8")
    assert run("tasks", path, "--yes", today=TODAY).status == 0
    return path


@pytest.fixture
def old(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made.parent, tmp_path / "farm")) / made.name


def _data(path: Path) -> dict[str, Any]:
    return data_of(path.read_text(encoding="utf-8"))


def _starter(path: Path, *words: str) -> Any:
    return run("chores", path, "--starter", *words, today=TODAY)


def test_a_new_season_has_seen_the_latest_list_and_is_told_nothing(tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    path.write_text(_new_text(), encoding="utf-8")
    assert _data(path)["season"]["starter_list"] == LATEST
    assert "has nothing that this season has not seen" in _starter(path).out
    assert json.loads(_starter(path, "--json").out) == []
    assert "starter" not in run("check", path, today=TODAY).out


def test_check_and_chores_say_in_one_line_that_there_is_something_new(old: Path) -> None:
    for command in ("check", "chores"):
        out = run(command, old, today=TODAY).out
        assert out.count("--starter") == 1
        assert f"starter list {LATEST} has " in " ".join(out.split())
    assert run("check", old, today=TODAY).status == 0
    rows = json.loads(run("check", old, "--json", today=TODAY).out)
    assert [r["severity"] for r in rows if "starter list" in r["message"]] == ["information"]


def test_every_change_is_listed_with_its_fields(old: Path) -> None:
    out = _starter(old).out
    said = " ".join(out.split())
    assert "traps Count and change the sticky traps" in said
    assert "stage harvest -> lights_off" in said
    assert "hours 4 (yours; the list had 3) -> 5" in said
    assert max(map(len, out.splitlines())) <= 80
    rows = {row["id"]: row for row in json.loads(_starter(old, "--json").out)}
    first, latest = starter_chores(1), starter_chores(LATEST)
    assert {name for name, row in rows.items() if row["kind"] == "new"} == latest.keys() - first.keys()
    differ = {name for name in first.keys() & latest.keys() if first[name] != latest[name]}
    assert {name for name, row in rows.items() if row["kind"] == "changed"} == differ
    assert [name for name, row in rows.items() if row["edited"]] == ["harvest"]


def test_one_is_taken_over_and_taken_back(old: Path) -> None:
    before = old.read_bytes()
    dry = _starter(old, "clear-place", "--dry-run")
    assert "falls away" in dry.out
    assert old.read_bytes() == before
    assert _starter(old, "clear-place", "traps", "--yes").status == 0
    data = _data(old)
    chores = {c["id"]: c for c in data["chore"]}
    assert chores["clear-place"]["once"] == "last"
    assert [t["cohorts"] for t in data["task"] if t["chore"] == "clear-place" and t["place"] == "H1"] == [
        ["A1"]
    ]
    assert "traps" in {t["chore"] for t in data["task"]}
    assert "starter_list" not in data["season"]
    assert "differ from the plan" not in run("check", old, today=TODAY).out
    assert run("undo", old, today=TODAY).status == 0
    assert old.read_bytes() == before


def test_all_of_it_gives_the_chores_of_a_new_season_and_keeps_the_comments(old: Path) -> None:
    count = len(json.loads(_starter(old, "--json").out))
    ran = _starter(old, "all", "--yes")
    assert ran.status == 0, ran.err
    assert f"Saved: from starter list {LATEST}: {count} chores" in ran.out
    assert "yours gives way: harvest hours 4 -> 5" in " ".join(ran.out.split())
    data = _data(old)
    mine = {c["id"]: {k: v for k, v in c.items() if k != "since"} for c in data["chore"]}
    assert read_starter("chore", list(mine.values())) == starter_chores(LATEST)
    assert data["season"]["starter_list"] == LATEST
    assert "# weighed it last year" in old.read_text(encoding="utf-8")
    assert read_season(data).problems == ()
    checked = run("check", old, today=TODAY)
    assert checked.status == 0
    assert "starter" not in checked.out
    assert "differ from the plan" not in checked.out


def test_keeping_ones_own_ends_the_reminder(old: Path) -> None:
    assert _starter(old, "keep", "--yes").status == 0
    assert _data(old)["season"]["starter_list"] == LATEST
    assert "starter" not in run("check", old, today=TODAY).out
    assert "--starter" not in run("chores", old, today=TODAY).out


def test_a_chore_that_the_list_does_not_change_is_refused_with_those_it_does(old: Path) -> None:
    ran = _starter(old, "trap")
    assert ran.status == 2
    assert 'did you mean "traps"' in ran.err
    assert "keep stands alone" in _starter(old, "traps", "keep").err
    assert "goes with --add" in run("chores", old, "--starter", "--what", "x").err
    assert "one at a time" in run("chores", old, "--starter", "--add", "x", "--what", "x").err


def test_every_list_before_the_latest_reads() -> None:
    for number in LISTS:
        assert starter_chores(number)


EXAMPLES = sorted((Path(__file__).parents[2] / "seasons").glob("*.toml"))


def _docs_example() -> list[str]:
    page = (Path(__file__).parents[2] / "docs" / "season-file.md").read_text(encoding="utf-8")
    found = re.search(r"^- `chores (--starter .+?)` takes these", page, re.MULTILINE)
    assert found
    return found[1].split()


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_the_example_of_the_docs_takes_chores_over_in_every_example_season_of_an_older_list(
    example: Path, tmp_path: Path
) -> None:
    path = tmp_path / example.name
    text = example.read_text(encoding="utf-8")
    path.write_text(re.sub(r"(?m)^starter_list = .*\n", "", text), encoding="utf-8")
    taken = run("chores", path, *_docs_example(), "--yes", today="2026-12-08")
    assert (taken.status, taken.err) == (0, "")
    assert "Saved" in taken.out


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_season_of_the_latest_list_is_refused_because_there_is_nothing_new(
    example: Path, tmp_path: Path
) -> None:
    path = Path(shutil.copy(example, tmp_path))
    refused = run("chores", path, *_docs_example(), "--yes", today="2026-12-08")
    assert refused.status == 2
    assert f"starter list {LATEST}, the latest, has nothing that this season has not seen" in refused.err
