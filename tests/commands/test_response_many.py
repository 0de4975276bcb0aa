"""The response of many sites as one table: the same in one process, in several and on Dask; nothing written where it cannot be."""

from __future__ import annotations

import csv
import importlib.util
import json
import sys
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest
from small_season import PLAIN, refused_quietly, run, swap

from calendar_tui.commands.response_many import in_turn
from calendar_tui.handing_on.tables.response_table import COLUMNS
from calendar_tui.storage.opening import need_season
from calendar_tui.storage.survey.sites import read_sites

SURVEY = """\
season = "near.toml"
sites = "sites.csv"
varieties = ["amber", "dayfree"]
place = "H1"
nursery = "N1"
lamps_off = ["natural", "+4w"]
first_date = 2026-09-01
last_date = 2026-12-01
every_d = 10
"""
SITES = """\
site,latitude,longitude,timezone
Near,-34.3,-56.7,America/Montevideo
"Far, by the sea",35.8,-78.7,America/New_York
High,69.6,18.9,Europe/Oslo
"""

MEANS = f"monthly_low_c = {[10] * 12}\nmonthly_high_c = {[20] * 12}\n"


@pytest.fixture
def survey(tmp_path: Path) -> Path:
    (tmp_path / "near.toml").write_text(PLAIN, encoding="utf-8")
    (tmp_path / "sites.csv").write_text(SITES, encoding="utf-8")
    path = tmp_path / "survey.toml"
    path.write_text(SURVEY, encoding="utf-8")
    return path


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def made(survey: Path, *flags: object, name: str = "out.csv") -> Path:
    target = survey.with_name(name)
    ran = run("response-many", survey, "--output", target, *flags)
    assert ran.status == 0, ran.said
    return target


@pytest.mark.slow
def test_each_row_is_what_the_command_for_one_site_tells(survey: Path) -> None:
    table = rows_of(made(survey, "--workers", 1))
    assert len(table) == 3 * 2 * 2 * 10
    assert tuple(table[0]) == COLUMNS
    rows = json.loads(
        run(
            *("response", survey.with_name("near.toml"), "amber", "H1", "--nursery", "N1"),
            *("--lamps-off", "+28d", "--from", "2026-09-01", "--to", "2026-12-01", "--json"),
        ).out
    )
    own = [r for r in table if (r["site"], r["variety"], r["lamps_off"]) == ("Near", "amber", "28 d")]
    for found, told in zip(own, rows[::10], strict=True):
        # The outage of the season belongs to its own farm; it falls on nights from 20 November on, to which lights off may slip.
        if found["lights_off"] < "2026-11-15":
            for key in COLUMNS[7:]:
                assert found[key] == str(told[key] if told[key] is not None else "")


@pytest.mark.slow
def test_two_processes_give_the_same_file(survey: Path) -> None:
    one = made(survey, "--workers", 1, name="one.csv")
    assert made(survey, "--workers", 2, name="two.csv").read_bytes() == one.read_bytes()


@pytest.mark.slow
def test_a_dask_cluster_gives_the_same_file(survey: Path) -> None:
    """A local cluster that the command makes, and one that is there, by its scheduler's address."""
    LocalCluster = pytest.importorskip("distributed").LocalCluster

    one = made(survey, "--workers", 1, name="one.csv").read_bytes()
    assert made(survey, "--workers", 1, "--dask", "local", name="local.csv").read_bytes() == one
    with LocalCluster(n_workers=2, processes=False, dashboard_address=None) as cluster:
        address = cluster.scheduler.address
        ran = made(survey, "--dask", cluster.scheduler_address, name="there.csv")
        assert ran.read_bytes() == one
        assert address


