"""Fill a real disk and let every command, and the page, write to it.

``python tests/crash/full_disk.py`` (as root, on Linux) mounts a small disk in memory that only this
process sees, puts an earlier result on it, leaves more and more room free, and each time asks: one
sentence and exit code 2, and all files of the earlier result; or exit code 0 and all of the later one.
The page must say "Not saved" and why, and save by itself once there is room. ``full_disk.py photo page``
looks at some of them alone.
"""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1])]

from crash.aiming import end_group, waiting_files
from crash.commands import COMMANDS, Walls, arguments, copy_wall
from crash.visiting import has, start_page
from crash.wholeness import check_files, contents, open_project
from page.wire import Visitor

_SHARES = (0.0, 0.02, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0, 1.1, 2.0)
"""Room left on the disk, as a share of what the later result takes."""

_BLOCKS = 2**15
"""Beyond that, as soon as there is more than enough: a disk gives room in blocks."""


def main() -> int:
    """Look at every command and the page on a full disk."""
    if "--inside" not in sys.argv:
        os.execvp("unshare", ["unshare", "--mount", sys.executable, __file__, "--inside", *sys.argv[1:]])
    kinds = sys.argv[2:] or [*COMMANDS, "page"]
    with tempfile.TemporaryDirectory(prefix="palette-full-") as place:
        disk = Path(place) / "disk"
        disk.mkdir()
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=24m", "none", disk], check=True)
        try:
            walls = Walls(Path(place) / "walls")
            for name in kinds:
                if name == "page":
                    look_at_page(disk)
                else:
                    look_at_command(name, walls, disk)
        finally:
            subprocess.run(["umount", disk], check=False)
    return 0


def run(*args: object) -> tuple[int, str]:
    """Run a command in a process of its own; return its exit code and what it said of faults."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        from palette.cli import main as palette_main

        sys.argv = ["palette", *map(str, args)]
        code, said = 0, io.StringIO()
        try:
            with redirect_stdout(io.StringIO()), redirect_stderr(said):
                palette_main()
        except SystemExit as end:
            code = int(end.code or 0)
        except BaseException as fault:  # noqa: BLE001  # a traceback is what is looked for
            code, said = 70, io.StringIO(repr(fault))
        os.write(writer, said.getvalue().encode())
        os._exit(code)
    os.close(writer)
    with os.fdopen(reader, "rb") as line:
        told = line.read().decode()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), told


def fill(disk: Path, free: int) -> None:
    """Fill the disk, so that `free` bytes are left."""
    filler = disk / "filler"
    filler.unlink(missing_ok=True)
    about = os.statvfs(disk)
    filler.write_bytes(b"\0" * max(0, about.f_bavail * about.f_frsize - free))


def look_at_command(name: str, walls: Walls, disk: Path) -> None:
    """Run one command with more and more room; print how often it failed, and how often it went through."""
    kept = []
    # A scheme notes where its brief lies, seen from its own folder: all results are made in one place.
    out = disk / "out"
    for which in (0, 1):
        code, told = run(*arguments(name, walls, which), "--out", aim(name, out))
        assert code in (0, 1), told
        kept.append(contents(out))
        shutil.rmtree(out)
    old, new = kept
    size = sum(map(len, new.values()))
    failed = done = 0
    for share in _SHARES:
        out.mkdir()
        for file, content in old.items():
            (out / file).write_bytes(content)
        fill(disk, int(size * share) + (_BLOCKS if share > 1 else 0))
        code, told = run(*arguments(name, walls, 1), "--out", aim(name, out))
        (disk / "filler").unlink()
        if code == 2:
            failed += 1
            assert "cannot be written (No space left on device)" in told, told
            assert told.strip().count("\n") == 0, told
            assert contents(out) == old
            assert not waiting_files(out)
        else:
            done += 1
            assert code in (0, 1), (code, told)
            assert contents(out) == new
        check_files(out)
        shutil.rmtree(out)
    assert failed >= 3
    assert done
    print(f"{name:<10} full {failed} times: one sentence, the earlier result stands; {done} times through",
          flush=True)  # fmt: skip


def aim(name: str, out: Path) -> Path:
    """Return what is named to --out."""
    out.mkdir(exist_ok=True)
    return out / "paints.toml" if name == "swatches" else out


def look_at_page(disk: Path) -> None:
    """Paint on the page while the disk is full, and then while it is not."""
    folder = disk / "wall"
    copy_wall(folder)
    server = start_page(folder)
    try:
        visitor = Visitor(server)
        visitor.wait_for(has("section"))
        visitor.listen(0.5)
        before = contents(folder)
        fill(disk, 0)
        visitor.press(next(each for each in visitor.elements.items()
                           if has("section")(each[1]) and each[1].get("events")))  # fmt: skip
        visitor.wait_for(has("offer"))
        visitor.listen(0.3)
        visitor.press(visitor.find(has("offer")))
        visitor.wait_for(has("saved", "Not saved"))
        told = visitor.wait_for(lambda each: str(each.get("text", "")).startswith("Not saved: "))[1]["text"]
        assert "cannot be written (No space left on device)" in told, told
        assert contents(folder) == before
        (disk / "filler").unlink()
        began = time.monotonic()
        visitor.wait_for(has("saved", "Saved"))
        print(f"page       full: {told}")
        print(f"           saved {time.monotonic() - began:.1f} s after there was room")
        visitor.close()
    finally:
        end_group(server.process)
    assert len(open_project(folder)["scheme.json"]) > 40


if __name__ == "__main__":
    sys.exit(main())
