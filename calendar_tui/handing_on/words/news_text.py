"""What others have changed in a season that is open, in a few words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.cells import cut_text
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import path_words
from calendar_tui.season.readers import plain
from calendar_tui.storage.journal.lines import Entry
from calendar_tui.storage.watching import News

MOST_NAMED, LONGEST_WHAT, LONGEST_NAME = 3, 100, 40


def news_text(news: News, own: str) -> str:
    """What changed and by whom, a sentence a line; own: the name of who reads it."""
    return "\n".join(_sentences(news, own))


def _sentences(news: News, own: str) -> Iterator[str]:
    if news.entries:
        yield _entries_text(news.entries, own)
    if news.by_hand is not None:
        yield phrase("Edited by hand: {what}.", what=_edits_text(news.by_hand))
    if news.weather:
        yield phrase("The days of its station's file have changed.")


def _entries_text(entries: Sequence[Entry], own: str) -> str:
    last = entries[-1]
    what = _short(last.what, LONGEST_WHAT)
    names = list(dict.fromkeys(_who(entry.who, own) for entry in entries))
    if len(entries) == 1:
        return phrase("{who} changed this season: {what}", who=names[0], what=what)
    form = phrase_form("{who} made {more} changes, the last: {what}")
    if len(names) > 1:
        form = phrase_form("{who} made {more} changes, the last by {one}: {what}")
    return phrase(form, who=_listed(names), more=len(entries), one=_who(last.who, own), what=what)


def _who(name: str, own: str) -> str:
    shown = _short(name, LONGEST_NAME)
    return phrase("{who} (elsewhere)", who=shown) if name == own else shown


def _edits_text(edits: Sequence[Edit]) -> str:
    """The records in which a field differs, each with its fields."""
    fields: dict[str, list[str]] = {}
    for edit in edits:
        record = " ".join((edit.kind, *map(str, edit.ident))).strip()
        word = {"add": "added", "remove": "taken away"}.get(edit.op, path_words(edit.kind, edit.field))
        fields.setdefault(record, []).append(word)
    named = [_short(f"{record} {', '.join(words)}", LONGEST_NAME) for record, words in fields.items()]
    if len(named) > MOST_NAMED:
        more = len(named) - MOST_NAMED
        return f"{'; '.join(named[:MOST_NAMED])}; and {more} more record{'' if more == 1 else 's'}"
    return "; ".join(named) or phrase("comments, order or spacing only")


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _short(text: str, longest: int) -> str:
    line = plain(text).replace("\n", " ")
    return cut_text(line, longest)
