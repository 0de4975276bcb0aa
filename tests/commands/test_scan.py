"""Lines of a hand scanner: the code of a task ticks it, others are told, what is no code ticks nothing."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from page_reading import Page, codes_of, stands_alone
from recording_farm import changes, data, recorded, task
from sampled_season import TODAY as SAMPLED_TODAY
from sampled_season import sampled_season
from small_season import ids, run

from calendar_tui.season.readers import Unreadable
from calendar_tui.season.records import Season
from calendar_tui.season.sample_ids import grouped, plain_id
from calendar_tui.season.scanned_codes import BAG, PLOT, TASK, TRAY, Scanned, scanned, tray_code
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season
from tests.season_data import data_of

DAY = "2026-11-12"
EXAMPLE = next(path for path in example_files() if path.stem == "two-rivers")


@cache
def example() -> Season:
    season = open_season(EXAMPLE).season
    assert season is not None
    return season


def scan(path: Path, *codes: str, today: str = DAY, words: tuple[str, ...] = ()):  # type: ignore[no-untyped-def]
    return run("scan", path, *words, typed="".join(f"{code}\n" for code in codes), today=today)


def state(path: Path, name: str) -> tuple[str, object]:
    found = next(t for t in data(path)["task"] if t["id"] == name)
    return found.get("state", "open"), found.get("done_on")


def test_a_line_ticks_its_task_as_done_would(season: Path, tmp_path: Path) -> None:
    name = ids(season)[0]
    other = tmp_path / "other.toml"
    other.write_bytes(season.read_bytes())
    ran = scan(season, name)
    assert (ran.status, ran.err) == (0, "")
    assert f"done  {name}" in ran.out
    assert run("done", other, name, "--yes", today=DAY).status == 0
    assert season.read_bytes() == other.read_bytes()
    assert state(season, name)[0] == "done"


def test_what_a_scanner_puts_around_a_code_is_no_part_of_it(season: Path) -> None:
    names = ids(season)[:3]
    ran = scan(season, f"\ufeff{names[0].upper()}\r", "", "  ", f"\t{names[1]}  ", names[2])
    assert ran.status == 0, ran.said
    assert [state(season, name)[0] for name in names] == ["done"] * 3


def test_a_second_scan_changes_nothing_and_tells_the_day(season: Path) -> None:
    name = ids(season)[0]
    scan(season, name)
    before = season.read_bytes()
    ran = scan(season, name, today="2026-11-14")
    assert (ran.status, season.read_bytes()) == (0, before)
    assert "already, on Thu 12 Nov 2026" in " ".join(ran.out.split())


def test_a_wrong_code_ticks_nothing_names_the_nearest_and_the_next_line_goes_on(season: Path) -> None:
    first, second = ids(season)[:2]
    beginning = first[:-1]
    ran = scan(season, beginning, "nothing such", second)
    assert ran.status == 1
    assert f'"{beginning}" is no code of this season; near it: {first}' in ran.err
    assert '"nothing such" is no code of this season. Nothing is ticked.' in ran.err
    assert [state(season, name)[0] for name in (first, second)] == ["open", "done"]


def test_the_work_of_a_stage_records_its_date_and_undo_takes_both_back(farm: Path) -> None:
    before = farm.read_bytes()
    transplant = next(t for t in data(farm)["task"] if "ransplant" in t["what"])
    ran = scan(farm, transplant["id"], today=str(transplant["date"]))
    assert ran.status == 0, ran.said
    assert recorded(farm)["transplant"] == transplant["date"]
    assert changes(farm) == 2
    assert run("undo", farm, "--yes", today=str(transplant["date"])).status == 0
    assert farm.read_bytes() == before


def test_what_done_would_ask_about_is_refused_and_told(season: Path) -> None:
    name = ids(season)[0]
    ran = scan(season, name, words=("--on", "2026-10-01"))
    assert ran.status == 1
    assert f"Not ticked; `calendar-tui done {name}` asks" in ran.err
    assert state(season, name)[0] == "open"


def test_what_is_refused_is_not_told_as_done_first(tmp_path: Path) -> None:
    """A failed lot: who scans by the row sees that it is not to be cut, and no harvest recorded above that."""
    season = tmp_path / "north-bench.toml"
    season.write_bytes(next(path for path in example_files() if path.stem == season.stem).read_bytes())
    before = season.read_bytes()
    ran = scan(season, "hvtb", today="2026-06-16")
    assert (ran.status, ran.out, season.read_bytes()) == (1, "", before)
    assert ran.err.startswith("HOLD: do not cut: ")
    assert "\nNot ticked; " in ran.err


def test_the_day_may_be_given(season: Path) -> None:
    name = ids(season)[0]
    due = next(t["date"] for t in data(season)["task"] if t["id"] == name)
    assert scan(season, name, today="2026-11-20", words=("--on", str(due))).status == 0
    assert state(season, name) == ("done", due)


def test_what_a_task_asks_for_is_told_with_the_line_that_notes_it(farm: Path) -> None:
    count = task(farm, "count")
    ran = scan(farm, count["id"], today=str(count["date"]))
    assert f"calendar-tui done {count['id']} --fact TEXT" in ran.out


def test_a_bag_a_plot_and_a_tray_are_told_and_change_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = sampled_season(tmp_path)
    assert run("sample", path, "trip", "--yes", today=SAMPLED_TODAY).status == 0
    loaded = data_of(path.read_text())
    bag, cohort = loaded["sample"][0], loaded["cohort"][0]["id"]
    before = path.read_bytes()
    ran = scan(path, grouped(bag["id"]), bag["id"].lower(), tray_code(cohort, 2), today=SAMPLED_TODAY)
    assert (ran.status, path.read_bytes()) == (0, before)
    lines = ran.out.splitlines()
    assert [line.startswith(f"bag  {grouped(bag['id'])}") for line in lines[:2]] == [True, True]
    assert f"tray 2 of {cohort}, " in ran.out
    wrong = bag["id"][:-1] + ("0" if bag["id"][-1] != "0" else "1")
    assert grouped(bag["id"]) in scan(path, wrong, today=SAMPLED_TODAY).err


def test_a_file_that_cannot_be_read_is_told_before_a_line_is_read(tmp_path: Path) -> None:
    path = tmp_path / "broken.toml"
    path.write_text("[season", encoding="utf-8")
    ran = scan(path, "k66g")
    assert ran.status == 2
    assert "broken.toml:1" in ran.err


@given(st.text(max_size=8))
def test_every_code_that_is_printed_is_known_and_no_other_text_is_one(text: str) -> None:
    season = example()
    tasks = {t.id: TASK for t in season.tasks} | dict.fromkeys(season.plots, PLOT)
    for name, kind in [*tasks.items()][:20]:
        assert scanned(season, name) == Scanned(kind, name)
    for name in season.samples:
        assert scanned(season, grouped(name)) == Scanned(BAG, name)
    for name in season.cohorts:
        assert scanned(season, tray_code(name, 12)) == Scanned(TRAY, name, 12)
    known = {name.casefold() for name in (*tasks, *season.samples)}
    if text.strip().casefold() not in known and "/" not in text and plain_id(text) not in season.samples:
        with pytest.raises(Unreadable, match="Nothing is ticked"):
            scanned(season, text)


def test_of_two_ids_that_differ_in_their_letters_a_third_way_to_write_them_means_none() -> None:
    season = example()
    one = season.cohorts["A1"]
    both = replace(season, cohorts={name: replace(one, id=name) for name in ("Ab1", "aB1")})
    assert scanned(both, "aB1/2") == Scanned(TRAY, "aB1", 2)
    with pytest.raises(Unreadable):
        scanned(both, "AB1/2")


@pytest.mark.parametrize("number", ["٣", "²", "-1", ""])
def test_the_number_of_a_tray_is_in_the_signs_of_a_keyboard(number: str) -> None:
    season = example()
    with pytest.raises(Unreadable):
        scanned(season, f"A1/{number}")


# --- what is printed


@pytest.mark.needs("segno", "zxingcpp", "PIL", "numpy")
def test_the_week_sheet_has_a_code_that_ticks_each_task(tmp_path: Path) -> None:
    path, page = tmp_path / "s.toml", tmp_path / "week.html"
    path.write_bytes(EXAMPLE.read_bytes())
    ran = run("export", path, "--sheet", page, "--codes", today="2026-12-08")
    assert ran.status == 0, ran.said
    read = Page(page)
    stands_alone(read)
    codes = codes_of(read)
    assert len(codes) >= 10
    assert set(codes) <= set(ids(path)) & set(read.texts)
    ticked = scan(path, codes[-1], today="2026-12-08")
    assert codes[-1] in ticked.out
    assert next(t for t in data(path)["task"] if t["id"] == codes[-1])["state"] == "done"
    plain = tmp_path / "plain.html"
    run("export", path, "--sheet", plain, today="2026-12-08")
    assert not Page(plain).drawings()


@pytest.mark.needs("segno", "zxingcpp", "PIL", "numpy")
def test_trays_have_a_label_each_with_a_code_that_scan_knows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "s.toml"
    path.write_bytes(EXAMPLE.read_bytes())
    ran = run("labels", path, "--trays", "b3", "A1", today="2026-12-08")
    assert ran.status == 0, ran.said
    page = Page(tmp_path / "s-trays.html")
    stands_alone(page)
    assert codes_of(page) == [*(f"B3/{n}" for n in range(1, 5)), *(f"A1/{n}" for n in range(1, 4))]
    for text in ("B3", "2/4", "tray 2 of 4", "brook, from cuttings", "stuck Thu 19 Nov 2026", "N1, then F2"):
        assert text in page.texts
    assert "PRE-TEST, NOT OFFICIAL" not in page.texts
    assert "tray 2 of B3, brook" in scan(path, "B3/2", today="2026-12-08").out
    beyond = scan(path, "B3/99", today="2026-12-08")
    assert (beyond.status, beyond.out) == (1, "")
    assert "B3 has 4 trays" in beyond.said
    # As many trays as the quantities have.
    needed = next(
        line
        for line in run("quantities", path, "B3", today="2026-12-08").out.splitlines()
        if " trays" in line
    )
    assert "4 trays" in needed


def test_without_names_the_trays_of_what_is_not_planted_yet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "s.toml"
    path.write_bytes(EXAMPLE.read_bytes())
    run("labels", path, "--trays", today="2026-12-08")
    planted = {c["id"] for c in data_of(path.read_text())["cohort"] if "transplant" in c.get("recorded", {})}
    heads = {text for text in Page(tmp_path / "s-trays.html").texts if text.isalnum() and len(text) == 2}
    assert heads
    assert not heads & planted


def test_trays_that_are_not_there_are_refused_with_the_reason(season: Path) -> None:
    for words, says in (
        (("--trays", "D9"), '"D9" is not a cohort'),
        (("--trays", "--custody", "c.html"), "--custody does not go with --trays"),
        (("--stakes", "K1", "--trays"), "--trays does not go with --stakes"),
        (("--trays", "--test-page"), "--trays does not go with --test-page"),
    ):
        ran = run("labels", season, *words, "--yes")
        assert ran.status == 2
        assert says in " ".join(ran.said.split())
    assert "no trays of A1: the tray cells of N1 are not set" in run("labels", season, "--trays", "A1").err
    assert "no cohort stands in trays" in run("labels", season, "--trays").err
