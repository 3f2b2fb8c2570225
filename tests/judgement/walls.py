"""Small walls at random: slabs in courses, whole millimetres, borders and mid-lines drawn as they are.

Whole millimetres, so that areas, distances and heights come out exact and no judge can plead rounding.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import shapely
from grounds import make_survey

from palette.adjacency import Contact
from palette.survey import Survey

__all__ = ["random_wall"]

JOINT_MM = 6
# Sections and paints of which all assignments can be tried: none has more than 1,100.
SIZES = ((3, 5), (3, 3), (4, 4), (4, 5), (5, 3), (5, 4), (6, 3), (6, 2), (7, 2), (8, 2))
COURSES = {3: (1, 3), 4: (1, 2), 5: (1,), 6: (2, 3), 7: (1,), 8: (2, 4)}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slab:
    course: int
    place: int
    left: int
    right: int
    top: int
    bottom: int


def random_wall(rng: np.random.Generator) -> Survey:
    """Return a wall of 3 to 8 sections and 2 to 5 paints, perhaps with a hatch, perhaps a run of two."""
    sections, paints = SIZES[int(rng.integers(len(SIZES)))]
    slabs, aligned = _lay(rng, sections)
    boxes = [shapely.box(slab.left + 3, slab.top + 3, slab.right - 3, slab.bottom - 3) for slab in slabs]
    drawn = _borders(slabs)
    if rng.random() < 0.3:  # something else stands in some of the joints
        drawn = [one for one in drawn if rng.random() < 0.7]
    survey = make_survey(
        boxes,
        [(a, b, line.length) for a, b, line in drawn],
        _random_labs(rng, paints),
        corners=_corners(slabs),
        stock_l=[
            None if rng.random() < 0.5 else round(float(rng.uniform(0, 0.08)), 3) for _ in range(paints)
        ],
        depths=[None if rng.random() < 0.4 else float(rng.integers(0, 4)) for _ in boxes],
        hatch=_hatch(rng, slabs, aligned) if rng.random() < 0.5 else None,
        members=_members(rng, slabs, aligned) if rng.random() < 0.5 else (),
    )
    return _finish(rng, survey, drawn)


def _lay(rng: np.random.Generator, sections: int) -> tuple[list[_Slab], bool]:
    """Return the slabs, row by row, and whether the rows are cut at the same places."""
    courses = int(rng.choice(COURSES[sections]))
    aligned = sections % courses == 0 and rng.random() < 0.6
    counts = [sections // courses + (k < sections % courses) for k in range(courses)]
    width = 120 * max(counts) + int(rng.integers(0, 600))
    own = [_cuts(rng, many, width) for many in counts]
    slabs, top = [], 0
    for course, many in enumerate(counts):
        bottom = top + int(rng.integers(60, 300))
        cuts = own[0] if aligned else own[course]
        for place in range(many):
            left, right = cuts[place], cuts[place + 1]
            slabs.append(_Slab(course=course, place=place, left=left, right=right, top=top, bottom=bottom))
        top = bottom
    return slabs, aligned


def _cuts(rng: np.random.Generator, many: int, width: int) -> list[int]:
    """Return where a course is cut, no slab narrower than 60 mm."""
    free = width - 60 * many
    spread = np.sort(rng.integers(0, free + 1, many - 1)).tolist()
    return [0, *(60 * (k + 1) + at for k, at in enumerate(spread)), width]


def _borders(slabs: list[_Slab]) -> list[tuple[int, int, shapely.LineString]]:
    """Return two slabs and the line halfway between them, wherever they face for 25 mm or more."""
    found = []
    for (a, one), (b, two) in itertools.combinations(enumerate(slabs), 2):
        if one.course == two.course and two.place == one.place + 1:
            found.append(
                (a, b, shapely.LineString([(one.right, one.top + 3), (one.right, one.bottom - 3)]))
            )
        elif two.course == one.course + 1:
            left, right = max(one.left, two.left) + 3, min(one.right, two.right) - 3
            if right - left >= 25:
                found.append((a, b, shapely.LineString([(left, one.bottom), (right, one.bottom)])))
    return found


def _corners(slabs: list[_Slab]) -> list[tuple[int, int]]:
    return [
        (a, b)
        for (a, one), (b, two) in itertools.combinations(enumerate(slabs), 2)
        if two.course == one.course + 1 and (one.right == two.left or two.right == one.left)
    ]


def _random_labs(rng: np.random.Generator, paints: int) -> np.ndarray:
    """Return paints strong and weak, light and dark, by day and under blacklight."""
    reach = rng.choice([6.0, 40.0, 85.0], (paints, 2, 1), p=[0.2, 0.3, 0.5])
    return np.concatenate(
        [rng.uniform(8, 98, (paints, 2, 1)), rng.uniform(-1, 1, (paints, 2, 2)) * reach], axis=2
    ).round(3)


def _hatch(rng: np.random.Generator, slabs: list[_Slab], aligned: bool) -> shapely.Polygon:
    """Return the outline of one slab, or of a block of them where courses are cut alike, in mid-joint."""
    first = slabs[int(rng.integers(len(slabs)))]
    last = first
    if aligned:
        later = [s for s in slabs if s.course >= first.course and s.place >= first.place]
        last = later[int(rng.integers(len(later)))]
    return shapely.box(first.left, first.top, last.right, last.bottom)


def _members(rng: np.random.Generator, slabs: list[_Slab], aligned: bool) -> list[tuple]:
    """Return two panels of a run, cut where every course is."""
    most = max(slab.place for slab in slabs)
    if most == 0 or not (aligned or all(slab.course == 0 for slab in slabs)):
        return []
    cut = int(rng.integers(1, most + 1))
    west = [k for k, slab in enumerate(slabs) if slab.place < cut]
    east = [k for k, slab in enumerate(slabs) if slab.place >= cut]
    at, end = slabs[east[0]].left, max(slab.right for slab in slabs)
    return [("west", 0.0, float(at), west), ("east", float(at), float(end - at), east)]


def _finish(rng: np.random.Generator, survey: Survey, drawn: list) -> Survey:
    """Return the survey with its mid-lines, and cans of different kinds."""
    line_of = {(survey.panel.ids[a], survey.panel.ids[b]): line for a, b, line in drawn}
    contacts: list[Contact] = [
        replace(contact, mid_line=shapely.MultiLineString([line_of[contact.a, contact.b]]))
        if not contact.corner
        else contact
        for contact in survey.adjacency.contacts
    ]
    paints = tuple(
        replace(paint, coats=int(rng.integers(1, 4)), spread_m2_per_l=float(rng.choice([5.0, 7.0, 8.5])))
        for paint in survey.paints
    )
    return replace(survey, adjacency=replace(survey.adjacency, contacts=tuple(contacts)), paints=paints)
