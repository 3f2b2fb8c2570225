"""What the two front pages say is so: links lead somewhere, commands and options exist, blocks run."""

import inspect
import json
import re
import shlex
import tomllib
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

import palette
from palette.cli import app

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
PAGES = [README, ROOT / "DEVELOPERS.md", *sorted((ROOT / "palette" / "data").glob("*.md"))]


def _commands(group, before=""):
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from _commands(command, f"{before}{name} ")
        else:
            yield f"{before}{name}", command


COMMANDS = dict(_commands(typer.main.get_command(app)))
GROUPS = {name.split()[0] for name in COMMANDS if " " in name}
# What `palette` itself takes, and what others' programs take.
OF_PALETTE = {"--version", "--help", "--install-completion", "--show-completion"}


def options_of(command):
    return {name for item in COMMANDS[command].params for name in (*item.opts, *item.secondary_opts)}


def test_every_link_leads_somewhere():
    lost = []
    for page in PAGES:
        for target in re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8")):
            if re.match(r"(https?|mailto):", target):
                continue
            file, _, mark = target.partition("#")
            if file and not (page.parent / file).exists():
                lost.append(f"{page.name}: {target}")
            if mark and mark not in anchors((page.parent / file) if file else page):
                lost.append(f"{page.name}: {target}")
    assert not lost


def anchors(page):
    heads = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.M)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def spans(page):
    """Return the code of a page: inline spans, and the lines of shell blocks, joined where they go on."""
    text = page.read_text(encoding="utf-8")
    blocks = re.findall(r"```sh\n(.*?)```", text, re.S)
    lines = [line for block in blocks for line in block.replace("\\\n", " ").splitlines()]
    return lines + re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.S))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_commands_and_options_exist(page):
    every = set().union(*(options_of(name) for name in COMMANDS)) | OF_PALETTE
    for span in spans(page):
        called = re.search(r"(?:^|/|&& )palette ([a-z][\w-]*)(?: ([a-z]+)\b)?(.*)", span)
        if called:
            name = f"{called[1]} {called[2]}" if called[1] in GROUPS and called[2] else called[1]
            assert name in COMMANDS or name in GROUPS, span
            known = options_of(name) if name in COMMANDS else OF_PALETTE
            assert not set(re.findall(r"(?<!\S)--[a-z][\w-]*", span)) - known, span
        elif span.startswith("--") and page == README:
            assert re.match(r"--[a-z][\w-]*", span)[0] in every, span


def test_every_command_is_told_of():
    said = " ".join(spans(README))
    assert not [name for name in COMMANDS if not re.search(rf"palette {name}\b", said)]


def test_every_command_prints_json():
    # README: "Every command takes `--json`".
    assert not [name for name in COMMANDS if "--json" not in options_of(name)]


@pytest.mark.parametrize("name", COMMANDS)
def test_help_says_what_a_command_does(name):
    told = CliRunner().invoke(app, [*name.split(), "--help"])
    assert told.exit_code == 0
    assert f"palette {name}" in told.output


