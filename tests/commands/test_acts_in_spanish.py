"""What the crew's acts at the shell answer: no sentence is left in English, and what is saved is the same in every language."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from left_in_english import OTHER_LETTERS, left_in_english
from small_season import run

from calendar_tui.commands import crew_language

TODAY = "2026-12-08"
EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
# What is typed, with the exit status.
ACTS = {
    "done b7n8 --spent 2 --yes": 0,
    "done b7n8 zbn5 --fact 24": 0,
    "done k66g --yes": 0,
    "done k66g --dry-run --all": 0,
    "done hj3q --yes": 0,
    "done dv7b --fact = --yes": 0,
    "done --work scout --all --yes": 0,
    "skip dv7b": 0,
    "skip k66g": 0,
    "skip dv7b mqb6 --dry-run": 0,
    "move mqb6 +2": 0,
    "move mqb6 13/12/2026": 0,
    "move mqb6 2026-12-13 --dry-run": 0,
    "move k66g 2026-12-18": 0,
    "move --work scout +1 --dry-run": 0,
    "note dv7b 12345": 0,
    "reopen zbn5": 0,
    "done": 2,
    "done 9999 b7n": 2,
    "done k66g --yes --on 20/12/2026": 2,
    "done dv7b --on 2026-01-20": 2,
    "done dv7b --on 31/2": 2,
    "done dv7b --on 1/2": 2,
    "done dv7b --lights-off hold": 2,
    "done dv7b --cause 5": 2,
    "done dv7b --spent 9999": 2,
    "done dv7b --spent ?": 2,
    "done dv7b --fact A1=3": 2,
    "done dv7b --work scout": 2,
    "done --work scout": 2,
    "done --work 9999 --place H1 --until 2026-12-31": 2,
    "done --work 9999": 2,
    "reopen --place N1": 2,
    "done --place H9": 2,
    "done --place H1 --part 7": 2,
    "done --place H1 --planted 2026-01-01": 2,
    "done --place H2 --variety 99": 2,
    "done --place H1 --variety tallow": 2,
    "done --part 7": 2,
    "done --until 2026-12-31": 2,
    "skip zbn5": 2,
    "skip b7n8 mqb6 --place H9": 2,
    "move zbn5 +1": 2,
    "move mqb6 2039-01-01": 2,
    "move mqb6 2027-12-13": 2,
    "move k66g": 2,
    "note dv7b": 2,
}
SCANNED = ("b7n8", "k66g", "D0-1", "T2/1", "T2/99", "9999", "KCT-C9F")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLE, tmp_path))


@pytest.mark.quick(12)
@pytest.mark.parametrize("act", ACTS)
def test_no_line_of_an_act_is_in_english(act: str, season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew_language, "crew_language", lambda args, season: OTHER_LETTERS)
    command, *words = act.split()
    ran = run(command, season, *words, today=TODAY)
    assert ran.status == ACTS[act], ran.said
    assert ran.said
    assert left_in_english(ran.said, season) == []


def test_a_sentence_in_english_is_noticed_and_what_a_person_wrote_is_not(season: Path) -> None:
    """The act's own answer in English; and the season's name, a command and an id, which stay."""
    assert left_in_english(run("done", season, "dv7b", "--yes", today=TODAY).said, season)
    assert left_in_english("ԲԱԳԻ\nԲԱԳԻ Saved\n", season) == [" ԲԱԳԻ Saved "]
    assert left_in_english("Two Rivers 2026-27: ԲԱԳԻ `calendar-tui week`, T1", season) == []


# What is asked for on paper that there is not.
NOT_ON_PAPER = {
    "labels --date 2026-12-01": "2026-12-08",
    "labels": TODAY,
    "labels 99": TODAY,
    "labels --trays A9": TODAY,
    "export --sheet s.html --role 99": TODAY,
    "export --sheet s.html --place 99": TODAY,
    "export --door d.html --place F1": TODAY,
}


@pytest.mark.parametrize("wanted", NOT_ON_PAPER)
def test_no_refusal_of_a_page_is_in_english(
    wanted: str, season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(crew_language, "crew_language", lambda args, season: OTHER_LETTERS)
    command, *words = wanted.split()
    ran = run(command, season, *words, today=NOT_ON_PAPER[wanted])
    assert ran.status == 2, ran.said
    assert left_in_english(ran.said, season) == []


def test_no_line_of_a_scanner_is_in_english(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew_language, "crew_language", lambda args, season: OTHER_LETTERS)
    ran = run("scan", season, typed="\n".join(SCANNED), today=TODAY)
    assert ran.status == 1
    assert len(ran.said.splitlines()) >= len(SCANNED)
    assert left_in_english(ran.said, season) == []


@pytest.mark.quick(4)
@pytest.mark.parametrize("act", [act for act, status in ACTS.items() if not status and "dry" not in act])
def test_what_is_saved_is_the_same_in_every_language(act: str, tmp_path: Path) -> None:
    command, *words = act.split()
    saved = []
    for language in ("en", "es"):
        season = tmp_path / language / EXAMPLE.name
        season.parent.mkdir()
        shutil.copy(EXAMPLE, season)
        assert run(command, season, *words, "--lang", language, today=TODAY).status == 0
        changes = json.loads(run("history", season, "--json").out)["entries"]
        saved.append((season.read_text(encoding="utf-8"), [change["what"] for change in changes]))
    assert saved[0] == saved[1]


@pytest.mark.parametrize(("answer", "status"), [("s", 0), ("Sí", 0), ("si", 0), ("y", 0), ("n", 2), ("", 2)])
def test_a_question_is_answered_in_the_language_it_is_asked_in(
    answer: str, status: int, season: Path
) -> None:
    ran = run("done", season, "--work", "scout", "--lang", "es", typed=f"{answer}\n", today=TODAY)
    assert "¿Marcar estas 2 tareas? [s/N]" in ran.out
    assert ran.status == status, ran.said


def test_in_english_a_spanish_yes_is_none(season: Path) -> None:
    assert run("done", season, "--work", "scout", typed="s\n", today=TODAY).status == 2
