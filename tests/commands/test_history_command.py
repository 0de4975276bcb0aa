"""The history told, filtered and shortened by a command."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from small_season import ids, refused_quietly, run

from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.reading import zone_of
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.season_file import save_change
from calendar_tui.storage.toml.values import data_in
from tests.counting import lines_run
from tests.trial_season import trial_text

WHEN = datetime(2026, 11, 9, 1, 30, tzinfo=UTC)  # still the 8th at the site


def save(season, what, *edits, who="ana", when=WHEN):
    return save_change(season, Change(what, edits), who=who, when=when).n


def put(kind, name, field, value):
    return Edit("set", kind, (name,), field, value)


@pytest.fixture
def told(season):
    """Three changes: of a cohort by Ana, of a task by Ben, a task of one's own by Ana."""
    save(season, "B1 has 40 plants", put("cohort", "B1", ("plants",), 40))
    save(season, "a task is done", put("task", ids(season)[0], ("state",), "done"), who="ben")
    save(
        season, "hoe", Edit("add", "task", ("hoe1",), (), {"id": "hoe1", "date": WHEN.date(), "what": "Hoe"})
    )
    return season


def test_when_who_what_and_each_field_before_and_after_newest_last(told):
    ran = run("history", told)
    assert ran.status == 0
    lines = ran.out.splitlines()
    assert lines[:3] == [
        "   1  Sun 8 Nov 2026 22:30  ana",
        "      B1 has 40 plants",
        "        cohort B1 plants: none -> 40",
    ]
    assert lines[3:6:2] == [
        "   2  Sun 8 Nov 2026 22:30  ben",
        f'        task {ids(told)[0]} state: none -> "done"  A1 Transplant by hand',
    ]
    assert lines[-1] == '        task hoe1 added: date 9 Nov 2026, what "Hoe"  Hoe'
    assert max(map(len, lines)) <= 80


def test_undone_and_redone_changes_are_marked(told):
    run("undo", told, 2, "--yes")
    run("redo", told)
    heads = [line for line in run("history", told).out.splitlines() if line[:4].strip()]
    assert [head.partition("ana  ")[2] or head.partition("ben  ")[2] for head in heads[:3]] == [
        "",
        "undone by 4, redone by 5",
        "undone by 4",
    ]
    assert len(heads) == 5


def test_what_is_out_of_the_file_is_marked(told, season_text):
    told.write_text(season_text)
    out = run("history", told).out
    assert (
        " ".join(out.split()).count("ana not in the file any more: an older version of it was put back") == 2
    )
    rows = json.loads(run("history", told, "--json").out)["entries"]
    assert [row["state"] for row in rows] == ["gone"] * 3


def test_words_pick_the_changes_that_name_them_whole(told):
    def numbers(*words):
        rows = json.loads(run("history", told, *words, "--json").out)["entries"]
        return [row["n"] for row in rows]

    assert numbers() == [1, 2, 3]
    assert numbers("b1") == [1]
    assert numbers("A1") == [2]  # the task is one of A1
    assert numbers("B") == []
    assert numbers("ana") == [1, 3]
    assert numbers("ana", "hoe1") == [3]
    assert numbers("3") == [3]
    assert numbers("--last", 2) == [2, 3]
    ran = run("history", told, "Z9")
    assert (ran.status, ran.out) == (0, f"No changes that name Z9 recorded yet for {told}.\n")


def test_json_has_the_values_before_and_after(told):
    first, _, last = json.loads(run("history", told, "--json").out)["entries"]
    assert first == {
        "n": 1,
        "when": WHEN.isoformat(),
        "who": "ana",
        "what": "B1 has 40 plants",
        "state": "stands",
        "undone_by": [],
        "redone_by": [],
        "undoes": [],
        "redoes": [],
        "edits": [
            {"op": "set", "kind": "cohort", "ident": ["B1"], "field": ["plants"], "before": None, "after": 40}
        ],
    }
    assert last["edits"][0]["after"] == {"id": "hoe1", "date": "2026-11-09", "what": "Hoe"}


def test_a_long_history_and_a_long_change_are_cut_and_say_so(season):
    for n in range(25):
        save(season, f"n {n}", put("cohort", "B1", ("plants",), n))
    save(season, "many", *(put("task", name, ("hours",), 9.5) for name in ids(season)[:20]))
    out = run("history", season).out
    assert out.startswith("6 older entries are not shown; --last 26 shows all.\n   7 ")
    assert out.endswith("        and 14 more: calendar-tui history 26\n")
    assert run("history", season, "26").out.count("-> 9.5") == 20
    assert run("history", season, "--full", "--last", 3).out.count("-> 9.5") == 20


