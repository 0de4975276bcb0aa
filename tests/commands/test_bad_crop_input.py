"""What cannot be of the crop, typed and written into the file by hand: each sentence names where, what and what would be right."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest
from small_season import Ran, run

from tests.season_data import data_of

EXAMPLE = (Path(__file__).parents[2] / "seasons" / "north-bench.toml").read_text(encoding="utf-8")
TODAY = "2026-06-16"
ROOM = EXAMPLE.replace("dryer_trays = 44\ndryer_kg_per_tray = 1.4", "dryer_kg = 40")


class Case(NamedTuple):
    """typed: a command's words; hand: what stands in the file and what is written for it; said: parts of the sentences.

    kept: whether what is typed is kept, aside or with a question, and not refused; told_by: the command that reads the file.
    """

    typed: str
    typed_said: tuple[str, ...]
    hand: tuple[str, str]
    hand_said: tuple[str, ...]
    kept: bool = False
    text: str = EXAMPLE
    told_by: str = "check"


CASES = {
    "negative": Case(
        "result FYPN2V THC 0.02 THCA -0.1",
        ('amount of THCA "-0.1"', "cannot be under 0", "such as 0.05, <0.02"),
        ('THCA = "0.043"', 'THCA = "-0.043"'),
        ('THCA is "-0.043"', "cannot be under 0", 'such as "0.05"'),
    ),
    "over 100 %": Case(
        "result FYPN2V THC 0.02 THCA 104",
        ("kept aside: FYPN2V-1", "104 % is over 100 %", "look at the figure and at its unit"),
        ('THCA = "0.043"', 'THCA = "104"'),
        ("result r1 is kept aside", "104 % is over 100 %", "look at the figure and at its unit"),
        kept=True,
    ),
    "a comma in a file with points": Case(
        "result FYPN2V THC 0,02 THCA 0,11",
        ('amount of THC "0,02"', "write a point before the decimals: 0.02"),
        ('THCA = "0.043"', 'THCA = "0,043"'),
        ('THCA is "0,043"', "write a point before the decimals: 0.043"),
    ),
    "a lot that is not there": Case(
        "pass E9 top 4 kg why ripe",
        ('"E9" is not a lot of this season', "Known: L1, E1"),
        ('cohort = "E1", position = "top", lot = "E1-south"', 'cohort = "E1", position = "top", lot = "E9"'),
        ('lot "E9"', "Known: E1-south, E1-north"),
    ),
    "a lot of another cohort": Case(
        "set lot E1-south cohort E2",
        ("lot E1-south is of E2", "name a lot of E1, or that cohort"),
        (
            'cohort = "E1", position = "top", lot = "E1-south"',
            'cohort = "E2", position = "top", lot = "E1-south"',
        ),
        ("of E2: lot E1-south is of E1", "name a lot of E2, or that cohort"),
    ),
    "results of a bag that is not there": Case(
        "result E9E9E9 THC 0.1",
        ('the id is "E9E9E9"', "look at the label again"),
        ('sample = "ZETNVM"', 'sample = "E9E9E9"'),
        ("result r1 is kept aside", "there is no bag E9E-9E9", "look at the label again"),
    ),
    "an uncertainty of 10": Case(
        "result FYPN2V THC 0.02 THCA 0.11 uncertainty 10",
        ("kept aside: FYPN2V-1", "an absolute uncertainty of 10 %", "set it as relative where it means that"),
        ('uncertainty = "0.03"', 'uncertainty = "10"'),
        ("result r1 is kept aside", "an absolute uncertainty of 10 %", "set it as relative"),
        kept=True,
    ),
    "two reports of one bag": Case(
        "result FW7F9K THC 0.02 THCA 0.11",
        ("kept aside: FW7F9K-1", "a second report of this bag; r12 counts", "write under aside of r12"),
        ('date = 2026-05-25, sample = "FA668T"', 'date = 2026-05-25, sample = "ZETNVM"'),
        ("is kept aside: a second report of this bag", "write under aside of"),
        kept=True,
    ),
    "a pass before its official sample": Case(
        "pass E1-south top 4 kg date 2026-06-01 why ripe",
        (
            "no official sample of E1-south was taken by Mon 1 Jun 2026",
            "nothing is cut before it",
            "check with your authority",
        ),
        ('id = "L1-1", date = 2026-06-04', 'id = "L1-1", date = 2026-05-04'),
        ("pass L1-1 of L1 on Mon 4 May 2026", "the first is of Tue 19 May 2026", "nothing is cut before it"),
        kept=True,
    ),
    "no weight": Case(
        "pass E1-south top 0 kg why ripe",
        ("0 kg of top is no weight", "leave it out until it is weighed"),
        ("fresh_kg = { top = 31.5 }", "fresh_kg = { top = 0 }"),
        ("pass L1-1: 0 kg of top is no weight", "leave it out until it is weighed"),
    ),
    "a batch over the room of the dryer": Case(
        "pass E1-south top 30 kg why ripe batch D9",
        ("batch D9", "40 kg"),
        ("middle = 18.4", "middle = 88.4"),
        ("dryer: over-full 3 times, 15 Jun to", "calendar-tui load shows each week"),
        kept=True,
        text=ROOM,
        told_by="dates",
    ),
    "a spray that ends before it begins": Case(
        "spray F1 soap start 18:00 end 17:00 reentry 12h preharvest 0d",
        ('end "17:00"', "ends at 17:00, before it begins at 18:00", "give end date"),
        ('start = "18:10", end = "18:50"', 'start = "18:10", end = "17:50"'),
        ("spray s1 ends at 17:50, before it begins at 18:10", "give end_date"),
    ),
}
EVERY = pytest.mark.parametrize("case", CASES.values(), ids=CASES)


def words_of(ran: Ran) -> str:
    return " ".join(ran.said.split())


def farm_of(folder: Path, text: str) -> Path:
    path = folder / "north-bench.toml"
    path.write_text(text, encoding="utf-8")
    return path


@EVERY
def test_what_is_typed_is_told_with_what_would_be_right_and_nothing_is_lost(
    case: Case, tmp_path: Path
) -> None:
    farm = farm_of(tmp_path, case.text)
    command, *words = case.typed.split()
    ran = run(command, farm, *words, "--yes", today=TODAY)
    assert [part for part in case.typed_said if part not in words_of(ran)] == [], ran.said
    assert (ran.status == 0) == case.kept
    after = farm.read_text(encoding="utf-8")
    if not case.kept:
        assert after == case.text
        return
    before, now = data_of(case.text), data_of(after)
    for kind in ("sample", "result", "official", "pass", "batch", "reading", "spray"):
        assert [record for record in before[kind] if record not in now[kind]] == []


@EVERY
def test_what_is_written_by_hand_is_told_with_its_line_and_stays_as_it_is(case: Case, tmp_path: Path) -> None:
    standing, written = case.hand
    assert standing in case.text
    text = case.text.replace(standing, written, 1)
    farm = farm_of(tmp_path, text)
    line = text[: text.index(written)].count("\n") + 1
    ran = run(case.told_by, farm, today=TODAY)
    assert [part for part in case.hand_said if part not in words_of(ran)] == [], ran.said
    assert f"north-bench.toml:{line}:" in ran.said or case.told_by != "check"
    assert farm.read_text(encoding="utf-8") == text


AREA = ROOM.replace("dryer_kg = 40", "dryer_m2 = 10\ndryer_kg_per_m2 = 10")
CUT = "pass E1-south top 30 kg why ripe"
IN = "batch D9 in E1-south-1"
LARGE = "batch D9 area 12 m2"
# What is typed before; what then brings more into the dryer than it holds; how that is asked about.
OVER = {
    "by the pass": (ROOM, (), f"{CUT} batch D9", "the dryer holds 40 kg; on 16 Jun,"),
    "by the pass of last week": (
        ROOM,
        (),
        "pass E1-south 12 jun top 30 kg why ripe batch D9",
        "the dryer holds 40 kg; on 12 Jun,",
    ),
    "by the batch": (ROOM, (CUT,), IN, "the dryer holds 40 kg; on 16 Jun,"),
    "by its area": (AREA, (CUT,), f"{IN} area 12 m2", "the dryer holds 10 m2; on 16 Jun,"),
    "by its area, set later": (AREA, (CUT, IN), LARGE, "the dryer holds 10 m2; on 16 Jun,"),
    "by its area beside that of another": (
        AREA,
        (CUT, IN, "batch D9 area 6 m2"),
        "batch D2 area 5 m2",
        "the dryer holds 10 m2; on 16 Jun, D9 has 6 m2",
    ),
}


@pytest.mark.parametrize(("text", "before", "typed", "asked"), OVER.values(), ids=OVER)
def test_a_batch_over_the_room_is_told_once(
    text: str, before: tuple[str, ...], typed: str, asked: str, tmp_path: Path
) -> None:
    farm = farm_of(tmp_path, text)

    def ran(words: str, flag: str) -> str:
        command, *rest = words.split()
        return words_of(run(command, farm, *rest, flag, today=TODAY))

    for words in before:
        ran(words, "--yes")
    said = ran(typed, "--dry-run")
    assert said.count(f"? {asked}") == 1, said
    assert (said.count("the dryer holds"), said.count("too much on")) == (1, 0), said


def test_a_batch_over_the_room_is_not_asked_about_again_when_it_is_out(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, AREA)
    for words in (CUT, IN, LARGE):
        command, *rest = words.split()
        run(command, farm, *rest, "--yes", today=TODAY)
    ran = run("batch", farm, "D9", "out", "--dry-run", today="2026-06-26")
    assert "batch D9 out none -> 26 Jun 2026" in words_of(ran)
    assert "the dryer holds" not in words_of(ran)


def test_a_batch_beside_one_whose_area_is_not_set_says_so(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, AREA)
    run(*CUT.split()[:1], farm, *CUT.split()[1:], "--yes", today=TODAY)
    command, *rest = f"{IN} area 12 m2".split()
    said = words_of(run(command, farm, *rest, "--dry-run", today=TODAY))
    assert "D2, whose area is not set, is in up to 22 Jun: 10 m2 fit, and D9 has 12" in said
