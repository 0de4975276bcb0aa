"""Catalogues as they are read, and texts as they are shown by them."""

from __future__ import annotations

import pytest

from calendar_tui.language.catalogue import Catalogue, read_catalogue
from calendar_tui.language.po import PoError, entries
from calendar_tui.language.speaking import (
    decimal_text,
    phrase,
    phrase_n,
    speaking,
    spoken_code,
    tr,
    tr_in,
    tr_n,
    translated,
)

# Polish has three forms; the rule is that of the GNU gettext manual, section "Plural forms".
HEADER = r"""
msgid ""
msgstr ""
"Language: pl\n"
"Plural-Forms: nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);\n"
"""
BODY = r"""
msgid "Overdue: {late}"
msgstr "Zaległe: {late}"

#, fuzzy
msgid "no tasks"
msgstr "brak?"

msgctxt "weekday"
msgid "Sun"
msgstr "nie"

msgctxt "month"
msgid "Dec"
msgstr "gru"

msgctxt "number"
msgid "."
msgstr ","

msgid "{count} file"
msgid_plural "{count} files"
msgstr[0] "{count} plik"
msgstr[1] "{count} pliki"
msgstr[2] "{count} plików"

msgctxt "phrase"
msgid "{count} tray"
msgid_plural "{count} trays"
msgstr[0] "{count} taca"
msgstr[1] "{count} tace"
msgstr[2] "{count} tac"

msgctxt "phrase"
msgid "moved from {day}, no working day"
msgstr "dzień wolny, z {day}"

msgctxt "phrase"
msgid "{place} is closed until it is recorded: {waits}"
msgstr "{place} zamknięte, brak zapisu: {waits}"

msgctxt "list"
msgid ", or "
msgstr " lub "

msgctxt "phrase"
msgid "re-entry"
msgstr "powrót"

msgctxt "phrase"
msgid "Hoe; water"
msgstr "Pielić; podlać"

# a text that goes on in further lines, with a quotation mark
msgid "long "
"\"text\""
msgstr ""
"długi "
"\"tekst\"\n"

#~ msgid "gone"
#~ msgstr "nie ma"
"""


def _polish(body: str = BODY) -> Catalogue:
    return read_catalogue("pl", HEADER + body)


def test_without_a_language_every_text_is_as_the_program_has_it() -> None:
    assert tr("Overdue: {late}", late=3) == "Overdue: 3"
    assert tr_n("{count} file", "{count} files", 1) == "1 file"
    assert translated("moved from Sun 13 Dec, no working day") == "moved from Sun 13 Dec, no working day"
    assert (decimal_text("0.5"), spoken_code()) == ("0.5", "en")


def test_inside_speaking_and_only_there_texts_are_those_of_the_catalogue() -> None:
    with speaking(_polish()):
        assert tr("Overdue: {late}", late=3) == "Zaległe: 3"
        assert tr_in("weekday", "Sun") == "nie"
        assert (decimal_text("0.5"), spoken_code()) == ("0,5", "pl")
        assert tr('long "text"') == 'długi "tekst"\n'
        with speaking(None):
            assert tr("Overdue: {late}", late=3) == "Overdue: 3"
    assert tr("Overdue: {late}", late=3) == "Overdue: 3"


def test_what_is_missing_or_not_sure_stays_in_english() -> None:
    with speaking(_polish()):
        assert tr("no tasks") == "no tasks"
        assert tr("gone") == "gone"
        assert tr_in("month", "Sun") == "Sun"


@pytest.mark.parametrize(
    ("count", "text"), [(1, "1 plik"), (2, "2 pliki"), (5, "5 plików"), (22, "22 pliki")]
)
def test_a_count_has_the_form_of_the_header_s_rule(count: int, text: str) -> None:
    with speaking(_polish()):
        assert tr_n("{count} file", "{count} files", count) == text


def test_a_phrase_made_in_english_is_known_again_with_what_was_filled_in() -> None:
    saved = phrase("moved from {day}, no working day", day="Sun 13 Dec")
    trays = phrase_n("{count} tray", "{count} trays", 3)
    with speaking(_polish()):
        assert translated(saved) == "dzień wolny, z nie 13 gru"
        assert translated(trays) == "3 tace"
        assert translated(f"{saved}; {trays}") == "dzień wolny, z nie 13 gru; 3 tace"
        assert phrase("moved from {day}, no working day", day="nie") == "dzień wolny, z nie"
        waits = "H2 is closed until it is recorded: re-entry; who came"
        assert translated(waits) == "H2 zamknięte, brak zapisu: powrót; who came"
        assert translated("Hoe; water") == "Pielić; podlać"


def test_an_or_is_put_into_the_language_only_between_the_program_s_own_words() -> None:
    with speaking(_polish()):
        assert (
            translated("re-entry, or moved from 6 Dec, no working day") == "powrót lub dzień wolny, z 6 gru"
        )
        assert translated("6 Dec, or 9 Dec") == "6 gru lub 9 gru"
        for own in ("wet, or dry", "the gate; wet, or dry", "wet by 6 pm, or dry"):
            assert translated(own) == own
        assert translated("open it, then close") == "open it, then close"


def test_a_person_s_own_text_stays_but_for_its_dates_and_figures() -> None:
    with speaking(_polish()):
        assert translated("moved from the barn, no working day") == "moved from the barn, no working day"
        assert translated("Ask Ana on Sun 6 Dec, 0.5 h") == "Ask Ana on nie 6 gru, 0,5 h"
        # No figures: a clock, a citation, a version.
        assert translated("at 6.10-7.2, 40 CFR 170.605(a)") == "at 6.10-7.2, 40 CFR 170.605(a)"


@pytest.mark.parametrize(
    ("message", "right"),
    [
        ('msgid "Overdue: {late}"\nmsgstr "Zaległe"', "they must be {late}"),
        ('msgid "Overdue: {late}"\nmsgstr "{late} {date}"', "they must be {late}"),
        ('msgid "no tasks"\nmsgstr "{late.real}"', "they must be none"),
        ('msgid "Overdue: {late}"\nmsgstr "Zaległe: {late"', "write {{ for a bracket"),
    ],
)
def test_a_message_that_would_show_other_figures_is_told_and_stays_in_english(
    message: str, right: str
) -> None:
    polish = _polish(f"\n\n{message}\n")
    (wrong,) = polish.wrong
    assert right in wrong.message
    assert message.splitlines()[0] == (HEADER + f"\n\n{message}\n").splitlines()[wrong.line - 1]
    with speaking(polish):
        assert tr("Overdue: {late}", late=3) == "Overdue: 3"


@pytest.mark.parametrize(
    ("text", "line", "right"),
    [
        ("msgid no\n", 1, 'write msgid "..."'),
        ('\nmsgid "a\n', 2, "put it between quotes"),
        ('msgid "a"\nmsgstr "b\\"\n', 2, "put it between quotes"),
        ('msgid "a"\nand "b"\n', 2, "put it between quotes"),
    ],
)
def test_a_line_that_is_none_of_a_catalogue_is_named(text: str, line: int, right: str) -> None:
    with pytest.raises(PoError) as raised:
        list(entries(text))
    assert (raised.value.line, right in str(raised.value)) == (line, True), str(raised.value)


def test_a_rule_of_plurals_that_is_none_is_refused() -> None:
    with pytest.raises(PoError, match="Plural-Forms"):
        read_catalogue("xx", 'msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=__import__(0);\\n"\n')
