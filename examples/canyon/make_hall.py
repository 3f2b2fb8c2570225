"""Write the walls of a whole hall: the canyon wall's slabs, mirrored, stretched, some left out.

Twelve drawings by one brief, for ``palette batch``. Run it with a folder to write them in:
``python examples/canyon/make_hall.py hall-walls``.
"""

import sys
from pathlib import Path

from make_wall import HEIGHT, SLABS, WIDTH

MM_PER_INCH = 25.4

# Name, width and height in mm, mirrored or not, slabs left out.
WALLS = (
    ("North wall", 2438, 1829, False, ()),
    ("Gate, left", 1219, 2438, False, ("step", "heart")),
    ("Gate, right", 1219, 2438, True, ("step", "heart")),
    ("Long gallery", 4877, 1219, False, ()),
    ("Sluice", 2438, 1829, True, ("lintel",)),
    ("Cave mouth", 2438, 2438, False, ("heart", "hearth")),
    ("East bend", 1829, 2438, True, ("keystone",)),
    ("Ford", 3658, 1219, True, ("boulder",)),
    ("Arch", 2438, 2134, False, ("heart", "boulder")),
    ("West bend", 1829, 2438, False, ("brow", "jamb")),
    ("Low shelf", 4267, 914, False, ("lintel", "footing")),
    ("Last hole", 2438, 1829, True, ("long sill",)),
)


def wall_svg(name, width, height, mirrored, left_out):
    """Return the drawing of one wall."""
    across, down = width / WIDTH, height / HEIGHT
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}">',
        f"  <title>{name}</title>",
    ]
    for slab, corners in SLABS.items():
        if slab not in left_out:
            points = " ".join(
                f"{(WIDTH - x if mirrored else x) * across:.1f},{y * down:.1f}" for x, y in corners
            )
            rows.append(f'  <polygon points="{points}"><title>{slab}</title></polygon>')
    return "\n".join([*rows, "</svg>", ""])


def write_hall(folder):
    """Write every wall into a folder and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for number, (name, *rest) in enumerate(WALLS, 1):
        path = folder / f"{number:02d}-{name.lower().replace(', ', '-').replace(' ', '-')}.svg"
        path.write_text(wall_svg(name, *rest), encoding="utf-8")
        paths.append(path)
    return paths


if __name__ == "__main__":
    write_hall(Path(sys.argv[1] if len(sys.argv) > 1 else "hall-walls"))
