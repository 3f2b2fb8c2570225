"""``palette plan`` and ``palette lamps`` from the outside."""

import json
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from palette.cli import app
from palette.errors import InputError

CANYON = Path(__file__).parents[2] / "examples" / "canyon"
RUN = CliRunner()


@pytest.fixture
def untraced(tmp_path):
    """A plan file without the many full-size sheets."""
    path = tmp_path / "untraced.toml"
    path.write_text('[paper]\ntracing = "none"\n')
    return path


@pytest.fixture
def scheme(tmp_path):
    """A scheme by hand: any eight cans in turn, good enough for paper."""
    import palette

    brief = palette.read_brief(CANYON / "brief.toml")
    paints = [paint.id for paint in brief.paints]
    paint_of = {section: paints[k % len(paints)] for k, section in enumerate(brief.panel.ids)}
    path = tmp_path / "scheme.json"
    document = {"version": 1, "brief": str(CANYON / "brief.toml"), "paint_of": paint_of}
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def test_the_folder_holds_every_paper(scheme, tmp_path):
    out = tmp_path / "papers"
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(out)])
    assert found.exit_code == 0, found.output
    assert sorted(path.name for path in out.iterdir()) == [
        "by-can.pdf", "days.ics", "labels.pdf", "overview.pdf", "paint-map.pdf", "paint-map.svg",
        "quantities.csv", "sections.csv", "shopping.csv", "tracing.pdf", "work-plan.pdf",
    ]  # fmt: skip
    assert "8 paints in use" in found.output
    assert len(PdfReader(out / "overview.pdf").pages) == 1


def test_a_slip_in_the_plan_file_is_told_and_the_rest_is_made(scheme, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(
        '[[container]]\nproduct = "white"\nsize = "1 L"\nprice = -3\n[paper]\ntracing = "none"\n'
    )
    out = tmp_path / "papers"
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(out), "--plan", str(bad)])
    assert found.exit_code == 2
    assert "container 1: its price is -3, below zero; give what it costs, 0 or more." in found.output
    assert "Traceback" not in found.output
    text = "".join(page.extract_text() for page in PdfReader(out / "work-plan.pdf").pages)
    assert "below zero" in text
    assert not (out / "tracing.pdf").exists()
    assert not list(out.glob("*.part"))


def test_a_scale_too_large_for_the_paper_is_one_sentence(scheme, tmp_path):
    wish = tmp_path / "wish.toml"
    wish.write_text('[paper]\nscale = "1:5"\ntracing = "none"\n')
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(tmp_path / "papers"), "--plan", str(wish)])
    assert found.exit_code == 2
    # 2438.4 × 1828.8 mm at 1 : 5 is 488 × 366 mm.
    assert "North wall: at 1 : 5 it needs 488 × 366 mm, and A4 has" in found.output
    wish.write_text('[paper]\nscale = "1:20"\ntracing = "none"\n')
    out = tmp_path / "smaller"
    assert (
        "it needs"
        not in RUN.invoke(app, ["plan", str(scheme), "--out", str(out), "--plan", str(wish)]).output
    )
    assert "scale 1 : 20" in PdfReader(out / "paint-map.pdf").pages[0].extract_text()


@pytest.mark.parametrize("size", ["A3", "Letter", "Tabloid"])
def test_other_papers(scheme, untraced, tmp_path, size):
    out = tmp_path / size
    arguments = ["plan", str(scheme), "--out", str(out), "--plan", str(untraced), "--paper", size]
    assert RUN.invoke(app, arguments).exit_code == 0
    # Points: A3 842 × 1191 (ISO 216), Letter 612 × 792, Tabloid 792 × 1224 (ANSI Y14.1).
    sides = {"A3": (842, 1191), "Letter": (612, 792), "Tabloid": (792, 1224)}[size]
    box = PdfReader(out / "paint-map.pdf").pages[0].mediabox
    assert sorted((round(float(box.width)), round(float(box.height)))) == list(sides)


def test_an_unknown_paper_writes_nothing(scheme, tmp_path):
    out = tmp_path / "papers"
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(out), "--paper", "B5"])
    assert isinstance(found.exception, InputError)
    assert str(found.exception).startswith('paper: there is no page size "B5"; use one of: A4')
    assert not out.exists()


def test_a_scheme_without_a_brief_asks_for_one(scheme, untraced, tmp_path):
    document = json.loads(scheme.read_text())
    del document["brief"]
    scheme.write_text(json.dumps(document))
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(tmp_path / "papers")])
    assert "does not say which brief" in str(found.exception)
    given = ["plan", str(scheme), "--out", str(tmp_path / "papers"), "--brief", str(CANYON / "brief.toml")]
    given += ["--plan", str(untraced)]
    assert RUN.invoke(app, given).exit_code == 0


def test_json_is_one_object(scheme, untraced, tmp_path):
    arguments = ["plan", str(scheme), "--out", str(tmp_path / "papers"), "--plan", str(untraced), "--json"]
    document = json.loads(RUN.invoke(app, arguments).stdout)
    # No containers, no start date, no tracing: eight files.
    assert len(document["files"]) == 8
    assert all(Path(file).exists() for file in document["files"])


def test_lamps_are_placed_from_the_command_line():
    arguments = ["lamps", str(CANYON / "wall.svg"), "--plan", str(CANYON / "plan.toml"), "--json"]
    found = RUN.invoke(app, [*arguments, "--mean", "80", "--evenness", "0.5"])
    document = json.loads(found.stdout)
    assert found.exit_code == 0
    assert document["reached"] is True
    assert document["evenness"] >= 0.5
    assert [each["place"] for each in document["people"]] == ["visitor", "painter"]
    # Directive 2006/25/EC, annex I: 10 000 J/m² in a day of 8 h; 1 µW/cm² is 0.01 W/m².
    for each in document["people"]:
        assert each["eye_limit_s"] == pytest.approx(min(28800, 1e4 / (each["uva_uw_cm2"] / 100)), rel=1e-6)
    most = RUN.invoke(app, [*arguments, "--mean", "5000", "--most", "1"])
    assert most.exit_code == 1
    assert json.loads(most.stdout)["reached"] is False


def test_nothing_is_written_if_one_paper_cannot_be(scheme, untraced, tmp_path, monkeypatch):
    # The disk gives up at the last file: the folder made for the papers is gone again.
    import os

    out, real, calls = tmp_path / "papers", os.fsync, []

    def full(handle):
        calls.append(handle)
        if len(calls) == 8:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    found = RUN.invoke(app, ["plan", str(scheme), "--out", str(out), "--plan", str(untraced)])
    assert isinstance(found.exception, InputError)
    assert "No space left on device" in str(found.exception)
    assert not out.exists()


def test_the_wish_of_the_plan_file_is_taken(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text(
        '[[lamp]]\nname = "tube"\nat = ["1 m", "-40 cm"]\nout = "1 m"\noutput_w = 8\npeak_nm = 400\n'
        '[wanted_light]\nmean_uw_cm2 = 40\nevenness = 0.3\nabove = ["1 m", "1.2 m"]\n'
    )
    arguments = ["lamps", str(CANYON / "wall.svg"), "--plan", str(plan)]
    document = json.loads(RUN.invoke(app, [*arguments, "--json"]).stdout)
    assert document["mean_uw_cm2"] >= 40
    assert all(-1200.1 <= lamp["y_mm"] <= -999.9 for lamp in document["lamps"])
    # Half of a line about 400 nm is violet light, which no UV-A limit covers.
    assert "Violet light beyond 400 nm is not counted" in RUN.invoke(app, arguments).output
