"""One evening at one project: its state now, every action, and who is to be told.

Every tab of a page shares one sitting, so two tabs never work on two copies. Plain values and
the façade; nothing here knows of a browser.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Literal

import palette
from palette.errors import InputError, PaletteError
from palette.page.folder import (
    BRIEF,
    MEMORY,
    SCHEME,
    ChangedOutsideError,
    Keeper,
    memory_of,
    with_memory,
)
from palette.page.ground import Ground, Scratch, complete, verdict_of
from palette.page.history import Files, History
from palette.page.private_folder import NoRoomError

__all__ = ["Change", "Sitting"]

Change = Literal["ground", "scheme", "memory", "saved", "search"]
"""What a listener is told of: wall, paints or rules; the scheme; the page's own notes; the disk;
a search under way."""


class Sitting:
    """The state of one project.

    Parameters
    ----------
    folder : Path
        The project folder; it need not exist yet.

    Attributes
    ----------
    ground : Ground or None
        None while there is no wall yet, or the files have a fault.
    opening : bool
        True until `open` has read the folder.
    fault : str
        Why there is no ground, one sentence a line; empty when there is nothing wrong.
    paint_of : dict
        Section to paint, as far as sections have one.
    verdict : Verdict or None
    saved : str
        Empty when everything is on disk, else why it is not.
    outside : tuple of str
        Files somebody else changed meanwhile.
    """

    def __init__(self, folder: Path) -> None:
        self.keeper = Keeper(folder)
        self.scratch = Scratch()
        self.history = History()
        self.ground: Ground | None = None
        self.fault = ""
        self.paint_of: dict[str, str] = {}
        self.verdict: palette.Verdict | None = None
        self.saved = ""
        self.outside: tuple[str, ...] = ()
        self.listeners: list[Callable[[frozenset[Change]], None]] = []
        # Listeners live in another thread than the writer: whoever owns the loop says how to get there.
        self.call_back: Callable[[Callable[[], None]], object] = lambda call: call()
        self._writer = ThreadPoolExecutor(max_workers=1, thread_name_prefix="saving")
        self._pending = 0
        self._no_room = False
        self._wanted: Files = {}
        self._on_disk: Files | None = None
        self._noted = b""
        self.opening = True
        self.history.record("opened", {})

    # -- what there is ---------------------------------------------------------------------

    @property
    def files(self) -> Files:
        """The project's files as they are now."""
        return self.history.now.files

    @property
    def begun(self) -> bool:
        """True once the project has a wall."""
        return BRIEF in self.files

    @property
    def memory(self) -> dict[str, Any]:
        """What only the page remembers."""
        return memory_of(self.files)

    @property
    def saving(self) -> bool:
        """True while the writer is at work."""
        return self._pending > 0

    @property
    def proof(self) -> dict[str, Any] | None:
        """What was proven of this very scheme under these very rules, or None."""
        noted = self.memory.get("proof")
        if self.ground is None or not isinstance(noted, dict) or noted.get("key") != self._proof_key():
            return None
        proof = noted.get("proof")
        return proof if isinstance(proof, dict) else None

    def _proof_key(self) -> list[object]:
        return [self.ground.key if self.ground else "", sorted(map(list, self.paint_of.items()))]

    # -- actions ---------------------------------------------------------------------------

    def open(self) -> None:
        """Read the project folder; the history begins here."""
        self.begin(self.read())

    def read(self) -> tuple[dict[str, bytes], str]:
        """Return the folder's files, and why they cannot be read. May be called from another thread.

        What the files mean is worked out here too and kept at hand, so that `begin` is quick;
        nothing of the sitting changes meanwhile.
        """
        try:
            files = self.keeper.open()
        except InputError as fault:
            return {}, str(fault)
        if BRIEF in files:
            with contextlib.suppress(PaletteError):
                self.scratch.ground(files)
        return files, ""

    def begin(self, read: tuple[dict[str, bytes], str]) -> None:
        """Begin with what was read."""
        files, fault = read
        self.history = History()
        self.history.record("opened", files)
        self._derive()
        self._noted = self.files.get(MEMORY, b"")
        self.fault = self.fault or fault
        self.opening = False

    def tell_of_search(self) -> None:
        """Tell everybody that a search has moved on."""
        self._tell(frozenset({"search"}))

    def tell_all(self) -> None:
        """Tell everybody to look at everything."""
        self._tell(frozenset({"ground", "scheme", "memory", "saved", "search"}))

    def act(self, deed: str, files: Files) -> frozenset[Change]:
        """Make the project be these files; `deed` names the action for Undo."""
        return self._go(lambda: self.history.record(deed, files))

    def undo(self) -> None:
        """Go back one action."""
        self._go(self.history.undo)

    def redo(self) -> None:
        """Do again what was undone."""
        self._go(self.history.redo)

    def take_theirs(self) -> None:
        """Go on with what somebody else wrote; Undo brings ours back."""
        self.outside = ()
        try:
            files = self.keeper.open()
        except InputError as fault:
            self.saved = str(fault)
            self._tell(frozenset({"saved"}))
            return
        self.act("their changes", files)

    def keep_ours(self) -> None:
        """Write our state over what somebody else wrote."""
        self.outside = ()
        self._save(force=True)

    def save_again(self) -> None:
        """Try once more to write."""
        self._save()

    def paint(self, section: str, paint: str) -> None:
        """Give one section a paint."""
        deed = f"{section}: {paint}"
        self.act(deed, self._with_scheme({**self.paint_of, section: paint}))

    def use_scheme(
        self, paint_of: Mapping[str, str], *, deed: str, proof: Mapping[str, Any] | None = None
    ) -> None:
        """Take over a whole scheme, with what was proven of it."""
        if self.ground is None:
            return
        files = self._with_scheme(dict(paint_of), proof)
        if proof is not None:
            key = [self.ground.key, sorted(map(list, paint_of.items()))]
            files = with_memory(files, proof={"key": key, "proof": dict(proof)})
        self.act(deed, files)

    def remember(self, deed: str, **changes: Any) -> None:
        """Change what only the page remembers; None forgets an entry."""
        self.act(deed, with_memory(self.files, **changes))

    def watch(self) -> None:
        """Look whether there is room again, where there was none, to judge and to save; and whether
        somebody else changed the folder. Called now and then."""
        if self._no_room:
            before = self.fault
            self._derive()
            if self.fault != before:
                self.tell_all()
        if self.saving or self.outside:
            return
        if self.saved:
            self._save()
            return
        changed = self.keeper.changed_outside()
        if changed:
            self.outside = changed
            self._tell(frozenset({"saved"}))

    def close(self) -> None:
        """Finish writing and clear up."""
        self._writer.shutdown(wait=True)
        self.scratch.clear()

    # -- behind the actions ------------------------------------------------------------------

    def _with_scheme(self, paint_of: dict[str, str], proof: Mapping[str, Any] | None = None) -> Files:
        order = self.ground.survey.panel.ids if self.ground is not None else tuple(paint_of)
        ordered = {section: paint_of[section] for section in order if section in paint_of}
        document = palette.FORMATS["scheme"].stamp({"brief": BRIEF, "paint_of": ordered})
        if proof is not None:
            document["proof"] = dict(proof)
        text = json.dumps(document, indent=2, ensure_ascii=False) + "\n"
        return {**self.files, SCHEME: text.encode()}

    def _go(self, step: Callable[[], object]) -> frozenset[Change]:
        """Go to another moment; if it can be neither judged nor shown, all is as it was."""
        before = self.history.state()
        step()
        try:
            return self._now_is()
        except Exception:
            self.history.restore(before)
            self._derive()
            self._noted = self.files.get(MEMORY, b"")
            # Whoever has drawn part of the other state draws all of this one.
            self.tell_all()
            raise

    def _now_is(self) -> frozenset[Change]:
        before = (self.ground, self.fault, self.paint_of, self._noted)
        self._derive()
        self._noted = self.files.get(MEMORY, b"")
        changed: set[Change] = {"saved"}
        if self.ground is not before[0] or self.fault != before[1]:
            changed |= {"ground", "scheme"}
        if self.paint_of != before[2]:
            changed.add("scheme")
        if self._noted != before[3]:
            changed.add("memory")
        # Told as not yet saved, but drawn before the writing begins: it must not wait for the disk.
        self._pending += self.begun
        try:
            self._tell(frozenset(changed))
        finally:
            self._pending -= self.begun
        self._save()
        return frozenset(changed)

    def _derive(self) -> None:
        self.fault, self.verdict, self._no_room = "", None, False
        if not self.begun:
            self.ground, self.paint_of = None, {}
            return
        try:
            self.ground = self.scratch.ground(self.files)
        except PaletteError as fault:
            self.ground, self.fault = None, str(fault)
            self._no_room = isinstance(fault, NoRoomError)
        self.paint_of = self._read_scheme()
        if self.ground is not None:
            self.verdict = verdict_of(self.ground, self.paint_of)

    def _read_scheme(self) -> dict[str, str]:
        """Return the scheme, without sections and paints the project no longer has."""
        try:
            text = self.files[SCHEME].decode("utf-8-sig")
            given = dict(palette.parse_scheme(text, where=SCHEME).paint_of)
        except (KeyError, UnicodeDecodeError, InputError):
            return {}
        if self.ground is None:
            return given
        paints = {paint.id for paint in self.ground.survey.paints}
        sections = set(self.ground.survey.panel.ids)
        return {key: value for key, value in given.items() if key in sections and value in paints}

    @property
    def finished(self) -> bool:
        """True when every section has a paint."""
        return self.ground is not None and complete(self.ground, self.paint_of)

    def _tell(self, changed: frozenset[Change]) -> None:
        for listener in tuple(self.listeners):
            listener(changed)

    def _save(self, *, force: bool = False) -> None:
        if not self.begun:
            return
        self._wanted = self.files
        self._pending += 1
        self._writer.submit(self._write, force)

    def _write(self, force: bool) -> None:
        # Whatever has been done since this was asked for is written with it; and what an earlier turn
        # has written already is not written again. So a burst of actions is a few writes.
        files = self._wanted
        if files is self._on_disk and not force:
            self.call_back(lambda: self._written(self.saved, ()))
            return
        outside: tuple[str, ...] = ()
        saved = ""
        try:
            self.keeper.save(files, force=force)
        except ChangedOutsideError as fault:
            outside, saved = fault.names, "not saved yet"
        except InputError as fault:
            saved = str(fault)
        except OSError as fault:
            saved = f"{self.keeper.folder}: the folder cannot be written ({fault.strerror})."
        self._on_disk = files if not saved else None
        self.call_back(lambda: self._written(saved, outside))

    def _written(self, saved: str, outside: tuple[str, ...]) -> None:
        self._pending -= 1
        news = saved != self.saved or bool(outside) or not self._pending
        self.saved = saved
        if outside:
            self.outside = outside
        if news:
            self._tell(frozenset({"saved"}))
