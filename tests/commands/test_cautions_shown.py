"""Every caution stands where the table says that it is shown, word for word; nothing else in the program words a hazard itself."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path

import pytest
from page_reading import Page
from small_season import run

import calendar_tui
from calendar_tui.handing_on.words import cautions as table
from calendar_tui.handing_on.words.cautions import CAUTIONS, Caution
from calendar_tui.planning.tasks.week import sentences
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.pages.help_view import help_rows
from calendar_tui.storage.new_season import new_season_text

ROOT = Path(__file__).parents[2]
TODAY = "2026-06-16"
# A period of covers and one of lamps on and off in turn, which have cautions of their own.
LIGHT = """
[[programme]]
place = "F1"
from = 2026-07-01
to = 2026-07-20
method = "blackout"
on = "18:00"
off = "08:00"

[[programme]]
place = "G2"
from = 2026-08-20
to = 2026-09-01
method = "night-break"
on = "22:00"
off = "02:00"
cyclic_min = [6, 24]

[records]
"""


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    text = (ROOT / "seasons" / "north-bench.toml").read_text(encoding="utf-8")
    path = tmp_path_factory.mktemp("bench") / "north-bench.toml"
    text = text.replace("kw = 0.8 }", "kw = 0.8, circuit_v = 230, circuit_a = 16 }", 1)
    path.write_text(text.replace("\n[records]\n", LIGHT, 1), encoding="utf-8")
    return path


def command(*words: str) -> Callable[[Path], str]:
    def shown(path: Path) -> str:
        ran = run(*words[:1], path, *words[1:], today=TODAY)
        assert ran.status == 0, ran.err
        return ran.out

    return shown


def exported(flag: str, *words: str) -> Callable[[Path], str]:
    def shown(path: Path) -> str:
        page = path.parent / f"{flag.strip('-')}.html"
        output = ["--output", path.parent / "labels.html"] if words[0] == "labels" else []
        ran = run(*words[:1], path, *words[1:], flag, page, *output, "--yes", today=TODAY)
        assert ran.status == 0, ran.err
        return " ".join(Page(page).texts)

    return shown


def of_help(path: Path) -> str:
    return " ".join(segment.text.strip() for row in help_rows(UNICODE, 80) for segment in row.segments)


def of_chores(path: Path) -> str:
    starter = Path(calendar_tui.__file__).parent / "starter" / "chores.toml"
    return " ".join(
        chore.get("caution", "") for chore in tomllib.loads(starter.read_text(encoding="utf-8"))["chore"]
    )


def of_new(path: Path) -> str:
    place = {"id": "H1", "kind": "hoop house", "area_m2": 180, "lamps": {"target_h": 16.0, "kw": 0.9}}
    text = new_season_text(
        records={"place": [place], "variety": [], "cohort": []},
        name="A",
        first_day=date(2026, 9, 15),
        last_day=date(2027, 5, 15),
        latitude=-34.3,
        longitude=-56.7,
        timezone="America/Montevideo",
    )
    return text.partition("[[chore]]")[0].replace("#", "")


SHOWN: Mapping[str, Callable[[Path], str]] = {
    table.BAGS: command("sample"),
    table.BATCH: command("batch"),
    table.CHORES: of_chores,
    table.CUSTODY: exported("--custody", "labels", "ZETNVM"),
    table.CUT: command("cut"),
    table.DOOR: exported("--door", "export"),
    table.HELP: of_help,
    table.LAMPS: command("lamps"),
    table.NEW: of_new,
    table.OFFICIAL: command("official"),
    table.PASS: command("pass"),
    table.QUANTITIES: command("quantities"),
    table.REPORT: exported("--html", "report"),
    table.RESULTS: command("result"),
    table.RULES: command("rules"),
    table.SPRAYS: command("spray"),
    table.WALL: exported("--wall", "export"),
    table.WEEK: exported("--sheet", "export"),
}


@pytest.mark.parametrize("where", sorted({where for one in CAUTIONS.values() for where in one.shown}))
def test_each_caution_stands_where_the_work_is(where: str, bench: Path) -> None:
    text = one_line(SHOWN[where](bench))
    for name, caution in CAUTIONS.items():
        held = caution.text.removesuffix(".") in text
        # A printed week has the cautions of its tasks besides.
        if not (where == table.WEEK and table.CHORES in caution.shown):
            assert held == (where in caution.shown), f"{name} {'' if held else 'not '}shown: {where}"


# --- the page


def rows_of(page: str) -> Iterator[tuple[str, ...]]:
    """heading, caution, where it is shown, source: each row of a table, without the heads."""
    heading = ""
    for line in page.splitlines():
        if line.startswith("## "):
            heading = line.removeprefix("## ")
        elif line.startswith("| ") and not line.startswith(("| caution", "| ---")):
            yield heading, *(cell.strip() for cell in line.strip("|").split(" | "))


def row_of(caution: Caution) -> tuple[str, ...]:
    return caution.under, caution.text, ", ".join(caution.shown), caution.source


def test_the_page_of_cautions_has_each_in_the_same_words() -> None:
    page = (ROOT / "docs" / "safety.md").read_text(encoding="utf-8")
    assert list(rows_of(page)) == [row_of(caution) for caution in CAUTIONS.values()]


def test_the_front_page_warns_in_the_same_sentences() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    own = page.partition("## Cautions")[2].partition("\n## ")[0]
    bullets = [one_line(bullet) for bullet in own.split("\n- ")[1:]]
    texts = {caution.text for caution in CAUTIONS.values()}
    assert len(bullets) == 6
    assert [s for bullet in bullets for s in sentences(bullet) if s not in texts] == []


# --- nowhere else

# Words of the hazards, and what may have them besides the table: names of roles and refusals that ask for something.
HAZARDS = re.compile(
    r"ground-fault|licensed electrician|mould spores|home-made|controlled substance|label is the law|labelled for|planning aid|NOT OFFICIAL"
)
OTHERWISE: Mapping[str, int] = {
    "handing_on/paper/labels.py": 1,  # the mark itself, on each label
    "planning/cutting/made_cuts.py": 1,  # in the middle of a question
    "storage/new_season.py": 2,  # lies below the table; held against it above
}


def hazards_in(folder: Path) -> Iterable[tuple[str, int]]:
    for path in sorted(folder.rglob("*.py")):
        name = path.relative_to(folder).as_posix()
        lines = path.read_text(encoding="utf-8").splitlines()
        count = sum(bool(HAZARDS.search(line)) for line in lines)
        if count and name != "handing_on/words/cautions.py":
            yield name, count


def test_no_other_file_words_a_hazard_itself() -> None:
    assert dict(hazards_in(Path(calendar_tui.__file__).parent)) == OTHERWISE
