"""The command analyse, on published tables and on tables as they come."""

from __future__ import annotations

import json
import random
from itertools import product
from pathlib import Path

import pytest
from small_season import run

DATA = Path(__file__).parents[1] / "nature" / "field_analysis" / "data"
OATS = (
    DATA / "yates.oats.txt",
    *["--design", "split-plot", "--block", "block", "--main", "gen", "--sub", "nitro", "--value", "yield"],
)
SMALL = """\
block;variety;kind;yield
1;amber;test;10,2
1;beryl;test;12,1
1;edge;guard;90
2;amber;test;9,8
2;beryl;test;13,0
3;amber;test;11,1
3;beryl;test;12,4
"""
BLOCKS = ["--design", "blocks", "--block", "block", "--treatment", "variety", "--value", "yield"]
NO_GUARDS = ("--leave-out", "kind=guard")


@pytest.fixture
def table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("trial.csv")
    path.write_text(SMALL, encoding="utf-8")
    return path


def analysed(*words: object) -> dict[str, object]:
    ran = run("analyse", *words, "--json", today=None)
    assert ran.status == 0, ran.err
    return json.loads(ran.out)


def test_yates_oats_as_the_command_prints_it() -> None:
    """Yates 1935; figures of the page `oats` of R's package MASS."""
    out = run("analyse", *OATS, "--response", "nitro", today=None).out
    for line in (
        "gen                             2      1786.36      893.181     1.485    0.272",
        "  error (block x gen)          10      6013.31      601.331",
        "nitro                           3      20020.5       6673.5     37.69  <0.0001",
        "gen x nitro                     6       321.75       53.625    0.3028    0.932",
        "  error (plots)                45      7968.75      177.083",
        "  0.6    18  123.4  3.1  a    a",
        "  0.4    18  114.2  3.1  b    a",
    ):
        assert line in out.splitlines()
    assert "No optimum is given: the curve is not significant." in " ".join(out.split())
    assert "What this does not show:" in out


def test_it_needs_no_season(table: Path) -> None:
    assert run("analyse", table, *BLOCKS, *NO_GUARDS, today=None).status == 0


def test_json_has_what_the_text_has() -> None:
    found = analysed(*OATS)
    sources = {row["source"]: row for row in found["sources"]}  # type: ignore[attr-defined]
    assert sources["nitro"]["f"] == pytest.approx(37.6856, abs=1e-3)
    assert sources["plots"]["f"] is None
    (gen, nitro, both) = found["means"]  # type: ignore[misc]
    assert gen["significant"] is False
    assert gen["means"][0]["lsd_letters"] is None
    assert [row["tukey_letters"] for row in nitro["means"]] == ["c", "b", "a", "a"]
    assert both["means"][0]["se"] is None
    assert len(found["residuals"]) == 72  # type: ignore[arg-type]
    assert found["method"] == "sums of squares"


def test_every_line_fits_80_columns() -> None:
    for words in (
        (*OATS, "--row", "row", "--column", "col"),
        (
            DATA / "gomez.splitsplit.txt",
            *[
                "--design",
                "split-split-plot",
                "--block",
                "rep",
                "--main",
                "nitro",
                "--sub",
                "management",
                "--subsub",
                "gen",
                "--value",
                "yield",
                "--row",
                "row",
                "--column",
                "col",
            ],
        ),
        (
            DATA / "john.alpha.txt",
            *[
                "--design",
                "alpha",
                "--replicate",
                "rep",
                "--block",
                "block",
                "--treatment",
                "gen",
                "--value",
                "yield",
                "--row",
                "col",
                "--column",
                "row",
            ],
        ),
    ):
        ran = run("analyse", *words, today=None)
        assert ran.status == 0, ran.err
        assert max(map(len, ran.out.splitlines())) <= 80


