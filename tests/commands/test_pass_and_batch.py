"""The commands pass and batch: cut, weighed, dried, printed and taken back."""

import json
from pathlib import Path

import pytest
from cut_season import cut_season
from small_season import run

TODAY = "2027-04-20"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return cut_season(tmp_path)


def said(*words: object, status: int = 0) -> str:
    ran = run(*words, today=TODAY)
    assert ran.status == status, ran.said
    return " ".join(ran.said.split())


def rows(*words: object) -> dict:
    return json.loads(run(*words, "--json", today=TODAY).out)


def test_a_pass_is_typed_with_its_weights_by_part_and_listed(season: Path) -> None:
    said(
        "pass",
        season,
        "A1",
        "18",
        "apr",
        "top",
        "12.5",
        "kg",
        "middle",
        "4kg",
        "why",
        "ripe",
        "batch",
        "D1",
        "--yes",
    )
    shown = said("pass", season)
    assert "A1-1 Sun 18 Apr 2027 A1: top 12.5 + middle 4 = 16.5 kg fresh; ripe; batch D1" in shown
    assert "A1 stands until its last pass." in shown
    (one,) = rows("pass", season)["passes"]
    assert (one["fresh_kg"], one["weight_kg"]) == ({"top": 12.5, "middle": 4.0}, 16.5)


def test_a_weight_is_typed_by_the_name_of_its_field_too(season: Path) -> None:
    said("pass", season, "A1", "fresh", "weight", "of", "top", "12.5", "--part", "top", "--yes")
    (one,) = rows("pass", season, "A1")["passes"]
    assert (one["part"], one["weight_kg"], one["date"]) == ("top", 12.5, TODAY)


def test_the_last_pass_records_the_harvest_and_undo_takes_both_back(season: Path) -> None:
    before = season.read_text()
    said("pass", season, "A1", "18", "apr", "bottom", "5", "kg", "last", "--yes")
    assert "harvest = 2027-04-18" in season.read_text()
    assert "A1 is cut through since Sun 18 Apr 2027." in said("pass", season)
    said("undo", season, "--yes")
    assert season.read_text() == before


def test_a_batch_dries_is_read_and_comes_out(season: Path) -> None:
    said("pass", season, "A1", "9", "apr", "top", "16.5", "kg", "batch", "D1", "why", "ripe", "--yes")
    said(
        "batch",
        season,
        "D1",
        "reading",
        "12",
        "apr",
        "moisture",
        "0.35",
        "air",
        "32",
        "C",
        "humidity",
        "0.45",
        "--yes",
    )
    shown = said("batch", season)
    assert (
        "D1 in since Fri 9 Apr 2027, day 11: A1-1, 16.5 kg fresh; 35 % water; out was due Mon 19 Apr 2027"
        in shown
    )
    assert "blocked exits" in shown
    assert "a mask" in shown
    said(
        "batch",
        season,
        "D1",
        "out",
        "19",
        "apr",
        "moisture",
        "0.1",
        "dry",
        "4.1",
        "kg",
        "retained",
        "20",
        "g",
        "--yes",
    )
    (one,) = rows("batch", season, "D1")["batches"]
    assert (one["out"], one["moisture"], one["dry_kg"], one["retained_g"]) == ("2027-04-19", 0.1, 4.1, 20)
    assert (one["days"], one["wet_to_dry"]) == (10, pytest.approx(16.5 / 4.1, abs=1e-5))
    assert one["readings"][0]["air_humidity"] == 0.45


def test_a_pass_that_is_named_twice_goes_in_once(season: Path) -> None:
    said("pass", season, "A1", "9", "apr", "top", "16.5", "kg", "--yes")
    said("batch", season, "D1", "in", "A1-1", "A1-1", "--yes")
    (one,) = rows("batch", season, "D1")["batches"]
    assert one["fresh_kg"] == 16.5


