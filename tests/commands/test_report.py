"""The growers' page: what it tells of a trial, what it leaves out, as HTML, Markdown and data; and what it refuses."""

from __future__ import annotations

import json
import re
import statistics
import tomllib
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hard_season import NAME
from markdown_it import MarkdownIt
from page_reading import Page, stands_alone
from reported_season import TODAY, trial_season
from small_season import PLAIN, run

SEASONS = Path(__file__).parents[2] / "seasons"
OUTLINE = [
    *("In a sentence", "Why", "Site, soil and weather", "How it was laid out", "Dates, planned and done"),
    *("Day length and lamps", "Induced and in flower"),
    *("Height", "Female plants", "Dry flower", "Mould"),
    *("Cannabinoids by week", "Labour and costs", "What went wrong", "What it means, and what it does not"),
    "Data, licence and thanks",
]


@pytest.fixture(scope="module")
def trial_text() -> str:
    return trial_season()


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, trial_text: str) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "near-fields.toml"
    path.write_text(trial_text, encoding="utf-8")
    return path


def report(path, *words, today=TODAY, typed=""):
    return run("report", path, *words, today=today, typed=typed)


def data(path, *words, today=TODAY):
    ran = report(path, *words, "--json", today=today)
    assert ran.status == 0, ran.said
    return json.loads(ran.out)


def told(page, heading):
    return next(one["parts"] for one in page["sections"] if one["heading"] == heading)


def table(page, heading, caption):
    return next(part for part in told(page, heading) if part.get("table") == caption)


class Tables(HTMLParser):
    """Each table of a page as rows of texts."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._inside = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
        self._inside = tag in ("td", "th")

    def handle_endtag(self, tag: str) -> None:
        self._inside = False

    def handle_data(self, text: str) -> None:
        if self._inside:
            self.tables[-1][-1][-1] += text


# --- what it tells


def test_the_page_follows_its_outline(season) -> None:
    assert [one["heading"] for one in data(season)["sections"]] == OUTLINE


def test_means_are_those_of_the_plots_with_their_number_and_error(season) -> None:
    """Of a complete trial the means are plain means, by Python's statistics on the file itself."""
    records = tomllib.loads(season.read_text())["records"]
    day_of = {plot["id"]: plot["treatment"]["date"] for plot in records["plot"]}
    by_day: dict[str, list[float]] = {}
    for one in records["observation"]:
        if one["variable"] == "height":
            by_day.setdefault(day_of[one["at"]], []).append(float(one["value"]))
    shown = table(data(season), "Height", "Height by date")
    assert shown["columns"][:4] == ["date", "n", "mean, cm", "SE"]
    assert [(row["n"], row["mean, cm"]) for row in shown["rows"]] == [
        (str(len(values)), f"{statistics.fmean(values):.2f}") for _, values in sorted(by_day.items())
    ]
    assert all(float(row["SE"]) > 0 for row in shown["rows"])
    for word in ("n: plots", "The means differ (p <0.0001", "LSD at 0.05", "Tukey at 0.05", "CV "):
        assert word in shown["note"], word


def test_beside_a_test_stands_how_far_each_size_of_plot_scatters(season) -> None:
    """Dates of a split plot are tested by main plots, which scatter more than the plots in them."""
    shown = table(data(season), "Height", "Height by date")
    assert re.search(r"CV \d+\.\d % \(block x date\), \d+\.\d % \(plots\)\.", shown["note"]), shown["note"]


def test_combinations_without_an_error_of_their_own_have_that_of_their_differences(tmp_path) -> None:
    path = tmp_path / "bright-weir.toml"
    path.write_bytes((SEASONS / path.name).read_bytes())
    page = data(path, today="2026-06-30")
    shown = table(page, "Fresh crop", "Fresh crop by date and variety")
    assert "SE" not in shown["columns"]
    assert "SE: standard error of a mean" not in shown["note"]
    for differing in ("date", "variety", "date and variety"):
        assert re.search(rf"Differing in {differing}: SED \d\.\d+ \(\d[\d.]* df\), LSD \d", shown["note"])
    captions = [part["caption"] for part in told(page, "Fresh crop") if "caption" in part]
    assert [("one standard error" in one) for one in captions] == [True, True, False]


