"""What `pip install` gives a stranger: the built wheel, with nothing of the checkout and no network.

The file layout of a wheel is that of PyPA's binary distribution format (packaging.python.org).
"""

import json
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

# A program that wants the network raises one of these (CPython documentation, "Audit events table").
STRANGER = """
import sys
sys.path[:0] = {path!r}
def refuse(event, args):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname", "urllib.Request"):
        raise SystemExit(f"the network was asked for: {{event}} {{args}}")
sys.addaudithook(refuse)
import palette
assert palette.__file__.startswith({path[0]!r}), palette.__file__
from palette.cli import main
sys.argv = ["palette", *{words!r}]
main()
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target",
         str(folder), str(wheel)],
        check=True, capture_output=True,
    )  # fmt: skip
    return folder


def run(installed, *words):
    path = [str(installed), sysconfig.get_path("purelib"), sysconfig.get_path("platlib")]
    code = STRANGER.format(path=path, words=[str(word) for word in words])
    # -S leaves out the .pth files, by which an editable install would bring the checkout back.
    return subprocess.run([sys.executable, "-S", "-c", code], capture_output=True, text=True, check=False)


def test_the_wheel_is_small_and_holds_every_file_of_the_package(wheel):
    assert wheel.stat().st_size < 5 * 2**20
    with zipfile.ZipFile(wheel) as archive:
        held = set(archive.namelist())
    ours = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "palette").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert ours <= held
    assert {"palette/py.typed", "palette/data/canyon/brief.toml"} <= held
    assert not [name for name in held if name.startswith(("tests/", "notebooks/"))]


def test_it_works_alone_and_without_a_network(installed, tmp_path):
    demo = installed / "palette" / "data" / "canyon" / "brief.toml"
    out = tmp_path / "out"
    ran = run(installed, "assign", demo, "--out", out, "--width", 300, "--json")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert len(json.loads(ran.stdout)["paint_of"]) == 18
    ran = run(installed, "check", demo, out / "scheme.json")
    assert ran.returncode == 0, ran.stderr
    ran = run(installed, "plan", out / "scheme.json", "--out", tmp_path / "papers")
    assert ran.returncode == 0, ran.stderr
    assert (tmp_path / "papers" / "overview.pdf").exists()
