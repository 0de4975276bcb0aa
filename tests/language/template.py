"""The template of the catalogues: every text that a crew is shown, of the code and of the program's data.

Run `python -m tests.language.template` after a text has changed: it writes crew.pot anew and brings its messages into each .po.
"""

from __future__ import annotations

import ast
import io
import re
import sys
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

import tomli
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from calendar_tui.handing_on.words.cautions import CAUTIONS
from calendar_tui.language.speaking import OR, PHRASE
from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.planning.tasks.amounts import SHOWN, count_forms
from calendar_tui.planning.tasks.week import sentences
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.asking.moves_view import CHOICE_FOOT, DATE_FOOT
from calendar_tui.screens.asking.question_view import FOOT as QUESTION_FOOT
from calendar_tui.screens.asking.record_view import FOOT as RECORD_FOOT
from calendar_tui.screens.kit.every_key import KEYS
from calendar_tui.screens.kit.sections import OF_CREW, SECTIONS
from calendar_tui.screens.palette.view import FOOT as PALETTE_FOOT
from calendar_tui.screens.samples.trip_view import FOOT as TRIP_FOOT
from calendar_tui.screens.week.done_view import FOOT as DONE_FOOT
from calendar_tui.screens.week.done_view import NOTES_FOOT
from calendar_tui.screens.week.today_view import FOOT as TODAY_FOOT
from calendar_tui.screens.week.typed_view import FOOT as TYPED_FOOT
from calendar_tui.screens.week.view import FOOT as WEEK_FOOT
from calendar_tui.season.fields import LAMP_SIDES
from calendar_tui.season.stages import STAGES, TABLE
from calendar_tui.season.trials import DATE, LIGHT, SPACING, VARIETY
from calendar_tui.season.wording import MONTHS, WEEKDAY_NAMES, WEEKDAYS, stage_text
from calendar_tui.season.work import PLACE_KINDS

PACKAGE = Path(__file__).parents[2] / "calendar_tui"
LANGUAGES = PACKAGE / "language"
TEMPLATE = LANGUAGES / "crew.pot"
SEASONS = Path(__file__).parents[2] / "seasons"
# The functions that a text is given to: in which context, and where among what they are given its texts stand.
KEYWORDS: dict[str, tuple[str, slice]] = {
    "tr": ("", slice(0, 1)),
    "marked": ("", slice(0, 1)),
    "tr_n": ("", slice(0, 2)),
    "tr_in": ("", slice(1, 2)),
    "phrase": (PHRASE, slice(0, 1)),
    "phrase_form": (PHRASE, slice(0, 1)),
    "file_text": (PHRASE, slice(0, 1)),
    "phrase_n": (PHRASE, slice(0, 2)),
}
CALLED = re.compile(rf"\b({'|'.join(KEYWORDS)})\(")
# The last lines of the views that a crew has.
FEET = (
    WEEK_FOOT,
    TODAY_FOOT,
    DONE_FOOT,
    NOTES_FOOT,
    TYPED_FOOT,
    TRIP_FOOT,
    CHOICE_FOOT,
    DATE_FOOT,
    RECORD_FOOT,
    QUESTION_FOOT,
    PALETTE_FOOT,
)
# Words of tables that a crew is shown: their context, they themselves, and where they stand.
WORDS: tuple[tuple[str, Iterable[str], str], ...] = (
    (PHRASE, POSITIONS, "calendar_tui/nature/canopy.py"),
    (PHRASE, PHASES.values(), "calendar_tui/planning/why/phases.py"),
    (PHRASE, ("asked", "booked", "taken"), "calendar_tui/season/rules.py"),
    (PHRASE, ("sown", "stuck"), "calendar_tui/season/stages.py"),
    (PHRASE, ("open", "done", "skipped"), "calendar_tui/season/work.py"),
    (PHRASE, WEEKDAY_NAMES, "calendar_tui/season/wording.py"),
    (PHRASE, LAMP_SIDES[:2], "calendar_tui/season/fields.py"),
    ("", PLACE_KINDS, "calendar_tui/season/work.py"),
    ("", ("seed", "planned", "replanned", "recorded", "projected"), "calendar_tui/season/stages.py"),
    (PHRASE, tuple(one.look.lower() for one in TABLE if one.look), "calendar_tui/season/stages.py"),
    (PHRASE, ("cohort", "place", "variety"), "calendar_tui/season/finders.py"),
    ("list", (" and ",), "calendar_tui/season/choosing.py"),
    (PHRASE, (VARIETY, DATE, SPACING, LIGHT), "calendar_tui/season/trials.py"),
    ("act", ("tick", "skip", "move", "note it on", "open again"), "calendar_tui/commands/tasks_by_id.py"),
    ("answer", ("y", "yes"), "calendar_tui/commands/command_input.py"),
    ("list", (" or ",), "calendar_tui/commands/tasks_by_id.py"),
    ("bag", ("planned", "taken", "sent", "lost"), "calendar_tui/season/sampling.py"),
    ("compass", "NESW", "calendar_tui/handing_on/paper/wall.py"),
)
# Its context, its text or its two forms, and where it stands.
Found = tuple[str, str | tuple[str, str], str]


def template() -> Catalog:
    """All messages with where they stand, in one order."""
    catalog = Catalog(project="calendar-tui", charset="utf-8")
    for context, text, where in (*of_code(), *of_data()):
        catalog.add(text, context=context or None, locations=[(where, 0)])
    return _unformatted(catalog)


def _unformatted(catalog: Catalog) -> Catalog:
    """Without the flag for the % of C, for which Babel takes "80 % of"."""
    for message in catalog:
        message.flags.discard("python-format")
    return catalog