def test_a_guard_row_is_in_no_mean(table: Path) -> None:
    found = analysed(table, *BLOCKS, *NO_GUARDS)
    assert found["rows_left_out"] == 1
    table.write_text(SMALL.replace(";90", ";"), encoding="utf-8")
    assert analysed(table, *BLOCKS, *NO_GUARDS)["means"] == found["means"]


def test_a_missing_cell_is_counted_by_line_and_taken_by_reml(table: Path) -> None:
    table.write_text(SMALL.replace("13,0", "."), encoding="utf-8")
    out = " ".join(run("analyse", table, *BLOCKS, *NO_GUARDS, today=None).out.split())
    assert "1 value is missing: line 6." in out
    assert "No value for 2 beryl (block, variety)." in out
    assert "By REML, degrees of freedom of the error by Satterthwaite." in out
    assert "Kenward" not in out


def test_a_treatment_that_a_block_lacks_is_named(table: Path) -> None:
    table.write_text(SMALL.replace("2;beryl;test;13,0\n", ""), encoding="utf-8")
    found = analysed(table, *BLOCKS, *NO_GUARDS)
    assert (found["absent"], found["missing_lines"]) == ([["2", "beryl"]], [])


def test_a_plot_twice_is_refused_with_both_lines(table: Path) -> None:
    table.write_text(f"{SMALL}3;beryl;test;12,5\n", encoding="utf-8")
    ran = run("analyse", table, *BLOCKS, *NO_GUARDS, today=None)
    assert ran.status == 2
    assert (
        "trial.csv:8, 9: the plot variety beryl, block 3 stands here more than once; take one out, or add --sample"
        in ran.err
    )


def test_samples_are_averaged(table: Path) -> None:
    words = [
        "--design",
        "split-plot",
        "--block",
        "rep",
        "--main",
        "manage",
        "--sub",
        "time",
        "--sample",
        "sample",
        "--value",
        "height",
    ]
    found = analysed(DATA / "gomez.splitplot.subsample.txt", *words)
    assert found["plots"] == 96
    assert found["samples"] == {"fewest": 2, "most": 2, "df": 96, "ms": pytest.approx(1.7436, abs=1e-4)}


def test_values_under_a_limit_make_no_mean(table: Path) -> None:
    table.write_text(SMALL.replace("9,8", "<0,05"), encoding="utf-8")
    ran = run("analyse", table, *BLOCKS, *NO_GUARDS, today=None)
    text = " ".join(ran.out.split())
    assert (
        "1 of 6 values are under a limit. No number is made of them, so there is no mean and no test" in text
    )
    assert "amber 3 1 10.2 10.20 to 11.10" in text
    found = analysed(table, *BLOCKS, *NO_GUARDS)
    assert "means" not in found
    assert found["under_limit"][0]["under"] == 1  # type: ignore[index]


def test_counts_out_of_a_total_are_analysed_as_logits(table: Path) -> None:
    table.write_text(
        "block,variety,stand,planted\n1,a,20,36\n1,b,36,36\n2,a,18,36\n2,b,33,36\n3,a,25,36\n3,b,35,36\n",
        encoding="utf-8",
    )
    words = [
        "--design",
        "blocks",
        "--block",
        "block",
        "--treatment",
        "variety",
        "--value",
        "stand",
        "--of",
        "planted",
    ]
    found = analysed(table, *words)
    assert found["scale"] == "logit"
    rows = {row["level"][0]: row["turned_back"] for row in found["means"][0]["means"]}  # type: ignore[index]
    assert rows == {"a": pytest.approx(0.58, abs=0.02), "b": pytest.approx(0.965, abs=0.02)}
    without = run("analyse", table, *words[:-2], "--scale", "logit", today=None)
    assert "trial.csv:2, 3, 4, 5, 6 and 1 more: 20 is no share from 0 to 1" in without.err


