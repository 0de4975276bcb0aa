"""The Spanish catalogue has all that a crew is shown, and Babel, a general library, reads it as we do."""

from __future__ import annotations

import pytest

from calendar_tui.language.catalogue import names_in, read_catalogue
from calendar_tui.language.po import entries
from calendar_tui.language.speaking import PHRASE, speaking, translated
from calendar_tui.storage.languages import SHIPPED

SPANISH = SHIPPED / "es.po"
# Texts that are written alike in both.
ALIKE = {
    ".",
    "provisional",
    "total",
    "{relight}: {head} ({counted}); {look}",
    "{refusal} ({key}).",
    "{task_id} {chore}",
    "{chore} ({whose})",
    "{what}; {spent}",
    "{what} ({delay})",
    "{who}, {elapsed}: {what}",
    "{yes}",
    "{bound}, provisional",
    "{stage} + {span}",
    "natural",
    "{lot} {canopy}",
    "{task_id} {work} ({cohorts})",
    "ph",
    "n",
    "e",
    "s",
    "{day} {what}",
    "may",
    "jun",
    "jul",
    "sep",
    "oct",
    "nov",
    "{day} {month}",
    "{date} {year}",
    "{weekday} {date}",
}


def _text() -> str:
    return SPANISH.read_text(encoding="utf-8")


@pytest.mark.needs("babel")
def test_the_template_and_the_catalogue_have_the_messages_of_the_program_and_no_others() -> None:
    from tests.language.template import LANGUAGES, TEMPLATE, merged_text, template_text

    renew = "run: python -m tests.language.template"
    assert TEMPLATE.read_text(encoding="utf-8") == template_text(), renew
    for file in LANGUAGES.glob("*.po"):
        assert file.read_text(encoding="utf-8") == merged_text(file), renew


def test_no_message_is_without_its_text() -> None:
    missing = [entry.text for entry in entries(_text()) if not entry.is_translated]
    assert not missing


def test_every_text_fills_in_what_the_english_one_does() -> None:
    assert not read_catalogue("es", _text()).wrong


def test_no_text_was_left_as_it_is_in_english() -> None:
    left = [
        entry.text
        for entry in entries(_text())
        if entry.text and entry.text == entry.forms[0] and entry.text.casefold() not in ALIKE
    ]
    assert not left


def test_a_closed_place_is_told_in_the_same_words_as_a_heading_and_in_a_sentence() -> None:
    spanish = read_catalogue("es", _text())
    heading = spanish.text("", "Do not enter")
    assert spanish.text(PHRASE, "Do not enter: {closed}.") == f"{heading}: {{closed}}."


@pytest.mark.needs("babel")
def test_babel_reads_the_same_messages() -> None:
    from babel.messages.pofile import read_po

    with SPANISH.open("rb") as file:
        theirs = {
            (
                message.context or "",
                *((message.id,) if isinstance(message.id, str) else message.id),
            ): message.string
            for message in read_po(file, locale="es")
            if message.id
        }
    ours = {}
    for entry in entries(_text()):
        if entry.text:
            key = (entry.context, entry.text, *((entry.plural,) if entry.plural else ()))
            ours[key] = tuple(entry.forms.values()) if entry.plural else entry.forms[0]
    assert ours == theirs
    assert len(ours) > 250


# What is filled into the names of phrases that stand for more than any words.
_FILLED = {
    "count": "3",
    "day": "Wed 9 Dec",
    "since": "Wed 9 Dec",
    "first": "Tue 8 Dec",
    "last": "Wed 9 Dec",
    "moment": "Wed 9 Dec 05:15",
    "time": "07:00",
    "sun": "05:15",
    "off_time": "06:15",
    "end": "Zq 9 Dec",
    "canopy": "top",
    "cohort_of": "cohort of q9",
    "far": "70 days",
    "night_count": "3 nights",
    "before": "open",
    "now": "done",
    "more": "4",
    "thc": "0.14 %",
    "task_id": "k66g",
    "spent": "spent 3.5 h",
    "doubt": "before Zq",
    "last_doubt": "before Zr",
    "delay": "4 d late",
    # Of two words, which the ids before them must not take in part.
    "stage": "lights off",
    "names": "A1 B2",
    "age": "2 h",
    "elapsed": "2 h ago",
    "ids": "k66g, b7n8",
    "near": "9 dec",
    "iso": "2026-12-09",
    "dates": "dates from Tue 8 Dec 2026 to Wed 9 Dec 2026",
    **dict.fromkeys(("hours", "limit", "full"), "14 h 02"),
    **dict.fromkeys(("days", "length", "futures", "others", "total", "this", "so_far", "needed"), "7"),
}


def test_every_phrase_is_known_again_as_itself_and_as_no_other() -> None:
    """The words that are filled in are no words of any language, so each must stand where its name does."""
    spanish = read_catalogue("es", _text())
    wrong = []
    for entry in entries(_text()):
        if entry.context != PHRASE or not names_in(entry.plural or entry.text):
            continue
        made = entry.plural or entry.text
        values = {name: _FILLED.get(name, f"Zq{name}") for name in names_in(made)}
        with speaking(spanish):
            shown = {name: translated(value) for name, value in values.items()}
            if translated(made.format(**values)) != entry.forms[max(entry.forms)].format(**shown):
                wrong.append((made, translated(made.format(**values))))
    assert not wrong


def test_the_decimal_sign_is_that_of_the_spanish_of_latin_america() -> None:
    """Babel has it of the Unicode CLDR, es-419."""
    babel = pytest.importorskip("babel")
    assert (
        read_catalogue("es", _text()).text("number", ".")
        == babel.Locale.parse("es_419").number_symbols["latn"]["decimal"]
    )
