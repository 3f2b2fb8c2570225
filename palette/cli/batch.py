"""``palette batch assign`` and ``palette batch photo``."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

import palette
from palette.cli.options import (
    Alternatives,
    Corners,
    Depth,
    Keep,
    LayoutFile,
    PaintFile,
    PhotoLight,
    Seconds,
    SectionNames,
    Size,
    Width,
)
from palette.cli.showing import print_json, print_table, tell
from palette.errors import Stopped

__all__ = ["register"]

Out = Annotated[
    Path,
    typer.Option(help="Folder for a folder each, the summary and the contact sheet.", show_default=False),
]
Workers = Annotated[
    int | None,
    typer.Option(
        help="How many are worked on at once; as many as there are processors if left out.",
        min=1,
        show_default=False,
    ),
]
Again = Annotated[bool, typer.Option("--again", help="Do all of them, also those that are done already.")]
AsJson = Annotated[
    bool, typer.Option("--json", help="Print one JSON object, the summary, and nothing else.")
]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    batch = typer.Typer(help="Assign many walls, or check many photos, at once.", no_args_is_help=True)
    batch.command("assign")(assign)
    batch.command("photo")(photo)
    app.add_typer(batch, name="batch")


def assign(
    walls: Annotated[
        list[Path],
        typer.Argument(help="Briefs, or folders with briefs; with --brief layouts.", show_default=False),
    ],
    out: Out,
    brief: Annotated[
        Path | None,
        typer.Option(
            help="A brief whose paints, lights, rules and aims hold for every layout.", show_default=False
        ),
    ] = None,
    width: Width = 1600,
    names: SectionNames = False,
    alternatives: Alternatives = 1,
    keep: Keep = 1,
    seconds: Seconds = None,
    workers: Workers = None,
    again: Again = False,
    json: AsJson = False,
) -> None:
    """Assign many walls: what `palette assign` does, for each in a folder of its own.

    Writes a summary (summary.csv, summary.json) and a contact sheet beside the folders. What is done
    already is kept when the command is given again; a wall whose brief, layout, paints or rules have
    changed is done anew. Ctrl-C stops; what is finished stays.

    Exit code 0: every wall has a scheme; 1: one has none; 2: one brief or layout cannot be used.

    Example: `palette batch assign walls/*.svg --brief hall.toml --out hall`
    """
    options = palette.AssignOptions(
        width_px=width, names=names, alternatives=alternatives, keep=keep, seconds=seconds
    )
    jobs = (
        palette.list_briefs(walls, options=options)
        if brief is None
        else palette.list_layouts(walls, brief, options=options)
    )
    _run(jobs, out, workers=workers, again=again, json=json)


def photo(
    photos: Annotated[
        list[Path],
        typer.Argument(help="Photos, folders with photos, or lists of photos (TOML).", show_default=False),
    ],
    out: Out,
    paints: PaintFile = None,
    light: PhotoLight = "daylight",
    corners: Corners = None,
    size: Size = None,
    layout: LayoutFile = None,
    depth: Depth = False,
    workers: Workers = None,
    again: Again = False,
    json: AsJson = False,
) -> None:
    """Check many photos: what `palette photo` does, for each in a folder of its own.

    The options hold for every photo; a list says for each what differs. Writes a summary (summary.csv,
    summary.json) and a contact sheet beside the folders. What is done already is kept when the command
    is given again; a photo that has changed, or whose paints have, is done anew. Ctrl-C stops; what is
    finished stays.

    Exit code 0: nothing clashes; 1: something does; 2: one photo cannot be read.

    Example: `palette batch photo photos --paints paints.toml --size "8 ft x 6 ft" --out checked`
    """
    palette.light_by_name(light, where="--light")
    if paints is not None:
        # A fault in the one list would be told sixty times.
        palette.read_paints(paints)
    known = palette.PhotoRequest(
        photo=Path(),
        light=light,
        paints=paints,
        corners=palette.parse_corners(corners, where="--corners") if corners is not None else None,
        size_mm=palette.parse_size(size, where="--size") if size is not None else None,
        layout=layout,
        depth=depth,
    )
    _run(palette.list_photos(photos, known=known), out, workers=workers, again=again, json=json)


def _run(
    jobs: Sequence[palette.BriefJob | palette.PhotoJob],
    out: Path,
    *,
    workers: int | None,
    again: bool,
    json: bool,
) -> None:
    try:
        with _silence() if json else _progress(len(jobs)) as told:
            batch = palette.run_batch(jobs, out, workers=workers, again=again, on_progress=told)
    except Stopped as stop:
        sys.stderr.write(f"{stop}\n")
        raise typer.Exit(130) from None
    files = palette.save_batch(batch)
    if json:
        print_json(palette.batch_to_dict(batch), "summary")
    else:
        _tell(batch, files)
    states = {result.state for result in batch.results}
    if states != {"good"}:
        raise typer.Exit(2 if "wrong-input" in states else 1)


def _tell(batch: palette.Batch, files: Sequence[Path]) -> None:
    headings = (
        "wall",
        "sections",
        "paints",
        "weakest pair",
        "rules",
        "clashes",
        "result",
    )
    print_table(str(batch.folder), headings, [_row(result) for result in batch.results])
    for result in batch.results:
        if result.sentence:
            tell(f"{result.id}: {result.sentence}")
    kept = f" {batch.kept} of {len(batch.results)} were done already." if batch.kept else ""
    tell(f"{palette.tell_states([result.state for result in batch.results])}.{kept}")
    tell("Written: " + ", ".join(str(file) for file in files))


def _row(result: palette.JobResult) -> tuple[str, ...]:
    kept, broken = result.rules_kept, result.rules_broken
    return (
        result.id,
        "" if result.sections is None else str(result.sections),
        str(len(result.paints)) if result.paints else "",
        palette.tell_weakest(result),
        "" if kept is None or broken is None else f"{kept} of {kept + broken}",
        "" if result.clashes is None else str(result.clashes),
        palette.tell_verdict(result),
    )


@contextmanager
def _silence() -> Iterator[Callable[[palette.Step], None]]:
    yield palette.silent


@contextmanager
def _progress(total: int) -> Iterator[Callable[[palette.Step], None]]:
    """Show a bar on a terminal, a line after each job in a pipe; both on standard error."""
    if not sys.stderr.isatty():
        yield lambda step: _tell_step(step, total)
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("{task.description}", markup=False),
    )
    with Progress(*columns, console=Console(stderr=True, highlight=False), transient=True) as bar:
        task = bar.add_task("", total=total)

        def advance(step: palette.Step) -> None:
            bar.update(task, completed=step.done, description=step.note)

        yield advance


def _tell_step(step: palette.Step, total: int) -> None:
    sys.stderr.write(f"{step.done}/{total} {step.note}\n")
