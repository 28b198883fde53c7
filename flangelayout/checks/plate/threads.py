"""Whether tapped holes hold their studs and leave metal below them."""

from collections.abc import Iterator

from flangelayout.checks.finding import Finding, Severity, too_little
from flangelayout.checks.limits import CheckLimits, Limit
from flangelayout.checks.plate.drilling import hole_key
from flangelayout.flange import Flange, Hole, Tapped
from flangelayout.standards.holes import thread
from flangelayout.units import Unit

_RUN_OUT = 3.0
"""Pitches that a tap wants below the full thread (common practice, no source)."""
_POINT = 0.3
"""Height of a drill point of 118 degrees as a share of the drill's diameter: 1 / (2 tan 59 deg)."""
_LEAST_BELOW = Limit(1.0, "common practice")


def check_threads(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> tuple[Finding, ...]:
    """Warnings about the depth of tapped holes, one for each group that falls short."""
    found: dict[tuple[int, str], Finding] = {}
    for hole in holes:
        if isinstance(hole.kind, Tapped):
            for finding in _of_hole(flange, hole, hole.kind, limits, unit):
                found.setdefault((hole.group if hole.group >= 0 else -hole.number, finding.rule), finding)
    return tuple(found.values())


def _of_hole(flange: Flange, hole: Hole, kind: Tapped, limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    depth = kind.depth if kind.depth is not None else flange.thickness
    if depth is None:
        return
    wanted = limits.thread_engagement
    least = Limit(wanted.value * kind.major_diameter, f"{wanted.value:g} x diameter, {wanted.source}")
    key = hole_key(flange, hole)
    if depth < least.value - 1e-6:
        cure = "tap deeper, use a thicker plate, a smaller thread or through bolts"
        what = f"{hole.source}: full thread of {kind.thread} is"
        yield too_little("tap-depth", key, what, depth, least, cure, unit, Severity.WARNING)
    if kind.depth is None or flange.thickness is None:
        return
    known = thread(kind.thread)
    pitch = known.pitch if known else 0.0
    below = flange.thickness - kind.depth - _RUN_OUT * pitch - _POINT * hole.diameter
    if below < _LEAST_BELOW.value - 1e-6:
        cure = "tap less deep, right through, or use a thicker plate"
        what = f"{hole.source}: below the run-out and the drill point of {kind.thread} the metal left is"
        yield too_little("tap-bottom", key, what, below, _LEAST_BELOW, cure, unit, Severity.WARNING)
