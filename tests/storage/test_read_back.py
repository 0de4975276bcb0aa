"""A new text read back: it says what parsing all of it says, whatever stands in it, and rows that stay are not parsed again."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial

import pytest
import tomli

from calendar_tui.season.edits import Data, Edit
from calendar_tui.season.sameness import same
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml import rewriting, splice
from calendar_tui.storage.toml.read_back import read_back
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.toml.splices import Splice, apply_splices
from calendar_tui.storage.toml.values import data_in
from tests.season_data import data_of

HEAD = 'format = 3\n\n[season]\nname = "Two Rivers"\n\n[records]\n'
ROWS = [
    '  { id = "a", date = 2026-11-01, n = 1 },',
    '  { id = "b", hours = 1.0, cohorts = ["A1", "A2"] },',
    "{ id = \"c\", note = 'all } of # it' },",
    '\t{ id = "d", note = "say \\"}\\" twice", place = "" } , ',
    '  { id = "e" },\r',
]
# What may stand between them, and how a line may be broken.
OTHERS = [
    *("", "# a note", '# """', "  # { id = 1 },", '{ id = "f" }', '  { id = "g" }, { id = "h" },', "]", "[records]"),
    *('x = """', '"""', "x = '''", "'''", "task = [", "x = [", "{ a = [", "] },", "{ a = {", "} },", "x = {", "}"),
    *("[[task]]", 'id = "i"', "sample = [", '{ id = """', '""" },', '{ id = "a" }, # c', "7,", "[1, 2],", "{},"),
    *('{ id = "a", id = "a" },', "{ id = 1.0 },", "{ id = 1 },", "{ id = true },", '{ id = "j" "k" },', '{ id = "l" },,'),
]  # fmt: skip


def listed(*rows: str) -> str:
    return HEAD + "task = [\n" + "".join(f"{row}\n" for row in rows) + "]\n"


def outcome(work: Callable[[], Data]) -> Data | None:
    """The data, or None where the text is not TOML."""
    try:
        return work()
    except tomli.TOMLDecodeError:
        return None


def whole(text: str) -> Data | None:
    return outcome(partial(data_in, text))


