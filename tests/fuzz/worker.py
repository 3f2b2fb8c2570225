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

GIB = 2**30
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


def _limit_memory() -> None:
    """Allow one GiB of address space beyond what the loaded program has."""
    begun = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (begun + GIB, begun + GIB))


def main() -> None:
    """Run one block of inputs."""
    options = argparse.ArgumentParser()
    options.add_argument("reader")
    options.add_argument("--inputs", type=int, required=True)
    options.add_argument("--seed", type=int, required=True)
    options.add_argument("--out", type=Path, required=True)
    options.add_argument("--first-block", action="store_true")
    asked = options.parse_args()

    import atheris

    with atheris.instrument_imports(
        include=["palette", "svgelements", "tomllib"], enable_loader_override=False
    ):
        from fuzz.judging import judge
        from fuzz.readers import reader_by_name

        reader = reader_by_name(asked.reader)
        seeds = reader.seeds()
        # Modules that are loaded on first use are loaded, and instrumented, now.
        for seed in seeds:
            judge(reader.target, seed)

    counts = Counts(asked.out / "counts")
    faults = asked.out / "faults"
    _limit_memory()
    begun = _resident()
    highest = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024

    def one(data: bytes) -> None:
        nonlocal highest
        ruling = judge(reader.target, data)
        so_far = counts.read()
        changed = {"inputs": so_far["inputs"] + 1}
        plural = f"{ruling.kind}s"
        changed[plural] = so_far[plural] + 1
        if ruling.kind == "fault":
            keep_fault(faults, data, ruling.signature, ruling.told)
        if ruling.seconds > so_far["slowest"]:
            changed["slowest"] = ruling.seconds
            (asked.out / "slowest").write_bytes(data)
        now = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
        if now > highest:
            highest = now
            if now - begun > so_far["peak"]:
                changed["peak"] = now - begun
                (asked.out / "largest").write_bytes(data)
            if now - begun > GIB:
                keep_fault(
                    faults, data, "memory", f"{(now - begun) / GIB:.2f} GiB above the loaded program"
                )
        counts.write(**changed)

    if asked.first_block:
        for number, (name, data) in enumerate(reader.heavy(), 1):
            if number > counts.read()["heavy"]:
                counts.write(heavy=number)
                before = counts.read()
                (asked.out / "now").write_bytes(data)
                one(data)
                after = counts.read()
                kind = next(k for k in ("result", "refusal", "fault") if after[f"{k}s"] > before[f"{k}s"])
                peak = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 - begun) / 2**20
                print(
                    f"heavy: {name}: {kind}, {len(data) / 2**20:.1f} MiB, peak so far {peak:.0f} MiB",
                    flush=True,
                )

    corpus = asked.out / "corpus"
    corpus.mkdir(exist_ok=True)
    for number, data in enumerate(seeds):
        path = corpus / f"seed-{number:03d}"
        if not path.exists():
            path.write_bytes(data)
    words = asked.out / "words"
    words.write_text("".join(f'"{_escaped(word)}"\n' for word in reader.words if word), encoding="ascii")

    def mutate(data: bytes, max_size: int, seed: int) -> bytes:
        random = Random(seed)
        if random.random() < 0.3:
            return bytes(atheris.Mutate(data, max_size))
        return reader.mutate(data, random)[:max_size]

    flags = [
        f"-runs={asked.inputs}", f"-seed={asked.seed}", f"-max_len={_LONGEST}", "-timeout=120", "-rss_limit_mb=0",
        "-detect_leaks=0", f"-dict={words}", f"-artifact_prefix={asked.out}/died-", "-print_final_stats=1", "-reload=0",
    ]  # fmt: skip
    atheris.Setup([sys.argv[0], *flags, str(corpus)], one, custom_mutator=mutate)
    atheris.Fuzz()


def _escaped(word: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


if __name__ == "__main__":
    main()
