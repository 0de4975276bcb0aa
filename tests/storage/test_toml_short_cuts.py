"""Where a value ends, and where the members of a list stand: found the quick way as they are found mark by mark."""

from __future__ import annotations

import random
import re

import pytest
import tomli

from calendar_tui.storage.toml import lines as toml_lines
from calendar_tui.storage.toml.lines import TextEntry, closing, locate

NEVER = re.compile(r"(?!)")
PIECES = [
    "[",
    "]",
    "{",
    "}",
    '"x"',
    '"[y]"',
    "'z'",
    '"""',
    "a = 1",
    ", ",
    "# c ]",
    "\n",
    r'"\"q"',
    '"',
    "'''",
    '""',
]
ROWS = [
    *('a = ["x"]', 'b = ["x", "y"] # c', 'c = ["[",', '"]"]', "d = [", "1,", "[2],", "]", 'e = """', "[z]", '"""'),
    *('f = {a = ["b"]}', 'g.h = [ "a" ,"b", ]', "[t]", "[[t]]", 'i = ["""a"""]', "j = ['x']", 'k = ["a" "b"]'),
    *('l = ["a","b"] ]', 'm = ["a"', '"quoted key" = ["x"]', "n = '''", "'''", "", '# x = ["', 'o = ["p"]\r'),
]  # fmt: skip


@pytest.mark.parametrize("seed", range(10))
def test_the_end_of_an_array_or_table_is_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(seed)
    texts = [
        chance.choice("[{") + "".join(chance.choice(PIECES) for _ in range(chance.randint(0, 8)))
        for _ in range(2000)
    ]
    quick = [closing(text, 0) for text in texts]
    assert sum(toml_lines._CLOSED.match(text) is not None for text in texts) > 50
    monkeypatch.setattr(toml_lines, "_CLOSED", NEVER)
    assert quick == [closing(text, 0) for text in texts]


@pytest.mark.parametrize("seed", range(10))
def test_the_tables_of_a_text_are_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(seed)
    texts = ["\n".join(chance.choice(ROWS) for _ in range(chance.randint(1, 9))) for _ in range(1000)]
    quick = [locate(text).blocks for text in texts]
    monkeypatch.setattr(toml_lines, "_ONE_LINE", NEVER)
    assert quick == [locate(text).blocks for text in texts]


MEMBERS = [
    *("{ a = 1 },", '  { a = "}", b = [1, "]"] },', "\t{ a = '\"' } , ", "{ a = 1 }, { b = 2 },", "{ a = { b = 1 } },"),
    *("{ a = 1 }, # c", "{ a = 1, # },", "b = 2 },", '{ a = """" },', '"""},', "{ a = '\'\' },", "", "# }, {", "{},\r"),
    *("1, 2,", "[", "],", '"x",', "{ a = [", "] },", '{ a = "\\"}" },', "{ a = 1 }", "{ a = 1 } ,"),
]  # fmt: skip


@pytest.mark.parametrize("seed", range(10))
def test_the_members_of_a_list_are_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(seed)
    texts = []
    while len(texts) < 200:
        rows = "\n".join(chance.choice(MEMBERS) for _ in range(chance.randint(1, 6)))
        try:
            tomli.loads(text := f"x = [\n{rows}\n]\ny = 1\n")
        except tomli.TOMLDecodeError:
            continue
        texts.append(text)

    def placed(text: str) -> list[TextEntry]:
        lines = locate(text)
        return [*lines.entries(lines.blocks[0]), *lines.members(4)]

    quick = [placed(text) for text in texts]
    assert sum(toml_lines._ROW.search(text) is not None for text in texts) > 50
    monkeypatch.setattr(toml_lines, "_ROW", NEVER)
    assert quick == [placed(text) for text in texts]
