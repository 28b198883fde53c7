"""Whether the holes fit on the plate and clear of each other, and what the layout asks one to notice."""

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from flangelayout.checks.finding import Finding, Severity
from flangelayout.checks.plate.fit import into_opening, over_edge, plate_problems, plate_words
from flangelayout.flange import (
    BoltCircle,
    Centerline,
    Dowel,
    Flange,
    Hole,
    Jack,
    Opening,
    Placement,
    RoundOutline,
    Slot,
)
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.shapes import Circle
from flangelayout.units import Unit, decimal_text, size_text


def check_drilling(flange: Flange, unit: Unit = Unit.MM) -> tuple[Finding, ...]:
    """Contradictions (errors) first, then warnings and notes.

    Args:
        flange: What is to be made.
        unit: Unit the numbers in the findings are written in.

    Returns:
        Findings; none is an error exactly if every hole lies whole on the metal and clear of every other.
        The cost grows linearly with the holes.
    """
    holes = flange.holes()
    found = [
        *_plate_sizes(flange, unit),
        *_circles_alone(flange, unit),
        *_holes_on_metal(flange, holes, unit),
        *_overlaps(flange, holes, unit),
        *_raised_face(flange, holes, unit),
        *_symmetry(flange),
    ]
    order = list(Severity)
    return tuple(sorted(found, key=lambda finding: order.index(finding.severity)))


def _size(length: float, unit: Unit) -> str:
    return f"{size_text(length, unit)} {unit.value}"


def _gap(length: float, unit: Unit) -> str:
    return f"{decimal_text(length, unit)} {unit.value}"


def _error(rule: str, where: str, text: str) -> Finding:
    return Finding(rule, Severity.ERROR, where, text)


def circle_key(flange: Flange, group: int) -> str:
    """The job key of a bolt circle or another pattern or, for group -1, of the single holes."""
    return flange.group_key(group)


def hole_key(flange: Flange, hole: Hole) -> str:
    """The job key that places a hole: its circle's diameter, its pattern's or its own table."""
    on_circle = 0 <= hole.group < len(flange.bolt_circles)
    return f"{hole.key}.diameter" if on_circle else hole.key


def _plate_sizes(flange: Flange, unit: Unit) -> Iterator[Finding]:
    if isinstance(flange.outline, RoundOutline):
        yield from _round_sizes(flange, flange.outline.outside_diameter, unit)
    for rule, where, text in plate_problems(flange, unit):
        yield _error(rule, where, text)


def _round_sizes(flange: Flange, outside: float, unit: Unit) -> Iterator[Finding]:
    if flange.bore is not None and flange.bore >= outside:
        yield _error(
            "bore-inside-plate",
            "plate.bore",
            f"a bore of {_size(flange.bore, unit)} leaves nothing of a plate of "
            f"{_size(outside, unit)}; make it smaller",
        )
    face = flange.raised_face_diameter
    if face is not None and face > outside:
        yield _error(
            "raised-face-on-plate",
            "plate.raised_face_diameter",
            f"a raised face of {_size(face, unit)} is wider than the plate of {_size(outside, unit)}; make it smaller",
        )
    if face is not None and flange.bore is not None and face <= flange.bore:
        yield _error(
            "raised-face-on-plate",
            "plate.raised_face_diameter",
            f"a raised face of {_size(face, unit)} lies inside the bore of {_size(flange.bore, unit)}; make it larger",
        )


def _circles_alone(flange: Flange, unit: Unit) -> Iterator[Finding]:
    """Faults of one bolt circle that its own numbers show, said once and not hole by hole."""
    outside = flange.outline.outside_diameter if isinstance(flange.outline, RoundOutline) else math.inf
    for group, circle in enumerate(flange.bolt_circles):
        key = circle_key(flange, group)
        if circle.diameter >= outside:
            yield _error(
                "circle-on-plate",
                f"{key}.diameter",
                f"a bolt circle of {_size(circle.diameter, unit)} lies outside the plate of {_size(outside, unit)}; "
                "make the plate larger or the circle smaller",
            )
        overlap = circle.hole_diameter - _least_chord(circle)
        if overlap > 0 and not isinstance(circle.kind, Slot):
            yield _error(
                "holes-overlap",
                f"{key}.hole_diameter",
                f"{circle.hole_count} holes of {_size(circle.hole_diameter, unit)} on a {_size(circle.diameter, unit)} "
                f"bolt circle overlap by {_gap(overlap, unit)} (chord {_gap(_least_chord(circle), unit)}); "
                "use fewer or smaller holes",
            )


def _least_chord(circle: BoltCircle) -> float:
    """Least distance between two drilled neighbors, infinite where there is only one hole."""
    angles = sorted(circle.hole_angles())
    if len(angles) < 2:
        return math.inf
    steps = (after - before for before, after in pairwise((*angles, angles[0] + 360)))
    return min(circle.diameter * math.sin(math.radians(step) / 2) for step in steps)


