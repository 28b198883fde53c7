"""From a diameter to what a caliper should read, so a part is confirmed without arithmetic. Loads no numpy."""

from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.survey.validate import FEWEST_HOLES, MAX_HOLES, count_problem, length_problem


class ExpectedSpan(Struct, frozen=True):
    """What every kind of chord reading gives across one span; None where a size is not known.

    Attributes:
        pitches: Pitches spanned.
        centers: Center to center, and same edge to same edge, mm.
        near_edges: Between the near edges, mm; not above 0 if the holes run into each other.
        far_edges: Over the far edges, mm.
        over_studs: Over the studs, mm.
        between_studs: Between the studs, mm.
    """

    pitches: int
    centers: float
    near_edges: float | None
    far_edges: float | None
    over_studs: float | None
    between_studs: float | None


class ExpectedReadings(Struct, frozen=True):
    """Everything a caliper should read on a bolt circle.

    Attributes:
        diameter: Of the bolt circle, mm.
        hole_count: Holes on it.
        spans: One entry per span, from neighbors to the widest.
        hole_to_bore: Metal from hole edge to bore, mm, where hole and bore are known.
        hole_to_rim: Metal from hole edge to rim, mm, where hole and outside diameter are known.
    """

    diameter: float
    hole_count: int
    spans: tuple[ExpectedSpan, ...]
    hole_to_bore: float | None
    hole_to_rim: float | None


def expected_readings(
    diameter: float,
    hole_count: int,
    hole_diameter: float | None = None,
    stud_diameter: float | None = None,
    bore: float | None = None,
    outside_diameter: float | None = None,
) -> ExpectedReadings:
    """What a caliper should read for every span and kind on equally spaced holes.

    Args:
        diameter: Of the bolt circle, mm.
        hole_count: Holes on it, from 2.
        hole_diameter: mm, for near and far edges and for bore and rim.
        stud_diameter: mm, for readings over and between studs.
        bore: mm.
        outside_diameter: mm.

    Raises:
        InputError: If a size is not greater than 0 or the count makes no bolt circle.

    Example:
        >>> [round(span.centers, 2) for span in expected_readings(240, 8).spans]
        [91.84, 169.71, 221.73, 240.0]
    """
    named = {
        "bolt circle": diameter,
        "hole diameter": hole_diameter,
        "stud diameter": stud_diameter,
        "bore": bore,
        "outside diameter": outside_diameter,
    }
    problems = [length_problem(name, value) for name, value in named.items() if value is not None]
    if not FEWEST_HOLES <= hole_count <= MAX_HOLES:
        problems.append(count_problem(hole_count))
    if found := [problem for problem in problems if problem is not None]:
        raise InputError(*found)
    spans = range(1, hole_count // 2 + 1)
    return ExpectedReadings(
        diameter=diameter,
        hole_count=hole_count,
        spans=tuple(_span(diameter, hole_count, pitches, hole_diameter, stud_diameter) for pitches in spans),
        hole_to_bore=_gap(diameter, bore, hole_diameter),
        hole_to_rim=_gap(outside_diameter, diameter, hole_diameter),
    )


def _gap(outer: float | None, inner: float | None, hole: float | None) -> float | None:
    """What is left of the metal between two circles beside a hole whose center is on one of them, in mm."""
    return None if outer is None or inner is None or hole is None else (outer - inner - hole) / 2


def _span(diameter: float, hole_count: int, pitches: int, hole: float | None, stud: float | None) -> ExpectedSpan:
    from flangelayout.flange import chord_across

    centers = chord_across(diameter, hole_count, pitches)
    return ExpectedSpan(
        pitches=pitches,
        centers=centers,
        near_edges=None if hole is None else centers - hole,
        far_edges=None if hole is None else centers + hole,
        over_studs=None if stud is None else centers + stud,
        between_studs=None if stud is None else centers - stud,
    )
