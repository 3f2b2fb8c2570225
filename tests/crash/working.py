"""A child that saves without pause and says so: ``python -m crash.working saves|sitting FOLDER SEED``.

Each line it prints is the number of an action that is completed: on disk, as the page would say "Saved".
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path

from palette.filing import write_together


def save_sets(folder: Path, rng: random.Random) -> None:
    """Write one generation of files after another; now and then one of them goes."""
    generation = 0
    while True:
        generation += 1
        files = set_of(generation)
        write_together(folder, files, gone=[] if "notes.json" in files else ["notes.json"])
        print(generation, flush=True)


def set_of(generation: int) -> dict[str, bytes]:
    """Return the files of a generation; every third has no notes."""
    names = ["scheme.json", "both.png", "photo.jpg", *(["notes.json"] if generation % 3 else [])]
    sizes = random.Random(generation)
    return {name: f"{generation} ".encode() * sizes.randint(1, 30_000) for name in names}


def act_in_sitting(folder: Path, rng: random.Random) -> None:
    """Act as on the page: each action changes scheme and notes together, every eighth the brief too."""
    from palette.page.documents import set_brief_entry
    from palette.page.folder import SCHEME, with_memory
    from palette.page.sitting import Sitting

    sitting = Sitting(folder)
    sitting.open()
    assert not sitting.fault, sitting.fault
    names, paints = sitting.ground.survey.panel.ids, [paint.id for paint in sitting.ground.survey.paints]
    done = int(sitting.memory.get("photo_notes", ["0"])[0])
    while True:
        for _ in range(rng.randint(1, 4)):
            done += 1
            files = with_memory(sitting.files, photo_notes=[str(done)])
            # Another brief is another ground to work out: now and then, or hardly anything would be saved.
            if done % 8 == 0:
                files = set_brief_entry(files, "seed", done)
            document = json.loads(files.get(SCHEME, b'{"version": 1, "brief": "brief.toml"}'))
            document["paint_of"] = scheme_of(done, names, paints)
            sitting.act(f"action {done}", {**files, SCHEME: json.dumps(document).encode()})
        # The thread that saves does one thing after another: when it comes to this, all is saved.
        sitting._writer.submit(lambda: None).result()
        assert sitting.saved == "", sitting.saved
        print(done, flush=True)


def scheme_of(number: int, names: tuple[str, ...], paints: list[str]) -> dict[str, str]:
    """Return a scheme that tells its number: the paints of the sections are its digits."""
    digits = [number // len(paints) ** place % len(paints) for place in range(len(names))]
    return {name: paints[digit] for name, digit in zip(names, digits, strict=True)}


if __name__ == "__main__":
    {"saves": save_sets, "sitting": act_in_sitting}[sys.argv[1]](
        Path(sys.argv[2]), random.Random(sys.argv[3])
    )
