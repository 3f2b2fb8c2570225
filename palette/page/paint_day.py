"""Step 7: what the paint day needs, to take away."""

from __future__ import annotations

import re
import tempfile
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nicegui import run, ui

import palette
from palette.errors import PaletteError
from palette.page.controls import button, enable, step, words
from palette.page.folder import SCHEME
from palette.page.pictures import outcome_of, picture_png
from palette.page.private_folder import PrivateFolder
from palette.page.tab import Tab
from palette.page.zipping import files_to_zip

if TYPE_CHECKING:
    from palette.page.history import Files
    from palette.page.sitting import Change

__all__ = ["PaintDayStep", "Papers", "make_papers"]

_PAGES = {"A4": "A4", "A3": "A3", "Letter": "Letter", "Tabloid": "Tabloid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """The papers of a paint day: file name to content, litres by paint, what to mind."""

    files: dict[str, bytes]
    litres: tuple[tuple[str, str, str, str], ...]
    remarks: tuple[str, ...]


class PaintDayStep:
    """Quantities on the page, papers and pictures to take along."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._asked: object = None
        self._made: Papers | None = None
        with step(7, "The paint day", "Take it along: on paper, on a stick, to another machine."):
            with ui.element("div").classes("row"):
                self._map = button("Paint map", lambda: self._paper("paint-map.pdf"), style="act")
                self._all = button("All papers in one zip", lambda: self._paper(""), style="quiet")
                self._page = ui.select(_PAGES, value="A4", label="Paper").classes("paper-size")
                self._page.props("dense outlined options-dense")
                self._page.props["aria-label"] = "Paper"
            self._busy = words("", style="note")
            self._busy.props["aria-live"] = "polite"
            self._litres = ui.element("div").classes("stack")
            with ui.element("div").classes("row"):
                self._picture = button("Picture in both lights", self._save_picture, style="quiet")
                self._zip = button("The whole project in one zip", self._everything, style="quiet")
            words("Drop that zip on step 1 of any palette page to go on there.", style="note")
        self.follow(frozenset({"ground", "scheme"}))

    def follow(self, changed: frozenset[Change]) -> None:
        """Show what changed."""
        for each in (self._map, self._all, self._picture):
            enable(each, self._tab.sitting.finished)
        enable(self._zip, self._tab.sitting.begun)
        if changed & {"ground", "scheme"}:
            # Quantities of another scheme would be worse than none.
            self._litres.clear()

    def _name(self) -> str:
        ground = self._tab.sitting.ground
        name = ground.brief.name if ground is not None else "wall"
        return re.sub(r"[^\w-]+", "-", name.lower(), flags=re.ASCII).strip("-") or "wall"

    def _everything(self) -> None:
        name = self._name()
        self._tab.hand_over(files_to_zip(self._tab.sitting.files, folder=name), f"{name}.zip")

    async def _save_picture(self) -> None:
        sitting = self._tab.sitting
        if sitting.ground is None or sitting.verdict is None:
            return
        outcome = outcome_of(sitting.ground, dict(sitting.paint_of), sitting.verdict)
        data = await run.io_bound(picture_png, outcome, "both", 2400)
        self._tab.hand_over(data or b"", f"{self._name()}.png")

    async def _paper(self, wanted: str) -> None:
        papers = await self._papers()
        if papers is None:
            return
        name = self._name()
        if wanted:
            self._tab.hand_over(papers.files[wanted], f"{name}-{wanted}")
        else:
            self._tab.hand_over(files_to_zip(papers.files, folder=f"{name}-papers"), f"{name}-papers.zip")

    async def _papers(self) -> Papers | None:
        sitting = self._tab.sitting
        page = str(self._page.value or "A4")
        asked = (sitting.files, page)
        if self._made is None or self._asked != asked:
            self._busy.set_text("Drawing the papers.")
            enable(self._map, False)
            enable(self._all, False)
            try:
                made = await run.io_bound(make_papers, sitting.files, page)
            except PaletteError as fault:
                self._tab.say(str(fault).replace(f"{tempfile.gettempdir()}/", ""))
                return None
            finally:
                self._busy.set_text("")
                self.follow(frozenset())
            self._asked, self._made = asked, made
        if self._made is not None:
            self._show(self._made)
        return self._made

    def _show(self, papers: Papers) -> None:
        self._litres.clear()
        with self._litres:
            with ui.element("table").classes("litres"):
                words("Litres for this wall, waste and touching up included", tag="caption")
                with ui.element("thead"), ui.element("tr"):
                    for heading in ("Paint", "Needed", "On hand", "To buy"):
                        words(heading, tag="th").props["scope"] = "col"
                with ui.element("tbody"):
                    for row in papers.litres:
                        with ui.element("tr"):
                            for cell in row:
                                words(cell, tag="td")
            for remark in papers.remarks:
                words(remark, style="note")


def make_papers(files: Files, page: str) -> Papers:
    """Return all papers of a project's scheme.

    Raises
    ------
    InputError
        The plan cannot be made; the sentence says why.
    """
    with PrivateFolder() as private:
        private.lay_out(files)
        folder = private.path
        plan = palette.read_plan([folder / SCHEME], paper=page)
        written = palette.save_plan(plan, folder / "papers")
        return Papers(
            files={path.name: path.read_bytes() for path in written},
            litres=tuple(_row(need) for need in plan.needs),
            remarks=tuple(remark.replace(f"{folder}/", "") for remark in palette.plan_remarks(plan)),
        )


def _row(need: palette.Need) -> tuple[str, str, str, str]:
    return (need.product, _litres(need.litres), _litres(need.stock_l), _litres(need.short_l))


def _litres(litres: float | None) -> str:
    return "not known" if litres is None else f"{litres:.2f} L"
