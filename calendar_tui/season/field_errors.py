"""What is wrong with typed fields, each by its own name, so that it can stand beside the field."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from calendar_tui.season.refusal import Refusal


class FieldError(NamedTuple):
    """One thing that is wrong.

    words: the field's name, "" for the record as a whole. typed: what was typed for it. right: what would be right, as
    it stands beside the field. ident: of which record, where several are typed at once and it is known.
    """

    words: str
    typed: str
    right: str
    ident: tuple[Any, ...] = ()

    @property
    def text(self) -> str:
        """The same as a sentence of its own: 'plants "many": write a whole number from 1 to 10000000'."""
        if not self.words or self.right.startswith(self.words):
            return self.right
        value = f' "{self.typed}"' if self.typed and not self.right.startswith('"') else ""
        return f"{self.words}{value}: {self.right}"


class FieldErrors(Refusal):
    """Typed fields that cannot be. errors: one by one, in the order in which they were typed."""

    def __init__(self, errors: Sequence[FieldError]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(dict.fromkeys(error.text for error in self.errors)))

    def by_field(self) -> dict[str, str]:
        """What stands beside each field, by its name; "" for the record as a whole."""
        texts: dict[str, str] = {}
        for error in self.errors:
            texts.setdefault(error.words, error.right)
        return texts
