"""The least a full-screen program with a header and a footer can cost."""

from textual.app import App, ComposeResult
from textual.widgets import Footer, Header


class Bare(App[None]):
    BINDINGS = [("q", "quit", "quit")]  # noqa: RUF012

    def compose(self) -> ComposeResult:
        yield Header()
        yield Footer()


if __name__ == "__main__":
    Bare().run()