def test_the_sentence_on_top_has_the_size_of_what_was_found(season) -> None:
    (sentence,) = (part["text"] for part in told(data(season), "In a sentence"))
    assert re.match(
        r"Dry flower, by date: 3\.\d+ kg at 20 Nov and 2\.\d+ kg at 18 Dec, \d\d % less \(p <0\.0001, 12 plots each\)",
        sentence,
    )
    (sentence,) = (part["text"] for part in told(data(season, "--measure", "height"), "In a sentence"))
    assert sentence.startswith("Height, by date: 15")
    assert "by spacing: no difference shown (p 0." in sentence


def test_spacings_are_told_by_the_ground_where_weights_are_of_a_plant(season, trial_text) -> None:
    season.write_text(trial_text.replace('unit = "kg"', 'unit = "kg a plant"'), encoding="utf-8")
    page = data(season)
    (sentence,) = (part["text"] for part in told(page, "In a sentence"))
    assert sentence.startswith("Dry flower of a square metre, by date: ")
    answers = next(part["list"] for part in told(page, "Dry flower of a square metre") if "list" in part)
    assert any(one.startswith("Density spacing: mean = ") for one in answers)
    captions = [part.get("caption", "") for part in told(page, "Dry flower of a square metre")]
    assert sum("by plants/m2: circles are plots" in one and "dashed curve" in one for one in captions) == 1


def test_what_is_under_a_limit_is_counted_and_no_mean_is_made(season) -> None:
    (shown,) = (part for part in told(data(season), "Mould") if "table" in part)
    assert shown["columns"] == ["date", "spacing", "n", "under a limit", "median, ppm"]
    assert {row["under a limit"] for row in shown["rows"]} == {"1"}
    assert "No number is made of what is under a limit" in shown["note"]


def test_every_table_has_a_note_and_every_table_of_means_its_n(season) -> None:
    page = data(season)
    tables = [part for one in page["sections"] for part in one["parts"] if "table" in part]
    assert len(tables) > 8
    assert [one["table"] for one in tables if not one["note"]] == ["Where and when"]
    means = [one for one in tables if any(name.startswith("mean, ") for name in one["columns"])]
    assert means
    assert all("n" in one["columns"] for one in means)


def test_the_design_the_lost_plot_and_the_slip_are_told(season) -> None:
    page = data(season)
    facts = " ".join(told(page, "How it was laid out")[0]["list"])
    assert "split plot, 4 blocks" in facts
    assert "36 plots, drawn at random (seed 7), and never redrawn for their looks." in facts
    assert "Lost: 2101: hail." in facts
    wrong = told(page, "What went wrong")[0]["list"]
    assert "Plot 2101 of K1 was lost on 1 Feb 2027: hail." in wrong
    assert "Lamps of H1 did not burn on 3 nights, from 1 Dec 2026." in wrong
    assert "K-3: seeding 4 d late (rain)." in wrong
    meaning = " ".join(told(page, "What it means, and what it does not")[0]["list"])
    assert "one site and one season" in meaning
    assert "A planning aid, no legal" in meaning


def test_hours_are_those_that_were_spent(season) -> None:
    shown = table(data(season), "Labour and costs", "Person-hours of the whole season")
    assert shown["rows"][-1] == {
        **{"work": "all work that was ticked", "done": "1", "planned h": "3", "timed": "1", "spent h": "4.5"},
        "spent / planned": "",
    }
    assert shown["rows"][0]["spent / planned"] == "1.50"


def test_a_season_at_its_end_says_where_factors_answer_together() -> None:
    dry, fresh = (
        told(data(SEASONS / "bright-weir.toml", *words, today="2026-06-10"), "In a sentence")[0]["text"]
        for words in ((), ("--measure", "fresh"))
    )
    assert dry.startswith("Dry flower, by date: ")
    assert re.search(r"the answer to date differs by variety \(p 0\.\d+\)\.$", fresh)


def test_what_few_cohorts_have_stands_in_one_column_and_no_column_is_nearly_empty() -> None:
    page = data(SEASONS / "bright-weir.toml", today="2026-06-10")
    rows = table(page, "Dates, planned and done", "What was done when")["rows"]
    besides = {row["cohort"]: row["besides"] for row in rows}
    assert besides["L1"] == ""
    assert besides["H1"] == (
        "sticking 2 Dec 2025 (on the day); lights on 31 Dec 2025; lights off 6 Feb 2026 (1 d late)"
    )
    heads = [head for head in rows[0] if head not in ("cohort", "besides")]
    assert all(2 * sum(bool(row[head]) for row in rows) >= len(rows) for head in heads)


