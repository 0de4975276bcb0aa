"""Which words may come next, by the forms of a command's words: "[SEASON] [COHORT ...] STAGE DATE"."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

# Whether a word is one of those that stand for a token of a form.
Fits = Callable[[str, str], bool]


class Token(NamedTuple):
    """A word of a form. ends: of the brackets that open before it, the tokens behind them, where they are left out; back: from
    which token the form may come again behind it.
    """

    word: str
    ends: tuple[int, ...] = ()
    back: int | None = None


def tokens_of(form: str) -> tuple[Token, ...]:
    """The tokens of a form. `...` repeats what stands before it in its brackets, without these the one word."""
    tokens: list[Token] = []
    opened: list[int] = []
    for part in form.split():
        word = part.strip("[]")
        opened += [len(tokens)] * part.count("[")
        if word == "..." and tokens:
            last = len(tokens) - 1
            tokens[last] = tokens[last]._replace(back=opened[-1] if opened else last)
        elif word.strip("."):
            tokens.append(Token(word))
        for _ in range(part.count("]")):
            begin = opened.pop()
            tokens[begin] = tokens[begin]._replace(ends=(*tokens[begin].ends, len(tokens)))
    return tuple(tokens)


def literals_of(word: str) -> list[str]:
    """The words that a token is itself, such as stay or lost|taken; none of one that stands for others."""
    return [part for part in word.split("|") if part.isalpha() and part.islower()]


def next_words(form: str, typed: Sequence[str], fits: Fits) -> list[str]:
    """The words of the tokens that may come behind those that are typed; none where these do not go with the form.

    fits: called with a token that is no literal, and a typed word.
    """
    tokens = tokens_of(form)
    at = {*_open_from(tokens, 0)}
    for word in typed:
        at = {after for n in at if _is_of(tokens[n].word, word, fits) for after in _behind(tokens, n)}
    return [tokens[n].word for n in sorted(at)]


def _is_of(token: str, word: str, fits: Fits) -> bool:
    literals = literals_of(token)
    return word.casefold() in literals if literals else fits(token, word)


def _behind(tokens: Sequence[Token], n: int) -> Iterator[int]:
    back = tokens[n].back
    if back is not None:
        yield back
    yield from _open_from(tokens, n + 1)


def _open_from(tokens: Sequence[Token], n: int) -> Iterator[int]:
    """The token at n, and those behind the brackets that open there."""
    if n < len(tokens):
        yield n
        for end in tokens[n].ends:
            yield from _open_from(tokens, end)
