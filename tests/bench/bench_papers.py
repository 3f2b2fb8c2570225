"""How long the demo's papers take, beside 1000 plain text lines set by the same PDF library.

Run: ``pytest -o addopts= tests/bench/bench_papers.py -s``. Bars: 3 s of work for the demo, 1 GiB for
a run of 200 panels (their map, tick list and can pages; tracing is left out, as for any long run).
"""

import io
import resource
import time
from dataclasses import replace
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

import palette
from palette.papers import draw_papers
from palette.plan import make_plan

CANYON = Path(__file__).parents[2] / "examples" / "canyon"


def demo_job():
    shelf = palette.read_paints(CANYON / "paints.toml")
    panel = palette.read_layout(CANYON / "wall.svg")
    paints = {section: shelf[k % len(shelf)].id for k, section in enumerate(panel.ids)}
    return (
        shelf,
        panel,
        palette.Scheme(paint_of=paints),
        palette.read_plan_file(CANYON / "plan.toml").settings,
    )


def work_of(run):
    """Return seconds of this process's own work: other programs on the machine do not count."""
    start = time.process_time()
    run()
    return time.process_time() - start


def plain_lines():
    canvas = Canvas(io.BytesIO())
    for page in range(20):
        for line in range(50):
            canvas.drawString(50, 50 + 14 * line, f"page {page}, line {line}: area, coats, litres")
        canvas.showPage()
    canvas.save()


def test_the_demo(record):
    shelf, panel, scheme, settings = demo_job()
    spent = work_of(lambda: list(draw_papers(make_plan([(panel, scheme)], shelf, settings))))
    again = work_of(lambda: list(draw_papers(make_plan([(panel, scheme)], shelf, settings))))
    peer = min(work_of(plain_lines) for _ in range(3))
    record(
        part="papers", work="all papers of the demo", value=again / peer, wanted=150,
        ours=f"{again:.2f} s of work", theirs=f"{peer:.3f} s", peer="1,000 plain lines, same PDF library",
    )  # fmt: skip
    record(part="papers", work="all papers of the demo, first time", value=spent, unit="s", wanted=3)
    assert spent <= 3.0 or again < 150 * peer


def test_a_run_of_two_hundred_panels(record):
    shelf, panel, scheme, settings = demo_job()
    settings = replace(settings, paper=replace(settings.paper, tracing="none"))
    jobs = [(replace(panel, name=f"wall {k:03d}"), scheme) for k in range(200)]
    size = 0

    def run():
        nonlocal size
        for paper in draw_papers(make_plan(jobs, shelf, settings)):
            size += len(paper.data)

    spent = work_of(run)
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    record(
        part="papers", work=f"200 panels without tracing, {size / 2**20:.0f} MiB of papers", value=most,
        unit="GiB", ours=f"{spent:.0f} s", wanted=1,
    )  # fmt: skip
    assert most < 1.0
