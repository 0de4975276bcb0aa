"""The page on planting dates says what the program knows: its columns, its flags and the keys of a survey."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from calendar_tui.commands import response, response_many
from calendar_tui.handing_on.tables.response_rows import response_rows
from calendar_tui.handing_on.tables.response_table import COLUMNS
from calendar_tui.planning.response.outcomes import Planting
from calendar_tui.planning.response.outcomes import response as curve_of
from calendar_tui.storage.survey.file import KEYS
from calendar_tui.storage.survey.sites import NEEDED, OPTIONAL
from tests.planning.farm import farm

PAGE = (Path(__file__).parents[2] / "docs" / "planting-dates.md").read_text(encoding="utf-8")


def first_cells(heading: str) -> list[str]:
    """The code words in the first cells of the table under this head."""
    table = PAGE.split(heading, 1)[1].split("\n\n", 1)[0]
    return [
        word
        for line in table.splitlines()
        for word in re.findall(r"`([^`]+)`", line.split("|")[1:2][0] if "|" in line else "")
    ]


def test_every_column_of_a_curve_stands_in_the_page() -> None:
    season = farm()
    day = season.first_day
    (row,) = response_rows(curve_of(season, Planting(variety="plain", place="F1"), day, day).outcomes)
    told = first_cells("## The columns\n\n| column | says |")
    ranged = ("trigger", "induced", "flowering", "harvest")
    ends = [f"{stage}_{end}" for stage in ranged for end in ("earliest", "latest")]
    assert sorted([*told, *ends]) == sorted(row)
    many = {*row} - {"reason"} | {"site", "variety", "place", "start", "nursery", "lamps_off", "weather_year"}
    assert set(COLUMNS) == many


def test_every_flag_stands_in_the_page() -> None:
    for flag in (*response.FLAGS, *(f for f in response_many.FLAGS if f != "--yes")):
        assert f"`{flag}" in PAGE or f" {flag} " in PAGE, flag


def test_the_survey_of_the_page_has_every_key_but_one_and_reads_as_it_says() -> None:
    (text,) = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    data = tomllib.loads(text)
    assert set(data) == {*KEYS} - {"nursery_days"}
    for key, value in data.items():
        KEYS[key][0](value)


def test_the_columns_of_the_sites_stand_in_the_page() -> None:
    assert first_cells("| column of the sites | says |") == [*NEEDED, *OPTIONAL]
