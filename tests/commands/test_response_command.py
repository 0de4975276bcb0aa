"""The command that tells what planting on each date comes to: its words, its table, and what it refuses."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date
from pathlib import Path

import pytest
from small_season import PLAIN, refused_quietly, run, swap

from calendar_tui.season.wording import year_day_text


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "near.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return path


def test_a_year_of_dates_is_drawn_summed_up_and_told_by_week(season: Path) -> None:
    ran = run("response", season, "amber", "F1")
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0] == "  amber from seed, 25 d in N1, then F1 on natural days, at Near Fields 2026-27"
    assert "Planted over 365 days, flowering within" in ran.out
    weeks = [line for line in lines if re.match(r" ?\d{1,2} [A-Z][a-z]{2} 202[67] ", line)]
    assert len(weeks) == 53
    assert all(len(line) <= 80 for line in lines)


@pytest.mark.slow
def test_json_and_csv_have_every_date_and_the_same_figures(season: Path) -> None:
    words = ("response", season, "amber", "H1", "--nursery", "N1", "--lamps-off", "+4w")
    rows = json.loads(run(*words, "--json").out)
    table = list(csv.DictReader(io.StringIO(run(*words, "--csv").out)))
    assert len(rows) == len(table) == 366
    assert [row["planted"] for row in rows] == [row["planted"] for row in table]
    assert [row["flowering_latest"] or "" for row in rows] == [row["flowering_latest"] for row in table]
    assert [str(row["growth_d"]) for row in rows] == [row["growth_d"] for row in table]
    assert rows[0]["begun"] == "2026-08-07"
    assert rows[0]["lights_off"] == "2026-09-29"


def test_it_tells_the_dates_that_the_calendar_tells_of_such_a_cohort(season: Path) -> None:
    """B1 of the season: cuttings stuck in the field on 20 November, alone in the dark."""
    (row,) = json.loads(
        run(
            *("response", season, "amber", "F1", "--start", "cutting"),
            *("--from", "2026-11-20", "--to", "2026-11-20", "--json"),
        ).out
    )
    stages = {s["stage"]: s for s in json.loads(run("dates", season, "B1", "--json").out)["dates"]}
    for stage in ("trigger", "induced", "flowering", "harvest"):
        told = (stages[stage]["earliest"], stages[stage]["likely"], stages[stage]["latest"])
        assert told == (row[f"{stage}_earliest"], row[stage], row[f"{stage}_latest"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("ambr", "F1"), '"ambr" is not a variety of this season; did you mean "amber"?'),
        (("amber", "F9"), '"F9" is not a place of this season. Known: N1, H1, F1'),
        (("amber",), "give a VARIETY and a PLACE. Varieties: amber, dayfree; places: N1, H1, F1"),
        (("amber", "F1", "--lamps-off", "+4w"), "F1 has no lamps to switch off. Places with lamps: H1"),
        (("amber", "H1", "--lamps-off", "soon"), '--lamps-off is "soon"; write +28d or +4w after planting'),
        (("amber", "H1", "--lamps-off", "+4m"), "write +28d or +4w"),
        (("amber", "H1", "--lamps-off", "+999d"), "up to +366d"),
        (("amber", "F1", "--nursery", "N9"), '"N9" is not a place of this season. Known: N1, H1, F1'),
        (("amber", "F1", "--nursery", "F1"), "F1 cannot be both the nursery and the place"),
        (("amber", "F1", "--nursery", "none", "--nursery-days", "20"), "name the nursery too"),
        (("amber", "F1", "--nursery", "N1", "--nursery-days", "0"), "0 days in the nursery cannot be"),
        (
            ("amber", "F1", "--nursery", "N1", "--nursery-days", "x"),
            '--nursery-days "x" is no number of days',
        ),
        (("amber", "F1", "--from", "2026-13-01"), '--from "2026-13-01" is not a day of the calendar'),
        (("amber", "F1", "--from", "2027-01-01", "--to", "2026-01-01"), "give them in order"),
        (("amber", "F1", "--to", "2036-01-01"), "ask for at most 1098"),
        (("amber", "F1", "twice"), "not understood: twice"),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(
    season: Path, words: tuple[str, ...], says: str
) -> None:
    ran = run("response", season, *words)
    assert ran.status == 2
    assert says in ran.err, ran.err
    assert ran.out == ""
    refused_quietly(ran.err)


@pytest.mark.slow
def test_a_part_of_a_screened_place_is_a_place_to_plant(tmp_path: Path) -> None:
    text = swap("area_m2 = 180", 'area_m2 = 180\nscreened = ["east", "west"]')(PLAIN)
    text = swap('place = "H1"\nplants', 'place = "H1"\npart = "east"\nplants')(text)
    path = tmp_path / "parts.toml"
    path.write_text(text, encoding="utf-8")
    for words, says in ((("H1", "west"), "H1 west under lamps"), (("H1",), "H1 east under lamps")):
        ran = run("response", path, "amber", *words, "--lamps-off", "2027-02-01")
        assert ran.status == 0, ran.said
        assert f"amber from seed, 25 d in N1, then {says} to 1 Feb 2027" in ran.out


def test_where_no_day_is_short_enough_each_week_says_so(tmp_path: Path) -> None:
    text = swap(
        'critical_day = "14:00"\nfull_response_day = "12:30"',
        'critical_day = "9:00"\nfull_response_day = "8:30"',
    )
    path = tmp_path / "long.toml"
    path.write_text(text(PLAIN), encoding="utf-8")
    ran = run("response", path, "amber", "F1", "--from", "2026-10-01", "--to", "2026-10-09")
    assert ran.status == 0, ran.said
    assert "Planted 1 Oct to 9 Oct 2026: none flowers." in ran.out
    assert "never under 9 h 00" in ran.out


@pytest.mark.slow
@pytest.mark.parametrize("latitude", ["69.6", "-78.0"])
def test_polar_sites_work(tmp_path: Path, latitude: str) -> None:
    path = tmp_path / "polar.toml"
    path.write_text(swap("latitude = -34.3", f"latitude = {latitude}")(PLAIN), encoding="utf-8")
    ran = run("response", path, "amber", "F1", "--json")
    assert ran.status == 0, ran.said
    rows = json.loads(ran.out)
    assert any(row["flowering"] for row in rows)


@pytest.mark.parametrize("place", ["F1", "H1"], ids=["without lamps", "with lamps"])
def test_dates_after_the_end_of_a_places_covers_are_worked_out(season: Path, place: str) -> None:
    words = ("response", season, "amber", place, "--from", "2027-08-01", "--to", "2027-08-14", "--csv")
    bare = run(*words)
    with season.open("a", encoding="utf-8") as out:
        out.write(
            f'\n[[programme]]\nplace = "{place}"\nfrom = 2027-01-05\nto = 2027-01-25\n'
            'method = "blackout"\non = "18:00"\noff = "08:00"\n'
        )
    covered = run(*words)
    assert covered.status == 0, covered.said
    assert covered.out == bare.out


@pytest.mark.slow
def test_the_years_of_the_dates_on_each_line_of_the_response_are_named(season: Path) -> None:
    ran = run("response", season, "amber", "F1", "--from", "2026-09-01", "--to", "2027-01-31")
    as_json = run("response", season, "amber", "F1", "--from", "2026-09-01", "--to", "2027-01-31", "--json")
    rows = {year_day_text(date.fromisoformat(row["planted"])): row for row in json.loads(as_json.out)}
    years, lines, seen = {}, iter(ran.out[ran.out.index("planted     trigger") :].splitlines()[1:]), 0
    for line in lines:
        if line.startswith("   "):
            seen += 1
            # From the last stage back: a stage without a year of its own shares that of the one behind it.
            for stage in ("harvest", "flowering", "trigger"):
                behind = line.partition(stage)[2]
                years[stage] = re.findall(r"\d{4}", behind)[0]
        else:
            row = rows[line[:11].strip()]
            assert years == {stage: row[stage][:4] for stage in ("trigger", "flowering", "harvest")}, line
    assert seen > 1


def nursed(tmp_path: Path) -> Path:
    """The season whose every cohort of the variety is raised in N1."""
    path = tmp_path / "nursed.toml"
    own = 'start = "cutting"\nplace = "F1"'
    path.write_text(swap(own, own.replace("place", 'nursery = "N1"\nplace'))(PLAIN), encoding="utf-8")
    return path


def test_the_nursery_of_the_varietys_cohorts_is_taken_and_none_where_asked(tmp_path: Path) -> None:
    path = nursed(tmp_path)
    days = ("--from", "2026-12-01", "--to", "2026-12-01")
    plain, named, none = (
        run("response", path, "amber", "F1", *days, *words)
        for words in ((), ("--nursery", "N1"), ("--nursery", "none"))
    )
    assert plain.status == named.status == none.status == 0
    assert plain.out == named.out
    assert plain.out.startswith("  amber from seed, 25 d in N1, then F1 on natural days")
    assert none.out.startswith("  amber from seed, sown in place, F1 on natural days")


def test_a_variety_of_which_one_cohort_is_sown_in_place_is_answered_for_by_start(season: Path) -> None:
    """A1 from seed is raised in N1, B1 from cuttings is stuck in the field."""
    day = ("--from", "2026-12-01", "--to", "2026-12-01")
    seed = run("response", season, "amber", "F1", *day)
    cutting = run("response", season, "amber", "F1", *day, "--start", "cutting")
    assert "25 d in N1, then F1" in seed.out
    assert "amber from cuttings, stuck in place, F1" in cutting.out


def test_the_nursery_as_a_place_is_planted_without_one(season: Path) -> None:
    ran = run("response", season, "amber", "N1", "--from", "2026-12-01", "--to", "2026-12-01")
    assert ran.status == 0, ran.said
    assert "amber from seed, sown in place, N1" in ran.out


@pytest.mark.slow
def test_a_wished_harvest_gives_the_planting_that_the_table_has_for_it(season: Path) -> None:
    words = ("response", season, "amber", "H1", "--nursery", "N1", "--lamps-off", "+4w")
    rows = json.loads(run(*words, "--json").out)
    wanted = next(row for row in rows if row["planted"] == "2027-02-10")
    words = (*words, "--harvest", wanted["harvest"], "--today", "2026-11-01")
    given = json.loads(run(*words, "--json").out)
    alike = [row for row in rows if row["harvest"] == wanted["harvest"]]
    assert given["best"] in alike
    assert given["off_d"] == 0
    assert given["planted"] == [[alike[0]["planted"], alike[-1]["planted"]]]
    told = " ".join(run(*words).out.split())
    assert "Plant on Tue 9 Feb 2027 (started on 15 Jan 2027), lights off 9 Mar 2027: harvest " in told


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--harvest", "soon"), '--harvest "soon" is not a date'),
        (("--harvest", "5/4"), "write 5 apr or 4 may"),
        (("--harvest", "5 apr", "--csv"), "--csv does not apply"),
    ],
)
def test_a_wished_harvest_that_is_none_is_refused(season: Path, words: tuple[str, ...], says: str) -> None:
    assert says in run("response", season, "amber", "F1", *words, "--today", "2026-11-01").said


@pytest.mark.slow
def test_a_wished_harvest_whose_planting_falls_on_a_sunday_names_it_and_gives_a_working_day(
    season: Path,
) -> None:
    crew = '\n[crew]\nwork_days = ["mon", "tue", "wed", "thu", "fri", "sat"]\n'
    season.write_text(season.read_text(encoding="utf-8") + crew, encoding="utf-8")
    words = ("response", season, "amber", "F1", "--nursery", "none")
    rows = json.loads(run(*words, "--json").out)
    sunday = next(row for row in rows if row["planted"] == "2027-02-07")
    words = (*words, "--harvest", sunday["harvest"], "--today", "2026-11-01")
    given = json.loads(run(*words, "--json").out)
    assert date.fromisoformat(given["best"]["planted"]).weekday() != 6
    assert given["any_day"]["planted"] == given["day_off"]
    assert date.fromisoformat(given["day_off"]).weekday() == 6
    assert "2027 is no working day." in " ".join(run(*words).out.split())
