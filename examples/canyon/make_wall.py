"""Write the canyon wall three times from one list of slabs: wall.svg, wall.toml and wall.png.

A wall of an indoor glow mini-golf canyon, 8 ft x 6 ft: stacked slabs with joints of 1/4 in, a
kick board along the floor, and a service hatch that opens with the slabs round it. All measures
are inches from the top left corner, on a grid of 1/8 in so that a tape measure can lay them out.

Run it from anywhere: ``python examples/canyon/make_wall.py``.
"""

import json
from pathlib import Path

import numpy as np
from PIL import Image
from PIL.PngImagePlugin import PngInfo
from skimage.color import hsv2rgb
from skimage.draw import polygon

HERE = Path(__file__).resolve().parent
WIDTH, HEIGHT = 96, 72
PIXELS_PER_METRE = 625  # 1.6 mm a pixel, and a whole number of pixels each way: 1524 x 1143

# fmt: off
SLABS = {
    "cap west": [
        (1.875, 0.125), (0.125, 2.625), (0.125, 13.125), (2.125, 14.75), (17, 13.875),
        (25.25, 13.125), (27.625, 9.75), (27, 1.625), (25.875, 0.125),
    ],
    "high shelf": [
        (29.625, 0.125), (27.25, 1.625), (27.875, 9.75), (30.125, 12.75), (45, 11.875),
        (59.625, 10.5), (61, 9.25), (61.625, 2.625), (60.625, 0.125),
    ],
    "cap east": [
        (63.125, 0.125), (62, 1.25), (61.125, 10.5), (61.875, 16.125), (62.125, 17.875),
        (79, 16.875), (93.5, 14.75), (95.875, 12.625), (95.875, 1.875), (93.375, 0.125),
    ],
    "ledge west": [
        (4.125, 14.875), (0.125, 16.125), (0.125, 28.875), (1.625, 31.25), (15.875, 30.125),
        (18.75, 29), (17, 15), (16.875, 14.125),
    ],
    "brow": [
        (18.375, 14), (17.25, 15), (18.25, 23), (18.625, 25.875), (40.375, 25), (43.125, 23.375),
        (44.625, 13.625), (42.875, 12.25), (28, 13.125),
    ],
    "keystone": [
        (46.375, 12), (44.75, 14.5), (43.125, 25), (44.875, 32.875), (47.125, 33.75), (61.625, 33),
        (63.75, 32.125), (61.375, 14.25), (59.625, 10.75),
    ],
    "step": [
        (64.125, 18), (62.375, 19.875), (63.875, 31.125), (67.375, 32.625), (77.875, 31.875),
        (78, 30.125), (78.75, 18.875), (77.125, 17.25),
    ],
    "ledge east": [
        (81.5, 16.75), (79, 18.875), (78.125, 31.875), (78.875, 32), (85, 32.875), (93.25, 33.625),
        (95.875, 33.125), (95.875, 16.375), (95.125, 14.75),
    ],
    "shoulder": [
        (1.625, 31.5), (0.125, 33.375), (0.125, 56.125), (0.125, 56.875), (18.75, 57.75),
        (21.375, 57.875), (21.875, 44), (19.25, 31.75), (17.375, 30.25),
    ],
    "long sill": [
        (18.625, 26.125), (18.75, 27), (19.125, 30), (21.75, 42.25), (23.5, 43.75), (44.5, 42),
        (45.75, 41), (44.875, 34), (43.375, 27.25), (42.625, 25.125),
    ],
    "heart": [
        (47.625, 34), (45.25, 35), (46.125, 42), (46.875, 47.25), (48, 48.75), (62.625, 47),
        (63.875, 45.625), (63.875, 33.875), (61.625, 33.25),
    ],
    "lintel": [
        (64.125, 33.125), (64.125, 34.125), (64.125, 45.875), (65.375, 47), (84.625, 48.75),
        (85.875, 48.875), (85, 35), (83.25, 32.875), (78, 32.125),
    ],
    "buttress": [
        (86.375, 33.25), (85.25, 35), (86.125, 49), (87.125, 68), (88.875, 68.25), (93.375, 68.25),
        (95.875, 67.25), (95.875, 37.375), (94.625, 34),
    ],
    "hearth": [
        (23.5, 44), (22, 46.625), (21.625, 57.875), (24.125, 58), (42.375, 58.75), (45.125, 57.75),
        (46.875, 49), (46, 42.875), (44.5, 42.25),
    ],
    "boulder": [
        (49.125, 48.875), (46.875, 50.25), (45.125, 59), (45.625, 68.25), (46.625, 68.25),
        (63.875, 68.25), (64.75, 65.75), (64, 49.625), (61.875, 47.375),
    ],
    "jamb": [
        (65.375, 47.25), (64.125, 47.125), (65.125, 68), (66.125, 68.25), (72.125, 68.25),
        (74, 66.25), (74.875, 48.125), (72.25, 47.875),
    ],
    "door stone": [
        (76.375, 48.25), (75, 50.125), (74.25, 65.875), (74.875, 68.25), (86.125, 68.25),
        (86.875, 68.25), (85.875, 49.375), (83.25, 48.875),
    ],
    "footing": [
        (2.75, 57.25), (0.125, 58.125), (0.125, 67.5), (2.625, 68.25), (44.125, 68.25),
        (45.25, 66.25), (45, 61.375), (42.375, 59), (21.5, 58.125),
    ],
}
HATCH = [
    (85, 33), (78, 32), (64, 33), (64, 47),
    (65, 68.375), (74, 68.375), (87, 68.375), (86, 49),
]
# fmt: on
KICK_BOARD = [(0, 68.5), (96, 68.5), (96, 72), (0, 72)]


