"""The merge command: what it writes, what it tells, its exit status, and what it leaves alone."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from small_season import line_of, refused_quietly, run, swap

from calendar_tui.storage.history.undo import read_history
from tests.season_data import data_of

PLANTS = swap("plants = 120", "plants = 99   # counted")
OTHER_PLANTS = swap("plants = 120", "plants = 90")


@pytest.fixture
def three(tmp_path: Path, season_text: str) -> dict[str, Path]:
    """Three versions alone in a folder, all as they came from the program."""
    paths = {side: tmp_path / f"{side}.toml" for side in ("base", "ours", "theirs")}
    for path in paths.values():
        path.write_text(season_text, encoding="utf-8")
    return paths


def rewrite(path: Path, *changes: object) -> str:
    text = path.read_text(encoding="utf-8")
    for change in changes:
        text = change(text)
    path.write_text(text, encoding="utf-8")
    return text


def files(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir() if p.suffix != ".lock")


def contents(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()}


def cohort(path: Path, name: str) -> dict[str, object]:
    return next(c for c in data_of(path.read_text())["cohort"] if c["id"] == name)


def test_two_cohorts_merge_by_themselves(three: dict[str, Path]) -> None:
    rewrite(three["ours"], PLANTS)
    assert run("record", three["theirs"], "D1", "seeding", "2026-10-22", "--yes").status == 0
    ran = run("merge", *three.values())
    assert (ran.status, ran.err) == (0, "")
    assert "came from theirs" in ran.out
    assert "conflict" not in ran.out
    text = three["ours"].read_text()
    assert "plants = 99   # counted\n" in text
    assert "# The near fields\n" in text
    assert {str(d) for d in cohort(three["ours"], "D1")["recorded"].values()} == {"2026-10-22"}
    assert run("check", three["ours"]).status == 0
    assert [e.what for e in read_history(three["ours"]).entries] == ["merge of theirs.toml"]
    assert run("undo", three["ours"]).out == "Undone: merge of theirs.toml\n"
    assert cohort(three["ours"], "D1").keys() & {"recorded"} == set()


def test_two_dates_of_one_cohort_merge_and_its_tasks_are_laid_out_anew(three: dict[str, Path]) -> None:
    for side, stage, day in (("ours", "transplant", "2026-11-08"), ("theirs", "emergence", "2026-10-12")):
        words = ("record", three[side], "A1", stage, day, "--yes")
        assert run(*words).status == 0
    # A sowing in the field whose two sides see its tasks differently.
    for side, hours in (("ours", "hours = 0.6"), ("theirs", "hours = 0.7")):
        rewrite(three[side], lambda text, hours=hours: text.replace("hours = 0.5", hours))
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert ran.out.count("conflict:") == 1
    assert "conflict: chore scout hours: ours 0.6 stays, theirs is 0.7\n" in ran.out
    assert "laid out differently on both sides: laid out anew from the merged dates" in ran.out
    assert "from the plan" not in ran.out
    assert run("tasks", three["ours"]).out == "The saved tasks agree with the plan.\n"
    assert {k: str(v) for k, v in cohort(three["ours"], "A1")["recorded"].items()} == {
        "seeding": "2026-10-05",
        "transplant": "2026-11-08",
        "emergence": "2026-10-12",
    }


def test_tasks_that_only_the_two_together_move_are_told(three: dict[str, Path]) -> None:
    """Ours plants later; theirs scouts later: each is in step, and both together are not."""
    assert run("record", three["ours"], "A1", "transplant", "2026-11-08", "--yes").status == 0
    rewrite(three["theirs"], swap("offset_d = 7", "offset_d = 9"))
    ran = run("merge", *three.values())
    assert ran.status == 0
    assert "from the plan: calendar-tui tasks" in ran.out


def test_a_cohort_taken_away_there_goes_with_the_tasks_that_moved_here(three: dict[str, Path]) -> None:
    text = three["base"].read_text()
    start, end = text.index('[[cohort]]\nid = "D1"'), text.index("[[outage]]")
    three["theirs"].write_text(text[:start] + text[end:])
    assert run("tasks", three["theirs"], "--yes").status == 0
    rewrite(three["ours"], swap("offset_d = 7", "offset_d = 9"))
    assert run("tasks", three["ours"], "--yes").status == 0
    ran = run("merge", *three.values())
    assert (ran.status, "conflict" in ran.out) == (0, False)
    assert "D1" not in three["ours"].read_text()
    assert run("tasks", three["ours"]).out == "The saved tasks agree with the plan.\n"


def test_a_conflict_keeps_ours_and_writes_both_values_down(three: dict[str, Path]) -> None:
    rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], OTHER_PLANTS, swap('kind = "field"', 'kind = "greenhouse"'))
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert "conflict: cohort A1 plants: ours 99 stays, theirs is 90\n" in ran.out
    merged = three["ours"].read_text()
    assert 'kind = "greenhouse"' in merged
    assert "plants = 99   # counted" in merged
    beside = three["ours"].with_name("ours.conflicts.txt")
    assert str(beside) in ran.out
    text = beside.read_text()
    line = line_of(merged, "plants = 99")
    for part in (
        "1. cohort A1 plants\n",
        "before:  120\n",
        "ours:    99   <- in the file\n",
        "theirs:  90\n",
        f"line {line}\n",
        "git add",
    ):
        assert part in text
    assert run("check", three["ours"]).status == 0


def test_a_cohort_taken_away_and_changed_is_written_down_whole(three: dict[str, Path]) -> None:
    cohorts = three["base"].read_text()
    start, end = cohorts.index('[[cohort]]\nid = "D1"'), cohorts.index("[[outage]]")
    three["ours"].write_text(cohorts[:start] + cohorts[end:])
    rewrite(three["theirs"], swap("planned = { seeding = 2026-10-20 }", "planned = { seeding = 2026-10-21 }"))
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert "conflict: cohort D1: taken away in ours, changed in theirs; it stays\n" in ran.out
    text = three["ours"].with_name("ours.conflicts.txt").read_text()
    assert "   ours:    (not there)\n" in text
    assert '   theirs:  [[cohort]]   <- in the file\n            id = "D1"\n' in text
    assert "seeding = 2026-10-21" in text
    assert str(cohort(three["ours"], "D1")["planned"]["seeding"]) == "2026-10-21"


def test_what_only_the_two_together_make_wrong_is_told_with_its_line(three: dict[str, Path]) -> None:
    rewrite(three["ours"], swap("last_day = 2027-06-30", "last_day = 2027-03-31"))
    rewrite(
        three["theirs"], swap("lights_off = 2027-02-10 }", "lights_off = 2027-02-10, harvest = 2027-04-09 }")
    )
    ran = run("merge", *three.values())
    assert ran.status == 1
    line = line_of(three["ours"].read_text(), "harvest = 2027-04-09")
    told = f"{three['ours']}:{line}: cohort A1: harvest on 2027-04-09 is outside the season"
    assert f"problem: {told}" in ran.out
    assert told in three["ours"].with_name("ours.conflicts.txt").read_text()
    assert run("check", three["ours"]).status == 1


def test_dry_run_writes_nothing(three: dict[str, Path]) -> None:
    rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], OTHER_PLANTS)
    before = contents(three["ours"].parent)
    ran = run("merge", *three.values(), "--dry-run")
    assert ran.status == 1
    assert "would come from theirs" in ran.out
    assert "conflict: cohort A1 plants" in ran.out
    assert contents(three["ours"].parent) == before


def test_output_leaves_ours_as_it_is(three: dict[str, Path]) -> None:
    ours = rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], OTHER_PLANTS, swap('kind = "field"', 'kind = "greenhouse"'))
    out = three["ours"].with_name("out.toml")
    ran = run("merge", *three.values(), "--output", out)
    assert ran.status == 1
    assert three["ours"].read_text() == ours
    assert out.read_text() == ours.replace('kind = "field"', 'kind = "greenhouse"')
    assert files(out.parent) == ["base.toml", "ours.toml", "out.conflicts.txt", "out.toml", "theirs.toml"]
    before = contents(out.parent)
    again = run("merge", *three.values(), "--output", out)
    assert again.status == 2
    assert "is there already" in again.err
    assert contents(out.parent) == before


def test_json_tells_edits_conflicts_and_problems(three: dict[str, Path]) -> None:
    rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], OTHER_PLANTS, swap("from = 2026-11-20", "from = 2026-11-19"))
    ran = run("merge", *three.values(), "--json")
    assert ran.status == 1
    row = json.loads(ran.out)
    assert [(e["op"], e["kind"], e["ident"]) for e in row["edits"]] == [
        ("remove", "outage", ["H1", "2026-11-20"]),
        ("add", "outage", ["H1", "2026-11-19"]),
    ]
    assert row["conflicts"] == [
        {
            "kind": "cohort",
            "ident": ["A1"],
            "field": ["plants"],
            "base": "120",
            "ours": "99",
            "theirs": "90",
            "kept": "ours",
            "line": line_of(three["ours"].read_text(), "plants = 99"),
        }
    ]
    # The hours of a transplant follow from the plants, which ours changed by hand.
    assert (row["saved"], row["problems"], row["out_of_step"]) == (True, [], 1)
    assert row["conflicts_file"] == str(three["ours"].with_name("ours.conflicts.txt"))


def test_comments_come_along_and_those_that_cannot_are_told(three: dict[str, Path]) -> None:
    comment = swap('id = "D1"\n', 'id = "D1"\n# sandy at the north end\n')
    rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], comment)
    ran = run("merge", *three.values())
    assert (ran.status, "left behind" in ran.out) == (0, False)
    assert "# sandy at the north end\n" in three["ours"].read_text()
    rewrite(three["theirs"], OTHER_PLANTS, swap('id = "B1"\n', 'id = "B1"\n# late\n'))
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert "left behind, a comment of theirs: # late\n" in ran.out
    assert "sandy" not in ran.out
    beside = three["ours"].with_name("ours.conflicts.txt").read_text()
    assert "\nComments of theirs that are left behind; copy in what you want to keep:\n   # late\n" in beside


# What is refused: (the file that is at fault, its content or None for none, words)
BAD = {
    "missing": ("theirs", None, "theirs.toml: there is no such file"),
    "not TOML": ("theirs", "format = 3\nx 2\n", "theirs.toml:2: not TOML"),
    "ours not TOML": ("ours", "<<<<<<< ours\n", "ours.toml:1: not TOML"),
    "base missing": ("base", None, "base.toml: there is no such file"),
    "no season": ("theirs", "[project]\n", "there is no [season] in it"),
    "steering characters": ("theirs", 'format = 3\n"\x1b[2J" 2\n', "not TOML"),
}


@pytest.mark.parametrize(("side", "content", "words"), BAD.values(), ids=BAD.keys())
def test_what_cannot_be_merged_is_refused_and_nothing_is_written(
    three: dict[str, Path], side: str, content: str | None, words: str
) -> None:
    if content is None:
        three[side].unlink()
    else:
        three[side].write_text(content)
    before = contents(three["ours"].parent)
    ran = run("merge", *three.values())
    assert (ran.status, ran.out) == (2, "")
    assert words in ran.err
    refused_quietly(ran.said)
    assert contents(three["ours"].parent) == before


@pytest.mark.parametrize("count", [0, 1, 2, 5])
def test_three_files_are_asked_for(three: dict[str, Path], count: int) -> None:
    ran = run("merge", *[three["base"]] * count)
    assert ran.status == 2
    assert "name three season files: BASE OURS THEIRS" in ran.err


def test_a_season_that_cannot_be_written_leaves_no_text_beside_it(three: dict[str, Path]) -> None:
    rewrite(three["ours"], PLANTS)
    rewrite(three["theirs"], OTHER_PLANTS, swap('kind = "field"', 'kind = "greenhouse"'))
    three["ours"].chmod(0o444)
    ran = run("merge", *three.values())
    assert ran.status == 2
    assert "read-only" in ran.err
    assert files(three["ours"].parent) == ["base.toml", "ours.toml", "theirs.toml"]


def test_words_of_a_season_do_not_steer_the_terminal(three: dict[str, Path]) -> None:
    for side, note in (("ours", "\\u001b[2J\u202ea"), ("theirs", "\\u001b[3J\u202eb")):
        rewrite(three[side], swap("plants = 120", f'plants = 120\nmine = "{note}"'))
    ran = run("merge", *three.values())
    assert ran.status == 1
    refused_quietly(ran.said)
    refused_quietly(three["ours"].with_name("ours.conflicts.txt").read_text())


def test_a_copy_of_an_older_format_is_brought_up_and_that_is_told(three: dict[str, Path]) -> None:
    for side in ("base", "ours"):
        text = three[side].read_text(encoding="utf-8").replace("format = 3", "format = 1")
        three[side].write_text(text, encoding="utf-8")
    ran = run("merge", three["base"], three["ours"], three["theirs"])
    assert "Ours was of an older format; it is upgraded to theirs." in ran.out
    assert "format = 3" in three["ours"].read_text(encoding="utf-8")
    ran = run("undo", three["ours"])
    assert ran.status == 0
    assert "format = 1" in three["ours"].read_text(encoding="utf-8")


def set_in_task(path: Path, name: str, key: str, value: str) -> None:
    """Write a value into a task by hand."""
    lines = path.read_text(encoding="utf-8").split("\n")
    at = next(i for i, line in enumerate(lines) if f'id = "{name}"' in line)
    lines[at], count = re.subn(rf"\b{key} = [^,]*?(?=,| \}})", f"{key} = {value}", lines[at])
    assert count == 1
    path.write_text("\n".join(lines), encoding="utf-8")


@pytest.mark.parametrize(
    ("key", "mine", "other"), [("hours", "2.5", "4.0"), ("date", "2026-11-11", "2026-11-12")]
)
def test_hours_or_a_date_of_an_open_task_typed_differently_on_both_sides_are_a_conflict(
    three: dict[str, Path], key: str, mine: str, other: str
) -> None:
    """No plan has put these there, so the plan does not settle them."""
    task = next(t for t in data_of(three["base"].read_text())["task"] if t.get("chore") == "scout")
    for side, value in (("ours", mine), ("theirs", other)):
        set_in_task(three[side], task["id"], key, value)
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert f"conflict: task {task['id']} {key}: ours {mine} stays, theirs is {other}" in ran.out
    kept = next(t for t in data_of(three["ours"].read_text())["task"] if t["id"] == task["id"])
    assert str(kept[key]) == mine
    assert {mine, other} <= set(three["ours"].with_name("ours.conflicts.txt").read_text().split())


def test_hours_typed_on_one_side_and_laid_out_on_the_other_are_a_conflict_too(three: dict[str, Path]) -> None:
    task = next(t for t in data_of(three["base"].read_text())["task"] if t.get("chore") == "scout")
    set_in_task(three["ours"], task["id"], "hours", "2.5")
    rewrite(three["theirs"], lambda text: text.replace("hours = 0.5", "hours = 0.7"))
    ran = run("merge", *three.values())
    assert ran.status == 1
    assert f"conflict: task {task['id']} hours: ours 2.5 stays, theirs is 0.7" in ran.out
    assert "chore scout hours" not in ran.out


def test_a_task_given_hours_by_hand_here_and_taken_away_by_hand_there_is_a_conflict(
    three: dict[str, Path],
) -> None:
    task = next(t for t in data_of(three["base"].read_text())["task"] if t.get("chore") == "scout")
    for mine, other in (("ours", "theirs"), ("theirs", "ours")):
        texts = {side: three[side].read_text() for side in three}
        set_in_task(three[mine], task["id"], "hours", "2.5")
        lines = three[other].read_text().split("\n")
        three[other].write_text("\n".join(line for line in lines if f'id = "{task["id"]}"' not in line))
        ran = run("merge", *three.values())
        assert ran.status == 1, mine
        assert f"conflict: task {task['id']}: taken away in {other}, changed in {mine}; it stays" in ran.out
        kept = next(t for t in data_of(three["ours"].read_text())["task"] if t["id"] == task["id"])
        assert kept["hours"] == 2.5
        for side, text in texts.items():
            three[side].write_text(text)
