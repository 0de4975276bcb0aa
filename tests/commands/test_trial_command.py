"""Trials by command: listed, drawn once, mapped in text and as a drawing, in JSON."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from small_season import PLAIN, TODAY, run

from tests.season_data import data_of

TRIAL = """
[[trial]]
id = "K1"
question = "Which soil?"
design = "blocks"
factors = { soil = ["bare", "mulch", "straw", "clover"] }
blocks = 3
place = "F1"
variety = "amber"
date = 2027-01-04
spacing_m = [1.5, 0.6]
cv = 10
seed = 20261208
"""


def farm(folder: Path, trial: str = TRIAL) -> Path:
    path = folder / "near-fields.toml"
    path.write_text(PLAIN + trial, encoding="utf-8")
    return path


SOWN = ["add", "trial", "Q1", "design", "blocks", "place", "F1", "variety", "amber"]


@pytest.mark.parametrize("key", ["factors", "places", "contrasts"])
def test_a_key_of_the_file_behind_levels_is_no_part_of_the_last_of_them(tmp_path: Path, key: str) -> None:
    """Else the trial would have a level "b factors feed", which nobody meant."""
    path = farm(tmp_path)
    before = path.read_bytes()
    add, *words = SOWN
    ran = run(add, path, *words, *f"levels of feed a,b {key} feed".split(), "--yes")
    assert ran.status != 0
    assert f'levels of feed: "{key}" is no field of a trial by itself' in ran.said
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("typed", "levels"),
    [
        (["a,b", "blocks", "5"], ["a", "b"]),
        (["low, high", "dose"], ["low", "high dose"]),
        (["a,two places"], ["a", "two places"]),
    ],
)
def test_a_field_ends_a_list_of_levels_and_a_level_may_have_blanks(
    tmp_path: Path, typed: list[str], levels: list[str]
) -> None:
    path = farm(tmp_path)
    add, *words = SOWN
    ran = run(add, path, *words, *["levels", "of", "feed"], *typed, "--yes")
    assert ran.status == 0, ran.said
    (made,) = (one for one in data_of(path.read_text())["trial"] if one["id"] == "Q1")
    assert made["factors"] == {"feed": levels}


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return farm(tmp_path)


def trial(path: Path, *words: str, typed: str = ""):
    return run("trial", path, *words, today=TODAY, typed=typed)


def plots(path: Path):
    return data_of(path.read_text()).get("plot", [])


def test_a_season_without_trials_says_how_one_is_added(tmp_path):
    ran = trial(farm(tmp_path, ""))
    assert ran.status == 0
    assert "There is no trial yet. Add one, such as: calendar-tui add trial K1 design blocks" in ran.out


def test_a_trial_is_listed_with_what_it_compares_and_whether_it_is_drawn(season):
    assert trial(season).out == "K1  blocks, 4 soil, 3 blocks; not drawn\n"
    assert trial(season, "K1", "--draw", "--yes").status == 0
    assert trial(season).out == "K1  blocks, 4 soil, 3 blocks; 12 plots\n"


def test_what_a_trial_takes_and_can_find_is_shown_before_it_is_drawn(season):
    shown = " ".join(trial(season, "k1").out.split())
    assert "Which soil?" in shown
    assert (
        "a plot is 6 x 5.4 m, 32.4 m2: 36 plants, 10 of them measured; 432 plants on 389 m2 in all" in shown
    )
    assert re.search(
        r"soil: at CV 10 % a difference of \d+ % of the mean is found in 4 of 5 such trials", shown
    )


def test_what_needs_no_seed_is_told_without_one(season):
    seeded = trial(season, "K1").out
    season.write_text(re.sub(r"(?m)^seed = .*\n", "", season.read_text()))
    shown = trial(season, "K1").out
    missing = "  seed is not set; set any whole number before the draw, such as 20261208, and\n    keep it\n"
    assert missing in shown
    assert shown.replace(missing, "") == seeded


def test_a_draw_shows_its_map_and_asks_and_nothing_is_saved_unless_yes(season):
    before = season.read_bytes()
    ran = trial(season, "K1", "--draw", typed="n\n")
    assert "gate; walked from the front left, first across" in ran.out
    assert "Nothing saved." in ran.out
    assert season.read_bytes() == before
    assert trial(season, "K1", "--draw", "--dry-run").status == 0
    assert season.read_bytes() == before


def test_a_draw_is_written_a_plot_to_a_line_and_undone_as_one(season):
    before = data_of(season.read_text())
    assert trial(season, "K1", "--draw", "--yes").status == 0
    lines = [line for line in season.read_text().splitlines() if line.startswith('  { id = "K1-')]
    assert len(lines) == len(plots(season)) == 12
    assert plots(season)[0].keys() >= {
        "trial",
        "number",
        "block",
        "row",
        "column",
        "treatment",
        "cohort",
        "place",
    }
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert data_of(season.read_text()) == before


def test_a_drawn_trial_is_drawn_anew_only_where_that_is_asked_for(season):
    trial(season, "K1", "--draw", "--yes")
    refused = trial(season, "K1", "--draw", "--yes")
    assert refused.status == 2
    assert "a layout is not drawn again for its looks" in refused.err
    run("set", season, "trial", "K1", "blocks", "2", "--yes", today=TODAY)
    assert trial(season, "K1", "--draw", "--anew", "--yes").status == 0
    assert len(plots(season)) == 8
    assert run("check", season, today=TODAY).status == 0


def test_a_block_short_of_a_treatment_is_a_warning_of_the_check(season):
    trial(season, "K1", "--draw", "--yes")
    run("remove", season, "plot", "K1-203", "--yes", today=TODAY)
    ran = run("check", season, today=TODAY)
    assert ran.status == 0
    assert re.search(r"warning: trial K1: \w+ stands in no plot in block 2, and should stand once", ran.out)
    assert "in block 2, and should stand once" in " ".join(trial(season, "K1").out.split())


# --- maps


def test_the_map_in_text_has_the_furthest_row_first_north_and_the_gate(season):
    trial(season, "K1", "--draw", "--yes")
    lines = trial(season, "K1").out.splitlines()
    begin = next(n for n, line in enumerate(lines) if line.startswith("F1"))
    assert lines[begin].endswith("^ north")
    assert [line.split() for line in lines[begin + 1 : begin + 7 : 2]] == [
        ["301", "302", "303", "304"],
        ["204", "203", "202", "201"],
        ["101", "102", "103", "104"],
    ]
    assert sorted(lines[begin + 2].split()) == ["bare", "clover", "mulch", "straw"]
    assert lines[begin + 7] == "gate; walked from the front left, first across"


def test_signs_stand_for_levels_whose_names_do_not_fit(tmp_path):
    long = [f"soil covered with straw number {n}" for n in range(6)]
    path = farm(tmp_path, TRIAL.replace('["bare", "mulch", "straw", "clover"]', json.dumps(long)))
    trial(path, "K1", "--draw", "--yes")
    out = trial(path, "K1").out
    assert all(len(line) <= 80 for line in out.splitlines())
    assert "soil: A soil covered with straw number 0, B soil covered" in " ".join(out.split())


def test_a_map_wider_than_the_page_stands_in_strips_with_every_number_whole(tmp_path):
    levels = [f"treatment {n}" for n in range(30)]
    path = farm(
        tmp_path, TRIAL.replace('["bare", "mulch", "straw", "clover"]', json.dumps(levels)) + "border = 1\n"
    )
    trial(path, "K1", "--draw", "--yes")
    out = trial(path, "K1").out
    at = out.index("F1   ^ north")
    assert all(len(line) <= 80 for line in out.splitlines())
    assert re.findall(r"columns (\d+) to (\d+) of 32", out) == [("1", "16"), ("17", "32")]
    numbers = re.findall(r"\b[123]\d\d\b", out[at:])
    assert sorted(map(int, numbers)) == [100 * block + n for block in (1, 2, 3) for n in range(1, 31)]


def test_signs_and_their_legend_are_of_one_list_after_a_level_was_renamed(tmp_path):
    """Cells with a sign that the legend gives to another level, or to none, would be read as another treatment."""
    levels = [f"soil covered with straw number {n}" for n in range(1, 5)]
    path = farm(tmp_path, TRIAL.replace('["bare", "mulch", "straw", "clover"]', json.dumps(levels)))
    trial(path, "K1", "--draw", "--yes")
    text = path.read_text()
    path.write_text(text.replace(f'"{levels[1]}"', '"peat"', 1))
    assert data_of(path.read_text())["trial"][0]["factors"]["soil"][1] == "peat"
    out = trial(path, "K1").out
    legend = " ".join(out[out.index("\nsoil: ") :].split())
    assert "B peat," in legend
    assert f"E {levels[1]} (of its plots alone, no level of the trial)" in legend
    assert legend.count("(of its plots alone") == 1
    cells = re.findall(r"\b[A-Z]\b", out[out.index("F1   ^ north") : out.index("\nsoil: ")])
    assert sorted(cells) == sorted("ACDE" * 3)


def test_lost_plots_and_guards_are_marked_on_the_map(tmp_path):
    path = farm(tmp_path, TRIAL + "border = 1\n")
    trial(path, "K1", "--draw", "--yes")
    run("set", path, "plot", "K1-102", "lost", "2026-11-09", "why", "hail", "--yes", today=TODAY)
    out = trial(path, "K1").out
    assert "102x" in out
    assert "x lost, nothing of it counts" in out
    assert ":: guard, never measured" in out
    assert "12 plots, 1 lost" in out


def test_the_map_is_a_drawing_with_every_plot_its_number_and_its_treatment(season, tmp_path):
    trial(season, "K1", "--draw", "--yes")
    target = tmp_path / "k1.svg"
    assert trial(season, "K1", "--map", str(target)).status == 0
    root = ET.fromstring(target.read_bytes())
    texts = [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]
    titles = [element.text for element in root.iter("{http://www.w3.org/2000/svg}title")]
    assert {"101", "304", "mulch"} <= set(texts)
    assert sum(title.startswith("plot ") for title in titles) == 12
    assert target.stat().st_size < 10_000


def test_the_map_is_a_page_of_text_as_wide_as_the_names_need(tmp_path):
    levels = [f"soil covered with straw number {n}" for n in range(6)]
    path = farm(tmp_path, TRIAL.replace('["bare", "mulch", "straw", "clover"]', json.dumps(levels)))
    target = tmp_path / "k1.txt"
    assert "K1 has no plots yet; draw it first" in trial(path, "K1", "--map", str(target)).err
    trial(path, "K1", "--draw", "--yes")
    assert trial(path, "K1", "--map", str(target)).status == 0
    text = target.read_text(encoding="utf-8")
    assert all(text.count(level) == 3 for level in levels)
    assert text.splitlines()[-1] == "gate; walked from the front left, first across"


def test_a_map_needs_a_drawn_trial_and_a_file_of_its_kind(season, tmp_path):
    assert "K1 has no plots yet; draw it first" in trial(season, "K1", "--map", str(tmp_path / "k1.svg")).err
    trial(season, "K1", "--draw", "--yes")
    assert (
        "name a file that ends in .svg or .txt, such as K1.svg" in trial(season, "K1", "--map", "k1.html").err
    )
    assert "name the trial: K1" in trial(season, "--map", "k1.svg").err


def test_a_name_with_signs_of_markup_is_text_in_the_drawing(tmp_path):
    path = farm(
        tmp_path, TRIAL.replace('"bare"', '"<b>&bare"').replace("question", 'name = "A & <B>"\nquestion')
    )
    trial(path, "K1", "--draw", "--yes")
    target = tmp_path / "k1.svg"
    trial(path, "K1", "--map", str(target))
    texts = [
        element.text
        for element in ET.fromstring(target.read_bytes()).iter("{http://www.w3.org/2000/svg}text")
    ]
    assert "<b>&bare" in texts


# --- JSON


def test_json_has_the_plots_and_what_can_be_found(season):
    trial(season, "K1", "--draw", "--yes")
    (told,) = json.loads(trial(season, "--json").out)["trials"]
    assert (told["id"], told["seed"], told["factors"]["soil"][0], told["light"]) == (
        "K1",
        20261208,
        "bare",
        None,
    )
    assert len(told["plots"]) == 12
    assert told["plots"][0]["number"] == 101
    (found,) = told["findings"]
    assert (found["what"], found["plots_a_mean"], found["error_df"]) == ("soil", 3, 6)
    assert round(found["smallest_difference_percent"][0]["percent"]) == 27


def test_json_of_a_draw_has_its_plots_before_what_it_moves(season):
    told = json.loads(trial(season, "K1", "--draw", "--json", "--dry-run").out)
    assert [*told] == ["plots", "answers"]
    assert len(told["plots"]) == 12
    assert trial(season, "K1", "--draw", "--json").status == 2


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("K9",), '"K9" is not a trial of this season. Known: K1'),
        (("K1", "--anew"), "--anew goes with --draw"),
        (("--draw",), "name the trial: K1"),
        (("K1", "--draw", "--map", "x.svg"), "--map is of a trial that is drawn"),
    ],
)
def test_what_does_not_go_together_is_refused(season, words, message):
    ran = trial(season, *words)
    assert ran.status == 2
    assert message in ran.err