def test_no_history_is_said(season):
    assert run("history", season).out == f"No changes recorded yet for {season}.\n"


def test_a_history_is_told_also_where_the_season_file_cannot_be_read(told):
    told.write_text("[[task\n")
    ran = run("history", told)
    assert ran.status == 0
    assert "B1 has 40 plants" in ran.out
    assert f"{told}:1: not TOML" in ran.err


def test_a_torn_line_is_told_beside_the_rest(told):
    with history_path(told).open("ab") as stream:
        stream.write(b'{"n": 4, "wh')
    ran = run("history", told)
    assert ran.status == 0
    assert ran.err.endswith("history.jsonl:4: this line is not whole and is passed over\n")
    assert "hoe" in ran.out


def test_nothing_in_a_history_steers_the_terminal(season):
    save(season, "x\x1b[2J\u202e", put("cohort", "B1", ("note",), "\x1b]0;\u2028"), who="a\x07na")
    for words in ((), ("--json",)):
        refused_quietly(run("history", season, *words).said)


@pytest.mark.parametrize("word", ["0", "x", "1.5", "-1"])
def test_a_number_of_changes_that_is_none_is_said(told, word):
    ran = run("history", told, f"--last={word}")
    assert ran.status == 2
    assert f'--last "{word}" is not a number of changes' in ran.err


# --- shortened


def test_shortening_asks_first_and_says_where_the_lines_are(told):
    save(told, "later", put("cohort", "B1", ("plants",), 50), when=WHEN.replace(day=20))
    before = history_path(told).read_bytes()
    ran = run("history", told, "--shorten-before", "2026-11-19", typed="n\n")
    assert (ran.status, history_path(told).read_bytes()) == (0, before)
    assert "3 entries (1 to 3, Sun 8 Nov 2026 to Sun 8 Nov 2026)\nwould move to" in ran.out
    ran = run("history", told, "--shorten-before", "2026-11-19", typed="y\n")
    assert ran.out.endswith("near-fields.history-before-2026-11-19.jsonl\n")
    out = run("history", told).out
    assert out.startswith("Entries up to 3, from before Thu 19 Nov 2026, are in")
    assert "   4  Thu 19 Nov 2026 22:30  ana" in out
    ran = run("undo", told, 2)
    assert ran.status == 2
    assert "older changes went to near-fields.history-before-2026-11-19.jsonl" in ran.err


def test_shortening_without_an_answer_does_nothing(told):
    before = history_path(told).read_bytes()
    ran = run("history", told, "--shorten-before", "2026-11-19")
    assert (ran.status, history_path(told).read_bytes()) == (2, before)
    assert "add --yes" in ran.err
    assert run("history", told, "--shorten-before", "2026-11-19", "--yes").status == 0
    ran = run("history", told, "--shorten-before", "2026-11-19", "--yes")
    assert ran.out == "Nothing to move: the history holds no change from before Thu 19 Nov 2026.\n"


@pytest.mark.parametrize("when", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_a_line_dated_beyond_the_calendar_is_told_and_passed_over(told, when):
    file = history_path(told)
    lines = file.read_text(encoding="utf-8").splitlines()
    row = json.loads(lines[1])
    lines[1] = json.dumps(row | {"when": when})
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    for words in (["history", told], ["history", told, "--at", "2026-11-08"], ["history", told, "--json"]):
        ran = run(*words)
        assert ran.status == 0, words
        refused_quietly(ran.said)
    ran = run("history", told)
    assert f"{file}:2: this line is not whole and is passed over" in ran.err
    assert "hoe1" in ran.out
    assert run("undo", told, "--yes").status == 0


@pytest.mark.slow
def test_what_befell_shared_work_is_told_with_its_cohorts_and_found_by_each(tmp_path: Path) -> None:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    ran = run("skip", path, "--work", "Transplant by hand", "--yes", today="2027-06-04")
    assert ran.status == 0, ran.said
    for name in ("A1F1a", "F1F1a", "C3H1a"):
        assert "skipped 9 tasks" in run("history", path, name).out
    assert "No changes that name A9F1a" in run("history", path, "A9F1a").out
    assert 'state: none -> "skipped"  A1F1a B1F1a C1F1a D1F1a +2 Transp...' in run("history", path).out


def test_the_zone_of_a_file_is_found_without_reading_its_tasks() -> None:
    few, many = (data_in(trial_text(count)) for count in (6, 54))
    assert len(many["task"]) > 5 * len(few["task"])
    few_lines, many_lines = (lines_run(lambda data=data: zone_of(data)) for data in (few, many))
    # What is kept from one time to the next, such as the names of the zones, may make the first time longer.
    assert many_lines < few_lines + 100 < 10_000
    assert zone_of({}) == zone_of({"site": 5}) == "UTC"
