"""A drawing is only what stands in it: no entity, no other file, no network, no end of repeats.

The attacks are those that defusedxml's documentation lists (billion laughs, quadratic blow-up,
external entities, DTD retrieval), and their like in SVG itself (SVG 2, 5.6: ``use``; 9.3: paths).
"""

import ast
import re
import socket
from pathlib import Path

import numpy as np
import pytest

import palette
from palette.photos import read_marks
from palette.tracing.photo import Photo

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' width="40mm" height="30mm">'
)
SLAB = '<rect id="slab" width="9" height="9"/>'
PHOTO = Photo(pixels=np.zeros((3, 4, 3), np.uint8), width_px=400, height_px=300, source="wall.jpg")
PACKAGE = Path(palette.__file__).parent


@pytest.fixture(autouse=True)
def no_network(monkeypatch):
    """Fail whatever asks for another machine, even if the answer would be swallowed."""
    asked = []

    def refuse(*where, **_):
        asked.append(where)
        raise OSError("no network here")

    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(socket, "create_connection", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    yield
    assert asked == []


@pytest.fixture(params=["layout", "marks"])
def read(request, tmp_path):
    """Return a function that reads a drawing as a layout, or as marks over a photo."""

    def of(text):
        path = tmp_path / "wall.svg"
        path.write_text(text, encoding="utf-8")
        return palette.read_layout(path) if request.param == "layout" else read_marks(path, PHOTO)

    of.reader = request.param
    return of


def names(found):
    return found.ids if isinstance(found, palette.Panel) else tuple(mark.name for mark in found.shapes)


LAUGHS = "".join(f'<!ENTITY l{k} "{f"&l{k - 1};" * 10 if k else "ha"}">' for k in range(10))


@pytest.mark.parametrize(
    "text",
    [
        f"<!DOCTYPE svg [{LAUGHS}]>{HEAD}<title>&l9;</title>{SLAB}</svg>",
        f'<!DOCTYPE svg [<!ENTITY a "{"x" * 50_000}">]>{HEAD}<title>{"&a;" * 50_000}</title>{SLAB}</svg>',
        f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{HEAD}<title>&a;</title>{SLAB}</svg>',
        f'<!DOCTYPE svg [<!ENTITY a SYSTEM "http://localhost:9/a">]>{HEAD}<title>&a;</title>{SLAB}</svg>',
        f'<!DOCTYPE svg [<!ENTITY % a SYSTEM "http://localhost:9/a"> %a;]>{HEAD}{SLAB}</svg>',
        f'<!DOCTYPE svg [<!ENTITY a PUBLIC "x" "http://localhost:9/a" NDATA n>]>{HEAD}{SLAB}</svg>',
        f'<!DOCTYPE svg [<!NOTATION n SYSTEM "http://localhost:9/a">]>{HEAD}{SLAB}</svg>',
        # One default attribute of 50,000 letters, copied into every one of 50,000 elements.
        f'<!DOCTYPE svg [<!ATTLIST g a CDATA "{"x" * 50_000}">]>{HEAD}{"<g/>" * 50_000}{SLAB}</svg>',
        f"<!DOCTYPE svg [<!ELEMENT svg ANY>]>{HEAD}{SLAB}</svg>",
    ],
    ids=[
        "laughs",
        "quadratic",
        "file",
        "http",
        "parameter",
        "unparsed",
        "notation",
        "attributes",
        "element",
    ],
)
def test_declarations_inside_a_drawing_are_refused(read, text):
    with pytest.raises(palette.InputError) as stop:
        read(text)
    assert "it defines XML entities or reaches for another file; save it as plain SVG." in str(stop.value)
    assert "root:" not in str(stop.value)


@pytest.mark.parametrize(
    "outside",
    [
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://localhost:9/svg11.dtd">{head}{slab}</svg>',
        '<!DOCTYPE svg SYSTEM "http://localhost:9/svg.dtd">{head}{slab}</svg>',
        '<?xml-stylesheet href="http://localhost:9/a.css"?>{head}{slab}</svg>',
        '{head}<style>@import url("http://localhost:9/a.css"); rect {{ fill: red }}</style>{slab}</svg>',
        '{head}<image href="http://localhost:9/a.png" width="9" height="9"/>{slab}</svg>',
        '{head}<image xlink:href="file:///etc/passwd" width="9" height="9"/>{slab}</svg>',
        '{head}<script href="http://localhost:9/a.js">alert(1)</script>{slab}</svg>',
        '{head}<foreignObject><iframe src="http://localhost:9/"/></foreignObject>{slab}</svg>',
        '{head}<rect fill="url(http://localhost:9/a.svg#p)" id="slab" width="9" height="9"/></svg>',
        '{head}<g xmlns:xi="http://www.w3.org/2001/XInclude"><xi:include href="file:///etc/passwd"/></g>{slab}</svg>',
    ],
)
def test_what_lies_outside_a_drawing_is_left_there(read, outside):
    assert names(read(outside.format(head=HEAD, slab=SLAB))) == ("slab",)


@pytest.mark.parametrize(
    "link", ["http://localhost:9/a.svg#slab", "other.svg#slab", "file:///etc/passwd#a"]
)
def test_a_use_of_another_file_draws_nothing(read, link):
    text = f'{HEAD}{SLAB}<use id="copy" href="{link}" x="20"/></svg>'
    if read.reader == "layout":
        with pytest.raises(palette.InputError, match="which is no shape or group of this drawing"):
            read(text)
    else:
        assert names(read(text)) == ("slab",)


@pytest.mark.parametrize(
    ("body", "what"),
    [
        ("<g>" * 100_000 + "</g>" * 100_000, "nests them deeper than 200"),
        ("<g>" * 1_000_000, "nests them deeper than 200"),
        ("<g/>" * 300_000, "more than 200,000 elements"),
        ('<use id="a" href="#a"/>', "without end|deeper than 100"),
        ('<use id="a" href="#b"/><use id="b" href="#a"/>', "without end|deeper than 100"),
        ('<g id="a"><g><use href="#a"/></g></g>', "without end|deeper than 100"),
        (
            '<g id="u0"/>'
            + "".join(f'<g id="u{k}">{f"""<use href="#u{k - 1}"/>""" * 2}</g>' for k in range(1, 60)),
            "more than",
        ),
        (f'<g id="w">{"<path/>" * 2000}</g>' + '<use href="#w"/>' * 2000, "more than"),
        ('<path id="a" d="' + "M1 1h9v9h-9z" * 30_000 + '"/>', "more than"),
        ('<polygon id="a" points="' + "1,2 3,4 " * 160_000 + '"/>', "more than"),
    ],
    ids=["deep", "open", "many", "self", "pair", "group", "doubling", "wide", "rings", "corners"],
)
def test_a_drawing_without_end_is_refused(read, body, what):
    with pytest.raises(palette.InputError) as stop:
        read(f"{HEAD}{body}</svg>")
    assert re.search(what, str(stop.value))
    assert all(len(str(each).splitlines()) == 1 for each in stop.value.each())


def test_xml_is_read_by_one_careful_parser_alone():
    """Nothing in the package but `palette.markup` parses XML, and that through defusedxml."""
    parsers = {
        "parse",
        "iterparse",
        "fromstring",
        "fromstringlist",
        "XML",
        "XMLID",
        "XMLParser",
        "XMLPullParser",
    }
    whole = {"ElementTree", "etree", "minidom", "pulldom", "sax", "expat"}
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        modules = set()
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                assert not any(each.name.split(".")[0] in ("xml", "lxml") for each in node.names), path
            elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in ("xml", "lxml"):
                assert not parsers & {each.name for each in node.names}, path
                modules |= {each.asname or each.name for each in node.names if each.name in whole}
            elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("defusedxml"):
                assert path.name == "markup.py"
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and node.value.id in modules
            ):
                assert node.attr not in parsers, path
