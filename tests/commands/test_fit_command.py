"""A variety fitted to its records by the command: told first, asked once, saved as one change, undone to the byte."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from small_season import Ran
from small_season import run as run_on

from calendar_tui.storage.toml.rendering import record_lines
from tests.planning.fields import field_data, true_days
from tests.season_data import data_of

FOUR = [(5, 1), (5, 20), (6, 10), (7, 1)]
TRUE = (14.0, 1.5, 25, 8)


def run(*words: object, typed: str | None = None) -> Ran:
    return run_on(*words, typed=typed, today="2027-12-01")


def write(path: Path, sowings: list[tuple[int, int]], induced: list[date | None], **more: object) -> Path:
    data = field_data(sowings, induced, **more)
    lines = ["format = 3"]
    for kind in ("season", "site"):
        lines += ["", *record_lines(f"[{kind}]", data[kind])]
    for kind in ("place", "variety", "cohort"):
        for record in data[kind]:
            lines += ["", *record_lines(f"[[{kind}]]", record)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def field(tmp_path: Path) -> Path:
    """Four sowings, of which three were seen induced."""
    return write(tmp_path / "field.toml", FOUR, [*true_days(FOUR, TRUE)[:3], None])


def test_it_prints_what_is_learnt_and_what_is_not_within_80_columns(field: Path) -> None:
    ran = run("variety", field, "v", "--fit", "--dry-run")
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0] == "v: 3 records of induction, 2027"
    assert max(map(len, lines)) <= 80
    said = " ".join(ran.out.split())
    assert "Left out: A4: nothing is recorded of its induction or flowering" in said
    rows = {
        line[2:].partition("  ")[0]: line
        for line in reversed(lines)
        if line.startswith(("  critical day", "  juvenile time"))
    }
    assert rows["critical day"].endswith("  learnt")
    assert rows["juvenile time"].endswith("  not at all")
    assert "known only together" in said
    assert "To learn most, record when these are induced: A4 (planted 1 Jul)" in said
    assert said.endswith("Nothing saved.")


@pytest.mark.slow
def test_one_question_one_change_one_undo(field: Path) -> None:
    before = field.read_bytes()
    assert run("variety", field, "v", "--fit", typed="n\n").out.endswith("Nothing saved.\n")
    assert field.read_bytes() == before
    ran = run("variety", field, "v", "--fit", typed="y\n")
    assert "Saved: v fitted to records of 2027: critical day [" in " ".join(ran.out.split())
    (variety,) = data_of(field.read_text())["variety"]
    assert len(variety["sets"]) == 50
    assert variety["marks"]["critical_day"] == "measured, 3 cohorts, 2027"
    assert run("check", field).status == 0
    assert run("undo", field).status == 0
    assert field.read_bytes() == before


@pytest.mark.slow
def test_the_history_counts_the_sets_and_does_not_print_fifty(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    assert "variety v sets: none -> a list of 50" in run("history", field).out
    run("undo", field)
    assert "13:" not in run("history", field).out.split("sets:")[-1]


def test_a_fit_that_is_saved_already_changes_nothing(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    before = field.read_bytes()
    again = run("variety", field, "v", "--fit", "--yes")
    assert "Fitted before: critical_day" in again.out
    assert again.out.endswith("No change: already saved.\n")
    assert field.read_bytes() == before


def test_further_seasons_count_too(field: Path, tmp_path: Path) -> None:
    older = write(tmp_path / "older.toml", FOUR, true_days(FOUR, TRUE, year=2026), year=2026)
    ran = run("variety", field, "v", "--fit", older, "--yes")
    assert ran.out.startswith("v: 7 records of induction, 2027, 2026\n")
    assert "A1 (2026) induced by" in ran.out
    assert (
        data_of(field.read_text())["variety"][0]["marks"]["critical_day"] == "measured, 7 cohorts, 2027 2026"
    )


def test_a_season_at_another_site_is_named(field: Path, tmp_path: Path) -> None:
    south = {"latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"}
    older = write(tmp_path / "south.toml", [(3, 2)], [date(2026, 4, 10)], year=2026, site=south)
    ran = run("variety", field, "v", "--fit", older, "--dry-run")
    assert "At another site, by the light there: Field 2026" in ran.out


def test_a_record_that_the_others_contradict_does_not_count_unless_a_person_says_so(tmp_path: Path) -> None:
    seen = true_days(FOUR, TRUE)
    path = write(tmp_path / "field.toml", FOUR, [*seen[:3], seen[3] + timedelta(days=28)])
    ran = run("variety", path, "v", "--fit", "--dry-run")
    assert "! A4 induced by 24 Sep 2027" in ran.out
    assert ran.out.startswith("v: 3 records of induction, 2027\n")
    said = " ".join(ran.out.split())
    assert "The others contradict it, so it does not count" in said
    assert "Where all of them are right: --count A4" in said
    counted = run("variety", path, "v", "--fit", "--count", "A4", "--dry-run")
    assert counted.out.startswith("v: 4 records of induction, 2027\n")
    assert "contradict" not in counted.out
    assert " ".join(counted.out.split()).count("; counts as asked") == 1
    without = run("variety", path, "v", "--fit", "--without", "A4", "--dry-run")
    assert without.out.startswith("v: 3 records of induction, 2027\n")
    assert "Left out: A4: as asked" in without.out
    assert "  !" not in without.out


def test_as_json_it_has_the_fit_and_what_moves(field: Path) -> None:
    assert run("variety", field, "v", "--fit", "--json").status == 2
    answer = json.loads(run("variety", field, "v", "--fit", "--json", "--dry-run").out)
    found = answer["fit"]
    assert [row["cohort"] for row in found["records"]] == ["A1", "A2", "A3"]
    assert {row["key"]: row["learnt"] for row in found["figures"]}["juvenile_d"] == "not at all"
    assert found["contradicted"] == []
    assert found["left_out"] == [
        {"cohort": "A4", "season": "2027", "why": "nothing is recorded of its induction or flowering"}
    ]
    assert [row["cohort"] for row in found["next"]] == ["A4"]
    assert answer["answers"][0]["saved"] is False


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--fit",), "--fit goes with one variety"),
        (("v", "critical_day", "14:00", "--fit"), "--fit goes with one variety"),
        (("v", "--mark", "own", "--fit"), "--mark does not apply"),
        (("v", "--fit", "--without", "A9"), '--without: "A9" is not a cohort of v'),
        (("v", "--without", "A1"), "--without goes with --fit"),
        (("v", "--fit", "--count", "A9"), '--count: "A9" is not a cohort of v'),
        (("v", "--count", "A1"), "--count goes with --fit"),
        (("w", "--fit"), '"w" is not a variety of this season'),
        (("v", "--fit", "last-year"), '"last-year" is no season file'),
        (("v", "--fit", "last-year.toml"), "last-year.toml: there is no such file"),
        (("v", "--fit", "field.toml"), "field.toml is named twice; each record counts once"),
        (("v", "--fit", "broken.toml"), "broken.toml:3:"),
        (("v", "--fit", "turned.toml"), "turned.toml:21: critical_day is"),
        (("v", "--fit", "other.toml"), "Field 2026 has no variety v; its varieties are w"),
        (("v", "--fit", "neutral.toml"), "v is day-neutral in Field 2026: it flowers by age"),
    ],
)
def test_what_cannot_be_fitted_is_refused_and_nothing_written(
    field: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(field.parent)
    folder = field.parent
    (folder / "broken.toml").write_text("format = 3\n[season]\nname = \n", encoding="utf-8")
    turned = {"critical_day": ["14:30", "14:00", "13:30"]}
    write(folder / "turned.toml", [], [], year=2026, variety=turned)
    write(folder / "other.toml", [], [], year=2026, variety={"id": "w"})
    write(
        folder / "neutral.toml", [], [], year=2026, variety={"response": "day-neutral", "type": "day-neutral"}
    )
    before = {path: path.read_bytes() for path in folder.iterdir()}
    ran = run("variety", "field.toml", *words, "--yes")
    assert ran.status == 2
    assert says in ran.said
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_without_a_record_it_says_what_to_record(tmp_path: Path) -> None:
    path = write(tmp_path / "field.toml", FOUR, [None] * 4)
    path.write_text(path.read_text().replace("emergence", "seeding_").replace("seeding_ = ", "note_ = "))
    text = "\n".join(line for line in path.read_text().splitlines() if not line.startswith("recorded"))
    path.write_text(text + "\n", encoding="utf-8")
    ran = run("variety", path, "v", "--fit", "--yes")
    assert ran.status == 2
    assert "v has no record to fit (A1: nothing is recorded of its induction or flowering;" in ran.said
    assert "calendar-tui record A1 induced DATE" in ran.said


def test_sets_that_contradict_their_figures_are_named_with_their_line(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    text = field.read_text()
    line = next(line for line in text.splitlines() if line.startswith("critical_day"))
    field.write_text(text.replace(line, 'critical_day = "15:30"'), encoding="utf-8")
    at = next(n for n, one in enumerate(field.read_text().splitlines(), 1) if one.startswith("sets"))
    ran = run("check", field)
    assert ran.status == 1
    assert f"field.toml:{at}: variety v: its sets contradict its figures: critical_day 15 h 30" in ran.said


def test_a_figure_changed_by_hand_takes_the_sets_away_in_one_change(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    fitted = field.read_bytes()
    ran = run("variety", field, "v", "critical_day", "14:10", "--mark", "read", "--yes")
    assert "the sets that were fitted to records have another figure" in " ".join(ran.out.split())
    assert "sets" not in data_of(field.read_text())["variety"][0]
    assert run("check", field).status == 0
    run("undo", field)
    assert field.read_bytes() == fitted


def test_a_type_alone_takes_the_sets_away(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    ran = run("variety", field, "v", "type", "oil-zhang", "alone", "--yes")
    assert ran.status == 0, ran.said
    (variety,) = data_of(field.read_text())["variety"]
    assert "sets" not in variety
    assert variety["type"] == "oil-zhang"
    assert run("check", field).status == 0


def test_a_list_of_figures_names_the_mark_and_one_figure_in_full_its_records_too(field: Path) -> None:
    run("variety", field, "v", "--fit", "--yes")
    lines = run("variety", field, "v").out.splitlines()
    assert max(map(len, lines)) <= 80
    (line,) = (line for line in lines if line.startswith("  critical day "))
    assert line.endswith(" measured")
    assert "marked measured, 3 cohorts, 2027" in " ".join(
        run("variety", field, "v", "critical_day").out.split()
    )
