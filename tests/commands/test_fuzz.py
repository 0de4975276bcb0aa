"""20,000 season files gone wrong: told with a sentence, with little work, and nothing in them steers the terminal."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from fuzzing import STEERING, case, whole
from small_season import Ran, run

from calendar_tui.commands.table import COMMANDS
from calendar_tui.storage.opening import open_season
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from tests.counting import lines_run

pytestmark = pytest.mark.slow

CASES, BATCHES = 20_000, 20
# The work of a case is counted for one in so many, and is at most so many lines of Python, a second or two.
COUNTED, MOST_LINES = 40, 3_000_000
# What reads a season that has no problems; each such case is put to one of them in turn.
WITH_WORDS: Sequence[tuple[str, ...]] = (
    ("check",),
    ("dates",),
    ("dates", "--json"),
    ("week",),
    ("week", "--json"),
    ("week", "--print"),
    ("week", "--brief", "--role", "crew"),
    ("week", "--width", "40", "--days", "9"),
    ("chart",),
    ("chart", "--ascii"),
    ("why", "A1", "harvest"),
    ("why", "A1", "harvest", "--json"),
    ("lamps",),
    ("lamps", "--json"),
    (
        "load",
        "hours",
    ),
    ("load", "hours", "--json"),
    ("load", "hours", "--width", "40"),
    ("history",),
    ("variety", "amber"),
    ("chores",),
    ("chores", "--json"),
    ("chores", "scout"),
    ("chores", "scout", "offset_d", "3", "--dry-run"),
    ("tasks", "--dry-run"),
    ("record", "A1", "transplant", "2026-11-08", "--dry-run"),
    ("daylight", "--to", "2026-09-03"),
    ("add", "cohort", "Q1", "--like", "A1", "--later", "14d", "--dry-run"),
    ("set", "cohort", "A1"),
    ("set", "cohort", "A1", "plants", "90", "--dry-run", "--json"),
    ("rename", "cohort", "A1", "Q1", "--dry-run"),
    ("remove", "cohort", "A1", "--dry-run"),
)
UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")


# What changes a season or makes a file is tried elsewhere; so is the full screen, also in a browser.
CHANGING = {
    "",
    "done",
    "skip",
    "move",
    "note",
    "reopen",
    "plan",
    "undo",
    "redo",
    "export",
    "serve",
    "upgrade",
    "merge",
    "new",
}
# A command that is new takes part as it is.
READING = (
    *WITH_WORDS,
    *((name,) for name in COMMANDS if name not in {*CHANGING, *(w[0] for w in WITH_WORDS)}),
)


def steering(text: str) -> str:
    """The first character that could steer a terminal, or turn a line's order around."""
    if text.isprintable():
        return ""
    return next((repr(c) for c in text if c != "\n" and unicodedata.category(c) in UNSEEN), "")


def told(path: Path, *words: str) -> Ran:
    """A command on the season: it answers, and nothing in the answer steers the terminal."""
    ran = run(words[0], path, *words[1:])
    assert ran.status in (0, 1, 2), words
    assert not steering(ran.said), (words, steering(ran.said))
    assert "Traceback" not in ran.said, words
    if "--json" in words and ran.status == 0:
        json.loads(ran.out)
    return ran


def tried(path: Path, n: int) -> bool:
    """Put a case to a command, or to the reading alone where that finds problems; whether it finds none."""
    content = case(n)
    path.write_bytes(content)
    fine = told_plainly(path)
    if fine or n % 20 == 0:
        told(path, *READING[n % len(READING)])
    if fine and n % 30 == 0:
        if told(path, "record", "A1", "transplant", "2026-11-08", "--yes").out.count("Saved:"):
            told(path, "history")
            assert told(path, "undo").status == 0
        path.with_name("farm.history.jsonl").unlink(missing_ok=True)
    assert path.read_bytes() == content
    return fine


def counted(path: Path, n: int) -> bool:
    """`tried`, and that it is no great work."""
    fine: list[bool] = []
    assert lines_run(lambda: fine.append(tried(path, n))) < MOST_LINES, f"case {n} is too much work"
    return fine[0]


