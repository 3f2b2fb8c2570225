"""SVG layouts: drawings as drawing programs, and nobody, would save them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fuzz.desk import lay
from fuzz.sanity import assert_sound_panel
from palette import read_layout

_CANYON = Path(__file__).resolve().parents[3] / "examples" / "canyon"
_HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300">'

WORDS = (
    "svg", "g", "a", "switch", "use", "symbol", "defs", "rect", "circle", "ellipse", "polygon", "polyline", "line",
    "path", "title", "style", "image", "text", "clipPath", "width", "height", "viewBox", "x", "y", "rx", "ry", "r",
    "cx", "cy", "x1", "y1", "x2", "y2", "d", "points", "transform", "id", "href", "xlink:href", "aria-label",
    "data-role", "data-depth", "fill-rule", "evenodd", "nonzero", "display", "none", "visibility", "hidden", "inherit",
    "preserveAspectRatio", "xMidYMid", "slice", "meet", "auto", "hatch", "trim", "void", "ignore", "section",
    "matrix(1 0 0 1 5 5)", "translate(5)", "scale(0)", "scale(-1 1)", "rotate(30 5 5)", "skewX(89.9999)", "skewY(90)",
    "M 0 0 L 10 0 L 10 10 Z", "m", "Z", "H", "V", "C", "S", "Q", "T", "A", "A 5 5 0 0 1 9 9", "10mm", "2in", "50%",
    "1e3px", "12em", "3vw", 'href="#a"', 'href="http://localhost:9/x"', "<!DOCTYPE svg>", '<!ENTITY a "b">', "&a;",
    "<![CDATA[x]]>", "<!-- x -->", "<?xml-stylesheet href='x'?>", "@import url(http://localhost:9/x)", "!important",
)  # fmt: skip


def target(data: bytes) -> object:
    """Read a drawing."""
    panel = read_layout(lay("wall.svg", data))
    assert_sound_panel(panel)
    return panel


def seeds() -> list[bytes]:
    """Return the demo's wall and one small drawing for each thing a drawing can hold."""
    small = (
        '<rect id="a" x="10" y="10" width="100" height="80"/><rect id="b" x="115" y="10" width="90" height="80"/>',
        '<circle id="a" cx="60" cy="60" r="40"/><ellipse id="b" cx="200" cy="90" rx="60" ry="30"/>',
        '<polygon id="a" points="10,10 100,10 60,90"/><polyline id="b" points="120 10 200 10 160 90 120 10"/>',
        '<path id="a" d="M10 10h80v60H10z"/><path id="b" d="m100 10 c 20 0 40 20 40 60 s -20 60 -40 60 q -9 -60 0 -120 z"/>',
        '<path id="a" d="M50 50 A 30 20 15 1 1 90 70 Z"/><path id="b" fill-rule="evenodd" d="M150 20h90v90h-90zM170 40h40v40h-40z"/>',
        '<g transform="translate(5 5) scale(.5)" data-depth="2"><rect width="90" height="90"><title>One</title></rect></g>'
        '<g transform="rotate(10 200 150)"><rect aria-label="two" x="150" y="120" width="80" height="60" rx="8"/></g>',
        '<defs><rect id="slab" width="60" height="40"/></defs><use id="u1" href="#slab" x="10" y="10"/>'
        '<use id="u2" href="#slab" x="80" y="10"/><g id="pair"><rect x="10" y="90" width="20" height="20"/></g>'
        '<use href="#pair" x="50"/>',
        '<svg x="10" y="10" width="200" height="100" viewBox="0 0 100 100" preserveAspectRatio="xMaxYMin slice">'
        '<rect id="a" width="40" height="50"/></svg>',
        '<rect id="a" x="10" y="10" width="100" height="80"/><rect data-role="hatch" x="50" y="20" width="90" height="60"/>'
        '<rect data-role="trim" id="t" x="10" y="100" width="300" height="9"/><rect data-role="void" id="v" x="10" y="120" '
        'width="30" height="30"/><rect data-role="ignore" width="900" height="900"/>',
        '<rect id="a" style="display:none" width="9" height="9"/><rect id="b" x="5%" y="5%" width="1in" height="2cm"/>'
        '<g visibility="hidden"><rect width="9" height="9"/></g><style>rect{fill:red}</style>',
    )
    whole = [
        f'<?xml version="1.0" encoding="UTF-8"?>\n{_HEAD}\n{body}\n</svg>\n'.encode() for body in small
    ]
    return [(_CANYON / "wall.svg").read_bytes(), *whole]


def _comb(teeth: int, way: str) -> str:
    """Return a comb whose teeth reach over the whole panel."""
    wide, high = (400, 300) if way == "across" else (300, 400)
    step = high / teeth
    places = [(0.0, 0.0), (0.0, float(high)), (5.0, float(high))]
    for tooth in range(teeth):
        near, far = high - step * (tooth + 0.3), high - step * (tooth + 0.6)
        places += [(5, near), (wide, near), (wide, far), (5, far)]
    places.append((5.0, 0.0))
    told = (f"{x:.3f},{y:.3f}" if way == "across" else f"{y:.3f},{x:.3f}" for x, y in places)
    return f'<polygon id="{way}" points="{" ".join(told)}"/>'


