"""The open folder is written whole, never over what is not its own, and of an earlier state too."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from observed_season import TODAY, season  # noqa: F401
from opened_folder import described, export, observe_all, table
from small_season import run

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change


@pytest.fixture(name="observed")
def _observed(season):  # noqa: F811
    return observe_all(season)


def test_the_same_season_gives_the_same_bytes(observed) -> None:
    export(observed)
    first = {path.name: path.read_bytes() for path in Path("out").iterdir()}
    assert run("export", observed, "--folder", "again", today=TODAY).status == 0
    assert {path.name: path.read_bytes() for path in Path("again").iterdir()} == first
    assert export(observed).status == 0
    assert {path.name: path.read_bytes() for path in Path("out").iterdir()} == first


def test_a_folder_with_other_files_is_left_as_it_is(observed) -> None:
    Path("out").mkdir()
    Path("out/mine.csv").write_text("mine")
    ran = export(observed, "--yes")
    assert ran.status == 2
    assert "holds other files (mine.csv); name a folder that is empty" in " ".join(ran.err.split())
    assert [path.name for path in Path("out").iterdir()] == ["mine.csv"]
    Path("out/mine.csv").unlink()
    Path("out/datapackage.json").write_text('{"resources": []}')
    assert export(observed, "--yes").status == 2
    assert Path("out/datapackage.json").read_text() == '{"resources": []}'


def test_a_file_beside_an_earlier_export_is_named(observed) -> None:
    export(observed)
    Path("out/analysis.ods").write_text("mine")
    ran = export(observed, "--yes")
    assert ran.status == 2
    assert "holds more than this command wrote: analysis.ods; take that out first" in " ".join(
        ran.err.split()
    )
    assert Path("out/analysis.ods").read_text() == "mine"


def test_a_table_that_was_changed_since_is_asked_about(observed) -> None:
    export(observed)
    Path("out/plots.csv").write_text("mine")
    ran = export(observed, typed="n\n")
    assert ran.status == 2
    assert "plots.csv in out was changed since it was written" in ran.out
    assert Path("out/plots.csv").read_text() == "mine"
    assert export(observed, "--yes").status == 0
    assert Path("out/plots.csv").read_text() != "mine"


def test_a_folder_of_the_season_and_a_file_are_refused(observed) -> None:
    assert run("export", observed, "--folder", ".", today=TODAY).status == 2
    Path("out").write_text("a file")
    assert "is a file; name a folder" in export(observed).err
    assert "there is no folder" in run("export", observed, "--folder", "no/where", today=TODAY).err


def test_nothing_is_written_where_one_of_several_cannot_be(observed) -> None:
    Path("out").write_text("a file")
    assert export(observed, "--table", "tasks.csv").status == 2
    assert not Path("tasks.csv").exists()


def test_flags_of_the_folder_belong_to_it(observed) -> None:
    ran = run("export", observed, "--table", "t.csv", "--names", today=TODAY)
    assert "--names is for --folder" in ran.err
    ran = export(observed, "--table", "t.csv", "--at", "2027-01-20")
    assert "--at is for --folder alone" in ran.err
    ran = export(observed, "--licence", "CC-BY-4")
    assert '--licence "CC-BY-4" is unknown; did you mean CC-BY-4.0' in ran.err or "CC-BY-4.0" in ran.err
    assert not Path("out").exists()


def test_an_earlier_state_comes_from_the_history(observed, monkeypatch) -> None:
    monkeypatch.setenv("CALENDAR_TUI_TODAY", TODAY)
    for path in observed.parent.glob(f".{observed.name}*"):
        path.unlink()
    row = {"date": date(2027, 1, 18), "at": "K1-102", "variable": "stand", "value": "30"}
    edit = Edit("add", "observation", (row["date"], "K1-102", "stand"), (), row)
    save_change(observed, Change("counted", (edit,)), who="ana", when=datetime(2027, 1, 18, 12, tzinfo=UTC))
    ran = export(observed, "--at", "2027-01-17", today=None)
    assert ran.status == 0, ran.said
    earlier, told = table("observations"), described()
    assert (told["version"], told["created"]) == ("2027.1.17", "2027-01-17T00:00:00Z")
    assert export(observed).status == 0
    assert [row for row in table("observations") if row not in earlier] == [
        dict.fromkeys(earlier[0], "")
        | {
            "date": "2027-01-18",
            "at": "K1-102",
            "variable": "stand",
            "plot": "K1-102",
            "cohort": "B1",
            "value": "30",
        }
        | {"text": "30"}
    ]