def write_drawing(path):
    """Write the SVG: one user unit is one inch."""

    def points(corners):
        return " ".join(f"{x:g},{y:g}" for x, y in corners)

    rows = [
        '<svg xmlns="http://www.w3.org/2000/svg" width="96in" height="72in" viewBox="0 0 96 72">',
        "  <title>North wall</title>",
        '  <rect data-role="ignore" width="96" height="72" fill="#0c0b0e"/>',
        '  <g fill="#9a8f80">',
    ]
    for name, corners in SLABS.items():
        rows.append(f'    <polygon points="{points(corners)}"><title>{name}</title></polygon>')
    rows += [
        "  </g>",
        f'  <polygon data-role="trim" aria-label="kick board" points="{points(KICK_BOARD)}"',
        '    fill="#3a3029"/>',
        f'  <polygon data-role="hatch" aria-label="hatch" points="{points(HATCH)}"',
        '    fill="none" stroke="#e8e0d0" stroke-width="0.15" stroke-dasharray="1 0.6"/>',
        "</svg>",
    ]
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")


def write_tape(path):
    """Write the tape-measure layout: from the lower left corner, in inches and eighths."""

    def inches(value):
        whole, eighths = divmod(round(value * 8), 8)
        fraction = ("", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")[eighths]
        number = f"{whole} {fraction}".removesuffix(" ") if whole or not fraction else fraction
        return f'"{number} in"'

    def corners_of(corners):
        pairs = [f"[{inches(x)}, {inches(HEIGHT - y)}]" for x, y in corners]
        return "corners = [\n  " + ",\n  ".join(pairs) + ",\n]"

    parts = ['name = "North wall"\nsize = "8 ft x 6 ft"']
    parts += [f'[[section]]\nname = "{name}"\n{corners_of(corners)}' for name, corners in SLABS.items()]
    parts.append(
        '[[trim]]\nname = "kick board"\nleft = "0 in"\nbottom = "0 in"\nwidth = "8 ft"\nheight = "3 1/2 in"'
    )
    parts.append(f"[hatch]\n{corners_of(HATCH)}")
    path.write_text("\n\n".join(parts) + "\n", encoding="utf-8")


def write_label_image(path):
    """Write the label image: a colour a slab, the size in the file, and the names in a text chunk."""
    per_inch = PIXELS_PER_METRE * 0.0254
    picture = np.zeros((round(HEIGHT * per_inch), round(WIDTH * per_inch), 3), np.uint8)
    names = {}
    for number, (name, corners) in enumerate(SLABS.items()):
        hue, value = number * 0.381966 % 1, (1.0, 0.8, 0.6)[number % 3]
        colour = np.round(hsv2rgb([hue, 0.75, value]) * 255).astype(np.uint8)
        x, y = np.array(corners).T * per_inch - 0.5  # a pixel belongs to the slab its middle lies in
        picture[polygon(y, x, picture.shape[:2])] = colour
        names["#" + bytes(colour).hex()] = name
    text = PngInfo()
    text.add_itxt("Title", "North wall")
    text.add_itxt("Section names", json.dumps(names))
    Image.fromarray(picture).save(path, dpi=(per_inch, per_inch), pnginfo=text, optimize=True)


if __name__ == "__main__":
    write_drawing(HERE / "wall.svg")
    write_tape(HERE / "wall.toml")
    write_label_image(HERE / "wall.png")
