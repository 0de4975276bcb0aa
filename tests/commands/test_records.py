"""`add`, `set`, `rename` and `remove`: what a season holds, changed by the names of its fields."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_season import Ran, run

from calendar_tui.season.field_names import fields_of
from calendar_tui.season.kind_words import ALL
from tests.season_data import data_of

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
TODAY = "2026-12-08"


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copy(EXAMPLE, tmp_path / "two-rivers.toml"))


def typed(words: str, *more: str) -> Ran:
    return run(*words.split(), *more, today=TODAY)


def refused(farm: Path, words: str, *more: str) -> str:
    """Why a command is refused, the file being as it was."""
    before = farm.read_bytes()
    ran = typed(words, *more)
    assert ran.status == 2, ran.out
    assert farm.read_bytes() == before
    return ran.err.strip()


def record(farm: Path, kind: str, name: str) -> dict:
    return next(r for r in data_of(farm.read_text(encoding="utf-8"))[kind] if r["id"] == name)


# --- what a person does


def test_a_cohort_like_another_two_weeks_later_is_one_command_and_one_undo(farm):
    before = farm.read_bytes()
    ran = typed("add cohort B4 --like B3 --later 14d --yes")
    assert ran.out.splitlines()[0] == "cohort B4 added, like B3, 14 d later"
    assert "Saved: cohort B4 added, like B3, 14 d later" in ran.out
    assert {str(day) for day in record(farm, "cohort", "B4")["planned"].values()} == {
        "2026-12-03",
        "2026-12-28",
    }
    assert typed("check").out.endswith("0 problems.\n")
    typed("undo --yes")
    assert farm.read_bytes() == before


UNDONE = [
    "add cohort --like B3 --later 14d --times 3 --every 7d plants 60",
    "add place H4 --kind field --area 180",
    "add variety cedar",
    "add programme H3 from 20 dec to 2 jan lit day 17",
    "add stay A4 place F1 from 20 feb",
    "set cohort B3 plants 120 spacing 1.5x0.6 transplant 18 dec note none",
    "set cohort T1 T2 place F2",
    "set place H3 area 200 lit day 16h30",
    "set variety amber critical day 14 h 10",
    "set crew hours of crew 60 days off 25 dec",
    "set capacity dryer 300 kg",
    "set stay A4 H1 place H2",
    "rename cohort B3 Zed",
    "rename place H3 Dam",
    "rename variety amber gold",
    "remove cohort A3",
    "remove cohort T1 T2 B3",
    "remove crew",
]


@pytest.mark.slow
@pytest.mark.parametrize("words", UNDONE)
def test_each_is_one_change_and_undo_brings_every_byte_back(farm, words):
    before = farm.read_bytes()
    ran = typed(f"{words} --yes")
    assert ran.status == 0, ran.err
    after = farm.read_bytes()
    assert after != before
    assert typed("check").out.endswith("0 problems.\n")
    assert "differ from the plan" not in typed("check").out
    typed("undo --yes")
    assert farm.read_bytes() == before
    typed("redo --yes")
    assert farm.read_bytes() == after


@pytest.mark.slow
@pytest.mark.parametrize("words", UNDONE)
def test_a_dry_run_shows_what_would_move_and_saves_nothing(farm, words):
    before = farm.read_bytes()
    ran = typed(f"{words} --dry-run")
    assert ran.out.endswith("Nothing saved.\n")
    shown = json.loads(typed(f"{words} --dry-run --json").out)["answers"][0]
    assert shown["saved"] is False
    assert farm.read_bytes() == before


def test_a_change_is_undone_though_the_file_was_edited_by_hand_since(farm):
    typed("rename cohort B3 Zed --yes")
    farm.write_text(f"# by hand\n{farm.read_text(encoding='utf-8')}", encoding="utf-8")
    assert typed("undo --yes").status == 0
    assert record(farm, "cohort", "B3")["plants"] == 200


def test_an_older_change_of_a_renamed_record_waits_for_the_rename(farm):
    typed("set cohort B3 plants 120 --yes")
    typed("rename cohort B3 Zed --yes")
    farm.write_text(f"# by hand\n{farm.read_text(encoding='utf-8')}", encoding="utf-8")
    assert "change 2 of" in refused(farm, "undo --change 1 --yes")


# --- words


def test_a_field_is_typed_as_words_joined_or_as_a_flag(farm):
    for words in (
        "set cohort B3 plants 120 --yes",
        "set cohort b3 plants=121 --yes",
        "set cohort B3 --plants 122 --yes",
        "set cohorts B3 spacing_m 1.8,0.9 Plants 123 --yes",
    ):
        assert typed(words).status == 0
        plants = next(w for w in words.replace("=", " ").split() if w.isdigit())
        assert record(farm, "cohort", "B3")["plants"] == int(plants)


def test_a_value_of_several_words_ends_where_the_next_field_begins(farm):
    typed("set cohort A3 transplant 18 dec lights off 4 feb 2027 note", "lights off by hand", "--yes")
    cohort = record(farm, "cohort", "A3")
    assert [str(cohort["replanned"][s]) for s in ("transplant", "lights_off")] == ["2026-12-18", "2027-02-04"]
    assert cohort["note"] == "lights off by hand"


def test_a_text_may_begin_with_the_sign_that_joins_a_name_and_its_value(farm):
    for words in (["note", "=1+1"], ["note==1+1"], ["note", "=", "=1+1"]):
        assert typed("set cohort A3 note x --yes").status == 0
        assert typed("set cohort A3", *words, "--yes").status == 0
        assert record(farm, "cohort", "A3")["note"] == "=1+1", words
    typed("set cohort B3 plants = 121 --yes")
    assert record(farm, "cohort", "B3")["plants"] == 121


def test_several_cohorts_are_changed_in_one_change_each_by_its_own_plan(farm):
    ran = typed("set cohort A4 T2 transplant +7 --yes")
    assert ran.status == 0
    days = [str(record(farm, "cohort", name)["replanned"]["transplant"]) for name in ("A4", "T2")]
    assert days == ["2027-01-29", "2026-12-20"]
    typed("undo --yes")
    assert "replanned" not in record(farm, "cohort", "T2")


def test_without_a_field_the_record_is_shown(farm):
    shown = typed("set place H3").out
    assert shown.startswith("place H3\n  kind ")
    assert "  lit day      16 h a day\n" in shown
    assert "not set: " in shown
    fields = json.loads(typed("set place H3 --json").out)[0]["fields"]
    assert [f["name"] for f in fields] == [f.words for f in fields_of("place")]


@pytest.mark.parametrize(
    "words",
    [
        "set crew",
        "set capacity",
        "set site",
        "set season",
        "set stay A1",
        "set variety amber",
        "set cohort A1 B1",
    ],
)
def test_every_kind_is_shown_by_its_fields(farm, words):
    ran = typed(words)
    assert ran.status == 0
    assert "_" not in ran.out


@pytest.mark.parametrize(
    "interval", ["--later 2 weeks", "--later=2 weeks", "--later 14 days", "--later 14 d", "--every 2 Weeks"]
)
def test_an_interval_may_have_a_blank_before_its_unit(farm, interval):
    ran = typed(f"add cohort --like B3 {interval} --dry-run")
    assert ran.out.startswith("cohort B4 added, like B3, 14 d later"), ran.err


def test_the_words_behind_an_interval_stay_words(farm):
    ran = typed("add cohort --like B3 --later 2 weeks Zed plants 60 --dry-run")
    assert ran.out.startswith("cohort Zed added, like B3, 14 d later: plants 60"), ran.err


def test_the_next_free_name_is_given_where_none_is_typed(farm):
    assert typed("add cohort --like A1 --later 100d --times 2 --dry-run").out.startswith(
        "cohorts A5 A6 added, like A1"
    )


# --- wrong words


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("set", "name what it is: cohort, variety, place, chore, stay, profile"),
        ("set chort B3 plants 4", '"chort" is nothing that a season holds; did you mean "cohort"?'),
        ("add task", "tasks follow from the plan"),
        ("set cohort", "name a cohort: A1, A2"),
        ("set cohort Z9 plants 4", '"Z9" is not a cohort of this season'),
        ("set cohort B3 plats 120", '"plats" is not a field of a cohort; did you mean "plants"?'),
        ("set cohort B3 plants", "plants has no value"),
        ("set cohort B3 plants 4 plants 5", "plants is given twice"),
        ("set cohort B3 plants 120 spcing 1.5x0.6", 'did you mean "spacing"?'),
        (
            "set cohort B3 plants many place H9",
            'plants "many": write a whole number from 1 to 10000000 plants\nplace: "H9"',
        ),
        ("set cohort A3 transplant 12/8", 'transplant: "12/8" is '),
        ("set cohort A1 transplant 20 dec", "it is recorded on 11 Oct 2026"),
        ("set place H3 lamps none", "cohort A3 has lights off, but its place H3 has no lamps"),
        ("set stay A1 from 4 dec", "A1 has 2 stays; name one by its place or number"),
        ("set stay A1 F2 from 4 dec", '"F2" is no stay of A1. Stays: 1 N1, 2 H1'),
        ("add cohort", "give the new cohort a name, such as: cohort D2"),
        (
            "add cohort C1",
            "variety: it is needed: what is grown; one of: amber, brook, tallow, dayfree\nstart: it is needed",
        ),
        ("add cohort A1 --like B3 --later 14d", 'id "A1": there is a cohort A1 already; A5 is free'),
        ("add cohort --like Q1", '"Q1" is not a cohort of this season'),
        (
            "add cohort weeks --like B3 --later 2",
            'id "weeks": this word stands for a unit or for no value; give another name',
        ),
        ("add cohort Plants --like B3", "plants has no value"),
        (
            "rename cohort B3 days",
            'id "days": this word stands for a unit or for no value; give another name',
        ),
        ("rename cohort B3 harvest", 'id "harvest": this is the name of a field; give another name'),
        ("add cohort C1 --later 14d", "--later, --times and --every go with --like"),
        ("add cohort --like B3 --later soon", '--later "soon" is no number of days'),
        ("add cohort --like B3 --later 14d --times 0", '--times "0" is no number of copies'),
        ("add cohort A9 --like A4 --later 200d", "sticking on 16 Jul 2027 is outside the season"),
        ("add stay", "name the cohort whose stay it is"),
        ("add stay A1 place F1", "from: it is needed"),
        ("add programme H3 lit day 17", "from: it is needed"),
        ("rename cohort B3", "give the cohort's name as it is and the new one"),
        ("rename cohort B3 A1", "there is a cohort A1 already"),
        ("rename programme H3 H4", '"programme" is nothing that a season holds'),
        ("remove cohort", "name a cohort"),
        ("remove cohort B3 B9", '"B9" is not a cohort of this season'),
        ("remove programme H3 soon", "name a programme by its place and first night"),
        ("remove place H3", "cohorts A3, B1 stand in H3, so it stays"),
        ("remove programme H3", "name a programme by its place and first night: there is none yet"),
        ("remove site", "no season is without its site"),
        ("remove capacity", "the season has no capacity to take out"),
        (
            "add cohort C1 variety brook --json",
            "--json asks nothing: add --dry-run to look, or --yes to save",
        ),
    ],
)
def test_wrong_words_are_told_with_what_would_be_right_and_nothing_is_written(farm, words, text):
    assert text in refused(farm, words)


NAMES = {
    "cohort": "A1 B3 A4 Z9",
    "place": "H1 H3 F1 Q",
    "variety": "amber brook",
    "stay": "A1 A4 B3",
    "outage": "H3 F1",
}
# fmt: off
ODD = (
    "1", "0", "-3", "1e9", "120", "12 dec", "2027-02-30", "8/12", "+7", "none", "", "amber", "H1",
    "H2 east", "14 h 10", "25h", "1.5x0.6", "1,2,3", "[1]", "{a=1}", '"x"', "it's", "\x1b[31m", "日本",
    "é" * 300, "yes", "mon, tue", "seed", "clock", "=", "a=b", "9" * 30, "nan", "inf", "transplant",
    "Europe/Madrid", "31 dec 2199", "1 jan 1900",
)
# fmt: on


@st.composite
def any_words(draw: st.DrawFn) -> list[str]:
    kind = draw(st.sampled_from(ALL))
    act = draw(st.sampled_from(["add", "set", "rename", "remove"]))
    words = [act, kind, *draw(st.lists(st.sampled_from(NAMES.get(kind, "H3 1").split()), max_size=2))]
    if act in ("add", "set"):
        for field in draw(st.lists(st.sampled_from(fields_of(kind)), max_size=3)):
            words += [
                *field.words.split(),
                *(["amber"] if field.takes_name else []),
                draw(st.sampled_from(ODD)),
            ]
    if act == "add" and draw(st.booleans()):
        words += [
            "--like",
            words[2] if len(words) > 2 else "A1",
            f"--later={draw(st.sampled_from(['14d', '-9d', '2w', 'x']))}",
        ]
    return [*words, draw(st.sampled_from(ODD))] if act == "rename" else words


@pytest.mark.slow
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(any_words())
def test_any_words_are_answered_and_a_dry_run_writes_nothing(farm, words):
    before = farm.read_bytes()
    ran = run(*words, "--dry-run", today=TODAY)
    assert ran.status in (0, 2), words
    assert "Traceback" not in ran.err
    assert ran.status == 0 or ran.err.strip(), words
    assert farm.read_bytes() == before


def test_no_name_of_a_field_is_a_flag_of_these_commands():
    from calendar_tui.commands.field_words import FIELD_FLAGS, MARK_FLAG, NEW_FLAGS
    from calendar_tui.commands.flags import SAVE

    assert not {*FIELD_FLAGS} & {*MARK_FLAG, *NEW_FLAGS, *SAVE, "--today", "--version", "--help"}
    assert len(FIELD_FLAGS) > len(ALL)


@pytest.mark.slow
def test_a_programme_is_named_by_its_place_and_by_its_first_night_where_there_are_several(farm):
    typed("add programme H3 from 20 dec to 2 jan lit day 17 --yes")
    assert typed("set programme h3 lit day 18 --yes").status == 0
    typed("add programme H3 from 5 jan to 9 jan lit day 17 --yes")
    assert "H3 has 2 of them; give the first night too" in refused(farm, "remove programme H3")
    assert typed("set programme H3 5 jan from 6 jan to 10 jan --yes").status == 0
    assert typed("remove programme H3 6 jan --yes").out.endswith("Saved: programme H3 6 Jan taken out\n")


@pytest.mark.slow
def test_a_stay_is_added_moved_and_taken_out_by_its_place(farm):
    text = farm.read_text(encoding="utf-8")
    farm.write_text(
        text.replace('id = "H1"\nkind = "hoop house"', 'id = "H1"\nkind = "greenhouse"'), encoding="utf-8"
    )
    assert typed("add stay A1 place F1 from 26 dec --yes").status == 0
    assert typed("set stay A1 F1 from 28 dec --yes").status == 0
    assert str(record(farm, "cohort", "A1")["stays"][2]["from"]) == "2026-12-28"
    assert typed("remove stay A1 3 --yes").out.endswith("Saved: A1 stay 3 in F1 taken out\n")
    assert len(record(farm, "cohort", "A1")["stays"]) == 2


def test_a_stay_of_a_plain_record_is_changed_as_its_place(farm):
    typed("set stay A4 H1 place H2 --yes")
    cohort = record(farm, "cohort", "A4")
    assert (cohort["nursery"], cohort["place"], "stays" in cohort) == ("N1", "H2", False)


def test_a_season_as_it_was_long_ago_and_one_with_problems_are_left_alone(farm):
    text = farm.read_text(encoding="utf-8")
    farm.write_text(text.replace("plants = 200", 'plants = "many"'), encoding="utf-8")
    assert "plants" in refused(farm, "set cohort A1 plants 4 --yes")