@pytest.mark.slow
def test_parquet_holds_the_same_rows(survey: Path) -> None:
    pytest.importorskip("pyarrow")
    table = rows_of(made(survey, "--workers", 1))
    frame = pd.read_parquet(made(survey, "--workers", 1, name="out.parquet"))
    assert list(frame.columns) == list(COLUMNS)
    assert frame["harvest"].dt.strftime("%Y-%m-%d").tolist() == [row["harvest"] for row in table]
    assert frame["site"].tolist() == [row["site"] for row in table]
    assert frame["growth_d"].astype(str).tolist() == [row["growth_d"] for row in table]


def test_weather_years_are_rows_or_one_range(survey: Path) -> None:
    season = survey.with_name("near.toml")
    season.write_text(
        PLAIN.replace("[[place]]", '[heat]\n[station]\nfile = "own.csv"\nunit = "C"\n\n[[place]]', 1),
        encoding="utf-8",
    )
    days = pd.date_range("2020-01-01", "2023-12-31").strftime("%Y-%m-%d")
    warm = "".join(f"{day},{12 + n // 365},{24 + n // 365}\n" for n, day in enumerate(days))
    survey.with_name("days.csv").write_text(f"date,low,high\n{warm}", encoding="utf-8")
    survey.with_name("sites.csv").write_text(
        "site;latitude;longitude;timezone;station;monthly_low_c;monthly_high_c\n"
        f"A;-34.3;-56.7;America/Montevideo;days.csv;;\n"
        f"B;-34.3;-56.7;America/Montevideo;;{' 10' * 12};{' 20' * 12}\n",
        encoding="utf-8",
    )
    survey.write_text(
        'season = "near.toml"\nsites = "sites.csv"\nvarieties = ["dayfree"]\nplace = "F1"\n'
        "first_date = 2026-10-01\nlast_date = 2026-10-01\n",
        encoding="utf-8",
    )
    each = rows_of(made(survey, "--workers", 1))
    years = [(row["site"], row["weather_year"]) for row in each]
    assert years == [*(("A", f"{y}-{y - 1999}") for y in (2020, 2021, 2022)), ("B", "monthly means")]
    # A degree warmer every year: each flowers sooner.
    assert each[0]["flowering"] > each[1]["flowering"] > each[2]["flowering"]
    survey.write_text(survey.read_text() + 'weather_years = "together"\n', encoding="utf-8")
    together = rows_of(made(survey, "--workers", 1, "--yes"))
    assert [(row["site"], row["weather_year"]) for row in together] == [("A", ""), ("B", "")]
    assert together[0]["flowering"] == each[1]["flowering"]


@pytest.mark.parametrize("letters", ["utf-8-sig", "utf-16", "cp1252"])
def test_sites_as_spreadsheets_save_them_are_read(survey: Path, letters: str) -> None:
    text = SITES.replace("Near", "Olá").replace(",", ";").replace("Far; by", "Far, by")
    survey.with_name("sites.csv").write_bytes(text.encode(letters))
    rows = read_sites(survey.with_name("sites.csv"), need_season(survey.with_name("near.toml"))[1])
    assert [row.id for row in rows] == ["Olá", "Far, by the sea", "High"]


def test_results_come_in_order_and_only_so_many_wait() -> None:
    waiting: list[int] = []

    class Slow:
        def __init__(self, piece: int) -> None:
            self.piece = piece
            waiting.append(piece)
            assert len(waiting) <= 4

        def result(self) -> int:
            waiting.remove(self.piece)
            return self.piece

    assert list(in_turn(Slow, range(20), 3)) == list(range(20))  # type: ignore[arg-type,comparison-overlap]


# --- what cannot be


