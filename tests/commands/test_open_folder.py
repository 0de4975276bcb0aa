"""A season as an open folder: valid by another library, read by a third; what is left out; what is never written over."""

from __future__ import annotations

import hashlib
import json
import re
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest
from observed_season import TODAY, season  # noqa: F401
from opened_folder import described, export, observe_all, table
from sampled_season import sampled_season
from small_season import run

from calendar_tui.handing_on.folder.package import DESCRIPTION, TABLES, _harmless
from calendar_tui.handing_on.words.openness import LICENCES

SEASONS = Path(__file__).parents[2] / "seasons"
# A result under a limit, and one of a bag that is not there.
RESULTED = """
[records]
sample = [
  { id = "26A1TA", date = 2027-03-10, cohort = "A1", laboratory = "lab", state = "sent", who = "Anna Ejemplo" },
]
result = [
  { id = "r1", date = 2027-03-17, sample = "26A1TA", found = { THC = "<0.02", THCA = "0.250" }, loq = { THC = "0.02" } },
  { id = "r2", date = 2027-03-17, sample = "ZZZZZZ", found = { THC = "0.05", THCA = "ND" } },
]
"""
EXAMPLES = {
    "two-rivers": "2026-12-08",
    "north-bench": "2026-06-16",
    "laguna-alta": "2026-08-03",
    "bright-weir": "2026-06-10",
}


@pytest.fixture(name="observed")
def _observed(season):  # noqa: F811
    return observe_all(season)


def errors(folder: str = "out") -> list[list[str]]:
    """What frictionless, the reference library of Data Package, finds wrong."""
    import frictionless

    return frictionless.validate(str(Path(folder) / DESCRIPTION)).flatten(["type", "fieldName", "message"])


