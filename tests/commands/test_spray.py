"""Sprays by command: recorded by the words of their label, listed with what they close, and told above the work."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import Ran, run

from tests.season_data import data_of, without_crop

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
TODAY = "2026-12-08"
SOAP = (
    "H2",
    "insecticidal",
    "soap",
    "start",
    "16:30",
    "end",
    "17:15",
    "re-entry",
    "12 h",
    "pre-harvest",
    "0 d",
)


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    """The example before anything is recorded of its crop."""
    path = tmp_path / "two-rivers.toml"
    path.write_text(without_crop(EXAMPLE.read_text(encoding="utf-8")), encoding="utf-8")
    return path


def spray(farm: Path, *words: str, today: str = TODAY) -> Ran:
    return run("spray", farm, *words, today=today)


def recorded(farm: Path, *words: str) -> Path:
    ran = spray(farm, *words, "--yes")
    assert ran.status == 0, ran.said
    return farm


def one_line(ran: Ran) -> str:
    return " ".join(ran.said.split())


def test_a_spray_is_recorded_by_the_words_of_its_label_and_undone(farm: Path) -> None:
    before = farm.read_bytes()
    recorded(farm, *SOAP, "who", "Ana")
    (record,) = data_of(farm.read_text())["spray"]
    assert {key: str(value) for key, value in record.items()} == {
        "id": "s1",
        "date": TODAY,
        "place": "H2",
        "product": "insecticidal soap",
        "start": "16:30",
        "end": "17:15",
        "reentry": "12 h",
        "preharvest": "0 d",
        "who": "Ana",
    }
    assert run("undo", farm, "--yes", today=TODAY).status == 0
    assert farm.read_bytes() == before


def test_what_is_closed_is_listed_with_its_hour(farm: Path) -> None:
    assert "Closed nothing No spray is recorded." in one_line(spray(farm))
    text = one_line(spray(recorded(farm, *SOAP)))
    assert "Closed H2 until Wed 9 Dec 2026 05:15, after insecticidal soap" in text
    assert "s1 H2: insecticidal soap, Tue 8 Dec 2026 16:30-17:15; re-entry 12 h; pre-harvest 0 d" in text
    assert "the label is the law" in text


def test_the_days_of_its_record_stand_with_the_rules_that_set_them(farm: Path) -> None:
    """7 CFR 110.3 and 40 CFR 170.122, read: written within 14 days, shown to 30 days after re-entry, kept 2 years."""
    assert run("rules", farm, "us", "--yes", today=TODAY).status == 0
    text = one_line(spray(recorded(farm, *SOAP)))
    assert "record written by 22 Dec 2026; shown until 8 Jan 2027; kept until 8 Dec 2028" in text
    assert "as of 28 Nov 2026: check with your authority" in text


def test_as_json(farm: Path) -> None:
    data = json.loads(spray(recorded(farm, *SOAP), "--json").out)
    (closed,) = data["closed"]
    assert (closed["place"], closed["from"], closed["until"], closed["sprays"]) == (
        "H2",
        "2026-12-08T16:30:00",
        "2026-12-09T05:15:00",
        ["s1"],
    )
    assert data["sprays"][0]["end"] == "17:15"
    assert data["first_cut"]["A2"]["from"] == "2026-12-09T05:15:00"


def test_a_wait_stands_in_its_record_with_its_unit_once(farm: Path) -> None:
    recorded(farm, *SOAP)
    lines = run("set", farm, "spray", "s1", today=TODAY).out.splitlines()
    assert [line.split() for line in lines if line.strip().startswith("re-entry")] == [
        ["re-entry", "12", "h"]
    ]


def test_a_condition_keeps_the_place_closed_until_it_is_recorded_as_met(farm: Path) -> None:
    recorded(farm, "H1", "oil", "end", "12:00", "entry", "condition", "until the air is below 2 ppm")
    assert "H1 until it is recorded: oil: until the air is below 2 ppm" in one_line(spray(farm))
    recorded(farm, "s1", "met", "9 dec", "08:10")
    assert "H1 until Wed 9 Dec 2026 08:10, after oil" in one_line(spray(farm))
    assert "waits for no condition" in spray(recorded(farm, *SOAP), "s2", "met", "08:00", "--yes").err


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("H9", "soap", "end", "12:00"), '"H9" is not a place of this season'),
        (("H2", "end", "12:00"), "name the product behind its place"),
        (("H2", "soap", "re-entry", "12 h"), "end: it is needed"),
        (("H2", "soap", "end", "25:00"), "write a time of the 24-hour clock"),
        (("H2", "soap", "end", "12:00", "re-entry", "12"), "write hours or days with their unit"),
        (
            ("H2", "soap", "end", "12:00", "re-entry", "until vented"),
            "a condition of the label has a field of its own",
        ),
        (("H2", "soap", "end", "12:00", "re-entry", "-4 h"), "cannot be under 0"),
        (("H2", "soap", "start", "13:00", "end", "12:00"), "ends at 12:00, before it begins at 13:00"),
    ],
)
def test_what_cannot_be_is_told_with_what_would_be_right_and_nothing_is_written(
    farm: Path, words: tuple[str, ...], right: str
) -> None:
    before = farm.read_bytes()
    ran = spray(farm, *words, "--yes")
    assert ran.status == 2
    assert right in one_line(ran)
    assert farm.read_bytes() == before


def test_an_hour_that_the_clock_has_twice_is_asked_for(farm: Path) -> None:
    farm.write_text(
        farm.read_text()
        .replace('timezone = "America/Montevideo"', 'timezone = "America/New_York"')
        .replace("longitude = -56.7", "longitude = -76.5")
    )
    words = ("H2", "soap", "date", "31 oct", "end date", "1 nov", "end", "01:30", "re-entry", "4 h")
    assert "exists twice" in one_line(spray(farm, *words, "--yes"))
    recorded(farm, *words, "which end", "second")
    assert (
        json.loads(spray(farm, "--json", today="2026-11-01").out)["closed"][0]["until"]
        == "2026-11-01T05:30:00"
    )


def test_what_nobody_enters_stands_above_the_week_and_in_its_line(farm: Path) -> None:
    recorded(farm, *SOAP)
    week = one_line(run("week", farm, today=TODAY))
    closed = "Do not enter: H2 is closed from Tue 8 Dec 16:30 until Wed 9 Dec 05:15 after insecticidal soap."
    assert closed in week
    assert closed not in one_line(run("week", farm, "--place", "H1", today=TODAY))
    assert json.loads(run("week", farm, "--json", today=TODAY).out)["closed"][0]["place"] == "H2"
    assert "do not enter: H2 until Wed 9 Dec 05:15" in one_line(run("week", farm, "--brief", today=TODAY))
    page = farm.with_name("sheet.html")
    assert run("export", farm, "--sheet", page, today=TODAY).status == 0
    assert closed in page.read_text()


def test_a_page_for_the_door_says_until_when_and_that_nobody_enters(farm: Path) -> None:
    page = farm.with_name("door.html")
    ran = run("export", farm, "--door", page, today=TODAY)
    assert "no place is closed after a spray" in one_line(ran)
    recorded(farm, *SOAP, "registration", "123-45", "active", "potassium salts", "who", "Ana <b>")
    assert run("export", farm, "--door", page, today=TODAY).status == 0
    text = page.read_text()
    for part in (
        "H2: DO NOT ENTER",
        "until Wed 9 Dec 2026 05:15",
        "123-45",
        "potassium salts",
        "Ana &lt;b&gt;",
        "the label is the law",
    ):
        assert part in text
    assert "H1 is not closed after a spray" in one_line(
        run("export", farm, "--door", page, "--place", "H1", today=TODAY)
    )


def test_a_page_for_the_door_names_what_is_not_set_and_the_condition_that_is_waited_for(farm: Path) -> None:
    recorded(farm, "H1", "oil", "end", "12:00", "entry", "condition", "until the air is below 2 ppm")
    page = farm.with_name("door.html")
    assert run("export", farm, "--door", page, today=TODAY).status == 0
    text = page.read_text()
    assert "until this is recorded:" in text
    assert "oil: the air is below 2 ppm" in text
    for head in ("registration number", "active ingredient", "applied by", "pre-harvest"):
        assert f"<th>{head}</th><td>not set</td>" in "".join(line.strip() for line in text.splitlines())


def brief(farm: Path, *words: str) -> str:
    return one_line(run("week", farm, "--brief", *words, today=TODAY))


def test_the_line_at_login_names_each_closed_place_whatever_else_waits(farm: Path) -> None:
    recorded(farm, *SOAP)
    recorded(farm, "H1", "oil", "end", "12:00", "entry", "condition", "until the air is below 2 ppm")
    # Something that is too late stands before what is closed in the list of what is to be decided.
    farm.write_text(farm.read_text().replace("lights_off = 2026-12-12", "lights_off = 2026-12-01"))
    closed = "; do not enter: H1 until it is recorded, H2 until Wed 9 Dec 05:15"
    assert closed in brief(farm)


def test_the_line_of_one_place_or_role_names_what_is_closed_there(farm: Path) -> None:
    recorded(farm, *SOAP)
    assert "do not enter: H2 until Wed 9 Dec 05:15" in brief(farm, "--place", "H2")
    assert "do not enter: H2 until Wed 9 Dec 05:15" in brief(farm, "--role", "scout")
    assert "do not enter" not in brief(farm, "--place", "H1")


def test_the_line_of_a_season_without_tasks_names_what_is_closed(farm: Path) -> None:
    text = farm.read_text()
    begin = text.index("task = [")
    farm.write_text(text[:begin] + "task = [\n" + text[text.index("\n]", begin) + 1 :])
    recorded(farm, *SOAP)
    assert brief(farm) == "Two Rivers 2026-27: no tasks are saved yet; do not enter: H2 until Wed 9 Dec 05:15"


def test_one_product_in_two_places_is_one_act_with_a_record_each_and_one_undo(farm: Path) -> None:
    before = farm.read_bytes()
    ran = spray(farm, "H1", "f2", *SOAP[1:], "--yes")
    assert ran.status == 0, ran.said
    assert "sprays s1 s2 added: date 8 Dec 2026, place H1, F2, product insecticidal soap" in one_line(ran)
    assert [(r["id"], r["place"], r["product"]) for r in data_of(farm.read_text())["spray"]] == [
        ("s1", "H1", "insecticidal soap"),
        ("s2", "F2", "insecticidal soap"),
    ]
    assert run("undo", farm, "--yes", today=TODAY).status == 0
    assert farm.read_bytes() == before


def test_places_are_typed_with_commas_too_and_one_that_is_not_there_is_refused(farm: Path) -> None:
    recorded(farm, "H1,F2", *SOAP[1:])
    assert [r["place"] for r in data_of(farm.read_text())["spray"]] == ["H1", "F2"]
    ran = spray(farm, "H1,F9", *SOAP[1:], "--yes")
    assert ran.status != 0
    assert '"F9" is not a place of this season' in one_line(ran)


def test_the_total_of_one_place_is_not_counted_for_two(farm: Path) -> None:
    before = farm.read_bytes()
    ran = spray(farm, "H1", "F2", *SOAP[1:], "total", "60 L", "--yes")
    assert ran.status != 0
    assert "total" in ran.said
    assert "it is of one place, and H1 and F2 are typed" in one_line(ran)
    assert farm.read_bytes() == before