def test_shares_in_percent_are_taken_as_shares(table: Path) -> None:
    found = analysed(table, *BLOCKS, *NO_GUARDS, "--percent")
    assert found["means"][0]["means"][0]["mean"] == pytest.approx(0.10367, abs=1e-5)  # type: ignore[index]
    assert "see --scale logit and arcsine" in found["remarks"][0]  # type: ignore[index]
    assert analysed(table, *BLOCKS, *NO_GUARDS, "--percent", "--scale", "logit")["scale"] == "logit"


def test_light_in_one_place_a_level_is_not_tested(table: Path) -> None:
    rows = [
        f"{light},{place},{block},{gen},{10 + n + block * n}"
        for light, place in ((12, "H1"), (14, "H2"))
        for block in (1, 2)
        for n, gen in enumerate("abc")
    ]
    table.write_text("\n".join(["light,place,block,gen,y", *rows]) + "\n", encoding="utf-8")
    words = [
        "--design",
        "split-plot",
        "--main",
        "light",
        "--unit",
        "place",
        "--block",
        "block",
        "--sub",
        "gen",
        "--value",
        "y",
    ]
    out = " ".join(run("analyse", table, *words, today=None).out.split())
    assert (
        "One place for each level of light: its error has no degrees of freedom, levels x (units a level - 1) = 0."
        in out
    )
    assert "light: not tested." in out


def test_levels_that_differ_in_capitals_are_pointed_out(table: Path) -> None:
    table.write_text(SMALL.replace("3;amber", "3;Amber"), encoding="utf-8")
    out = " ".join(run("analyse", table, *BLOCKS, *NO_GUARDS, today=None).out.split())
    assert (
        'variety has "Amber" and "amber", which are taken as two; write one of them if they are the same.'
        in out
    )


WRONG = {
    "": "give a table, such as: analyse yields.csv",
    "none.csv --design blocks": "none.csv: cannot be read: it is not there",
    "trial.csv": "--design is not set. Designs: completely-randomised, blocks",
    "trial.csv --design block": '--design block is not known; did you mean "blocks"?',
    "trial.csv --design blocks --block block": "--design blocks needs --treatment; set the column of each: block, variety, kind, yield",
    "trial.csv --design blocks --block block --treatment variety": "--value is not set",
    "trial.csv --design blocks --block block --treatment varity --value yield": 'no such column; did you mean "variety"?',
    "trial.csv --design blocks --block block --treatment variety --value kind": 'trial.csv:2, 3, 4, 5, 6 and 2 more: kind is "test"; write a number',
    "trial.csv --design blocks --block block --treatment variety --value variety": "variety is both --treatment and --value",
    "trial.csv --design blocks --block block --treatment block --value yield": "block is both --treatment and --block",
    "trial.csv --design blocks --block block --main variety --value yield": "--main is no part of --design blocks, which takes --block, --treatment",
    "trial.csv --design blocks --block block --treatment variety --value yield --unit kind": "--unit is no part of --design blocks",
    "trial.csv --design blocks --block block --treatment variety --value yield --leave-out guard": "has no =; write COLUMN=VALUE, such as kind=guard",
    "trial.csv --design blocks --block block --treatment variety --value yield --leave-out kind=edge": "no row has edge there; it has test, guard",
    "trial.csv --design blocks --block block --treatment variety --value yield --level 5": "write a share over 0 up to 0.5, such as 0.05",
    "trial.csv --design blocks --block block --treatment variety --value yield --response kind": "--response kind is no treatment of this trial; it has variety",
    "trial.csv --design blocks --block block --treatment variety --value yield --response variety": "variety has levels that are no numbers or dates: amber, beryl, edge",
    "trial.csv --design blocks --block block --treatment variety --value yield --contrast variety": "write COLUMN= and a number for each level, such as variety=1,-1,0",
    "trial.csv --design blocks --block block --treatment variety --value yield --contrast variety=1,-1": "has 2 numbers; write 3, in the order amber, beryl, edge",
    "trial.csv --design blocks --block block --treatment variety --value yield --contrast variety=1,1,1": "add up to 3; they must add up to 0",
    "trial.csv more.csv --design blocks": "not understood: more.csv",
}


