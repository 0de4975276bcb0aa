"""What is typed in only once it is asked for: a field that is not there else, and a line of fields whose row stays free."""

from __future__ import annotations

from collections.abc import Mapping

from textual.containers import Horizontal
from textual.widgets import Input

from calendar_tui.screens.kit.drawing import BOLD, Bar, row
from calendar_tui.season.cells import cell_len, filled_before


class TypedField(Input):
    """Takes no room while it is not asked for."""

    DEFAULT_CSS = """
    TypedField, TypedField:focus { display: none; border: none; height: 1; padding: 0 2; }
    TypedField.-asked, TypedField.-asked:focus { display: block; }
    """

    @property
    def asked(self) -> bool:
        """Whether it is shown, to be typed in."""
        return self.has_class("-asked")

    def ask(self, value: str) -> None:
        """Show it with this value, to be typed over."""
        self.value = value
        self.add_class("-asked")
        self.focus()

    def close(self) -> None:
        self.remove_class("-asked")


class TypedLine(Horizontal):
    """Fields behind their names."""

    DEFAULT_CSS = """
    TypedLine { height: 1; visibility: hidden; }
    TypedLine.-asked { visibility: visible; }
    TypedLine Input, TypedLine Input:focus { border: none; height: 1; width: 1fr; padding: 0 2; }
    """

    def __init__(self, fields: Mapping[str, Input]) -> None:
        """fields: by their names."""
        width = max(map(cell_len, fields)) + 3
        names = {name: Bar(row((f"{filled_before(name, width - 1)}:", BOLD))) for name in fields}
        for bar in names.values():
            bar.styles.width = width
        super().__init__(*(widget for name, field in fields.items() for widget in (names[name], field)))
        self._fields = tuple(fields.values())

    @property
    def asked(self) -> bool:
        """Whether it is shown, to be typed in."""
        return self.has_class("-asked")

    def ask(self, *values: str) -> None:
        """Show the fields with these values, to be typed over, the first one first."""
        for field, value in zip(self._fields, values, strict=True):
            field.value = value
        self.add_class("-asked")
        self._fields[0].focus()

    def close(self) -> None:
        self.remove_class("-asked")
