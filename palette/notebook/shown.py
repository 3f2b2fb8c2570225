"""What is shown of a value: one line of words, and a picture or a few paragraphs and tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, tostring

from palette.preview import Preview

__all__ = ["Cell", "Shown", "chips", "listing", "paragraph", "table"]

Cell = str | Element


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A value made ready for a notebook.

    Parameters
    ----------
    words : str
        One line: what stands where a terminal is, and for who cannot see the picture.
    picture : callable or None
        Draws it, when it is asked for.
    markup : tuple of Element
        Paragraphs, lists and tables of HTML, in the notebook's own ink so that they read on light
        and on dark pages; used where there is no picture.
    """

    words: str
    picture: Callable[[], Preview] | None = None
    markup: tuple[Element, ...] = ()

    def bundle(self) -> tuple[dict[str, bytes | str], dict[str, dict[str, str]]]:
        """Return data and notes on them by MIME type, as IPython takes them, the words apart."""
        if self.picture is not None:
            data, _ = self.picture()._repr_mimebundle_()
            data.pop("text/plain")
            return data, {kind: {"alt": self.words} for kind in data}
        if not self.markup:
            return {}, {}
        whole = Element("div")
        whole.extend(self.markup)
        # Names are text to ElementTree: whatever they hold is escaped.
        return {"text/html": tostring(whole, encoding="unicode", method="html")}, {}


def paragraph(text: str, *, bold: str = "") -> Element:
    """Return a paragraph that begins with some words in bold."""
    found = Element("p")
    if bold:
        strong = SubElement(found, "strong")
        strong.text = bold
        strong.tail = f" {text}" if text else ""
    else:
        found.text = text
    return found


def listing(sentences: Iterable[str]) -> Element:
    """Return a list of sentences."""
    found = Element("ul")
    for sentence in sentences:
        SubElement(found, "li").text = sentence
    return found


def table(headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Element:
    """Return a table; a cell is text or an element of its own."""
    found = Element("table")
    head = SubElement(SubElement(found, "thead"), "tr")
    for heading in headings:
        SubElement(head, "th", {"style": "text-align: left"}).text = heading
    body = SubElement(found, "tbody")
    for row in rows:
        line = SubElement(body, "tr")
        for cell in row:
            place = SubElement(line, "td", {"style": "text-align: left"})
            if isinstance(cell, str):
                place.text = cell
            else:
                place.append(cell)
    return found


def chips(colours: Sequence[tuple[int, int, int]]) -> Element:
    """Return small fields of colour beside each other."""
    found = Element("span")
    for red, green, blue in colours:
        style = f"background-color: #{red:02x}{green:02x}{blue:02x}; border: 1px solid #808080"
        chip = SubElement(found, "span", {"style": style})
        chip.text = "\u2003\u2003"
    return found
