"""From a brief to choices and reasons: alternatives, finishing, ways out, purchases, proofs, files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from palette.appearance import appearance_of
from palette.brief import Brief, Outcome, draw_outcome, run, survey_brief
from palette.demands import check_scheme
from palette.errors import InputError, NoScheme
from palette.preview import Preview, draw_collision, draw_contact_sheet
from palette.progress import OnProgress, silent
from palette.saving import save_outcome, save_previews
from palette.scheme import Scheme
from palette.solving import (
    Alternative,
    Certificate,
    Finished,
    Limits,
    Purchase,
    WayOut,
    advise_purchase,
    certify,
    find_alternatives,
    find_ways_out,
    finish_scheme,
)
from palette.supplies import read_paints
from palette.survey import Survey

__all__ = [
    "AssignOptions",
    "Assigned",
    "Reasons",
    "advise_shopping",
    "assign_brief",
    "certify_brief",
    "choose_schemes",
    "draw_alternatives",
    "explain_collision",
    "finish_started",
    "save_reasons",
]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reasons:
    """Why a brief has no scheme.

    Parameters
    ----------
    picture : Preview
        Where the rules collide.
    ways_out : tuple of WayOut
        What would help.
    """

    picture: Preview
    ways_out: tuple[WayOut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AssignOptions:
    """How a brief is to be answered.

    Parameters
    ----------
    width_px : int
        Width of each picture, 300 to 8192.
    names : bool
        Write section names on the pictures.
    alternatives : int
        Schemes to choose from, the best one among them.
    keep : int
        Aims, from the first, that the alternatives reach as well.
    seconds : float or None
        The search stops improving after so long.

    Raises
    ------
    InputError
        There is no time to search in.
    """

    width_px: int = 1600
    names: bool = False
    alternatives: int = 1
    keep: int = 1
    seconds: float | None = None

    def __post_init__(self) -> None:
        if self.seconds is not None and not self.seconds > 0:
            what = f"{self.seconds:g} is no time to search in"
            raise InputError("--seconds", what, "write a number above 0")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Assigned:
    """A brief answered, and the files that hold the answer.

    Parameters
    ----------
    outcome : Outcome
    alternatives : tuple of Alternative
        The best scheme first; empty where none were asked for.
    cost : mapping of str to (float, float)
        What keeping a started scheme costs each aim: its value with it, and without it, in the
        aim's unit.
    files : tuple of Path
        What was written.
    """

    outcome: Outcome
    alternatives: tuple[Alternative, ...]
    cost: Mapping[str, tuple[float, float]]
    files: tuple[Path, ...]


def assign_brief(
    brief: Brief,
    folder: Path,
    *,
    options: AssignOptions | None = None,
    started: Scheme | None = None,
    on_progress: OnProgress = silent,
) -> Assigned:
    """Find the best scheme of a brief, with alternatives if asked for, and write it and its pictures.

    Parameters
    ----------
    brief : Brief
    folder : Path
        Made if it is not there.
    options : AssignOptions or None
    started : Scheme or None
        Sections that stay as they are painted.
    on_progress : callable
        Told of each step.

    Returns
    -------
    Assigned

    Raises
    ------
    NoScheme
        The rules cannot all hold; nothing is written.
    InputError
        The brief, the options or the folder cannot be used.
    """
    options = options or AssignOptions()
    limits = Limits(seconds=options.seconds)
    others: tuple[Alternative, ...] = ()
    cost: Mapping[str, tuple[float, float]] = {}
    if started is not None:
        outcome, finished = finish_started(brief, started, limits=limits, on_progress=on_progress)
        cost = finished.cost
    elif options.alternatives > 1:
        outcome, others = choose_schemes(
            brief, options.alternatives, keep=options.keep, limits=limits, on_progress=on_progress
        )
    else:
        outcome = run(brief, limits=limits, on_progress=on_progress)
    pictures = draw_outcome(outcome, width_px=options.width_px, names=options.names)
    if len(others) > 1:
        pictures["alternatives"] = draw_alternatives(outcome, others, width_px=options.width_px)
    schemes = [one.scheme for one in others[1:]]
    schemes = [one.scheme for one in others[1:]]
    files = save_outcome(outcome.scheme, pictures, folder, others=schemes, brief=brief.path)
    return Assigned(outcome=outcome, alternatives=others, cost=cost, files=tuple(files))


def choose_schemes(
    brief: Brief,
    many: int,
    *,
    keep: int = 1,
    limits: Limits | None = None,
    on_progress: OnProgress = silent,
) -> tuple[Outcome, tuple[Alternative, ...]]:
    """Return the best outcome of a brief and the alternatives, the best scheme first among them.

    Parameters
    ----------
    brief : Brief
    many : int
        Schemes at most, the best among them.
    keep : int
        Aims, from the first, that all reach as well as the best.
    limits : Limits or None
        When to stop, for each scheme.
    on_progress : callable
        Told of each step.

    Returns
    -------
    Outcome, tuple of Alternative
        The best outcome, and all to choose from, the best first.

    Raises
    ------
    NoScheme
        The rules cannot all hold.
    InputError
        A rule cannot be used on this panel.
    """
    survey = survey_brief(brief)
    found = find_alternatives(
        survey,
        brief.rules,
        many,
        aims=brief.aims,
        keep=keep,
        limits=limits,
        seed=brief.seed,
        on_progress=on_progress,
    )
    return _outcome(brief, survey, found[0].scheme), found


def draw_alternatives(outcome: Outcome, found: Sequence[Alternative], *, width_px: int = 1600) -> Preview:
    """Return the contact sheet of alternatives, each with what it is best at.

    Parameters
    ----------
    outcome : Outcome
        The best, for the survey and the lights.
    found : sequence of Alternative
        As `choose_schemes` gives them.
    width_px : int
        300 to 8192.

    Returns
    -------
    Preview

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    captions = []
    for number, one in enumerate(found, 1):
        apart = "the best" if number == 1 else f"{one.difference:.0%} different"
        captions.append(f"{number}: {apart}; {one.best_at}")
    schemes = [one.scheme for one in found]
    return draw_contact_sheet(outcome.survey, schemes, outcome.brief.lights, captions, width_px=width_px)