@pytest.mark.parametrize(
    ("file", "change", "says"),
    [
        ("survey.toml", swap("place =", "plaze ="), 'survey.toml:4: "plaze" is no key of a survey; did you mean "place"?'),
        ("survey.toml", swap('place = "H1"\n', ""), "add place; a survey has"),
        ("survey.toml", swap('"amber", ', '"ambr", '), 'survey.toml:3: "ambr" is not a variety of near.toml; did you mean "amber"?'),
        ("survey.toml", swap('place = "H1"', 'place = "H9"'), 'survey.toml:4: "H9" is not a place of near.toml'),
        ("survey.toml", swap('"N1"', '"N9"'), 'survey.toml:5: "N9" is not a place of near.toml'),
        ("survey.toml", swap('place = "H1"', 'place = "F1"'), "F1 has no lamps to switch off. Places with lamps: H1"),
        ("survey.toml", swap("+4w", "soon"), 'survey.toml:6: lamps_off is "soon"; write +28d or +4w'),
        ("survey.toml", swap("every_d = 10", "every_d = 0"), "survey.toml:9: every_d is 0; write a whole number from 1 to 366"),
        ("survey.toml", swap("2026-12-01", "2025-12-01"), "survey.toml:8: last_date 2025-12-01 is before first_date 2026-09-01"),
        ("survey.toml", swap("2026-09-01", '"soon"'), 'survey.toml:7: first_date is "soon"; write a date without quotes'),
        ("survey.toml", swap("[", "[["), "survey.toml:4: not TOML: unclosed array"),
        ("survey.toml", swap("near.toml", "far.toml"), "far.toml"),
        ("survey.toml", swap("sites.csv", "sides.csv"), "sides.csv: there is no such file"),
        ("near.toml", swap("latitude = -34.3", "latitude = 134"), "near.toml:10: "),
        ("sites.csv", swap("latitude,", "lat,"), "sites.csv:1: there is no column latitude"),
        ("sites.csv", swap("latitude,", "lat,"), 'sites.csv:1: "lat" is no column of sites'),
        ("sites.csv", swap("35.8", "95.8"), "sites.csv:3: latitude is 95.8; it must be from -90 to 90"),
        ("sites.csv", swap("35.8", ""), 'sites.csv:3: latitude is ""; write a number'),
        ("sites.csv", swap("Europe/Oslo", "Europe/Osl"), 'did you mean "Europe/Oslo"?'),
        ("sites.csv", swap("High", "Near"), 'sites.csv:4: site "Near" stands on line 2 too'),
        ("sites.csv", swap("High", "=1+1"), 'sites.csv:4: site is "=1+1"'),
        ("sites.csv", swap('"Far, by the sea"', "Far, by the sea"), "sites.csv:3: 5 cells, and 4 columns"),
        ("sites.csv", swap('"Far, by the sea"', '"Far"x'), "sites.csv:3: this is no CSV"),
        ("sites.csv", lambda text: text.splitlines()[0], "sites.csv: there is no site in it"),
        ("sites.csv", lambda _: "", "sites.csv:1: there is no column site"),
        ("sites.csv", swap("timezone\n", "timezone,station\n"), "sites.csv:2: 4 cells, and 5 columns"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_with_its_line_and_nothing_is_written(
    survey: Path, file: str, change: Callable[[str], str], says: str
) -> None:
    path = survey.with_name(file)
    path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8")
    ran = run("response-many", survey, "--output", survey.with_name("out.csv"), "--workers", 1)
    assert ran.status == 2
    assert says in ran.err, ran.err
    refused_quietly(ran.err)
    assert not survey.with_name("out.csv").exists()


@pytest.mark.parametrize(
    ("more", "cell", "says"),
    [
        ("", "days.csv", "the season does not run on heat"),
        (f"{MEANS}[heat]\n", "days.csv", "the season has no [station]"),
        ('[heat]\n[station]\nfile = "a.csv"\nunit = "C"\n', "../days.csv", "write the name of a file"),
        ('[heat]\n[station]\nfile = "a.csv"\nunit = "C"\n', "days.csv", "days.csv: there is no such file"),
    ],
)
def test_stations_that_cannot_be_are_told(survey: Path, more: str, cell: str, says: str) -> None:
    survey.with_name("near.toml").write_text(
        PLAIN.replace("[[place]]", f"{more}[[place]]", 1), encoding="utf-8"
    )
    survey.with_name("sites.csv").write_text(
        f"site,latitude,longitude,timezone,station\nA,1,2,UTC,{cell}\n", encoding="utf-8"
    )
    ran = run("response-many", survey, "--output", survey.with_name("out.csv"), "--workers", 1)
    assert (ran.status, ran.out) == (2, "")
    assert says in ran.err, ran.err
    assert not survey.with_name("out.csv").exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "give a SURVEY file"),
        (("no.toml", "--output", "o.csv"), "no.toml: there is no such file"),
        (("survey.toml",), "--output: name a file that ends in .csv or .parquet"),
        (("survey.toml", "--output", "o.xlsx"), '--output "o.xlsx": name a file that ends in'),
        (("survey.toml", "--output", "o.csv", "--workers", "0"), '--workers "0" is no number from 1 to 256'),
        (("survey.toml", "--output", "no/o.csv"), "there is no folder no; make it first"),
        (("survey.toml", "twice", "--output", "o.csv"), "not understood: twice"),
    ],
)
def test_words_that_cannot_be(
    survey: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(survey.parent)
    ran = run("response-many", *words)
    assert ran.status == 2
    assert says in ran.err, ran.err


def test_a_file_that_is_there_is_written_over_only_when_that_is_said(survey: Path) -> None:
    target = survey.with_name("out.csv")
    target.write_text("mine", encoding="utf-8")
    for typed in (None, "no\n"):
        ran = run("response-many", survey, "--output", target, "--workers", 1, typed=typed)
        assert ran.status == 2
        assert target.read_text(encoding="utf-8") == "mine"
    ran = run("response-many", survey, "--output", target, "--workers", 1, typed="yes\n")
    assert ran.status == 0
    assert len(rows_of(target)) == 120


def test_more_rows_than_fit_are_refused_before_the_work(
    survey: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("calendar_tui.commands.response_many.MOST_ROWS", 119)
    ran = run("response-many", survey, "--output", survey.with_name("out.csv"), "--workers", 1)
    assert ran.status == 2
    assert "3 sites, 2 varieties, 2 times of lamps off and 10 dates make 120 rows and more" in ran.err


def test_several_years_of_dates_are_worked_out_a_year_at_a_time(survey: Path) -> None:
    text = survey.read_text(encoding="utf-8")
    text = text.replace("2026-12-01", "2028-12-01").replace('["amber", "dayfree"]', '["amber"]')
    survey.write_text(
        text.replace('["natural", "+4w"]', '["+4w"]').replace("every_d = 10", "every_d = 50"),
        encoding="utf-8",
    )
    table = [row for row in rows_of(made(survey, "--workers", 1)) if row["site"] == "Near"]
    planted = pd.to_datetime([row["planted"] for row in table])
    assert list(planted) == list(pd.date_range("2026-09-01", "2028-12-01", freq="50D"))


def test_what_is_not_installed_or_not_there_is_said(survey: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = survey.with_name("out.csv")
    with monkeypatch.context() as without:
        without.setitem(sys.modules, "distributed", None)
        ran = run("response-many", survey, "--output", target, "--dask", "local")
        assert (ran.status, "calendar-tui[dask]" in ran.err) == (2, True)
    with monkeypatch.context() as without:
        without.setattr(importlib.util, "find_spec", lambda name: None)
        ran = run("response-many", survey, "--output", target.with_suffix(".parquet"))
        assert (ran.status, "calendar-tui[parquet]" in ran.err) == (2, True)
    assert not list(survey.parent.glob("out.*"))


@pytest.mark.needs("distributed")
def test_a_scheduler_that_is_none_is_refused(survey: Path) -> None:
    target = survey.with_name("out.csv")
    ran = run("response-many", survey, "--output", target, "--dask", "nonsense://x")
    assert ran.status == 2
    assert "give a scheduler's address" in ran.err
    assert not list(survey.parent.glob("out.*"))
