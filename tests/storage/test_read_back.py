"""A new text read back: it says what parsing all of it says, whatever stands in it, and rows that stay are not parsed again."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from datetime import date
from functools import partial

import pytest
import tomli

from calendar_tui.season.edits import Data, Edit
from calendar_tui.season.sameness import same
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml import rewriting, rows, splice
from calendar_tui.storage.toml.read_back import read_back
from calendar_tui.storage.toml.row_lines import row_lines
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
    '  { id = "p", treatment = { line = "a } # b", \'light }\' = "x" }, block = 1 },',
]
# What may stand between them, and how a line may be broken.
OTHERS = [
    *("", "# a note", '# """', "  # { id = 1 },", '{ id = "f" }', '  { id = "g" }, { id = "h" },', "]", "[records]"),
    *('x = """', '"""', "x = '''", "'''", "task = [", "x = [", "{ a = [", "] },", "{ a = {", "} },", "x = {", "}"),
    *("[[task]]", 'id = "i"', "sample = [", '{ id = """', '""" },', '{ id = "a" }, # c', "7,", "[1, 2],", "{},"),
    *("plot = [", "reading = [ # dried", "{ a = { b = { } } },", "{ a = { b = [ } ] },", '{ id = "q", a = { } },', "]\nplot = ["),
    *('{ id = "a", id = "a" },', "{ id = 1.0 },", "{ id = 1 },", "{ id = true },", '{ id = "j" "k" },', '{ id = "l" },,'),
]  # fmt: skip


def listed(*rows: str) -> str:
    return HEAD + list_of("task", rows)


def list_of(kind: str, rows: Sequence[str]) -> str:
    return f"{kind} = [\n" + "".join(f"{row}\n" for row in rows) + "]\n"


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


@pytest.mark.quick(4)
@pytest.mark.parametrize("seed", range(12))
def test_any_text_says_what_it_says_when_all_of_it_is_parsed(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance, parsed, sound = random.Random(seed), [], 0
    loads = tomli.loads
    monkeypatch.setattr(tomli, "loads", lambda text: parsed.append(text) or loads(text))
    for _ in range(600):
        old = listed(*chance.choices(ROWS, k=chance.randint(1, 6)))
        if chance.random() < 0.7:
            old += chance.choice(["", "\n", "# plots\n"]) + list_of("plot", chance.choices(ROWS, k=3))
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
    "behind a list that is another's now": ("LISTEDROW\n]\nplot = [\nROW\nOTHER\n]", "LISTEDROW\n]\n[other]\nplot = [\nROW\nROW\n]"),
    "behind a list that does not end": ("LISTEDROW\n]\nplot = [\nROW\nOTHER\n]", "LISTEDROW\n7\n]\nplot = [\nROW\nROW\n]"),
    "in a list that has another's name now": ("LISTEDROW\n]\nplot = [\nOTHER\n]", "LISTEDROW\n]\nsample = [\nROW\nOTHER\n]"),
    "in two lists, numbers behind both": ("LISTEDROW\n]\nplot = [\nOTHER\n]", "LISTEDROW\n0, 1\n]\nplot = [\nROW\nOTHER\n0\n]"),
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
    assert parsed == [HEAD + "task = [\n0,\n" + made.text.split("\n")[8] + "\n1,\n]\n"]
    assert 'state = "done"' in parsed[0]
    assert same(made.data, data_of(made.text))


BOOK = [
    f'  {{ date = 2026-11-{day:02}, at = "K1-1{plot:02}", variable = "height", value = "{day}.5" }},'
    for day in (2, 9, 16)
    for plot in range(1, 41)
]
PLOTS = [
    f'  {{ id = "K1-1{n:02}", trial = "K1", treatment = {{ line = "line {n}" }}, plants = 12 }},'
    for n in range(1, 41)
]


def book() -> str:
    return listed(*ROWS) + list_of("plot", PLOTS) + "\n# walked\n" + list_of("observation", BOOK)


@pytest.mark.parametrize("day", ["2026-11-09", "2026-12-01", "2026-01-01"])
def test_of_a_cell_its_own_row_is_parsed_and_of_all_other_lists_none(
    day: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    parsed, loads = [], tomli.loads
    old = book()
    data = data_in(old)
    monkeypatch.setattr(tomli, "loads", lambda text: parsed.append(text) or loads(text))
    on = date.fromisoformat(day)
    cell = {"date": on, "at": "K1-199", "variable": "height", "value": "7"}
    made = spliced(old, data, [Edit("add", "observation", (on, "K1-199", "height"), (), cell)])
    (short,) = parsed
    assert [line for line in short.split("\n") if '"' in line] == [
        'name = "Two Rivers"',
        f'  {{ date = {day}, at = "K1-199", variable = "height", value = "7" }},',
    ]
    assert same(made.data, whole(made.text))
    kept = {id(record) for record in made.data["observation"]}
    assert kept > set(map(id, data["observation"])), "what was known is shared"
    assert list(map(id, made.data["plot"])) == list(map(id, data["plot"]))


def test_the_rows_of_the_text_before_are_found_once(monkeypatch: pytest.MonkeyPatch) -> None:
    text, found = book(), row_lines.cache_info().misses
    data = data_in(text)
    for n in range(3):
        made = spliced(text, data, [Edit("set", "plot", ("K1-101",), ("plants",), n)])
        text, data = made.text, made.data
    assert row_lines.cache_info().misses - found == 4


@pytest.mark.parametrize("way", ["lost", "doubled", "changed"])
@pytest.mark.parametrize("line", [PLOTS[7], BOOK[50], ROWS[2]], ids=["plot", "observation", "task"])
def test_what_is_written_amiss_in_a_list_that_no_edit_names_is_noticed(
    way: str, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    put = {"lost": "", "doubled": f"{line}\n{line}", "changed": line.replace('"', '"1', 1)}[way]

    def amiss(text: str, splices: list[Splice]) -> str:
        return apply_splices(text, splices).replace(line, put)

    monkeypatch.setattr(splice, "apply_splices", amiss)
    old, on = book(), date(2026, 12, 1)
    cell = {"date": on, "at": "K1-101", "variable": "height", "value": "7"}
    with pytest.raises(StorageError, match="edit the file by hand"):
        spliced(old, data_in(old), [Edit("add", "observation", (on, "K1-101", "height"), (), cell)])


@pytest.mark.parametrize("put", ["value = 7", 'value = "8"', "", 'value = "7", who = "Ben"'])
def test_what_is_written_amiss_in_a_new_row_is_noticed(put: str, monkeypatch: pytest.MonkeyPatch) -> None:
    row_line = rows.row_text
    monkeypatch.setattr(rows, "row_text", lambda record: row_line(record).replace('value = "7"', put))
    old, on = book(), date(2026, 12, 1)
    cell = {"date": on, "at": "K1-101", "variable": "height", "value": "7"}
    with pytest.raises(StorageError, match="edit the file by hand"):
        spliced(old, data_in(old), [Edit("add", "observation", (on, "K1-101", "height"), (), cell)])


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


def test_observations_that_are_not_their_lines_own_are_not_taken_for_them() -> None:
    old = book()
    data = data_in(old)
    new = old.replace('value = "9.5"', 'value = "10"', 1)
    for turned in (
        data["observation"][::-1],
        data["observation"][1:],
        [*data["observation"][40:], *data["observation"][:40]],
    ):
        assert same(read_back(new, old, {**data, "observation": turned}), whole(new))
