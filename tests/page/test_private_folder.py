"""The page's temporary folders: filled as asked, gone at the end, and gone after a kill as well."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time

import pytest

from palette.errors import InputError
from palette.page.private_folder import PrivateFolder, clear_leftovers


@pytest.fixture(autouse=True)
def temporary(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def age(path):
    long_ago = time.time() - 600
    os.utime(path, (long_ago, long_ago))


def test_exactly_the_files_asked_for_lie_in_it():
    with PrivateFolder() as private:
        private.lay_out({"a.txt": b"a", "deep/b.txt": b"b"})
        private.lay_out({"deep/b.txt": b"other"})
        found = {str(path.relative_to(private.path)): path.read_bytes()
                 for path in private.path.rglob("*") if path.is_file()}  # fmt: skip
    assert found == {"deep/b.txt": b"other"}
    assert not private.path.exists()


def test_a_file_half_written_is_written_anew(monkeypatch):
    with PrivateFolder() as private:
        private.lay_out({"a.txt": b"old"})
        with monkeypatch.context() as patched:

            def write_half(path, data):
                with path.open("wb") as file:
                    file.write(data[:2])
                raise OSError(28, "No space left on device")

            patched.setattr(type(private.path), "write_bytes", write_half)
            with pytest.raises(InputError, match=r"no temporary file can be written there \(No space left"):
                private.lay_out({"a.txt": b"newer"})
        # Going back to what lay there before must not find the half.
        private.lay_out({"a.txt": b"old"})
        assert (private.path / "a.txt").read_bytes() == b"old"


@pytest.mark.skipif(os.name != "posix", reason="Windows has no SIGKILL to send, and clears by itself")
def test_only_what_dead_pages_left_is_cleared(temporary):
    script = (
        "import os, signal, tempfile, sys\ntempfile.tempdir = sys.argv[1]\n"
        "from palette.page.private_folder import PrivateFolder\n"
        "private = PrivateFolder()\nprivate.lay_out({'wall.svg': b'wall'})\n"
        "print(private.path, flush=True)\nos.kill(os.getpid(), signal.SIGKILL)\n"
    )
    left = []
    for _ in range(2):
        ran = subprocess.run(
            [sys.executable, "-c", script, str(temporary)], capture_output=True, text=True, check=False
        )
        assert ran.returncode == -signal.SIGKILL
        left.append(temporary / ran.stdout.strip())
    dead, just_dead = left
    living = PrivateFolder()
    theirs = temporary / "theirs"
    theirs.mkdir()
    (temporary / "palette-page-link").symlink_to(theirs)
    for path in (dead, living.path, theirs):
        age(path)
    clear_leftovers()
    assert not dead.exists()
    assert just_dead.exists(), "one just made may not be locked yet"
    assert living.path.exists()
    assert theirs.exists()
    living.close()