@pytest.mark.parametrize("words", WRONG)
def test_what_is_set_wrongly_is_told_with_what_would_be_right(table: Path, words: str) -> None:
    ran = run("analyse", *words.split(), today=None)
    assert ran.status == 2
    assert WRONG[words] in ran.err
    assert "Traceback" not in ran.err
    assert ran.out == ""


ROLES = {
    "completely-randomised": ("treatment",),
    "blocks": ("block", "treatment"),
    "latin-square": ("row", "column", "treatment"),
    "split-plot": ("block", "main", "sub"),
    "split-split-plot": ("block", "main", "sub", "subsub"),
    "strip-plot": ("block", "main", "sub"),
    "augmented": ("block", "treatment"),
    "alpha": ("replicate", "block", "treatment"),
}
VALUES = (
    lambda rng, level: f"{rng.gauss(10, 2):.2f}",
    lambda rng, level: str(rng.randint(0, 3)),
    lambda rng, level: "5",
    lambda rng, level: str(sum(level)),
    lambda rng, level: rng.choice(("", "<1", "3.5", "4")),
    lambda rng, level: f"{rng.random():.3f}",
    lambda rng, level: f"{sum(level) * 1e-9 + rng.random() * 1e-9:.12f}",
)


def table_of(rng: random.Random, roles: tuple[str, ...]) -> str:
    """A whole trial, one with gaps, or rows at random."""
    levels = {role: rng.randint(1, 4) for role in roles}
    rows = list(product(*(range(count) for count in levels.values())))
    kind = rng.choice(("whole", "gaps", "random"))
    if kind == "gaps":
        rows = [row for row in rows if rng.random() < 0.8]
    if kind == "random":
        rows = [tuple(rng.randrange(levels[role]) for role in roles) for _ in range(rng.randint(1, 30))]
    value = rng.choice(VALUES)
    lines = [",".join((*map(str, row), value(rng, row))) for row in rows]
    return "\n".join([",".join((*roles, "y")), *lines]) + "\n"


@pytest.mark.slow
@pytest.mark.parametrize("design", ROLES)
def test_any_table_is_analysed_or_refused_in_a_sentence(table: Path, design: str) -> None:
    """Too few plots, none alike, all alike, one level, nothing left for the error: figures or a reason, and never a NaN."""
    rng = random.Random(f"20261208 {design}")
    roles = ROLES[design]
    done = 0
    for _ in range(25):
        table.write_text(table_of(rng, roles), encoding="utf-8")
        words = [word for role in roles for word in (f"--{role}", role)]
        words += rng.choice(([], ["--no-interactions"], ["--response", roles[-1]], ["--scale", "count"]))
        ran = run("analyse", table, "--design", design, "--value", "y", *words, today=None)
        done += ran.status == 0
        assert ran.status == 0 or (ran.status == 2 and ran.err.strip() and not ran.out), ran.err
        assert "nan" not in ran.out
        assert all(len(line) <= 80 for line in ran.out.splitlines())
    assert done


def test_two_levels_that_are_the_same_number_have_no_response(table: Path) -> None:
    table.write_text("t,y\n" + "".join(f"{t},{n + len(t)}\n" for n in range(3) for t in ("1", "1.0", "2")))
    words = ("--design", "completely-randomised", "--treatment", "t", "--value", "y", "--response", "t")
    ran = run("analyse", table, *words, today=None)
    assert (ran.status, ran.out) == (2, "")
    assert "t has two levels that are the same number" in ran.err


def test_a_contrast_is_told_by_its_levels(table: Path) -> None:
    out = run("analyse", table, *BLOCKS, *NO_GUARDS, "--contrast", "variety=1,-1", today=None).out
    assert "Contrast of variety (amber 1, beryl -1): -2.133" in out
