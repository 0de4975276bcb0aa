"""A language in which no word is English: what a screen still has of English was not put into it."""

from __future__ import annotations

from string import Formatter, ascii_letters

from calendar_tui.language.catalogue import Catalogue, read_catalogue
from calendar_tui.language.po import Entry, entries

# Letters of another script, each one column wide.
LETTERS = str.maketrans(ascii_letters, "".join(chr(ord("Ա") + n) for n in range(26)) * 2)


def changed(text: str) -> str:
    """The text in letters of another script; {names}, which are filled in, stay."""
    parts = Formatter().parse(text)
    return "".join(
        literal.replace("{", "{{").replace("}", "}}").translate(LETTERS)
        + ("" if name is None else f"{{{name}}}")
        for literal, name, _, _ in parts
    )


def other_letters(template: str) -> Catalogue:
    """The language of a template, each of whose texts is its English one in other letters."""
    header, messages = read_catalogue("zz", template), []
    for entry in entries(template):
        forms = {0: changed(entry.text), **({1: changed(entry.plural)} if entry.plural else {})}
        messages.append(Entry(entry.line, entry.context, entry.text, entry.plural, forms))
    return Catalogue("zz", [one for one in messages if one.text], header._plural)
