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


def codes_of(page: Page) -> list[str]:
    """What each square code that the page draws holds, as zxing-cpp reads it from a picture of it."""
    import numpy as np
    import zxingcpp
    from PIL import Image, ImageDraw

    read = []
    for drawing in page.drawings():
        side = int(drawing.attrib["viewBox"].split()[2])
        picture = Image.new("L", (side * 6, side * 6), 255)
        pen = ImageDraw.Draw(picture)
        for x, y, count in re.findall(r"M(\d+) (\d+)h(\d+)v1", drawing[0].attrib["d"]):
            at = int(x) * 6, int(y) * 6
            pen.rectangle((*at, at[0] + int(count) * 6 - 1, at[1] + 5), fill=0)
        read += [code.text for code in zxingcpp.read_barcodes(np.asarray(picture))]
    return read


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