def finish_started(
    brief: Brief, started: Scheme, *, limits: Limits | None = None, on_progress: OnProgress = silent
) -> tuple[Outcome, Finished]:
    """Return the outcome that keeps what a started scheme paints, and what that cost.

    Parameters
    ----------
    brief : Brief
    started : Scheme
        A scheme of some of the sections.
    limits : Limits or None
        When to stop.
    on_progress : callable
        Told of each step.

    Returns
    -------
    Outcome, Finished

    Raises
    ------
    NoScheme
        The rules cannot all hold with what is painted.
    InputError
        The start names a section or a paint that does not exist.
    """
    survey = survey_brief(brief)
    finished = finish_scheme(
        survey,
        brief.rules,
        started.paint_of,
        aims=brief.aims,
        limits=limits,
        seed=brief.seed,
        on_progress=on_progress,
    )
    return _outcome(brief, survey, finished.scheme), finished


def explain_collision(brief: Brief, fault: NoScheme, *, width_px: int = 1600) -> Reasons:
    """Return where the rules of a brief collide, drawn, and the smallest changes that would help.

    Parameters
    ----------
    brief : Brief
    fault : NoScheme
        As `run` raised it.
    width_px : int
        300 to 8192.

    Returns
    -------
    Reasons

    Raises
    ------
    InputError
        The width cannot be drawn.
    """
    survey = survey_brief(brief)
    return Reasons(
        picture=draw_collision(survey.panel, survey.adjacency, fault.places, width_px=width_px),
        ways_out=find_ways_out(survey, brief.rules),
    )


def save_reasons(brief: Brief, fault: NoScheme, folder: Path) -> tuple[Reasons, Path]:
    """Find out why a brief has no scheme and write reasons.png; return the reasons and its path.

    Parameters
    ----------
    brief : Brief
    fault : NoScheme
        As `run` raised it.
    folder : Path
        Made if it is not there.

    Returns
    -------
    Reasons, Path

    Raises
    ------
    InputError
        The folder cannot be made, or the file not written.
    """
    reasons = explain_collision(brief, fault)
    return reasons, save_previews({"reasons.png": reasons.picture}, folder)[0]


def advise_shopping(brief: Brief, offers: Path, *, limits: Limits | None = None) -> tuple[Purchase, ...]:
    """Return what each paint of an offer file would bring to a brief, best first.

    Parameters
    ----------
    brief : Brief
    offers : Path
        A paint file.
    limits : Limits or None
        When to stop on each paint.

    Returns
    -------
    tuple of Purchase

    Raises
    ------
    InputError
        A paint on offer has the name of one that is owned, or the offer is empty.
    """
    owned = [paint.id for paint in brief.paints]
    new = read_paints(offers)
    InputError.gather(
        InputError(
            f'{offers}, paint "{paint.id}"', "it is on the shelf already", "leave it out of the offer"
        )
        for paint in new
        if paint.id in owned
    )
    paints = (*brief.paints, *new)
    survey = replace(survey_brief(brief), paints=paints, appearance=appearance_of(paints, brief.lights))
    return advise_purchase(survey, brief.rules, owned, limits=limits)


def certify_brief(brief: Brief, scheme: Scheme | None = None) -> Certificate:
    """Return the certificate that a brief has no scheme, or none with a stronger weakest pair.

    Parameters
    ----------
    brief : Brief
    scheme : Scheme or None
        None for the certificate that there is no scheme.

    Returns
    -------
    Certificate

    Raises
    ------
    InputError
        The claim is wrong: there is such a scheme; or a rule cannot be used.
    """
    return certify(survey_brief(brief), brief.rules, scheme)


def _outcome(brief: Brief, survey: Survey, scheme: Scheme) -> Outcome:
    verdict = check_scheme(survey, brief.rules, scheme)
    return Outcome(brief=brief, survey=survey, scheme=scheme, verdict=verdict)
