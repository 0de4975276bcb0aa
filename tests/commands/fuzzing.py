"""Season files gone wrong in every way: case number n is always the same file.

`python -m tests.commands.fuzzing N` writes case N to standard output.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Sequence
from functools import cache
from random import Random

from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import LISTED, OPTIONAL, SINGLE
from tests.commands.small_season import PLAIN

MORE = """
[heat]
base_c = 1.0

[[programme]]
place = "H1"
from = 2026-11-01
to = 2026-11-19
method = "clock"
on = "17:30"
off = "23:00"

[[task]]
id = "aaaa"
date = 2026-11-09
what = "Transplant by hand"
chore = "transplant"
cohort = "A1"
who = "crew"
hours = 1.02
note = '''
of two lines''' # and a comment

[capacity]
samples_per_week = 12
harvest_to = 2027-05-01

[[draft]]
id = "later"
variety = "amber"
start = "seed"
cohorts = [{ place = "H1", seeding = 2026-11-16, lights_off = 2027-01-03 }]

[records]
task = [
  { id = "bbbb", date = 2026-11-12, what = "Walk the rows", state = "done", done_on = 2026-11-12 },

  # a note of the grower's own
  { id = "cccc", date = 2026-11-13, what = "Hoe", cohorts = ["A1", "B1"], who = "crew", hours = 0.5 },  # and one behind
]

# The grower's own
[mine]
"a key" = { x = 1, "y z" = [1, [2, { b = "c" }]] }
"""
STEERING = [
    "\x1b[2J",
    "\x9b31m",
    "\x1b]8;;http://a\x07",
    "\x07",
    "\u202e",
    "\u2066",
    "\u200b",
    "\U000e0041",
    "\x00",
    "\x85",
]
WORDS = ["", " ", "..", "../../etc/passwd", "a/b", "C:\\x", "$(reboot)", "; rm -rf ~", "{0.__class__}", "%s%n", "[red]x[/]",
         "\ud7ff\ufeff", "é" * 9, "\u0301", "x" * 3000, "word\nword", "-", "--yes", "CON", "A1", "amber", "H1", "None"]  # fmt: skip
VALUES = ["0", "-1", "1e400", "-inf", "nan", "9" * 400, "9" * 5000, "0x" + "f" * 4000, "1e-320", "true", "[]", "{}",
          "[[]]", "{ a = { a = {} } }", "0001-01-01", "9999-12-31", "2026-02-29", "2026-11-09T07:30:00+23:59",
          "2026-11-09", "07:30", "12:00:00.123456", '""', '"""\na\n"""', "'''", "[1, 2, 3]", "[nan, inf, 1]",
          '"FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"', '"FREQ=DAILY;COUNT=999999999"', '"FREQ=SECONDLY"', "1_0", "0b2",
          '"24:00"', '"99:99"', '"America"', "[" * 30 + "]" * 30, "[" * 3000 + "]" * 3000, "{a=" * 400 + "1" + "}" * 400]  # fmt: skip
LIKELY = ["1", "3", "0.5", "12", "2026-11-10", "true", '"A1"', '"H1"', '"amber"', '"seeding"', '"harvest"', '"feminised"',
          '"seed"', '"x"', '"18:00"', "[1, 2, 3]", "[7, 24]", '["A1"]', '["a", "b"]', '"station.csv"', '"C"', "{ crew = 40 }",
          '{ id = "A1" }', "{ critical_day = 'own' }", '"FREQ=WEEKLY"', "100", "0", "[1.5, 0.6]", "false"]  # fmt: skip
TOKEN = re.compile(r'"[^"\n]*"|[\w.:+-]+|\s+|.')
_VALUE = re.compile(r"(?m)(?<= = )[^#\n]+")
_KEY = re.compile(r"(?m)^[\w-]+(?= = )")
_TEXT = re.compile(r'(?m)(?<=^)(name|what|who|note|caution|mine) = "[^"\n]*"')
_HEADER = re.compile(r"(?m)^\[+[\w.]+\]+")


@cache
def whole() -> str:
    """A season with a record of each kind, that reads well."""
    months = "[" + ", ".join(f"{16 + n}" for n in range(12)) + "]"
    warm = f'timezone = "America/Montevideo"\nmonthly_low_c = {months}\nmonthly_high_c = {months}'
    return PLAIN.replace('timezone = "America/Montevideo"', warm) + MORE


def _quoted(text: str) -> str:
    escaped = "".join(f"\\U{ord(c):08x}" if ord(c) < 32 or c in '"\\\x7f' else c for c in text)
    return f'"{escaped}"'


def _hidden(text: str, chance: Random) -> str:
    """Text in quotes, its characters as they are or as escapes, which tomllib lets through."""
    return _quoted(text) if chance.random() < 0.3 else '"' + "".join(f"\\U{ord(c):08x}" for c in text) + '"'


def _any_text(chance: Random) -> str:
    parts = [chance.choice(chance.choice((STEERING, WORDS))) for _ in range(chance.randint(1, 3))]
    return "".join(parts)


def _value(chance: Random) -> str:
    return chance.choice(VALUES) if chance.random() < 0.6 else _hidden(_any_text(chance), chance)


def _put(pattern: re.Pattern[str], make: Callable[[str, Random], str]) -> Callable[[str, Random], str]:
    """Replaces one of the places that a pattern finds."""

    def mutate(text: str, chance: Random) -> str:
        places = list(pattern.finditer(text))
        if not places:
            return text
        place = chance.choice(places)
        return text[: place.start()] + make(place[0], chance) + text[place.end() :]

    return mutate


def _lines(text: str, chance: Random) -> str:
    """A line doubled, dropped, moved or cut."""
    lines = text.split("\n")
    at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
    line = lines[at]
    way = chance.randrange(4)
    if way:
        del lines[at]
    if way != 1:
        lines.insert(to, line if way != 3 else line[: chance.randint(0, len(line))])
    return "\n".join(lines)


def _tokens(text: str, chance: Random) -> str:
    tokens = TOKEN.findall(text)
    for _ in range(chance.randint(1, 3)):
        at, to = chance.randrange(len(tokens)), chance.randrange(len(tokens))
        way = chance.randrange(3)
        if way == 0:
            tokens[at], tokens[to] = tokens[to], tokens[at]
        elif way == 1:
            tokens[at] = tokens[to]
        else:
            tokens[at] = chance.choice(
                ['"', "'", "[", "]", "{", "}", "=", "#", "\n", "\\", '"""', ".", ",", "\r"]
            )
    return "".join(tokens)