def test_air_is_read_by_the_whole_name_of_its_field_as_by_the_short_one(season: Path) -> None:
    said("pass", season, "A1", "9", "apr", "top", "16.5", "kg", "batch", "D1", "--yes")
    said(
        "batch",
        season,
        "D1",
        "reading",
        "12",
        "apr",
        "air",
        "temperature",
        "32",
        "C",
        "air",
        "humidity",
        "0.45",
        "--yes",
    )
    said("batch", season, "D1", "reading", "13", "apr", "air", "31", "C", "humidity", "0.4", "--yes")
    (one,) = rows("batch", season, "D1")["batches"]
    assert [(r["air_c"], r["air_humidity"]) for r in one["readings"]] == [(32, 0.45), (31, 0.4)]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("pass", "A1", "top", "0", "kg"), "0 kg of top is no weight; leave it out until it is weighed"),
        (("pass", "A1", "top", "-2", "kg"), "it must be from 0"),
        (("pass", "ZZ", "top", "2", "kg"), '"ZZ" is not a lot of this season'),
        (("pass", "A1", "22", "apr", "top", "2", "kg"), "is after today"),
        (("batch", "D9", "out"), "a new one begins with: D9 in PASS"),
        (("batch", "D1", "in"), "name the passes that go in"),
        (("batch", "D1", "out", "8", "apr"), "before it went in"),
        (("batch", "D1", "out", "30", "apr"), "is after today"),
        (("batch", "D1", "reading"), "a reading has nothing that was read"),
        (("batch", "D1", "reading", "8", "apr", "moisture", "0.5"), "before batch D1 went in on 9 Apr 2027"),
        (
            ("batch", "D1", "out", "dry", "17", "kg"),
            "17 kg dry is no less than the 16.5 kg fresh of its passes",
        ),
        (
            ("batch", "D1", "out", "moisture", "35"),
            'moisture "35": it must be from 0 to 0.99 share, or in percent, such as 12%',
        ),
        (("batch", "D1", "out", "moisture", "105%"), 'moisture "105%": it must be from 0 to 0.99 share'),
        (("batch", "D1", "reading", "moisture", "-1 %"), "it must be from 0 to 0.99 share"),
        (
            ("pass", "A1", "18", "apr", "top", "5", "kg", "batch", "D1"),
            "nothing wet is added to a batch that dries",
        ),
        (("pass", "A1", "plots", "3,3", "top", "5", "kg"), "plot 3 stands there twice"),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(season: Path, words: tuple, told: str) -> None:
    said("pass", season, "A1", "9", "apr", "top", "16.5", "kg", "batch", "D1", "--yes")
    before = season.read_text()
    assert told in said(words[0], season, *words[1:], "--yes", status=2)
    assert season.read_text() == before


def test_what_was_weighed_is_told_with_the_variety_and_taken_over_by_the_commands_it_gives(
    season: Path,
) -> None:
    for words in (
        "pass A1 9 apr top 30 kg middle 12 kg why ripe batch D1",
        "batch D1 out 18 apr moisture 0.12 dry 10.5 kg",
        "pass A1 19 apr bottom 8.4 kg why ripe last",
    ):
        name, *rest = words.split()
        said(name, season, *rest, "--yes")
    shown = run("variety", season, "amber", today=TODAY).out
    assert "weighed: 0.42 kg fresh a plant (2 passes, 120 plants), none is set" in " ".join(shown.split())
    offered = [line.split("calendar-tui ")[1] for line in shown.splitlines() if "take it over" in line]
    assert len(offered) == 3
    for command in offered:
        name, *rest = command.split()
        said(name, season, *rest, "--yes")
    text = season.read_text()
    assert "fresh_kg_per_plant = 0.42" in text
    assert "moisture_dry = 0.12" in text
    assert "take it over" not in said("variety", season, "amber")


RULES = """
[[profile]]
id = "us"
name = "A rule"
limit_percent = 0.3
acid_factor = 0.877
harvest_within_d = 30
as_of = 2026-11-01
"""


def test_a_pass_written_by_hand_before_its_official_sample_is_told_by_check_cut_and_decide(
    tmp_path: Path,
) -> None:
    season = cut_season(tmp_path, RULES)
    text = season.read_text()
    assert text.count("[records]\n") == 1
    row = '[records]\npass = [\n  { id = "p1", date = 2027-04-18, lot = "A1", why = "ripe" },\n]\n'
    season.write_text(text.replace("[records]\n", row))
    wrong = "pass p1 of A1 on Sun 18 Apr 2027: no official sample of A1 was taken by Sun 18 Apr 2027"
    line = next(n for n, of in enumerate(season.read_text().splitlines(), 1) if '"p1"' in of)
    assert f"season.toml:{line}: {wrong}" in said("check", season)
    assert wrong in said("cut", season, "A1")
    (told,) = rows("cut", season, "A1")["clashes"]
    assert wrong in told
    assert wrong in said("decide", season)
    assert wrong in said("dates", season, "A1")


def test_moisture_is_typed_in_percent_too(season: Path) -> None:
    said("pass", season, "A1", "9", "apr", "top", "16.5", "kg", "batch", "D1", "--yes")
    said("batch", season, "D1", "reading", "12", "apr", "moisture", "35%", "--yes")
    said("batch", season, "D1", "out", "19", "apr", "moisture", "10.5", "%", "dry", "4.1", "kg", "--yes")
    (one,) = rows("batch", season)["batches"]
    assert (one["readings"][0]["moisture"], one["moisture"]) == (0.35, 0.105)
