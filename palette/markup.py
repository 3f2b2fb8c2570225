"""XML as a tree, and nothing else: no entities, no other file, no end of elements.

A drawing is the one kind of file here whose format lets a few letters stand for very many, or for
what lies on another machine. All of that is refused; nothing is ever fetched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from palette.errors import InputError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

__all__ = ["parse_xml"]

_MOST_ELEMENTS = 200_000
_DEEPEST = 200
"""Elements within elements: drawing programs nest a dozen groups, and every reader walks them by calling
itself."""


def parse_xml(data: bytes, *, where: str) -> Element:
    """Return the outermost element of the bytes of an XML file.

    Raises
    ------
    InputError
        It is not sound XML, declares something of its own (entities, default
        attributes), reaches for another file, or has elements beyond all use.
    """
    from xml.etree.ElementTree import ParseError

    from defusedxml import DefusedXmlException

    parser = _careful_parser(where)
    try:
        parser.feed(data)
        root: Element = parser.close()
    except DefusedXmlException:
        what = "it defines XML entities or reaches for another file"
        raise InputError(where, what, "save it as plain SVG") from None
    except ParseError as fault:
        line, column = fault.position
        what = f"it is not sound XML, at line {line}, column {column + 1}"
        raise InputError(where, what, "save it anew as SVG from your drawing program") from None
    except (ValueError, LookupError):
        raise InputError(where, "its text encoding is not known", "save it as UTF-8") from None
    return root


def _careful_parser(where: str) -> Any:
    from xml.etree.ElementTree import TreeBuilder

    from defusedxml import DTDForbidden
    from defusedxml.ElementTree import DefusedXMLParser

    class Parser(DefusedXMLParser):  # type: ignore[misc]
        def defused_start_doctype_decl(
            self, name: str, sysid: str | None, pubid: str | None, has_internal_subset: bool
        ) -> None:
            # A bare DOCTYPE is harmless and many older drawings carry one. Declarations inside it
            # are not: a default attribute alone copies its value into every element.
            if has_internal_subset:
                raise DTDForbidden(name, sysid, pubid)

    class Builder(TreeBuilder):
        count = 0
        depth = 0

        def start(self, tag: Any, attrs: Any, /) -> Element:
            self.count += 1
            self.depth += 1
            if self.count > _MOST_ELEMENTS or self.depth > _DEEPEST:
                what = (
                    f"it holds more than {_MOST_ELEMENTS:,} elements or nests them deeper than {_DEEPEST}"
                )
                raise InputError(where, what, "simplify the drawing")
            return super().start(tag, attrs)

        def end(self, tag: str, /) -> Element:
            self.depth -= 1
            return super().end(tag)

    return Parser(target=Builder(), forbid_dtd=True, forbid_entities=True, forbid_external=True)
