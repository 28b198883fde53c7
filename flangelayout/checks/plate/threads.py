"""Whether tapped holes hold their studs and leave metal below them."""

import math
from collections.abc import Iterator

from flangelayout.checks.facts import ThreadBottom, ThreadDepth
from flangelayout.checks.finding import Finding, Place, Reason, Remedy, hole_place, judged, not_run
from flangelayout.checks.joint.hole_parts import thinnest_of_each
from flangelayout.checks.limits import Base, CheckLimits, Ground, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange, Hole, Tapped
from flangelayout.flange.hole import DRILL_POINT
from flangelayout.standards.holes import thread
from flangelayout.standards.practice import TAP_RUN_OUT

_LEAST_BELOW = Limit(1.0, Ground.METAL_BELOW)
_FOR_A_STUD = 1.5
"""Depth of a blind thread in diameters of it, where the plate is thick enough (common practice, no source)."""


def blind_depth(bolt: str, thickness: float, step: float) -> float | None:
    """How deep to thread a plate for a bolt without coming through it, in mm.

    Args:
        bolt: Name of the bolt or its thread.
        thickness: Of the plate in mm.
        step: What the depth is a multiple of, in mm.

    Returns:
        ``None`` for a thread that no table has, and where the plate is too thin for a depth of one diameter.
    """
    found = thread(bolt)
    if found is None:
        return None
    most = thickness - DRILL_POINT * found.drill.value - TAP_RUN_OUT * found.pitch - _LEAST_BELOW.value
    depth = min(math.ceil(_FOR_A_STUD * found.major_diameter / step), math.floor(most / step)) * step
    return depth if depth >= found.major_diameter else None


def check_threads(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits) -> Iterator[Finding]:
    """Depth of full thread and the metal below it, for each group of tapped holes."""
    for hole, thickness in thinnest_of_each(flange, holes):
        if isinstance(hole.kind, Tapped):
            place = hole_place(flange, hole)
            yield _engagement(thickness, place, hole.kind, limits)
            if hole.kind.depth is not None:
                yield _bottom(thickness, place, hole, hole.kind)


def _engagement(thickness: float | None, place: Place, kind: Tapped, limits: CheckLimits) -> Finding:
    """Full thread by the diameter of a bolt's, by the length that seals of a pipe's, whose diameter is the pipe's."""
    depth = kind.depth if kind.depth is not None else thickness
    if depth is None:
        return not_run(Rule.TAP_DEPTH, place, Reason.THICKNESS)
    known = thread(kind.thread)
    if known is not None and known.is_of_pipes:
        if known.least_depth is None:
            return not_run(Rule.TAP_DEPTH, place, Reason.THREAD_TABLE)
        seals = Limit(known.least_depth, Ground.PIPE_THREAD)
        return judged(Rule.TAP_DEPTH, place, ThreadDepth(kind.thread), depth, seals, Remedy.PIPE_DEEPER)
    wanted = limits.thread_engagement
    least = Limit(wanted.value * kind.major_diameter, wanted.source, wanted.value, Base.DIAMETER)
    return judged(Rule.TAP_DEPTH, place, ThreadDepth(kind.thread), depth, least, Remedy.TAP_DEEPER)


def _bottom(thickness: float | None, place: Place, hole: Hole, kind: Tapped) -> Finding:
    if thickness is None:
        return not_run(Rule.TAP_BOTTOM, place, Reason.THICKNESS)
    if kind.drill_depth is None:
        return not_run(Rule.TAP_BOTTOM, place, Reason.THREAD_TABLE)
    below = thickness - kind.drill_depth - DRILL_POINT * hole.diameter
    return judged(Rule.TAP_BOTTOM, place, ThreadBottom(kind.thread), below, _LEAST_BELOW, Remedy.TAP_SHALLOWER)
