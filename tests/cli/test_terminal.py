"""palette among other programs: in a pipe, under a shell that completes words, on a terminal."""

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import CANYON

BRIEF = CANYON / "brief.toml"
PALETTE = [sys.executable, "-m", "palette"]
ESCAPE = "\x1b"


@pytest.fixture(scope="module")
def scheme(tmp_path_factory):
    out = tmp_path_factory.mktemp("assigned")
    said = subprocess.run(
        [*PALETTE, "assign", BRIEF, "--out", out, "--width", "300"], capture_output=True, check=True
    )
    assert ESCAPE.encode() not in said.stdout + said.stderr
    return out / "scheme.json"


def words_of(command, scheme, out):
    corners = (CANYON / "corners.txt").read_text(encoding="utf-8").strip()
    offers = out / "offers.toml"
    swatch = '{ daylight = "#8050b0", blacklight = "#6030ff" }'
    offers.write_text(f'[[paint]]\nname = "dusk violet"\nswatch = {swatch}\n', encoding="utf-8")
    return {
        "neighbours": (CANYON / "wall.svg",),
        "assign": (BRIEF, "--out", out / "assigned", "--width", 300),
        "check": (BRIEF, scheme),
        "preview": (BRIEF, scheme, "--out", out / "look.png", "--width", 300, "--flat"),
        "rules": (BRIEF,),
        "buy": (BRIEF, offers),
        "paints": (CANYON / "paints.toml",),
        "plan": (scheme, "--plan", CANYON / "plan.toml", "--out", out / "papers"),
        "lamps": (CANYON / "wall.svg", "--plan", CANYON / "plan.toml"),
        "photo": (
            CANYON / "painted.jpg", "--paints", CANYON / "paints.toml", "--corners", corners,
            "--size", "8 ft x 6 ft", "--out", out / "seen",
        ),
        "compare": (CANYON / "painted.jpg", scheme, "--brief", BRIEF, "--corners", corners,
                    "--out", out / "c"),
        "repaint": (CANYON / "white.jpg", scheme, "--brief", BRIEF, "--corners", corners,
                    "--out", out / "r"),
    }[command]  # fmt: skip


@pytest.mark.parametrize(
    "command",
    ["neighbours", "assign", "check", "preview", "rules", "buy", "paints", "plan", "lamps", "photo",
     "compare", "repaint"],
)  # fmt: skip
def test_json_is_one_object_and_nothing_else(palette_command, scheme, tmp_path, command):
    ran = palette_command(command, *words_of(command, scheme, tmp_path), "--json")
    assert ran.code in (0, 1), ran.err
    assert isinstance(json.loads(ran.out), dict)
    assert ESCAPE not in ran.out


def test_a_pipe_gets_plain_text_even_where_the_terminal_has_colours(scheme):
    many = os.environ | {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
    many.pop("NO_COLOR", None)
    for words in (["check", BRIEF, scheme], ["rules"], ["neighbours", CANYON / "wall.svg"]):
        ran = subprocess.run([*PALETTE, *words], capture_output=True, env=many, check=True)
        assert ran.stdout
        assert ESCAPE.encode() not in ran.stdout


def test_a_reader_that_goes_away_is_no_error():
    # As `palette neighbours wall.svg | head -1` does: POSIX pipes break with EPIPE.
    ran = subprocess.Popen(
        [*PALETTE, "neighbours", CANYON / "wall.svg", "--json"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    ran.stdout.close()
    told = ran.stderr.read()
    ran.stderr.close()
    ran.wait(timeout=60)
    assert told == b""


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("palette ass", ["assign"]),
        ("palette preview a b --light led-36", ["led-365"]),
        ("palette preview a b --trim uv", ["uv-white"]),
        ("palette rules --kind st", ["stock", "stripe"]),
    ],
)
def test_a_real_shell_completes_words(line, offered):
    """Bash's programmable completion, driven as its manual describes: COMP_WORDS, COMP_CWORD, COMPREPLY."""
    script = (
        'eval "$(palette --show-completion bash)"\n'
        "spec=$(complete -p palette) || exit 3\n"
        "name=${spec##*-F }; name=${name%% *}\n"
        f"COMP_WORDS=({line}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))\n"
        '"$name" palette\n'
        'printf "%s\\n" "${COMPREPLY[@]}"\n'
    )
    # The command as pip installs it, beside the interpreter.
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    ran = subprocess.run(
        ["bash", "-c", script], capture_output=True, text=True, env=os.environ | {"PATH": path}, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert sorted(ran.stdout.split()) == offered


def test_a_terminal_too_narrow_loses_no_name():
    """On a terminal of 60 columns a table wraps; every section's name is still whole words on it."""
    mine, theirs = pty.openpty()
    with subprocess.Popen(
        [*PALETTE, "neighbours", CANYON / "wall.svg"],
        stdout=theirs,
        stderr=theirs,
        env=os.environ | {"COLUMNS": "60", "TERM": "dumb"},
    ) as ran:
        os.close(theirs)
        heard = b""
        while True:
            try:
                heard += os.read(mine, 65536)
            except OSError:
                break
        assert ran.wait(timeout=60) == 0
    os.close(mine)
    assert b"38 borders" in heard
    assert "…".encode() not in heard