def heavy() -> Iterator[tuple[str, bytes]]:
    """Yield drawings that are too much in one way each."""

    def drawing(body: str) -> bytes:
        return f"{_HEAD}{body}</svg>".encode()

    def slabs(across: int, down: int, extra: str = "") -> bytes:
        w, h = 400 / across, 300 / down
        return drawing(
            "".join(
                f'<rect id="s{i}-{j}" x="{i * w:.4f}" y="{j * h:.4f}" width="{w * 0.9:.4f}" height="{h * 0.9:.4f}"{extra}/>'
                for i in range(across)
                for j in range(down)
            )
        )

    yield "6,000 sections", slabs(100, 60)
    yield (
        "6,000 sections under a backdrop",
        slabs(100, 60).replace(b'300">', b'300"><rect width="400" height="300"/>', 1),
    )
    yield "40,000 sections", slabs(200, 200)
    yield "a million sections", slabs(1000, 1000)
    yield "5,000 sections of one name", drawing('<rect id="a" width="5" height="5"/>' * 5000)
    yield (
        "5,000 sections one over another",
        drawing("".join(f'<rect id="s{k}" x="1" y="1" width="300" height="200"/>' for k in range(5000))),
    )
    yield (
        "5,000 sections with a fault each",
        drawing("".join(f'<rect id="s{k}" width="x{k}" height="5"/>' for k in range(5000))),
    )
    yield (
        "1,500 crossing strips",
        drawing(
            "".join(
                f'<rect id="h{k}" y="{k * 0.4}" width="400" height="0.3"/><rect id="v{k}" x="{k * 0.5}" width="0.4" height="300"/>'
                for k in range(750)
            )
        ),
    )
    yield "100,000 nested groups", drawing("<g>" * 100_000 + "</g>" * 100_000)
    yield "a million nested groups, never closed", drawing("<g>" * 1_000_000)
    yield (
        "a path of 200,000 corners",
        drawing(
            '<path id="a" d="M0 0'
            + "".join(f"L{k * 0.001} {(k % 2) + 1}" for k in range(200_000))
            + 'L300 290L0 290Z"/>'
        ),
    )
    yield (
        "a path of 3,000 rings",
        drawing(
            '<path id="a" fill-rule="evenodd" d="M0 0H400V300H0Z'
            + "".join(f"M{5 + k % 60 * 6} {5 + k // 60 * 5}h4v4h-4z" for k in range(3000))
            + '"/>'
        ),
    )
    yield "a path of 100,000 rings", drawing('<path id="a" d="' + "M1 1h9v9h-9z" * 100_000 + '"/>')
    yield (
        "a path of rings within rings",
        drawing(
            '<path id="a" d="'
            + "".join(
                f"M{k * 0.05} {k * 0.05}H{400 - k * 0.05}V{300 - k * 0.05}H{k * 0.05}Z" for k in range(2900)
            )
            + '"/>'
        ),
    )
    yield (
        "a hundred long arcs",
        drawing(
            "".join(
                f'<path id="a{k}" d="M0 0A1e9 1e9 0 1 1 1e9 {k}A1e9 1e9 0 1 1 0 0Z"/>' for k in range(100)
            )
        ),
    )
    yield "2,000 long curves", drawing('<path id="a" d="M0 0' + "C1e8 0 1e8 1e8 0 1e8" * 2000 + 'Z"/>')
    yield "a polygon of 300,000 points", drawing('<polygon id="a" points="' + "1,2 3,4 " * 150_000 + '"/>')
    yield (
        "a star of 3,000 crossing lines",
        drawing(
            '<polygon id="a" points="'
            + " ".join(f"{k * 7919 % 400},{k * 104729 % 300}" for k in range(3000))
            + '"/>'
        ),
    )
    yield "a name of 10 MiB", drawing(f'<rect id="{"n" * 10 * 2**20}" width="5" height="x"/>')
    yield (
        "a title of 10 MiB",
        drawing(f'<rect width="5" height="5"><title>{"n " * 5 * 2**20}</title></rect>'),
    )
    yield (
        "an unknown role of 1 MiB",
        drawing(f'<rect data-role="{"hatch" * 200_000}" width="5" height="5"/>'),
    )
    yield "a length of 1 MiB", drawing(f'<rect width="{"1" * 2**20}" height="5"/>')
    yield (
        "a transform of 1 MiB",
        drawing(f'<rect transform="{"scale(1)" * 130_000}" width="5" height="5"/>'),
    )
    yield "a style of 10 MiB", drawing(f'<rect style="{"a:b;" * 2_500_000}" width="5" height="5"/>')
    yield "100,000 attributes", drawing("<rect " + " ".join(f'a{k}="1"' for k in range(100_000)) + "/>")
    yield "a million comments", drawing("<!-- x -->" * 1_000_000)
    yield (
        "uses of uses: 2 to the 40th",
        drawing(
            '<rect id="u0" width="1" height="1"/>'
            + "".join(
                f'<g id="u{k}"><use href="#u{k - 1}"/><use href="#u{k - 1}"/></g>' for k in range(1, 40)
            )
        ),
    )
    yield (
        "2,000 uses of one wide group",
        drawing('<g id="w">' + '<rect width="1" height="1"/>' * 2000 + "</g>" + '<use href="#w"/>' * 2000),
    )
    yield "a use of itself", drawing('<g id="a"><use href="#a"/></g>')
    yield "uses of each other", drawing('<use id="a" href="#b"/><use id="b" href="#a"/>')
    laughs = "".join(f'<!ENTITY l{k} "{f"&l{k - 1};" * 10 if k else "ha"}">' for k in range(10))
    yield "a billion laughs", f"<!DOCTYPE svg [{laughs}]>{_HEAD}<title>&l9;</title></svg>".encode()
    blow = f'<!DOCTYPE svg [<!ENTITY a "{"x" * 50_000}">]>'
    yield "one entity 50,000 times", f"{blow}{_HEAD}<title>{'&a;' * 50_000}</title></svg>".encode()
    yield "32 MiB of blanks", drawing(" " * 32 * 2**20)
    yield "64 MiB of nothing", bytes(64 * 2**20)
