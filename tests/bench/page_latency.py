"""Time the page in a real browser: from a paint chosen to its section and verdict drawn.

``python tests/bench/page_latency.py`` prints one row each for 30 and 300 sections, the time from
the command to a usable page, and the server's memory. Bars: 100 ms, 300 ms, 2 s, 400 MiB.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parent)]

from page.conftest import _ARGUMENTS, CANYON, CHROMIUM, start_page, stop_page
from ratios import Ratio, write_rows

# The last change to the section, the verdict line or the marks over the panel counts, and the frame
# after it; the verdict of two schemes may read the same, so its change is not waited for.
CHOOSE = """async ([section, offer]) => {
  const watched = [document.querySelectorAll('.section')[section], document.querySelector('.verdict'),
                   document.querySelector('.over')];
  let last = NaN;
  const watcher = new MutationObserver(() => requestAnimationFrame(() => setTimeout(
    () => { last = performance.now(); })));
  for (const each of watched)
    watcher.observe(each, {attributes: true, subtree: true, childList: true, characterData: true});
  const start = performance.now();
  document.querySelectorAll('.offer')[offer].click();
  await new Promise(go => setTimeout(go, 1200));
  watcher.disconnect();
  return last - start;
}"""


def write_wall(folder: Path, columns: int, rows: int) -> None:
    """Write a project with a wall of `columns` x `rows` stones and a scheme of one paint in turn."""
    folder.mkdir(parents=True)
    shapes, names = [], []
    for k in range(columns * rows):
        x, y = (k % columns) * 120 + 3, (k // columns) * 100 + 3
        names.append(f"stone {k + 1}")
        shapes.append(f'<path d="M{x},{y}l110,4l2,86l-108,2z"><title>{names[-1]}</title></path>')
    width, height = columns * 120, rows * 100
    svg = (f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
           f'viewBox="0 0 {width} {height}">{"".join(shapes)}</svg>')  # fmt: skip
    (folder / "wall.svg").write_text(svg)
    for name in ("brief.toml", "paints.toml"):
        (folder / name).write_bytes((CANYON / name).read_bytes())
    paints = [line.split('"')[1] for line in (CANYON / "paints.toml").read_text().splitlines()
              if line.startswith("name") and "hall" not in line]  # fmt: skip
    scheme = {
        name: paints[(k % columns + 2 * (k // columns)) % len(paints)] for k, name in enumerate(names)
    }
    (folder / "scheme.json").write_text(json.dumps({"version": 1, "paint_of": scheme}))


def memory_mib(pid: int) -> float:
    """Return the resident memory of a process, from the kernel."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1024
    return float("nan")


def main() -> None:
    """Measure and print."""
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=Path, help="write the rows to this JSON file")
    given = parser.parse_args()
    told = []
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as place:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=_ARGUMENTS)
        for columns, rows in ((6, 5), (20, 15)):
            folder = Path(place) / f"wall-{columns * rows}"
            write_wall(folder, columns, rows)
            server = start_page(folder)
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(server.address)
            page.wait_for_selector(".section")
            page.wait_for_function("window.did_handshake")
            usable = time.monotonic() - server.started
            time.sleep(4)
            times = []
            for turn in range(12):
                section = (turn * 7) % (columns * rows)
                page.locator(".section").nth(section).dispatch_event("click")
                time.sleep(0.8)
                pressed = page.evaluate(
                    "[...document.querySelectorAll('.offer')].findIndex(o => o.ariaPressed === 'true')"
                )
                times.append(page.evaluate(CHOOSE, [section, (pressed + 3) % 8]))
            size, memory = f"{columns * rows} sections", memory_mib(server.process.pid)
            wanted = 100 if columns * rows <= 30 else 300
            for work, value, unit, most in (
                ("recolour to verdict drawn", statistics.median(times), "ms", wanted),
                ("usable after the command", usable, "s", 2),
                ("server memory", memory, "MiB", 400),
            ):
                told.append(Ratio(part="page", work=f"{work}, {size}", value=value, unit=unit, wanted=most))
            print(f"{size}: recolour to verdict drawn {statistics.median(times):.0f} ms "
                  f"(worst {max(times):.0f}), usable {usable:.2f} s after the command, "
                  f"server {memory:.0f} MiB")  # fmt: skip
            page.close()
            stop_page(server)
        browser.close()
    if given.rows:
        write_rows(given.rows, told)


if __name__ == "__main__":
    main()