def test_slips_of_a_day_or_two_are_counted_where_longer_ones_are_told() -> None:
    page = data(SEASONS / "bright-weir.toml", today="2026-06-10")
    (found,) = (part["list"] for part in told(page, "What went wrong") if "list" in part)
    assert "H1: transplant 5 d late (rain)." in found
    assert (
        "6 other dates came on another day than planned, by less than 3 days each: the review has them."
        in found
    )


def test_a_mean_is_of_a_variety_and_at_a_date() -> None:
    page = data(SEASONS / "bright-weir.toml", today="2026-06-10")
    sentence = told(page, "In a sentence")[0]["text"]
    assert re.search(r"g a plant at 1 Dec .* g a plant for linnet", sentence)


def test_one_trial_has_its_own_cohorts_alone(season) -> None:
    rows = table(data(season, "K1"), "Dates, planned and done", "What was done when")["rows"]
    assert [row["cohort"] for row in rows] == ["K-1", "K-2", "K-3"]
    assert rows[2]["seeding"] == "22 Dec 2026 (4 d late)"


def test_rules_are_named_with_their_date_and_results_by_week() -> None:
    page = data(SEASONS / "north-bench.toml", today="2026-06-16")
    headings = [one["heading"] for one in page["sections"]]
    assert headings.index("Cannabinoids by week") < headings.index("What it means, and what it does not")
    shown = table(page, "Cannabinoids by week", "Results of L1")
    assert [row["days after flowering"] for row in shown["rows"]] == ["14", "21", "28", "35"]
    assert "NOT OFFICIAL" in shown["note"]
    meaning = " ".join(told(page, "What it means, and what it does not")[0]["list"])
    assert re.search(r"Rules used: .*, as of 1 Jun 2026: check with your authority\.", meaning)


# --- without a trial, without plots, without observations


def test_a_season_without_a_trial_is_told_and_compares_nothing(tmp_path) -> None:
    path = tmp_path / "plain.toml"
    path.write_text(PLAIN, encoding="utf-8")
    page = data(path)
    assert "No trial was laid out" in told(page, "How it was laid out")[0]["text"]
    assert "Height" not in [one["heading"] for one in page["sections"]]
    ran = report(path, "K1")
    assert ran.status == 2
    assert 'there is no trial in Near Fields 2026-27, and so no "K1"' in " ".join(ran.err.split())
    assert report(path, "--measure", "dry").status == 2


def test_a_trial_without_observations_says_so(season) -> None:
    text = season.read_text()
    season.write_text(text[: text.index("observation = [")], encoding="utf-8")
    page = data(season)
    assert told(page, "What was found") == [
        {"text": "Nothing is recorded in the plots yet, so there is nothing to compare."}
    ]
    assert "No difference can be told yet" in told(page, "In a sentence")[0]["text"]
    ran = report(season, "--measure", "dry")
    assert (ran.status, "nothing is recorded in the plots of trial K1 yet" in ran.err) == (2, True)


def test_a_trial_that_is_not_drawn_says_so(season) -> None:
    text = season.read_text()
    season.write_text(text[: text.index("plot = [")], encoding="utf-8")
    facts = told(data(season), "How it was laid out")[0]["list"]
    assert facts[-1] == "Its plots are not drawn yet."


# --- persons and places


def test_no_person_and_no_exact_place_unless_they_are_asked_for(season) -> None:
    assert report(season, "--html", "a.html", "--markdown", "a.md").status == 0
    everything = "".join(path.read_text(encoding="utf-8") for path in Path().glob("a*"))
    for word in ("Anna", "Near Fields", "34.3 S", "56.7 W", "-34.3"):
        assert word not in everything, word
    assert "34.5 S, 56.5 W (rounded to 0.5 degrees)" in everything
    assert report(season, "--html", "b.html", "--names", "--exact-place", "--licence", "CC0-1.0").status == 0
    asked = Path("b.html").read_text(encoding="utf-8")
    for word in (
        "Thanks to Anna Ejemplo.",
        "Near Fields 2026-27",
        "34.3 S, 56.7 W<",
        "Creative Commons Zero",
    ):
        assert word in asked, word


def test_a_name_in_words_of_ones_own_is_told(season) -> None:
    season.write_text(season.read_text().replace('name = "Late planting"', 'name = "Anna Ejemplo\'s trial"'))
    told = " ".join(report(season, "--html", "a.html").out.split())
    assert '"Anna Ejemplo" stands in a.html, in words that you wrote' in told


