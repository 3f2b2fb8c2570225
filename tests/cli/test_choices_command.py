"""Choices, reasons and proofs from the command line."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from PIL import Image

from palette.cli import main

CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon"


def run(monkeypatch, capsys, *words: str) -> tuple[int, str]:
    monkeypatch.setattr("sys.argv", ["palette", *words])
    with pytest.raises(SystemExit) as stop:
        main()
    return int(stop.value.code or 0), capsys.readouterr().out


@pytest.fixture
def brief(tmp_path):
    """The canyon's brief, its files named in full, with rules of the test's own."""

    def write(rules: str, *, head: str = "") -> Path:
        text = (CANYON / "brief.toml").read_text("utf-8").split("[[rule]]")[0]
        text = re.sub(r'"(wall\.svg|paints\.toml)"', lambda name: f'"{CANYON / name[1]}"', text)
        path = tmp_path / "brief.toml"
        path.write_text(head + text + rules, "utf-8")
        return path

    return write


EASY = '[[rule]]\nkind = "clash"\n'
TIGHT = EASY + '[[rule]]\nkind = "depth"\nbands = 6\n'


def test_alternatives_are_written_and_told(monkeypatch, capsys, brief, tmp_path):
    code, out = run(
        monkeypatch, capsys, "assign", str(brief(EASY)), "--out", str(tmp_path), "--alternatives", "3",
        "--width", "600", "--json",
    )  # fmt: skip
    told = json.loads(out)
    assert code == 0
    assert len(told["alternatives"]) == 2
    assert all(one["difference"] >= 1 / 3 for one in told["alternatives"])
    assert {"alternatives.png", "alternative-2.json", "alternative-3.json"} <= {
        Path(file).name for file in told["files"]
    }
    assert Image.open(tmp_path / "alternatives.png").width == 600


def test_reasons_are_told_and_drawn(monkeypatch, capsys, brief, tmp_path):
    code, out = run(monkeypatch, capsys, "assign", str(brief(TIGHT)), "--out", str(tmp_path), "--json")
    told = json.loads(out)
    assert code == 1
    assert set(told["rules"]) == {"clash", "depth"}
    assert any("raise the tolerance of depth" in way[0] for way in told["ways_out"])
    assert (tmp_path / "reasons.png").is_file()
    assert not (tmp_path / "scheme.json").exists()


def test_a_proof_and_its_formula_are_written(monkeypatch, capsys, brief, tmp_path):
    proof = tmp_path / "no.drat"
    code, _ = run(
        monkeypatch, capsys, "assign", str(brief(TIGHT)), "--out", str(tmp_path), "--proof", str(proof)
    )
    assert code == 1
    assert (tmp_path / "no.cnf").read_text().startswith("c The rules of North wall cannot all be kept.")
    assert proof.read_text().strip()


def test_a_started_scheme_is_kept(monkeypatch, capsys, brief, tmp_path):
    started = tmp_path / "started.json"
    started.write_text(json.dumps({"version": 1, "paint_of": {"hearth": "chalk white"}}), "utf-8")
    code, out = run(
        monkeypatch, capsys, "assign", str(brief(EASY)), "--out", str(tmp_path), "--started", str(started),
        "--json",
    )  # fmt: skip
    told = json.loads(out)
    assert code == 0
    assert told["paint_of"]["hearth"] == "chalk white"
    assert told["cost"]["weakest-pair"]["started"] <= told["cost"]["weakest-pair"]["free"]


def test_rules_are_printed_as_sentences(monkeypatch, capsys, brief):
    aims = 'aims = ["contrast", "weakest-pair within 2"]\n'
    soft = EASY + '[[rule]]\nkind = "stripe"\nstrength = "prefer"\n'
    code, out = run(monkeypatch, capsys, "rules", str(brief(soft, head=aims)))
    assert code == 0
    assert "Preferred: no three sections of one paint stand in a line." in out
    assert "Aim 2: the two neighbours that look most alike differ as much as can be." in out


@pytest.mark.parametrize(
    ("head", "told"),
    [
        ('aims = ["speed"]\n', 'aims: there is no aim "speed"; use one of:'),
        ("aims = 3\n", "aims: 3 is not a list of aims;"),
        ('aims = ["contrast", "contrast"]\n', 'aims: the aim "contrast" stands twice;'),
    ],
)
def test_wrong_aims_are_one_sentence(monkeypatch, capsys, brief, head, told):
    monkeypatch.setattr("sys.argv", ["palette", "rules", str(brief(EASY, head=head))])
    with pytest.raises(SystemExit) as stop:
        main()
    assert stop.value.code == 2
    assert told in capsys.readouterr().err


def test_what_to_buy(monkeypatch, capsys, brief, tmp_path):
    offers = tmp_path / "offers.toml"
    offers.write_text(
        '[[paint]]\nname = "night"\nswatch = { daylight = "#101030", blacklight = "#050510" }\n'
        '[[paint]]\nname = "second lemon"\nswatch = { daylight = "#f8f000", blacklight = "#d0ff00" }\n',
        "utf-8",
    )
    code, out = run(monkeypatch, capsys, "buy", str(brief(EASY)), str(offers), "--json")
    found = json.loads(out)["offers"]
    assert code == 0
    assert found[0]["paint"] == "night"
    assert all(one["possible"] for one in found)