@pytest.fixture
def with_results(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = sampled_season(tmp_path)
    path.write_text(path.read_text().replace("[records]\n", RESULTED.lstrip(), 1))
    assert export(path, today="2027-04-01").status == 0
    return path


# --- valid


@pytest.mark.quick(1)
@pytest.mark.needs("frictionless")
@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_is_valid(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    ran = export(SEASONS / f"{name}.toml", today=EXAMPLES[name])
    assert ran.status == 0, ran.said
    assert errors() == []


@pytest.mark.slow
@pytest.mark.needs("frictionless")
def test_a_changed_byte_and_a_plot_that_is_not_there_are_found(observed) -> None:
    assert export(observed).status == 0
    assert errors() == []
    file = Path("out/observations.csv")
    whole = file.read_bytes()
    file.write_bytes(whole.replace(b"84.50", b"84.51", 1))
    assert {row[0] for row in errors()} == {"hash-count"}
    changed = whole.replace(b"K1-101,height,K1-101", b"K1-101,height,K1-999")
    assert changed != whole
    file.write_bytes(changed)
    assert "foreign-key" in {row[0] for row in errors()}


@pytest.mark.slow
@pytest.mark.needs("frictionless")
def test_a_result_of_a_bag_that_is_not_there_stays_valid(with_results) -> None:
    assert errors() == []


def test_a_result_of_a_bag_that_is_not_there_refers_to_none(with_results) -> None:
    assert [(row["sample"], row["sample_text"], row["counts"]) for row in table("results")] == [
        ("26A1TA", "26A1TA", "true"),
        ("", "ZZZZZZ", "false"),
    ]


def test_what_stands_in_the_description_is_so(observed) -> None:
    """Data Package 2.0, datapackage.org (read): bytes and hash of each file, keys without empty cells, no key twice."""
    assert export(observed, "--licence", "cc-by-4.0").status == 0
    told = described()
    assert told["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert re.fullmatch(r"[a-z0-9._-]+", told["name"])
    assert told["licenses"] == [
        {"name": "CC-BY-4.0", "title": LICENCES["CC-BY-4.0"][0], "path": LICENCES["CC-BY-4.0"][1]}
    ]
    files = {path.name for path in Path("out").iterdir()} - {DESCRIPTION}
    assert files == {one["path"] for one in told["resources"]}
    for one in told["resources"]:
        content = (Path("out") / one["path"]).read_bytes()
        assert (one["bytes"], one["hash"]) == (len(content), f"sha256:{hashlib.sha256(content).hexdigest()}")
        rows, keys = table(one["name"]), one["schema"]["primaryKey"]
        found = [tuple(row[key] for key in keys) for row in rows]
        assert all(map(all, found)), one["name"]
        assert len(set(found)) == len(found), one["name"]
        for reference in one["schema"].get("foreignKeys", ()):
            (field,), (target,) = reference["fields"], reference["reference"]["fields"]
            known = {row[target] for row in table(reference["reference"]["resource"])}
            assert {row[field] for row in rows} <= known | {""}, (one["name"], field)


def test_every_column_is_described_once() -> None:
    for one in TABLES:
        names = [column.name for column in one.columns]
        assert len(set(names)) == len(names), one.name
        assert {*one.key} <= {column.name for column in one.columns if column.needed}, one.name
        assert all(
            column.means or column.refers or column.needed or column.name == "unit" for column in one.columns
        )


# --- what stands in the tables


def test_a_number_is_a_number_and_what_was_written_stays(observed) -> None:
    export(observed)
    found = {(row["at"], row["variable"]): row for row in table("observations")}
    told = {at: (row["value"], row["text"], row["n"], row["state"]) for at, row in found.items()}
    assert told == {
        ("K1-101", "height"): ("84.50", "84.50", "", ""),
        ("K1-102", "height"): ("", "<0.05", "", ""),
        ("K1-201", "flowers"): ("40", "4 of 10", "10", ""),
        ("K1-201 2", "stem"): ("-0", "-0", "", ""),
        ("B1", "stand"): ("12", "12", "", ""),
        ("K1-202", "height"): ("", "", "", "not looked"),
    }
    assert (found["K1-201 2", "stem"]["plot"], found["K1-201 2", "stem"]["plant"]) == ("K1-201", "2")
    assert (found["B1", "stand"]["plot"], found["B1", "stand"]["cohort"]) == ("", "B1")


def test_pandas_reads_it_and_joins_it(observed) -> None:
    """As somebody would who has never seen this program: types by the description, then plots beside observations."""
    export(observed)
    schema = next(one for one in described()["resources"] if one["name"] == "observations")["schema"]
    types = {field["name"]: field["type"] for field in schema["fields"]}
    seen = pd.read_csv(
        "out/observations.csv",
        parse_dates=[name for name, kind in types.items() if kind == "date"],
        dtype={name: "string" for name, kind in types.items() if kind == "string"},
    )
    joined = seen.merge(pd.read_csv("out/plots.csv"), on="plot").merge(
        pd.read_csv("out/treatments.csv"), on="treatment"
    )
    heights = joined[joined["variable"] == "height"].groupby("label")["value"]
    assert heights.count().to_dict() == {"soil bare": 1, "soil straw": 0}
    assert heights.mean()["soil bare"] == 84.5
    assert set(seen["date"]) == {pd.Timestamp("2027-01-12")}


def test_a_bag_of_a_plot_names_it(observed) -> None:
    bag = '[records]\nsample = [ { id = "26A1TA", date = 2027-01-12, cohort = "B1", plot = "K1-101" } ]\n'
    observed.write_text(observed.read_text().replace("[records]\n", bag, 1))
    assert export(observed).status == 0
    assert [(row["sample"], row["plot"], row["cohort"]) for row in table("samples")] == [
        ("26A1TA", "K1-101", "B1")
    ]


def test_treatments_are_numbered_in_the_order_of_their_trial_and_guards_have_none(observed) -> None:
    export(observed)
    assert [(row["treatment"], row["label"]) for row in table("treatments")] == [
        ("K1-t1", "soil bare"),
        ("K1-t2", "soil mulch"),
        ("K1-t3", "soil straw"),
        ("K2-t1", "soil bare"),
    ]
    plots = {row["plot"]: row for row in table("plots")}
    assert plots["K1-102"]["treatment"] == "K1-t3"
    assert (plots["K1-g"]["treatment"], plots["K1-g"]["entry"]) == ("", "guard")
    assert (plots["K1-202"]["lost"], plots["K1-202"]["lost_why"]) == ("2027-01-15", "deer")


def test_amounts_under_a_limit_are_no_numbers(with_results) -> None:
    """The total lies between both ends of the part that is under its limit: 0 to 0.02, and 0.25 x 0.877 (7 CFR 990)."""
    told = [
        (row["result"], row["analyte"], row["value"], row["text"], row["loq"]) for row in table("amounts")
    ]
    assert told == [
        ("r1", "THC", "", "<0.02", "0.02"),
        ("r1", "THCA", "0.250", "0.250", ""),
        ("r2", "THC", "0.05", "0.05", ""),
        ("r2", "THCA", "", "ND", ""),
    ]
    total = table("results")[0]
    assert (Decimal(total["total_thc_low"]), Decimal(total["total_thc_high"])) == (
        Decimal("0.21925"),
        Decimal("0.23925"),
    )


def test_events_are_the_dates_that_the_program_tells(observed) -> None:
    export(observed)
    told = json.loads(run("dates", observed, "--json", today=TODAY).out)["dates"]
    events = {row["event"]: row for row in table("events")}
    for row in told:
        event = events[f"{row['cohort']} {row['stage']} 1"]
        assert (event["earliest"], event["latest"], event["status"]) == (
            row["earliest"],
            row["latest"],
            row["status"],
        )
        assert event["date"] == (row.get("dates") or [row["likely"]])[0]
    assert events["A1 seeding 1"]["icasa"] == "PDATE"
    assert events["A1 seeding 1"]["place"] == "N1"


def test_what_was_spent_and_why_dates_slipped_is_there(observed) -> None:
    text = observed.read_text().replace(
        "recorded = { seeding = 2026-10-05 }",
        'recorded = { seeding = 2026-10-06 }\ncauses = { seeding = "rain" }',
    )
    text = text.replace(
        'cohort = "B1", n = 1 }',
        'cohort = "B1", n = 1, hours = 3.0, state = "done", done_on = 2027-01-11, spent = 3.5 }',
    )
    observed.write_text(text)
    assert export(observed).status == 0
    (event,) = (row for row in table("events") if row["event"] == "A1 seeding 1")
    assert (event["date"], event["planned"], event["cause"]) == ("2026-10-06", "2026-10-05", "rain")
    assert [(row["hours"], row["spent_h"]) for row in table("tasks") if row["task"] == "m1"] == [
        ("3.0", "3.5")
    ]


def test_weather_is_there_where_a_station_is_named_up_to_today(observed) -> None:
    export(observed)
    assert not Path("out/weather.csv").exists()
    Path("near.csv").write_text("date,low,high\n2027-01-19,6,16\n2027-01-20,50,61.7\n2027-01-21,1,2\n")
    text = observed.read_text().replace(
        "[site]", '[heat]\n[station]\nfile = "near.csv"\nunit = "F"\n[site]', 1
    )
    observed.write_text(text)
    ran = export(observed)
    assert "Days of a station may show where it stands" in ran.out
    assert table("weather") == [
        {"date": "2027-01-19", "low_c": "-14.44", "high_c": "-8.89"},
        {"date": "2027-01-20", "low_c": "10.0", "high_c": "16.5"},
    ]


@pytest.mark.parametrize("text", ["=1+2", "=A1", "+cmd|x", "@SUM(A1)", "-1+HYPERLINK", "＝A1"])
def test_what_a_spreadsheet_would_work_out_is_made_text(text: str) -> None:
    """OWASP, CSV injection."""
    assert _harmless(text) == f"'{text}"


@pytest.mark.parametrize("text", ["-0.5", "++", "+", "-", "a=b", ""])
def test_signs_and_figures_stay_as_they_were_written(text: str) -> None:
    assert _harmless(text) == text


# --- persons and places


def test_no_person_and_no_exact_place_unless_they_are_asked_for(observed) -> None:
    text = observed.read_text()
    observed.write_text(text.replace('id = "F1"', 'id = "F1"\nname = "Behind Bella Vista"', 1))
    ran = export(observed)
    everything = b"".join(path.read_bytes() for path in Path("out").iterdir()).decode()
    for word in ("Anna", "Bella Vista", "Near Fields", "-34.3", "-56.7", "near-fields"):
        assert word not in everything, word
    assert (table("site")[0]["latitude"], table("site")[0]["longitude"]) == ("-34.5", "-56.5")
    assert table("site")[0]["rounded_to_degrees"] == "0.5"
    assert "rounded to half a degree" in described()["description"]
    assert "Left out: persons, roles and notes" in ran.out
    assert "No licence is set" in ran.out


def test_day_lengths_do_not_tell_the_latitude(observed) -> None:
    """The reasons of dates have the length of the day to the second, and with the date that is the latitude."""
    assert "natural day 13 h 5" in " ".join(run("dates", observed, today=TODAY).out.split())
    export(observed)
    everything = b"".join(path.read_bytes() for path in Path("out").iterdir()).decode()
    assert "natural day" not in everything
    assert not re.search(r"\d+ h \d\d", everything)


def test_a_name_in_words_of_ones_own_is_told(observed) -> None:
    text = observed.read_text()
    observed.write_text(text.replace('why = "deer"', 'why = "deer, seen by anna ejemplo at Near Fields"'))
    told = " ".join(export(observed).out.split())
    assert '"Anna Ejemplo" stands in plots.csv, in words that you wrote' in told
    assert '"Near Fields" stands in plots.csv' in told
    assert "stands in" not in export(observed, "--names", "--exact-place").out


def test_asked_for_they_are_there(observed) -> None:
    export(observed, "--names", "--exact-place")
    assert {row["by"] for row in table("observations")} == {"Anna Ejemplo"}
    assert (table("site")[0]["latitude"], table("site")[0]["rounded_to_degrees"]) == ("-34.3", "0.0")
    told = described()
    assert told["title"] == "Near Fields 2026-27"
    assert told["contributors"] == [{"title": "Anna Ejemplo", "roles": ["data collection"]}]


def test_the_page_has_every_table() -> None:
    page = (Path(__file__).parents[2] / "docs" / "open-folder.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\w+) \|", page.partition("## Tables")[2], re.MULTILINE)
    assert rows == ["table", *(one.name for one in TABLES)]