def test_day_lengths_are_those_of_the_position_that_is_told(season) -> None:
    """By the position as it is they would be others, and tell it."""
    texts = [
        json.dumps(told(data(season, *words), "Day length and lamps")) for words in ((), ("--exact-place",))
    ]
    found = [re.findall(r"\d\d h \d\d", text) for text in texts]
    assert found[0] != found[1]
    assert "rounded position" in texts[0]
    assert "rounded position" not in texts[1]


# --- as HTML and Markdown


def test_the_page_stands_alone_and_its_drawings_are_sound(season) -> None:
    assert report(season, "--html", "found.html").status == 0
    page = Page(Path("found.html"))
    stands_alone(page)
    drawings = page.drawings()
    assert len(drawings) == len(page.named("figcaption")) >= 8
    assert all(
        one.get("aria-label") or one.find("{http://www.w3.org/2000/svg}title") is not None for one in drawings
    )


def test_a_drawing_has_every_plot(season) -> None:
    assert report(season, "--markdown", "found.md").status == 0
    drawing = ElementTree.parse("found-K1-dry-date.svg").getroot()
    assert len(drawing.findall("{http://www.w3.org/2000/svg}circle")) == 35


def test_markdown_says_the_same_and_names_its_drawings(season) -> None:
    """Read by markdown-it, a parser of CommonMark with the tables of GitHub."""
    assert report(season, "--html", "found.html", "--markdown", "found.md").status == 0
    text = Path("found.md").read_text(encoding="utf-8")
    made = MarkdownIt("commonmark").enable("table").render(text)
    page = Path("found.html").read_text(encoding="utf-8")
    assert Tables(made).tables == Tables(page).tables
    pictures = re.findall(r"!\[[^]]*\]\(([^)]+)\)", text)
    assert len(pictures) == len(Page(Path("found.html")).drawings())
    assert {path.name for path in Path().glob("found-*.svg")} == {*pictures}
    for name in pictures:
        assert ElementTree.parse(name).getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_without_a_file_the_page_is_printed_as_markdown(season) -> None:
    ran = report(season)
    assert ran.out.startswith("# Late planting: a hemp trial, 2026-27\n")
    assert "*Drawing: Dry flower (kg) by date:" in ran.out
    assert [path.name for path in Path().glob("*.svg")] == []


@pytest.mark.slow
def test_words_of_the_season_are_nothing_but_text(season) -> None:
    text = season.read_text().replace('name = "Late planting"', f"name = {json.dumps(NAME)}")
    season.write_text(text.replace('name = "dry flower"', 'name = "<b>*dry* | `x`</b>"'), encoding="utf-8")
    assert report(season, "--html", "found.html", "--markdown", "found.md").status == 0
    page = Page(Path("found.html"))
    stands_alone(page)
    assert any(NAME in one for one in page.texts)
    made = MarkdownIt("commonmark").enable("table").render(Path("found.md").read_text(encoding="utf-8"))
    assert "<b>" not in made
    assert Tables(made).tables == Tables(page.source).tables


@pytest.mark.slow
def test_the_same_season_gives_the_same_bytes(season) -> None:
    for name in ("a", "b"):
        assert report(season, "--html", f"{name}.html").status == 0
    assert Path("a.html").read_bytes() == Path("b.html").read_bytes()


# --- what it refuses


@pytest.mark.slow
def test_files_are_asked_about_and_named_by_their_kind(season) -> None:
    Path("found.html").write_text("mine")
    ran = report(season, "--html", "found.html", typed="n\n")
    assert (ran.status, Path("found.html").read_text()) == (2, "mine")
    assert report(season, "--html", "found.html", "--yes").status == 0
    assert "name a file that ends in .md" in report(season, "--markdown", "found.html").err
    assert "there is no folder" in report(season, "--html", "no/found.html").err
    assert "leave --html and --markdown out" in report(season, "--html", "x.html", "--json").err
    assert "--paper is for --html" in report(season, "--paper", "us").err
    assert '--licence "x" is unknown' in report(season, "--licence", "x").err


def test_words_that_mean_nothing_are_refused(season) -> None:
    assert report(season, "K9").status == 2
    assert report(season, "K1", "K2").status == 2
    ran = report(season, "--measure", "weight")
    assert (ran.status, "is not measured in trial K1" in ran.err) == (2, True)