def told_plainly(path: Path) -> bool:
    """Read a season file; whether it has no problems. What is told of them steers nothing."""
    told = problems_of(path)
    for problem in told:
        assert not steering(str(problem))
        assert problem.line is None or problem.line > 0
    return not told


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_season_file_gone_wrong_is_told(memory: Path, batch: int) -> None:
    path = memory / "farm.toml"
    fine = 0
    size = CASES // BATCHES
    for n in range(batch * size, (batch + 1) * size):
        try:
            fine += counted(path, n) if n % COUNTED == 0 else tried(path, n)
        except Exception as error:
            error.add_note(f"case {n}: python -m tests.commands.fuzzing {n} writes it")
            raise
    # Enough cases read well, and enough do not.
    assert 0.05 < fine / size < 0.5


LINE = "# " + "x" * 77 + "\n"
MEGABYTES = 50_000_000
# Files by their size: of comments and values in characters, of others in records.
IN_CHARACTERS = {
    "comments": lambda size: whole() + LINE * (size // len(LINE)),
    "one comment": lambda size: whole() + "# " + "x" * size,
    "a value of one line": lambda size: whole().replace("[season]\n", f"[season]\nmine = '{'x' * size}'\n"),
    "a value of many lines": lambda size: whole().replace(
        "[season]\n", "[season]\nmine = '''\n" + LINE * (size // len(LINE)) + "'''\n"
    ),
    "a value that does not end": lambda size: whole() + "mine = '''" + LINE * (size // len(LINE)),
    "a name": lambda size: whole().replace('"Near Fields 2026-27"', f"'{'x' * size}\u202e'"),
}  # fmt: skip
IN_RECORDS = {
    "overlapping outages": lambda size: whole() + '[[outage]]\nplace = "H1"\nfrom = 2026-11-09\nto = 2026-11-10\n' * size,
    "slips of a key": lambda size: whole() + "[[task]]\nstaet = 1\n" * size,
    "unknown varieties among many": lambda size: (
        whole()
        + "".join(f'[[variety]]\nid = "v{n}"\nresponse = "day-neutral"\n' for n in range(size))
        + "".join(
            f'[[cohort]]\nid = "c{n}"\nvariety = "w{n}"\nstart = "seed"\nplace = "H1"\n' for n in range(size // 3)
        )
    ),
}  # fmt: skip
SIZES = {shape: 100 * len(LINE) for shape in IN_CHARACTERS} | {
    "overlapping outages": 60,
    "slips of a key": 60,
    "unknown varieties among many": 480,
}


@pytest.mark.parametrize("shape", SIZES)
def test_the_work_of_a_large_file_grows_no_faster_than_it_does(memory: Path, shape: str) -> None:
    path, make = memory / "farm.toml", (IN_CHARACTERS | IN_RECORDS)[shape]
    works = []
    for size in (0, SIZES[shape], 4 * SIZES[shape]):
        path.write_text(make(size))
        told_plainly(path)
        works.append(lines_run(lambda: told_plainly(path)))
    bare, small, large = works
    assert large - bare <= 5 * max(small - bare, 100)


@pytest.mark.parametrize("shape", IN_CHARACTERS)
def test_a_file_of_as_many_megabytes_as_are_read_is_told(memory: Path, shape: str) -> None:
    """What goes character by character in the language's own code counts no lines; here it would take hours."""
    path = memory / "farm.toml"
    path.write_text(IN_CHARACTERS[shape](MEGABYTES))
    told_plainly(path)


def problems_of(path: Path) -> Sequence[FileProblem]:
    try:
        return open_season(path).problems
    except SeasonFileError as refused:
        return refused.problems


@pytest.fixture
def memory(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    import os
    import tempfile

    shared = Path("/dev/shm")
    usable = shared.is_dir() and os.access(shared, os.W_OK)
    with tempfile.TemporaryDirectory(dir=shared if usable else tmp_path_factory.mktemp("fuzz")) as folder:
        yield Path(folder)


@pytest.mark.parametrize("steer", STEERING, ids=ascii)
def test_the_test_of_steering_sees_it(steer: str) -> None:
    assert steering(f"A1 {steer} transplant")