def of_code() -> Iterator[Found]:
    for file in sorted(PACKAGE.rglob("*.py")):
        text, where = file.read_text(encoding="utf-8"), file.relative_to(PACKAGE.parent).as_posix()
        if not CALLED.search(text):
            continue
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in KEYWORDS:
                yield from _of_call(node, *KEYWORDS[node.func.id], where)


def _of_call(call: ast.Call, context: str, texts: slice, where: str) -> Iterator[Found]:
    given = [arg.value if isinstance(arg, ast.Constant) else "" for arg in call.args]
    one, *several = given[texts] or [""]
    if isinstance(one, str) and one:
        yield given[0] if texts.start else context, (one, several[0]) if several else one, where


def of_data() -> Iterator[Found]:
    """What a crew is shown of the starter chores, of the examples' own, and of the tables of words."""
    chores = PACKAGE / "starter" / "chores.toml"
    for file in (chores, *sorted(SEASONS.glob("*.toml"))):
        for chore in tomli.loads(file.read_text(encoding="utf-8"))["chore"]:
            for text in _of_chore(chore):
                yield PHRASE, text, file.relative_to(PACKAGE.parent).as_posix()
    for caution in CAUTIONS.values():
        for sentence in sentences(caution.text):
            yield PHRASE, sentence, "calendar_tui/handing_on/words/cautions.py"
    for name in SHOWN:
        if name != "kWh":
            yield PHRASE, count_forms(name), "calendar_tui/planning/tasks/amounts.py"
    for stage in STAGES:
        for context in ("", PHRASE):
            yield context, stage_text(stage), "calendar_tui/season/stages.py"
    for context, words, where in WORDS:
        yield from ((context, word, where) for word in words)
    for variable in tomli.loads((PACKAGE / "starter" / "variables.toml").read_text(encoding="utf-8"))[
        "variable"
    ]:
        for key in ("id", "name", "definition", "method"):
            if text := variable.get(key):
                yield PHRASE, text, "calendar_tui/starter/variables.toml"
    for profile in tomli.loads((PACKAGE / "starter" / "rules.toml").read_text(encoding="utf-8"))["profile"]:
        yield from (
            (PHRASE, text, "calendar_tui/starter/rules.toml") for text in profile.get("after_failure", ())
        )
    yield from _of_feet()
    yield from _of_help()
    yield "list", OR, "calendar_tui/language/speaking.py"
    yield from _of_dates()


def _of_feet() -> Iterator[Found]:
    for group in dict.fromkeys(chain(*FEET)):
        yield from (
            ("", key.foot, "calendar_tui/screens/kit/every_key.py") for key in KEYS[group] if key.foot
        )


def _of_help() -> Iterator[Found]:
    for name, title, groups in SECTIONS:
        if name in OF_CREW:
            yield "", title, "calendar_tui/screens/kit/sections.py"
            keys = (key for group in groups for key in KEYS[group] if key.text)
            yield from (("", key.text, "calendar_tui/screens/kit/every_key.py") for key in keys)


def _of_chore(chore: dict[str, object]) -> Iterator[str]:
    for key in ("what", "asks", "who"):
        if text := str(chore.get(key, "")):
            yield text
    yield from sentences(str(chore.get("caution", "")))


def _of_dates() -> Iterator[Found]:
    where = "calendar_tui/season/wording.py"
    for context, words in (("month", MONTHS), ("weekday", WEEKDAYS), ("number", (".",))):
        yield from ((context, word, where) for word in words)
    for form in ("{day} {month}", "{date} {year}", "{weekday} {date}"):
        yield "date", form, "calendar_tui/language/speaking.py"


HEADER = """\
# Texts that a crew is shown. docs/languages.md says how a language is added.
msgid ""
msgstr ""
"Language: {code}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: {plural}\\n"
"""


def text_of(header: str, catalog: Catalog, *, where: bool) -> str:
    """The text of a catalogue; where: with the files in which each message stands."""
    out = io.BytesIO()
    write_po(out, catalog, width=120, no_location=not where, omit_header=True, include_lineno=False)
    return f"{header}\n{out.getvalue().decode().strip()}\n"


def template_text() -> str:
    return text_of(HEADER.format(code="", plural="nplurals=2; plural=(n != 1);"), template(), where=True)


def read(file: Path) -> Catalog:
    with file.open("rb") as opened:
        return read_po(opened, locale=file.stem)


def merged_text(file: Path) -> str:
    """A catalogue with the messages of the template, in its order; those that are gone are left out."""
    theirs, merged = read(file), Catalog()
    merged.mime_headers = theirs.mime_headers
    for message in template():
        if message.id:
            known = theirs.get(message.id, message.context)
            empty = "" if isinstance(message.id, str) else ("", "")
            merged.add(message.id, known.string if known else empty, context=message.context)
    header = file.read_text(encoding="utf-8").partition("\n\n")[0] + "\n"
    return text_of(header, _unformatted(merged), where=False)


def strings_of(message: Message) -> tuple[str, ...]:
    return (message.string,) if isinstance(message.string, str) else tuple(message.string)


def main() -> int:
    TEMPLATE.write_text(template_text(), encoding="utf-8")
    for file in sorted(LANGUAGES.glob("*.po")):
        file.write_text(merged_text(file), encoding="utf-8")
        messages = [message for message in read(file) if message.id]
        missing = sum(not all(strings_of(message)) for message in messages)
        print(f"{file.name}: {missing} of {len(messages)} without a text", file=sys.stderr)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
