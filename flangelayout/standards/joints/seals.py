"""The flat gasket inside the bolts of a joint: whether there is one, how thick, how wide."""

from typing import assert_never

from msgspec import Struct

from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Flange,
    LuggedOutline,
    SegmentOutline,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.claims import named_rows
from flangelayout.flange.joints import mates_by_group
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.provenance import Family
from flangelayout.standards.joints.gaskets import RingEdge, ring_edge
from flangelayout.standards.practice import USUAL_GASKET_INCH, USUAL_GASKET_MM
from flangelayout.units import Unit

_USUAL = {Unit.MM: USUAL_GASKET_MM, Unit.IN: USUAL_GASKET_INCH}
_SEALED = frozenset({Family.PIPE_FLANGE, Family.TANK_TRUCK_FLANGE, Family.WELLHEAD_FLANGE})
"""Families whose joints have a flat gasket inside the bolts; vacuum and hygienic joints bring seals of their own."""


class GasketRing(Struct, frozen=True):
    """A ring gasket inside the bolts, in mm; ``inside`` is ``None`` where only the mate has an opening."""

    outside: float
    inside: float | None


def gasket_thickness(flange: Flange, group: int, unit: Unit) -> tuple[float | None, bool]:
    """Of the gasket of a joint in mm, and whether the job states it; ``None`` where nothing says it is sealed."""
    if not 0 <= group < len(flange.bolt_circles):
        return None, False
    circle, mate = flange.bolt_circles[group], mates_by_group(flange.mates).get(group)
    stated = mate.gasket_thickness if mate and mate.gasket_thickness is not None else circle.joint.gasket_thickness
    if stated is not None:
        return stated or None, True
    raised = flange.raised_face_diameter or (mate and mate.raised_face_diameter)
    sealed = raised or any(row.family in _SEALED for row in named_rows(circle))
    return (_USUAL[unit] if sealed else None), False


def gasket_ring(flange: Flange, group: int, bolt: float, unit: Unit) -> GasketRing | None:
    """The gasket of a joint: inside bolts or holes, no wider than what it lies on, as open as bore and mate.

    Args:
        flange: The plate.
        group: Index of the circle.
        bolt: Its bolts' diameter in mm.
        unit: Whether they are metric or inch bolts, which says whose rule it goes by (``RingEdge``).

    Returns:
        ``None`` where nothing of a ring would be left, or the plate is a part of a ring.
    """
    if isinstance(flange.outline, SegmentOutline):
        return None
    circle, mate = flange.bolt_circles[group], mates_by_group(flange.mates).get(group)
    face = joint_face(flange, group)
    raised = (each for each in flange.all_turned() if each.kind is TurnedKind.RAISED_FACE and each.face is face)
    lies_on: list[float | None] = [disc_width(flange), *(each.diameter for each in raised)]
    lies_on += [flange.raised_face_diameter] if face is PlateFace.FACE else []
    if mate is not None:
        lies_on += [mate.raised_face_diameter, mate.outside_diameter]
    outside = min(circle.diameter - _kept_clear(circle, bolt, unit), *(size for size in lies_on if size is not None))
    inside = gasket_inside(flange, group)
    return None if inside is not None and inside >= outside else GasketRing(outside, inside)


def _kept_clear(circle: BoltCircle, bolt: float, unit: Unit) -> float:
    """What in mm a ring stays out of on the circle: a bolt, or the widest hole of it, here or in the published row."""
    match ring_edge(unit):
        case RingEdge.BOLTS:
            return bolt
        case RingEdge.HOLES:
            published = (row.hole_diameter for row in named_rows(circle) if row.hole_diameter)
            return max(bolt, circle.drilling.diameter, *published)
        case edge:
            assert_never(edge)


def gasket_inside(flange: Flange, group: int) -> float | None:
    """How far in mm a gasket is open: the wider bore, spigots and recesses left out; ``None`` for no opening."""
    mate, face = mates_by_group(flange.mates).get(group), joint_face(flange, group)
    walls = [each for each in flange.turned if each.face is face and not each.inner_diameter]
    inner = (each.diameter for each in walls if each.kind is not TurnedKind.RAISED_FACE)
    opens = [flange.bore, *(size for size in inner if size < flange.bolt_circles[group].diameter)]
    if mate is not None:
        opens += [mate.bore, mate.spigot.diameter if mate.spigot else None]
    return max((size for size in opens if size is not None), default=None)


def joint_face(flange: Flange, group: int) -> PlateFace:
    """The face that a circle's joint is on, the named one where nothing tells."""
    told = mates_by_group(flange.mates).get(group)
    return told.face if told else known_joint_face(flange, group) or PlateFace.FACE


def known_joint_face(flange: Flange, group: int) -> PlateFace | None:
    """The face that a group's mate is said to lie on, else where blind threads open, or across from sunk heads."""
    told, drilling = mates_by_group(flange.mates).get(group), flange.groups()[group].drilling
    if told and told.is_face_said:
        return told.face
    match drilling.kind:
        case Counterbored() | Countersunk() | Spotfaced():
            return drilling.worked_from.other
        case Tapped(depth=depth) if depth is not None:
            return drilling.worked_from
        case _:
            return None


def disc_width(flange: Flange) -> float:
    """How wide in mm a disc round the middle may be and still lie whole on the plate."""
    if flange.round_diameter is not None:
        return flange.round_diameter
    if isinstance(flange.outline, LuggedOutline):
        return flange.outline.body_diameter
    return max(2 * flange.edge_distance(ORIGIN), 0.0)
