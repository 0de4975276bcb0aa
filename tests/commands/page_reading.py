"""Pages read back as a browser would: their elements and their text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

# Elements and attributes by which a page would run something or fetch something.
RUNS = {
    "script",
    "iframe",
    "object",
    "embed",
    "link",
    "img",
    "image",
    "use",
    "foreignobject",
    "base",
    "audio",
    "video",
}
FETCHES = {"src", "href", "xlink:href", "action", "background", "data", "srcset", "poster"}


class Page(HTMLParser):
    """The elements, attributes and texts of a page."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.source = path.read_text(encoding="utf-8")
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.feed(self.source)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.texts.append(data.strip())

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]

    def drawings(self) -> list[ElementTree.Element]:
        """Every SVG of the page, read as XML, so that each element is closed and each text escaped."""
        found = re.findall(r"<svg.*?</svg>", self.source, re.DOTALL)
        return [ElementTree.fromstring(text) for text in found]


def stands_alone(page: Page) -> None:
    """The page runs nothing and fetches nothing."""
    assert not RUNS & {tag for tag, _ in page.elements}
    attributes = {key for _, given in page.elements for key in given}
    assert not FETCHES & attributes
    assert not any(key.startswith("on") for key in attributes)
    assert "url(" not in page.source
    assert "@import" not in page.source
    (policy,) = (m["content"] for m in page.named("meta") if m.get("http-equiv") == "Content-Security-Policy")
    assert "default-src 'none'" in str(policy)
