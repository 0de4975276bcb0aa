"""The command analyse of a trial of a season: as the same table from a file, to the last digit; and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from analysed_season import OATS_WITHOUT, TODAY, oats, season_file, table_file
from small_season import PLAIN, run

from tests.planning.analysed_farm import DAY, seen

BY_TABLE = (
    *("--design", "split-plot", "--block", "block", "--main", "gen", "--sub", "nitro", "--plot", "plot"),
    *("--value", "yield", "--row", "row", "--column", "column", "--response", "nitro"),
)
# What a file has of its lines, or a season of its plots.
_OWN = ("value", "missing_lines", "missing_plots", "remarks", "does_not_show")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return season_file(tmp_path, *oats())


def analysed(season: Path, *words: str) -> dict:
    ran = run("analyse", season, "K1", *words, "--json", today=TODAY)
    assert ran.status == 0, ran.said
    return json.loads(ran.out)


@pytest.mark.parametrize("gone", [(), OATS_WITHOUT], ids=["by sums", "by REML"])
def test_a_trial_is_analysed_as_the_same_table_from_a_file(tmp_path: Path, gone: tuple[int, ...]) -> None:
    plots, found = oats(gone)
    (one,) = analysed(season_file(tmp_path, plots, found), "yield")["analyses"]
    ran = run("analyse", table_file(tmp_path, plots, found), *BY_TABLE, "--json", today=None)
    assert ran.status == 0, ran.said
    other = json.loads(ran.out)
    for row in other["residuals"]:
        del row["lines"]
    for row in one["residuals"]:
        del row["plots"]
    for key in other.keys() - {*_OWN}:
        assert one[key] == other[key], key
    assert one["method"] == ("REML, Satterthwaite" if gone else "sums of squares")


def test_the_text_is_that_of_a_table(tmp_path: Path, season: Path) -> None:
    plots, found = oats()
    by_table = run("analyse", table_file(tmp_path, plots, found), *BY_TABLE, today=None).out.splitlines()
    ran = run("analyse", season, "K1", "yield", today=TODAY)
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0] == "yield (kg), 1 Feb 2027: split plot; main gen, sub nitro, block, plot; 72 plots."
    assert lines[lines.index("") :] == by_table[by_table.index("") :]
    assert max(map(len, lines)) <= 80


def test_every_measure_is_analysed_and_what_they_do_not_show_stands_once(tmp_path: Path) -> None:
    plots, found = oats()
    more = [seen(one["at"], int(one["value"]) * 2, "straw") for one in found]
    variables = [{"id": "yield", "unit": "kg"}, {"id": "straw", "unit": "kg"}]
    season = season_file(tmp_path, plots, [*found, *more], variable=variables)
    out = run("analyse", season, "K1", today=TODAY).out
    assert out.count("What this does not show:") == 1
    assert "yield (kg), 1 Feb 2027:" in out
    assert "straw (kg), 1 Feb 2027:" in out
    assert [one["measure"] for one in analysed(season)["analyses"]] == ["yield", "straw"]
    assert [one["measure"] for one in analysed(season, "straw")["analyses"]] == ["straw"]


def test_json_has_each_plot_with_its_value_and_what_is_left_of_it(season: Path) -> None:
    (one,) = analysed(season, "yield")["analyses"]
    first = one["plot_values"][0]
    assert (first["plot"], first["value"], first["n"], first["days"]) == ("K1-1", 80, 1, ["2027-02-01"])
    assert first["treatment"] == {"gen": "GoldenRain", "nitro": "0"}
    assert sum(row["residual_in_sd"] for row in one["plot_values"]) == pytest.approx(0, abs=1e-9)
    assert one["days"] == [DAY.isoformat()]


def test_without_a_trial_what_can_be_analysed_is_listed(season: Path) -> None:
    assert run("analyse", season, today=TODAY).out.splitlines() == [
        "K1:",
        "  yield                   yield (kg); 72 values, 1 round",
    ]
    (row,) = json.loads(run("analyse", season, "--json", today=TODAY).out)
    assert (row["trial"], row["measure"], row["values"], row["rounds"]) == ("K1", "yield", 72, 1)


def test_a_date_takes_another_round(tmp_path: Path) -> None:
    plots, found = oats()
    later = [{**one, "date": DAY.replace(day=8), "value": str(int(one["value"]) + 1)} for one in found]
    season = season_file(tmp_path, plots, [*found, *later])
    assert "yield (kg), 8 Feb 2027:" in run("analyse", season, "K1", "yield", today=TODAY).out
    out = run("analyse", season, "K1", "yield", "--date", "2027-02-01", today=TODAY).out
    assert "yield (kg), 1 Feb 2027:" in out
    assert "Measured in 2 rounds; the others: 8 Feb 2027." in out


def test_contrasts_scale_and_level_are_set_as_for_a_table(season: Path) -> None:
    words = ("--contrast", "gen=Victory against GoldenRain and Marvellous", "--contrast", "nitro=1,-1,0,0")
    out = run("analyse", season, "K1", "yield", *words, "--level", "0.1", "--scale", "log", today=TODAY).out
    assert "analysed as the natural logarithm" in out
    assert "Contrast of gen (GoldenRain -0.5, Marvellous -0.5, Victory 1)" in " ".join(out.split())
    assert "Contrast of nitro (0 1, 0.2 -1)" in " ".join(out.split())
    assert "significant at 0.1" in out


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (("K1", "yeild"), 'did you mean "yield"'),
        (("K2",), '"K2" is not a trial of this season'),
        (("K1", "yield", "--date", "2027-02-05"), "nothing was measured on 5 Feb 2027; it was on 1 Feb 2027"),
        (("K1", "yield", "--date", "soon"), "--date"),
        (("K1", "yield", "--scale", "logit"), "it takes plain, log"),
        (("K1", "--design", "blocks"), "--design is for a table; a trial of a season has its own design"),
        (("K1", "--contrast", "gen"), "write a factor, = and levels against levels"),
        (("K1", "--contrast", "gen=Victory against Elm"), '"Elm" is not a level'),
        (("K1", "--contrast", "gen=1,x"), "a number for each level"),
        (("K1", "--contrast", "gen=1,-1"), "a contrast of gen has 2 numbers; write 3"),
        (("K1", "--level", "2"), "is no level of significance"),
    ],
)
def test_what_is_set_wrongly_is_told_with_what_would_be_right(
    season: Path, words: tuple[str, ...], right: str
) -> None:
    ran = run("analyse", season, *words, today=TODAY)
    assert (ran.status, ran.out) == (2, "")
    assert right in ran.err


def test_a_trial_without_plots_or_values_is_told(tmp_path: Path) -> None:
    plots, _ = oats()
    bare = season_file(tmp_path, plots, [])
    assert "nothing is recorded in the plots of trial K1 yet" in run("analyse", bare, "K1", today=TODAY).err
    assert run("analyse", bare, today=TODAY).out == "K1: nothing is recorded in its plots yet\n"
    none = season_file(
        tmp_path,
        [],
        [],
        trial=[{"id": "K1", "design": "blocks", "factors": {"gen": ["a", "b"]}, "place": "F1"}],
    )
    assert (
        "trial K1 has no plots yet; trial K1 --draw makes them" in run("analyse", none, "K1", today=TODAY).err
    )


def test_neither_a_season_nor_a_table_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for words in ((), ("K1",), ("K1", "yield")):
        ran = run("analyse", *words, today=None)
        assert ran.status == 2
        assert "or a season and a trial, such as: analyse seasons/mine.toml T1 height" in ran.err
    assert '"K1" is no table' in run("analyse", "K1", today=None).err
    assert "gone.csv" in run("analyse", "gone.csv", today=None).err
    assert "gone.toml" in run("analyse", "gone.toml", "K1", today=None).err
    assert (
        "--date is for a trial of a season"
        in run("analyse", "gone.csv", "--date", "2027-02-01", today=None).err
    )


def test_the_season_of_the_folder_is_taken(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(season.parent)
    assert (
        run("analyse", "K1", "yield", today=TODAY).out
        == run("analyse", season, "K1", "yield", today=TODAY).out
    )


def test_a_season_without_trials_says_how_one_is_added(tmp_path: Path) -> None:
    path = tmp_path / "near.toml"
    path.write_text(PLAIN, encoding="utf-8")
    out = run("analyse", path).out
    assert out.startswith("There is no trial yet.")
    assert max(map(len, out.splitlines())) <= 80