def test_toml_blocks_are_toml():
    blocks = re.findall(r"^( *)```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.S | re.M)
    assert len(blocks) >= 5
    for _, block in blocks:
        tomllib.loads(block.replace("[[nm, reflectance], …]", "[[400, 0.1]]"))


def test_the_brief_shown_is_the_demos():
    shown = next(
        block
        for block in re.findall(r"```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.S)
        if 'panel = "wall.svg"' in block
    )
    assert tomllib.loads(shown) == tomllib.loads((ROOT / "examples/canyon/brief.toml").read_text("utf-8"))


def test_the_aims_shown_are_the_usual_ones_in_their_order():
    shown = re.search(r"^aims = (\[.*?\])", README.read_text(encoding="utf-8"), re.M)
    assert tuple(json.loads(shown[1])) == inspect.signature(palette.solve).parameters["aims"].default


def test_the_python_shown_gives_what_it_says(monkeypatch):
    monkeypatch.chdir(ROOT)
    block = re.search(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.S)[1]
    known = {}
    exec(compile(block, "README.md", "exec"), known)
    outcome = known["outcome"]
    assert next(iter(outcome.scheme.paint_of.items())) == ("cap west", "lagoon blue")
    assert "{'cap west': 'lagoon blue', …}" in block
    assert outcome.verdict.kept is True


def test_the_looks_shown_are_those_printed(monkeypatch):
    monkeypatch.chdir(ROOT)
    shown = json.loads(re.search(r"```json\n(.*?)```", README.read_text(encoding="utf-8"), re.S)[1])
    told = CliRunner().invoke(app, ["paints", "examples/canyon/paints.toml", "--light", "365/12", "--json"])
    assert shown["looks"][0] in json.loads(told.stdout)["looks"]


def _shell_lines():
    for line in spans(README):
        called = re.search(
            r"(?:^|&& \.venv/bin/)(palette (?:assign|photo|repaint|plan) .*examples/.*)", line
        )
        if called:
            yield called[1]


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readme")
    (folder / "examples").symlink_to(ROOT / "examples", target_is_directory=True)
    return folder


# In the order of the page: later ones read what earlier ones wrote. 1 says that the demo's photo clashes.
def test_the_commands_shown_write_the_files_the_tables_name(workshop, monkeypatch):
    monkeypatch.chdir(workshop)
    lines = [*_shell_lines()]
    assert [line.split()[1] for line in lines if "assign" in line] == ["assign"]
    corners = (ROOT / "examples/canyon/corners.txt").read_text("utf-8").strip()
    for line in sorted(lines, key=lambda line: "assign" not in line):
        words = shlex.split(line.replace("$(cat examples/canyon/corners.txt)", corners))
        ran = CliRunner().invoke(app, words[1:])
        assert ran.exit_code == (1 if words[1] == "photo" else 0), ran.output
    text = README.read_text(encoding="utf-8")
    for folder, start in {
        "canyon-out": "`palette assign BRIEF --out DIR` writes",
        "paint-day": "writes the papers:",
    }.items():
        table = text.split(start)[1].split("|---|---|\n")[1].split("\n\n")[0]
        first = [row.split("|")[1] for row in table.splitlines()]
        named = {name for cell in first for name in re.findall(r"`([\w.-]+\.\w+)`", cell)}
        there = {file.name for file in (workshop / folder).iterdir()}
        assert named <= there
        assert there - named <= {"paint-map.svg"}
    seen = {"marked.png", "sections.csv", "photo.json", "panel.svg", "scheme.json"}
    assert seen == {file.name for file in (workshop / "seen").iterdir()}
    assert all(f"`{name}`" in text for name in seen)


# DEVELOPERS.md: the rooms are all there, and what it points at exists.

DEVELOPERS = ROOT / "DEVELOPERS.md"
PACKAGE = ROOT / "palette"


def test_every_room_is_in_the_table_and_every_room_of_the_table_exists():
    table = DEVELOPERS.read_text(encoding="utf-8").split("| row | rooms | duty |")[1].split("\n\n")[0]
    told = {
        name for row in table.splitlines()[2:] for name in re.findall(r"`([\w/.]+)`", row.split("|")[2])
    }
    rooms = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" and path.stem[:2] != "__"}
    rooms |= {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert told - {"palette/__init__.pyi"} == rooms


def test_the_order_of_the_table_is_that_of_the_layers():
    layers = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"][
        "contracts"
    ][0]
    listed = {room for layer in layers["layers"] for room in re.split(r" [|:] ", layer)}
    rooms = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" and path.stem[:2] != "__"}
    assert listed == rooms | {path.parent.name for path in PACKAGE.glob("*/__init__.py")}


def test_what_developers_are_pointed_at_exists():
    lost = []
    for span in spans(DEVELOPERS):
        file = re.fullmatch(r"([\w./-]+\.(?:py|pyi|toml|csv|md))", span)
        there = any((base / span).exists() for base in (ROOT, PACKAGE)) or [*ROOT.glob(f"tests/*/{span}")]
        if file and not there:
            lost.append(span)
        held = re.fullmatch(
            r"((?:[a-z_]+[./])*(?:__init__|[a-z_]+))\.(_?[A-Z][A-Z_]+|[a-z]+_[a-z_]+)", span
        )
        if held and not file:
            place = PACKAGE / held[1].replace(".", "/")
            found = [one for one in (place.with_suffix(".py"), place / "__init__.py") if one.exists()]
            if not found or not re.search(rf"\b{held[2]}\b", found[0].read_text(encoding="utf-8")):
                lost.append(span)
    assert not lost


def test_the_checks_named_are_there():
    said = " ".join(spans(DEVELOPERS))
    for script in re.findall(r"\b((?:tests|examples)/[\w/]+\.py)\b", said):
        assert (ROOT / script).is_file(), script
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["optional-dependencies"]
    assert set(re.findall(r"\.\[(\w+)\]", said)) <= set(extras)
    assert (ROOT / ".ci/run").stat().st_mode & 0o111