def _records(text: str, chance: Random) -> str:
    """Records many times over, or moved."""
    blocks = re.split(r"(?m)^(?=\[)", text)
    at = chance.randrange(len(blocks))
    return "".join([*blocks[:at], *[blocks[at]] * chance.choice([0, 2, 3, 40]), *blocks[at + 1 :]])


def _renamed(name: str, chance: Random) -> str:
    return _hidden(_any_text(chance), chance) if chance.random() < 0.5 else name[:-1] + chance.choice("aesx_")


def _header(header: str, chance: Random) -> str:
    name = _hidden(_any_text(chance), chance)
    return chance.choice(
        [f"[{name}]", f"[[{name}]]", f"[{header.strip('[]')}]", f"[[{header.strip('[]')}]]", f"[mine.{name}]"]
    )


def _text(_field: str, chance: Random) -> str:
    return f"{_field.split(' ', maxsplit=1)[0]} = {_hidden(_any_text(chance), chance)}"


def _known_key(header: str, chance: Random) -> str:
    """A header with one more key that its records may have, with a value that may fit."""
    kind = header.strip("[]")
    if kind not in FIELDS:
        return header
    key = chance.choice(FIELDS[kind]).key
    return f"{header}\n{key} = {chance.choice(LIKELY) if chance.random() < 0.7 else _value(chance)}"


def _known_table(text: str, chance: Random) -> str:
    """A record of any kind at the end, with some of its keys."""
    kind = chance.choice([*SINGLE, *OPTIONAL, *LISTED])
    keys = {field.key: chance.choice(LIKELY) for field in FIELDS[kind] if chance.random() < 0.7}
    header = f"[[{kind}]]" if kind in LISTED else f"[{kind}]"
    return text + "\n".join(["", header, *(f"{key} = {value}" for key, value in keys.items()), ""])


MUTATIONS: Sequence[Callable[[str, Random], str]] = (
    _lines,
    _tokens,
    _records,
    _put(_VALUE, lambda _, chance: _value(chance)),
    _put(_VALUE, lambda _, chance: _value(chance)),
    _put(_TEXT, _text),
    _put(_KEY, _renamed),
    _put(_HEADER, _header),
    _put(_HEADER, _known_key),
    _put(_HEADER, _known_key),
    _known_table,
)


def _bytes(content: bytes, chance: Random) -> bytes:
    out = bytearray(content)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(out))
        way = chance.randrange(4)
        if way == 0:
            out[at] = chance.randrange(256)
        elif way == 1:
            del out[at : at + chance.randint(1, 30)]
        elif way == 2:
            out[at:at] = chance.choice(STEERING).encode()
        else:
            out[at:at] = chance.randbytes(chance.randint(1, 4))
        if not out:
            break
    return bytes(out)


def case(n: int) -> bytes:
    """The n-th season file: one mutation or a few, and in each fifth some bytes."""
    chance = Random(f"season {n}")
    text = whole()
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        text = chance.choice(MUTATIONS)(text, chance)
    content = text.encode(errors="replace")
    return _bytes(content, chance) if n % 5 == 0 and content else content


if __name__ == "__main__":
    sys.stdout.buffer.write(case(int(sys.argv[1])))
