"""A season of one's own by `new`: only what was asked for is in it, and nothing typed is lost."""

from __future__ import annotations

import shlex
from datetime import date
from pathlib import Path

import pytest
from small_season import Ran, run

from calendar_tui.commands import season_questions
from tests.season_data import data_of

SITE = "44.5, -123.2\n\n2027-03-01\n15 dec\n"
TODAY = "2026-12-08"
PLACES = "N1 nursery lamps 18 h\nH1 hoop house 180 m2 lamps 16 h\n\n"
FLAGS = (
    *("--name", "Hill", "--latitude", "44.5", "--longitude", "-123.2", "--timezone", "America/Los_Angeles"),
    *("--first-day", "2027-03-01", "--last-day", "2027-12-15"),
)


def test_a_season_of_one_place_one_variety_and_one_cohort_by_questions(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    cohort = "A1 amber N1 H1 100 plants, seed 20 mar, transplant +25, lights off +30\n\n"
    ran = run("new", path, today=TODAY, typed=f"Hill\n{SITE}{PLACES}amber\n\n{cohort}")
    assert ran.status == 0, ran.said
    data = data_of(path.read_text())
    assert (data["site"]["latitude"], data["site"]["longitude"]) == (44.5, -123.2)
    assert data["site"]["timezone"] == "America/Los_Angeles"
    assert [p["id"] for p in data["place"]] == ["N1", "H1"]
    assert data["variety"] == [{"id": "amber", "response": "short-day", "type": "oil-unknown"}]
    (cohort_record,) = data["cohort"]
    assert cohort_record["planned"]["transplant"] == date(2027, 4, 14)
    assert data["task"]
    assert "  A1: amber, N1 then H1, 100 plants, seeding Sat 20 Mar 2027, " in ran.out
    checked = run("check", path, today=TODAY)
    assert (checked.status, checked.out.endswith("0 problems.\n")) == (0, True)
    assert run("tasks", path, today=TODAY).out == "The saved tasks agree with the plan.\n"
    assert "overdue" not in run("week", path, "--brief", today=TODAY).out


def test_the_zone_is_proposed_from_the_position_and_may_be_another(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    typed = "Hill\n44°30'12\"N 123°12'W\nAmerica/Boise\n2027-03-01\n15 dec\n"
    ran = run("new", path, today=TODAY, typed=typed)
    assert ran.status == 0, ran.said
    assert "position is 44.5033 N 123.2 W\n" in ran.out
    assert "Time zone; Enter takes America/Los_Angeles, which is that of the position: " in ran.out
    assert data_of(path.read_text())["site"]["timezone"] == "America/Boise"


def test_without_records_the_season_is_empty_and_checks(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, *FLAGS, today=TODAY)
    assert ran.status == 0, ran.said
    assert "Place" not in ran.out
    assert (
        f"\n{path}: this season has no place yet; add one, such as: calendar-tui add {path} place H1 "
        in ran.out
    )
    assert not {"place", "variety", "cohort", "task"} & data_of(path.read_text()).keys()
    assert run("check", path, today=TODAY).out.endswith("0 problems.\n")


def test_records_may_be_given_as_flags(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    records = (
        "--place",
        "F1 field",
        "--place",
        "F2 field",
        "--variety",
        "amber",
        "--cohort",
        "A1 amber F2 sow 1 may",
    )
    ran = run("new", path, *FLAGS, *records, today=TODAY)
    assert ran.status == 0, ran.said
    data = data_of(path.read_text())
    assert ([p["id"] for p in data["place"]], data["cohort"][0]["place"]) == (["F1", "F2"], "F2")
    assert "tasks of the new season added" in run("history", path, today=TODAY).out


def test_a_wrong_line_is_asked_again_at_once_and_the_lines_before_it_stay(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    typed = f"Hill\n{SITE}H1 hop house\nH1 hoop house\nH1 field\n\nfern oil-zang\nfern oil-zhang\n\n\n"
    ran = run("new", path, today=TODAY, typed=typed)
    assert ran.status == 0, ran.said
    assert '"hop house" is not a kind of place; did you mean "hoop house"?' in ran.out
    assert "there is a place H1 already" in ran.out
    assert 'did you mean "oil-zhang"?' in ran.out
    data = data_of(path.read_text())
    assert (len(data["place"]), data["variety"][0]["type"]) == (1, "oil-zhang")


def test_ctrl_c_says_what_is_not_saved_and_gives_the_command_that_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "hill.toml"
    real = season_questions.Questions._question

    def pressed(questions: season_questions.Questions, key: str) -> tuple[str, object]:
        if key == "last_day":
            raise KeyboardInterrupt
        return real(questions, key)

    monkeypatch.setattr(season_questions.Questions, "_question", pressed)
    ran = run("new", path, today=TODAY, typed=f"Hill & Dale\n{SITE}")
    monkeypatch.undo()
    assert ran.status == 130
    assert f"{path} is not made; what you answered is not saved. To go on from there:\n" in ran.err
    assert not path.exists()
    command = shlex.split(ran.err.split("from there:\n")[1].splitlines()[0])
    assert command[:3] == ["calendar-tui", "new", str(path)]
    again = run(*command[1:], today=TODAY, typed="15 dec\n")
    assert again.status == 0, again.said
    assert "Name of the season" not in again.out
    season = data_of(path.read_text())["season"]
    assert (season["name"], season["first_day"]) == ("Hill & Dale", date(2027, 3, 1))


def test_the_command_that_goes_on_makes_the_example_that_was_begun(tmp_path: Path) -> None:
    chosen = ["--example", "--lang=es", "--type=oil-zhang"]
    path = tmp_path / "hill.toml"
    ran = run("new", path, *chosen, today=TODAY, typed="Hill & Dale\n")
    assert ran.status == 2
    command = shlex.split(ran.err.split("from there:\n")[1].splitlines()[0])
    assert command == ["calendar-tui", "new", str(path), "--name=Hill & Dale", *sorted(chosen)]
    nothing = run("new", path, *chosen, today=TODAY, typed="")
    assert nothing.err.endswith(f"{path} is not made.\n")


def test_the_command_that_goes_on_has_the_places_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "hill.toml"
    real = season_questions.Questions._add

    def pressed(questions: season_questions.Questions, kind: str, line: str) -> object:
        if kind == "variety":
            raise KeyboardInterrupt
        return real(questions, kind, line)

    monkeypatch.setattr(season_questions.Questions, "_add", pressed)
    ran = run("new", path, today=TODAY, typed=f"Hill\n{SITE}{PLACES}amber\n")
    assert ran.status == 130
    assert "--place='N1 nursery lamps 18 h' --place='H1 hoop house 180 m2 lamps 16 h'" in ran.err


def test_a_missing_answer_says_what_is_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, today=TODAY, typed="Hill\n44.5 N 123.2 W\n")
    assert ran.status == 2
    assert "no answer: give --timezone, --first-day and --last-day\n" in ran.err
    assert f"  calendar-tui new {path} --name=Hill --latitude=44.5 --longitude=-123.2\n" in ran.err


def test_nothing_answered_leaves_nothing_to_go_on_from(tmp_path: Path) -> None:
    ran = run("new", tmp_path / "hill.toml", today=TODAY)
    assert ran.err.endswith(f"\n{tmp_path / 'hill.toml'} is not made.\n")


def test_without_a_file_one_is_proposed_from_the_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "hill-farm.toml").write_text("a = 1")
    ran = run("new", today=TODAY, typed=f"Hill Farm\n{SITE}\n\n\nmine\nmine.toml\n")
    assert ran.status == 0, ran.said
    assert ran.out.count("Name of its file; Enter takes hill-farm.toml: ") == 3
    assert "hill-farm.toml is there already" in ran.out
    assert data_of((tmp_path / "mine.toml").read_text())["season"]["name"] == "Hill Farm"


def test_the_commands_named_for_an_empty_season_add_what_it_lacks(tmp_path: Path) -> None:
    path = tmp_path / "hill farm.toml"
    assert run("new", path, *FLAGS, today=TODAY).status == 0
    for what in ("place", "variety", "cohort"):
        told = run("dates", path, today=TODAY).err
        assert f"this season has no {what} yet; add one, such as: calendar-tui add " in told
        words = shlex.split(told.split("such as: ")[1])
        assert run(*words[1:], "--yes", today=TODAY).status == 0
    assert run("dates", path, today=TODAY).status == 0


@pytest.mark.parametrize(
    ("again", "latitude"), [("44.5 N 123.2 W", 44.5), ("", -44.5), ("44.5 S 123.2 E", -44.5)]
)
def test_a_position_at_sea_is_asked_once_more(tmp_path: Path, again: str, latitude: float) -> None:
    path = tmp_path / "hill.toml"
    zone = "" if latitude > 0 else "Etc/GMT-8"
    ran = run("new", path, today=TODAY, typed=f"Hill\n44.5 S 123.2 E\n{again}\n{zone}\n1 mar\n15 dec\n\n\n")
    assert ran.status == 0, ran.said
    assert "position is 44.5 S 123.2 E, at sea: are N, S, E, W right?\n" in ran.out
    assert "; Enter keeps 44.5 S 123.2 E: " in ran.out
    assert data_of(path.read_text())["site"]["latitude"] == latitude


# --- by flags alone


def refused(*words: object) -> Ran:
    ran = run(*words, today=TODAY)
    assert (ran.status, ran.out) == (2, ""), ran.said
    return ran


POSITION = ("--position", "44.5 N 123.2 W")
BY_FLAGS = ("--name", "Hill Farm", *POSITION, "--first-day", "1 mar", "--last-day", "15 dec")


def test_a_position_is_given_as_it_is_typed_in_the_form(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, *BY_FLAGS, today=TODAY, typed="\n\n\n")
    assert ran.status == 0, ran.said
    assert "Time zone; Enter takes America/Los_Angeles" in ran.out
    assert "Position" not in ran.out
    site = data_of(path.read_text())["site"]
    assert (site["latitude"], site["longitude"]) == (44.5, -123.2)


def test_a_position_given_as_a_latitude_alone_is_asked_for_the_longitude(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, *BY_FLAGS, "--position", "44.5 N", today=TODAY, typed="123.2 W\n\n\n\n")
    assert ran.status == 0, ran.said
    assert data_of(path.read_text())["site"]["longitude"] == -123.2


def test_yes_makes_a_season_without_a_question_with_what_is_proposed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    records = (
        "--place",
        "H1 hoop house lamps 16 h",
        "--variety",
        "amber",
        "--cohort",
        "A1 amber H1 seed 20 mar",
    )
    ran = run("new", "--yes", *BY_FLAGS, *records, today=TODAY)
    assert (ran.status, ran.err) == (0, ""), ran.said
    assert "Enter" not in ran.out
    assert "time zone is America/Los_Angeles, of the position\n" in ran.out
    data = data_of((tmp_path / "hill-farm.toml").read_text())
    assert data["site"]["timezone"] == "America/Los_Angeles"
    assert data["season"]["first_day"] == date(2027, 3, 1)
    assert [data[kind][0]["id"] for kind in ("place", "variety", "cohort")] == ["H1", "amber", "A1"]


def test_yes_makes_an_example_too(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, "--yes", "--example", *BY_FLAGS, today=TODAY)
    assert ran.status == 0, ran.said
    assert data_of(path.read_text())["variety"][0]["type"] == "oil-unknown"


def test_with_yes_all_that_is_missing_is_named_at_once(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    ran = refused("new", path, "--yes", "--first-day", "1 mar")
    assert ran.err == "nothing made: give --name, --position and --last-day\n"
    assert not path.exists()


def test_with_yes_all_that_is_wrong_is_told_at_once_as_in_the_form(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    wrong = (
        "--last-day",
        "1 jan 2027",
        "--place",
        "H1",
        "--place",
        "H2 field",
        "--variety",
        "amber oil-zang",
    )
    ran = refused("new", path, "--yes", "--name", "Hill", *POSITION, "--first-day", "1 mar", *wrong)
    told = ran.err.splitlines()
    assert told[0] == "nothing made:"
    assert told[1].startswith("  --last-day: last day is -59 days after first day")
    assert told[2].startswith('  --place "H1": its kind is missing')
    assert told[3].startswith('  --variety "amber oil-zang": ')
    assert 'did you mean "oil-zhang"?' in told[3]
    assert len(told) == 4


def test_a_position_is_given_once(tmp_path: Path) -> None:
    ran = refused("new", tmp_path / "hill.toml", *POSITION, "--latitude", "44.5")
    assert "give --position, or --latitude and --longitude, not both" in ran.err


def test_latitude_and_longitude_are_the_position_with_yes(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    site = ("--latitude", "34.3 S", "--longitude", "56.7 W", "--name", "Hill")
    ran = run(
        "new", path, "--yes", *site, "--first-day", "2026-09-15", "--last-day", "2027-05-31", today=TODAY
    )
    assert ran.status == 0, ran.said
    data = data_of(path.read_text())["site"]
    assert (data["latitude"], data["longitude"], data["timezone"]) == (-34.3, -56.7, "America/Montevideo")


def test_with_yes_a_longitude_that_is_missing_is_named(tmp_path: Path) -> None:
    ran = refused(
        "new", tmp_path / "hill.toml", "--yes", *BY_FLAGS[:2], "--latitude", "34.3 S", *BY_FLAGS[4:]
    )
    assert "  --position: position has no longitude yet" in ran.err


def test_with_yes_the_zone_is_not_asked_for_where_a_right_position_proposes_it(tmp_path: Path) -> None:
    ran = refused("new", tmp_path / "hill.toml", "--yes", *BY_FLAGS, "--position", "444.5 N 123.2 W")
    assert ran.err == "nothing made:\n  --position: latitude is 444.5; it must be from -90 to 90\n"


def test_with_yes_a_position_at_sea_is_told_as_its_signs_may_be_wrong(tmp_path: Path) -> None:
    ran = refused("new", tmp_path / "hill.toml", "--yes", *BY_FLAGS, "--position", "44.5 S 123.2 E")
    assert ran.err == ("nothing made: give --timezone; 44.5 S 123.2 E, at sea: are N, S, E, W right?\n")


@pytest.mark.parametrize("position", ["-34.3,-56.7", "-34.3, -56.7", "-34.3/-56.7"])
def test_a_position_that_begins_with_a_minus_is_taken(tmp_path: Path, position: str) -> None:
    path = tmp_path / "hill.toml"
    ran = run("new", path, "--yes", *BY_FLAGS, "--position", position, today=TODAY)
    assert ran.status == 0, ran.said
    assert data_of(path.read_text())["site"]["latitude"] == -34.3
