"""How long a 12 megapixel photo takes to a verdict, beside reading it and one watershed at full size.

Run: ``python tests/bench/bench_photo.py``. The photo is the demo's painted wall, enlarged; the peer is
scikit-image's watershed of its gradient, in the same run. Ratios, not seconds, are worth comparing.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

sys.path[:0] = [str(Path(__file__).resolve().parent)]

from ratios import Ratio, write_rows

import palette

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"
PIXELS = 12_000_000


def enlarge(folder: Path) -> Path:
    """Return the demo's photo at 12 megapixels."""
    with Image.open(CANYON / "painted.jpg") as photo:
        scale = (PIXELS / (photo.width * photo.height)) ** 0.5
        size = (round(photo.width * scale), round(photo.height * scale))
        large = photo.resize(size, Image.Resampling.LANCZOS)
    path = folder / "large.jpg"
    large.save(path, quality=92)
    return path


def ours(path: Path) -> float:
    """Return seconds from the file to its sections, paints and clashes."""
    start = time.perf_counter()
    light = palette.light_by_name("daylight", where="bench")
    reading = palette.read_panel(
        palette.read_photo(path), paints=palette.read_paints(CANYON / "paints.toml"), light=light
    )
    palette.judge_reading(reading)
    return time.perf_counter() - start


def peer(path: Path) -> float:
    """Return seconds to read the file and flood it once."""
    from skimage.filters import sobel
    from skimage.segmentation import watershed

    start = time.perf_counter()
    with Image.open(path) as photo:
        grey = np.asarray(photo.convert("L"))
    watershed(sobel(grey), markers=400)
    return time.perf_counter() - start


def main() -> None:
    """Print both times and their ratio, the middle of three runs each."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=Path, help="write the row to this JSON file")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = enlarge(Path(folder))
        first = sorted(ours(path) for _ in range(3))[1]
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        second = sorted(peer(path) for _ in range(3))[1]
    print(f"ours_s {first:.2f}  peer_s {second:.2f}  ratio {first / second:.2f}  memory_mib {most:.0f}")
    if given.rows:
        row = Ratio(
            part="photo", work="12 megapixels to a verdict", value=first / second, wanted=1,
            ours=f"{first:.2f} s", theirs=f"{second:.2f} s", peer="reading, one watershed (scikit-image)",
        )  # fmt: skip
        memory = Ratio(part="photo", work="the same, memory", value=most, unit="MiB", wanted=600)
        write_rows(given.rows, [row, memory])


if __name__ == "__main__":
    main()
