"""One coverage-guided process for one reader, within its limits; `run.py` starts it.

What it has counted lies in a small shared file, so that it outlives a process killed in mid-air.
"""

from __future__ import annotations

import argparse
import hashlib
import mmap
import resource
import struct
import sys
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from fuzz.judging import SECONDS, Ruling, judge
from fuzz.readers import Reader, reader_by_name

GIB = 2**30
_TRACED = 4
"""How much longer an input may take while every branch of it is recorded."""

_LONGEST = 20_000
"""Bytes of a mutated input: small ones are many a second, and `heavy` has the large ones."""
COUNTS = ("inputs", "results", "refusals", "faults", "slowest", "peak", "heavy")
_FORMAT = f"{len(COUNTS)}d"


class Counts:
    """Numbers in a file that another process can read at any time."""

    def __init__(self, path: Path) -> None:
        if not path.exists():
            path.write_bytes(struct.pack(_FORMAT, *([0.0] * len(COUNTS))))
        self._file = path.open("r+b")
        self._map = mmap.mmap(self._file.fileno(), 0)

    def read(self) -> dict[str, float]:
        """Return every number by name."""
        return dict(zip(COUNTS, struct.unpack(_FORMAT, self._map[:]), strict=True))

    def write(self, **changed: float) -> None:
        """Set some numbers."""
        self._map[:] = struct.pack(_FORMAT, *({**self.read(), **changed}[name] for name in COUNTS))


def keep_fault(folder: Path, data: bytes, signature: str, told: str) -> None:
    """Keep an input that failed, the smallest of each signature, with what happened beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    name = "".join(c if c.isalnum() else "-" for c in signature)[:80].strip("-")
    path = folder / f"{name}-{hashlib.sha256(signature.encode()).hexdigest()[:6]}"
    if not path.exists() or path.stat().st_size > len(data):
        path.write_bytes(data)
        path.with_suffix(".txt").write_text(told, encoding="utf-8", errors="backslashreplace")


def _resident() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize()


def _highest() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def _limit_memory() -> None:
    """Allow one GiB of address space beyond what the loaded program has."""
    begun = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (begun + GIB, begun + GIB))


class Account:
    """Judges inputs one by one and enters how they ended."""

    def __init__(self, reader: Reader, out: Path, *, seconds: float) -> None:
        self._reader, self._out, self._seconds = reader, out, seconds
        self.counts = Counts(out / "counts")
        self._begun = _resident()
        self._highest = _highest()

    def enter(self, data: bytes) -> Ruling:
        """Judge one input."""
        ruling = judge(self._reader.target, data, seconds=self._seconds)
        so_far = self.counts.read()
        changed = {name: so_far[name] + 1 for name in ("inputs", f"{ruling.kind}s")}
        if ruling.kind == "fault":
            keep_fault(self._out / "faults", data, ruling.signature, ruling.told)
        if ruling.seconds > so_far["slowest"]:
            changed["slowest"] = ruling.seconds
            (self._out / "slowest").write_bytes(data)
        if (now := _highest()) > self._highest:
            self._highest = now
            peak = now - self._begun
            if peak > so_far["peak"]:
                changed["peak"] = peak
                (self._out / "largest").write_bytes(data)
            if peak > GIB:
                told = f"{peak / GIB:.2f} GiB above the loaded program"
                keep_fault(self._out / "faults", data, "memory", told)
        self.counts.write(**changed)
        return ruling


def try_heavy(reader: Reader, out: Path) -> None:
    """Judge the large inputs, each once, by the code as it is."""
    for seed in reader.seeds():
        judge(reader.target, seed)
    _limit_memory()
    account = Account(reader, out, seconds=SECONDS)
    for number, (name, data) in enumerate(reader.heavy(), 1):
        if number > account.counts.read()["heavy"]:
            # Counted before it is tried: one that kills the process is not tried again.
            account.counts.write(heavy=number)
            (out / "now").write_bytes(data)
            ruling = account.enter(data)
            print(
                f"heavy: {ruling.seconds:5.2f} s {ruling.kind}: {name}, {len(data) / 2**20:.1f} MiB",
                flush=True,
            )


def fuzz(name: str, out: Path, *, inputs: int, seed: int) -> None:
    """Judge mutated inputs, led by which of them reach new code; the process ends here."""
    import atheris

    with atheris.instrument_imports(include=["palette", "tomllib"], enable_loader_override=False):
        reader = reader_by_name(name)
        seeds = reader.seeds()
        # Modules that are loaded on first use are loaded, and instrumented, now.
        for data in seeds:
            judge(reader.target, data)
    _limit_memory()
    account = Account(reader, out, seconds=_TRACED * SECONDS)
    corpus = out / "corpus"
    corpus.mkdir(exist_ok=True)
    for number, data in enumerate(seeds):
        (corpus / f"seed-{number:03d}").write_bytes(data)
    words = out / "words"
    words.write_text("".join(f'"{_escaped(word)}"\n' for word in reader.words if word), encoding="ascii")

    def one(data: bytes) -> None:
        account.enter(data)

    def mutate(data: bytes, max_size: int, seed: int) -> bytes:
        random = Random(seed)
        if random.random() < 0.2:
            return bytes(atheris.Mutate(data, max_size))
        return reader.mutate(data, random)[:max_size]

    flags = [
        f"-runs={inputs}", f"-seed={seed}", f"-max_len={_LONGEST}", "-timeout=120", "-rss_limit_mb=0",
        "-detect_leaks=0", f"-dict={words}", f"-artifact_prefix={out}/died-", "-print_final_stats=1", "-reload=0",
        "-mutate_depth=1",
    ]  # fmt: skip
    atheris.Setup([sys.argv[0], *flags, str(corpus)], one, custom_mutator=mutate)
    atheris.Fuzz()


def main() -> None:
    """Run one block of inputs, or the large ones."""
    options = argparse.ArgumentParser()
    options.add_argument("reader")
    options.add_argument("--inputs", type=int, default=0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--out", type=Path, required=True)
    options.add_argument("--heavy", action="store_true")
    asked = options.parse_args()
    if asked.heavy:
        try_heavy(reader_by_name(asked.reader), asked.out)
    else:
        fuzz(asked.reader, asked.out, inputs=asked.inputs, seed=asked.seed)


def _escaped(word: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


if __name__ == "__main__":
    main()