def mutated(chance: random.Random, text: str) -> str:
    """The text with some lines gone, doubled, changed round, put in or broken."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 5)):
        at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        way = chance.randrange(6)
        if way == 0 and len(lines) > 2:
            del lines[at]
        elif way == 1:
            lines.insert(other, lines[at])
        elif way == 2:
            lines[at], lines[other] = lines[other], lines[at]
        elif way == 3:
            lines.insert(at, chance.choice(OTHERS))
        elif way == 4:
            lines[at] = chance.choice(ROWS + OTHERS)
        elif lines[at]:
            cut = chance.randrange(len(lines[at]))
            lines[at] = (
                lines[at][:cut]
                + chance.choice(["", '"', "'", "{", "}", ",", "#", "\n"])
                + lines[at][cut + 1 :]
            )
    return "\n".join(lines)


@pytest.mark.parametrize("seed", range(12))
def test_any_text_says_what_it_says_when_all_of_it_is_parsed(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance, parsed, sound = random.Random(seed), [], 0
    loads = tomli.loads
    monkeypatch.setattr(tomli, "loads", lambda text: parsed.append(text) or loads(text))
    for _ in range(600):
        old = listed(*chance.choices(ROWS, k=chance.randint(1, 6)))
        if chance.random() < 0.5 and whole(other := mutated(chance, old)) is not None:
            old = other
        new, data = mutated(chance, old), data_in(old)
        expected = whole(new)
        data_in.cache_clear()
        del parsed[:]
        back = outcome(partial(read_back, new, old, data))
        assert same(back, expected), (old, new)
        sound += expected is not None and parsed != [new]
    assert sound > 50


ROW, OTHER = ROWS[0], ROWS[1]
# Texts in which lines that look like rows of `[records]` are something else, and what they became.
AMISS = {
    "in a text of several lines": ("X = '''\n[records]\ntask = [\nROW\n]\n'''\nLISTEDROW\nOTHER\n]", "X = '''\n[records]\ntask = [\nROW\nROW\n]\n'''\nLISTEDROW\nOTHER\n]"),
    "in another such": ('X = """\n[records]\ntask = [\nROW\n]\n"""\nLISTEDROW\nOTHER\n]', 'X = """\n[records]\ntask = [\nROW\nROW\n]\n"""\nLISTEDROW\nOTHER\n]'),
    "behind one in a row": ("LISTEDROW\nOTHER\n]", 'LISTED{ id = """" },\nROW\n""" },\nOTHER\n]'),
    "behind a literal one in a row": ("LISTEDROW\nOTHER\n]", "LISTED{ id = '''' },\nROW\n''' },\nOTHER\n]"),
    "below a comment": ("# [records]\ntask = [\nROW\n]", "# [records]\ntask = [\nROW\nROW\n]"),
    "without a comma": ("LISTEDROW\n{ id = \"z\" }\n]", "LISTED{ id = \"z\" }\nROW\n]"),
    "in a list of a row": ("LISTEDROW\n]", "LISTED{ a = [\nROW\n] },\nROW\n]"),
    "in a comment in a row": ("LISTEDROW\n]", "LISTED{ a = 1, # },\nROW\nb = 2 },\n]"),
    "in another list of the same name": ("LISTEDROW\n]\n[other]\ntask = [\nOTHER\n]", "LISTEDOTHER\n]\n[other]\ntask = [\nROW\n]"),
    "of another kind": ("LISTEDROW\n]", "[records]\nsample = [\nROW\n]"),
    "numbers beside them": ("LISTEDROW\n]", "LISTEDROW\n{ id = \"n\" }, 0, 1\n]"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new"), AMISS.values(), ids=AMISS)
def test_lines_that_only_look_like_rows_say_what_they_say(old: str, new: str) -> None:
    for word, text in (("LISTED", "[records]\ntask = [\n"), ("ROW", ROW), ("OTHER", OTHER)):
        old, new = old.replace(word, text), new.replace(word, text)
    expected = whole(new)
    assert same(outcome(partial(read_back, new, old, data_in(old))), expected)
    if expected is not None:
        assert same(read_back(old, new, expected), data_in(old))


def test_of_a_tick_the_rest_and_the_ticked_row_are_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    parsed, loads = [], tomli.loads
    old = listed(*ROWS)
    data = data_in(old)
    monkeypatch.setattr(tomli, "loads", lambda text: parsed.append(text) or loads(text))
    made = spliced(old, data, [Edit("set", "task", ("b",), ("state",), "done")])
    assert parsed == [HEAD + "task = [\n0,\n" + made.text.split("\n")[8] + "\n1,\n2,\n3,\n]\n"]
    assert 'state = "done"' in parsed[0]
    assert same(made.data, data_of(made.text))


@pytest.mark.parametrize("put", ["state = 1.0", "", 'state = "done", n = 2', 'state = "done" },'])
def test_what_is_written_amiss_in_one_row_is_noticed(put: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rewriting, "entry_text", lambda *_: put)
    old = listed(*ROWS)
    with pytest.raises(StorageError, match="edit the file by hand"):
        spliced(old, data_in(old), [Edit("set", "task", ("b",), ("state",), 1)])


@pytest.mark.parametrize(
    "change",
    [
        lambda lines: [*lines[:7], *lines[8:]],
        lambda lines: [*lines[:8], lines[7], *lines[8:]],
        lambda lines: [*lines[:7], lines[8], lines[7], *lines[9:]],
        lambda lines: [*lines[:9], lines[9].replace("all", "none"), *lines[10:]],
        lambda lines: [*lines[:2], "[seasons]", *lines[3:]],
    ],
    ids=["a row is lost", "doubled", "changed round", "another is changed", "elsewhere"],
)
def test_what_is_written_amiss_in_other_lines_is_noticed(
    change: Callable[[list[str]], list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def amiss(text: str, splices: list[Splice]) -> str:
        return "\n".join(change(apply_splices(text, splices).split("\n")))

    monkeypatch.setattr(splice, "apply_splices", amiss)
    old = listed(*ROWS)
    with pytest.raises(StorageError, match="edit the file by hand"):
        spliced(old, data_in(old), [Edit("set", "task", ("e",), ("state",), "done")])


def test_records_that_are_not_their_lines_own_are_not_taken_for_them() -> None:
    old = listed(*ROWS)
    data = data_in(old)
    turned = {**data, "task": data["task"][::-1]}
    new = old.replace("n = 1", "n = 2")
    assert same(read_back(new, old, turned), data_of(new))