def _holes_on_metal(flange: Flange, holes: tuple[Hole, ...], unit: Unit) -> Iterator[Finding]:
    """The first hole of each group that runs over the edge, and the first that runs into each opening."""
    openings = flange.cutouts()
    told: set[tuple[int, Opening | None]] = set()
    for hole in holes:
        over = over_edge(flange, hole)
        if over > 0 and (hole.group, None) not in told and not _is_outside(flange, hole):
            told.add((hole.group, None))
            yield _error(
                "hole-on-plate",
                hole_key(flange, hole),
                f"{hole.source} of {_size(hole.diameter, unit)} runs {_gap(over, unit)} over the edge of the "
                f"{plate_words(flange, unit)}; make the plate larger or move the hole in",
            )
        for opening in openings:
            into = into_opening(opening, hole)
            if into > 0 and (hole.group, opening) not in told:
                told.add((hole.group, opening))
                size = f" of {_size(2 * opening.shape.radius, unit)}" if isinstance(opening.shape, Circle) else ""
                yield _error(
                    "hole-clear-of-bore",
                    hole_key(flange, hole),
                    f"{hole.source} of {_size(hole.diameter, unit)} runs {_gap(into, unit)} into the {opening.name}"
                    f"{size}; make the {opening.name} smaller or move the hole out",
                )


def _is_outside(flange: Flange, hole: Hole) -> bool:
    """Whether the hole's whole circle was already said to lie outside the plate."""
    outline = flange.outline
    if not isinstance(outline, RoundOutline) or not 0 <= hole.group < len(flange.bolt_circles):
        return False
    return flange.bolt_circles[hole.group].diameter >= outline.outside_diameter


def _overlaps(flange: Flange, holes: tuple[Hole, ...], unit: Unit) -> Iterator[Finding]:
    """The first overlap between any two groups, and between single holes."""
    told = {(n, n) for n, circle in enumerate(flange.bolt_circles) if not isinstance(circle.kind, Slot)}
    for one, other in _near_pairs(holes, told):
        apart = one.center.distance_to(other.center)
        overlap = (one.diameter + other.diameter) / 2 - spine_distance(one.spine, other.spine)
        if overlap > 0:
            told |= {(one.group, other.group), (other.group, one.group)}
            yield _error(
                "holes-overlap",
                hole_key(flange, other) if other.group < 0 else circle_key(flange, other.group),
                f"{other.source} ({_size(other.diameter, unit)}) and {one.source} ({_size(one.diameter, unit)}) "
                f"overlap by {_gap(overlap, unit)} (centers {_gap(apart, unit)} apart); "
                "turn one pattern, move it or use smaller holes",
            )


def _near_pairs(holes: tuple[Hole, ...], done: set[tuple[int, int]]) -> Iterator[tuple[Hole, Hole]]:
    """Every pair of holes of which one could reach the other, by squares as wide as the largest hole.

    Pairs of groups in ``done`` are left out; the caller adds to it, so that a thousand holes in one place
    are not compared a million times.
    """
    width = max((_longest(hole) for hole in holes), default=1.0)
    squares: dict[tuple[int, int], dict[int, list[Hole]]] = defaultdict(lambda: defaultdict(list))
    for hole in holes:
        column, row = math.floor(hole.center.x / width), math.floor(hole.center.y / width)
        for near in ((column + i, row + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            for group, others in squares.get(near, {}).items():
                for other in others:
                    if (group, hole.group) in done:
                        break
                    yield other, hole
        squares[column, row][hole.group].append(hole)


def _longest(hole: Hole) -> float:
    return hole.kind.length if isinstance(hole.kind, Slot) else hole.diameter


def _raised_face(flange: Flange, holes: tuple[Hole, ...], unit: Unit) -> Iterator[Finding]:
    face = flange.raised_face_diameter
    if face is None:
        return
    told: set[int] = set()
    for hole in holes:
        distance, radius = math.hypot(hole.center.x, hole.center.y), hole.diameter / 2
        if abs(distance - face / 2) < radius and hole.group not in told:
            told.add(hole.group)
            yield Finding(
                "raised-face-clear",
                Severity.WARNING,
                "plate.raised_face_diameter",
                f"{hole.source} cuts the edge of the raised face of {_size(face, unit)}; "
                "published flange tables keep the face clear of the holes",
                "ASME B16.5 and EN 1092-1 dimension tables: raised face < bolt circle - hole",
            )


def _symmetry(flange: Flange) -> Iterator[Finding]:
    for group, circle in enumerate(flange.bolt_circles):
        sentence = placement_sentence(circle)
        if sentence:
            severity = Severity.WARNING if _is_pipe_like(flange, circle) else Severity.NOTE
            where = f"{circle_key(flange, group)}.placement"
            yield Finding("placement", severity, where, f"{flange.group_name(group)}: {sentence}", "common practice")


def _is_pipe_like(flange: Flange, circle: BoltCircle) -> bool:
    """Whether a hole on the centerline is what a pipe flange should not have: bolt holes of a round plate."""
    on_line = circle.placement is Placement.ON_CENTERLINE
    return on_line and flange.round_diameter is not None and not isinstance(circle.kind, Jack | Dowel)


def placement_sentence(circle: BoltCircle) -> str:
    """What the placement of an equally spaced circle asks one to notice; empty where it straddles both centerlines."""
    if not circle.equally_spaced or circle.hole_count < 2:
        return ""
    count = circle.hole_count
    vertical = circle.centerline is Centerline.VERTICAL
    named, other, end = ("vertical", "horizontal", "top") if vertical else ("horizontal", "vertical", "right")
    if circle.start_angle:
        return f"the pattern is turned {circle.start_angle:g}° from its place; the mate must be turned the same way"
    if circle.placement is Placement.ON_CENTERLINE:
        return f"hole 1 lies on the {named} centerline ({end} end); pipe flanges straddle it unless the mate does not"
    if count % 2:
        return f"{count} holes straddle the {named} centerline at its {end} end only; at the other a hole lies on it"
    if count % 4:
        return f"{count} holes straddle the {named} centerline and lie on the {other} one"
    return ""
