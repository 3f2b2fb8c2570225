"""palette under every Python at hand, and with the oldest libraries it asks for.

``nox -f tests/noxfile.py`` builds the wheel and, for each Python found, installs it into an empty
environment, cuts the network off and assigns the demo wall. ``nox -f tests/noxfile.py -s lowest`` does it
with the lowest versions `pyproject.toml` allows; ``-s suite`` runs the default tests.
"""

from pathlib import Path

import nox

ROOT = Path(__file__).resolve().parents[1]
PYTHONS = ["3.11", "3.12", "3.13", "3.14"]
# Where Linux lets a user have a network of their own, the demo runs without one.
ALONE = ["unshare", "--map-root-user", "--net"]

nox.options.default_venv_backend = "venv"
nox.options.sessions = ["wheel"]


def _build(session: nox.Session) -> Path:
    folder = Path(session.create_tmp())
    session.run("pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(folder), str(ROOT))
    return next(folder.glob("*.whl"))


def _assign_demo(session: nox.Session) -> None:
    out = Path(session.create_tmp()) / "canyon-out"
    script = Path(session.bin) / "palette"
    for words in (
        ["assign", str(ROOT / "examples/canyon/brief.toml"), "--out", str(out)],
        ["check", str(ROOT / "examples/canyon/brief.toml"), str(out / "scheme.json")],
        ["plan", str(out / "scheme.json"), "--out", str(out / "papers")],
        ["paints", str(ROOT / "examples/canyon/paints.toml"), "--card", str(out / "card.png")],
    ):
        session.run(*ALONE, str(script), *words, external=True)


@nox.session(python=PYTHONS)
def wheel(session: nox.Session) -> None:
    """Install the wheel alone, and assign the demo without a network."""
    session.install(str(_build(session)))
    _assign_demo(session)


@nox.session(python="3.11")
def lowest(session: nox.Session) -> None:
    """Do the same with the lowest version of everything the wheel asks for."""
    session.install("uv")
    session.run(
        "uv", "pip", "install", "--quiet", "--resolution", "lowest-direct",
        "-r", str(ROOT / "pyproject.toml"), "--python", str(Path(session.bin) / "python"),
    )  # fmt: skip
    session.install("--no-deps", str(_build(session)))
    _assign_demo(session)


@nox.session(python=PYTHONS)
def suite(session: nox.Session) -> None:
    """Run the default tests."""
    session.install("-e", f"{ROOT}[test]")
    session.chdir(ROOT)
    session.run("pytest", "-q", "-p", "no:cacheprovider", *session.posargs)
