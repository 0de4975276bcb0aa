"""What is typed in only once it is asked for: a field that is not there else, and a line of fields whose row stays free."""

from __future__ import annotations

from textual.widgets import Input


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
