"""The sizes of a plate's drawing that state no limits of their own: what its general tolerance holds for.

Sizes in brackets follow from others and have none (ISO 129-1); places of holes have none where the zone that each hole
lies in is stated, which is told of their exact places; a thread has those of its class.
"""

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import assert_never

from msgspec import Struct

from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    FigureEightOutline,
    Flange,
    HoleGrid,
    HoleRectangle,
    HoleRings,
    Jack,
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    Slot,
    SplitOutline,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.claims import own_tolerance
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.path import path_corners
from flangelayout.flange.plate import Opening, RectangleForm, RoundForm, SlotForm, WindowForm
from flangelayout.geometry.shapes import ORIGIN, Arc, Point

_MOST_DIMENSIONED = 3
"""Distances along one centerline up to which evenly placed things are measured across it."""
_SAME = 1e-6


class OpenSize(Struct, frozen=True):
    """A size without limits of its own.

    Attributes:
        length: In mm.
        is_cut: Whether it is cut together with the outline; else it is drilled, turned, or the plate's own.
        is_outer_edge: Whether it is a chamfer or an external radius.
    """

    length: float
    is_cut: bool = False
    is_outer_edge: bool = False


def open_sizes(flange: Flange, *, holes_are_cut: bool = False) -> Iterator[OpenSize]:
    """Every size of a plate's drawing without limits of its own, some more than once.

    Args:
        flange: What is drawn.
        holes_are_cut: Whether plain holes are cut together with the outline.
    """
    stated = flange.tolerances
    bore = flange.bore_diameter if stated.bore is None and not flange.bore_cut else None
    outside = flange.outside_diameter if stated.outside is None else None
    yield from _of((outside, bore, *_outline(flange), *_openings(flange)), is_cut=True)
    yield from _of(_outer_radii(flange), is_cut=True, is_outer_edge=True)
    yield from _of((None if stated.thickness else flange.thickness, *_turned(flange)))
    yield from _of((flange.bore_chamfer,), is_outer_edge=True)
    yield from _of(_places(flange), is_cut=holes_are_cut)
    for drilling in _drillings(flange):
        plain = isinstance(drilling.kind, Drilled | Slot)
        yield from _of(_hole(drilling, is_open=stated.hole is None), is_cut=holes_are_cut and plain)


def _of(lengths: Iterable[float | None], *, is_cut: bool = False, is_outer_edge: bool = False) -> Iterator[OpenSize]:
    return (OpenSize(length, is_cut, is_outer_edge) for length in lengths if length)


def _outline(flange: Flange) -> Iterator[float | None]:
    """What the edge is made from beside its outside diameter and its external radii."""
    is_open = flange.tolerances.bore is None
    match flange.outline:
        case RoundOutline():
            return
        case RectangleOutline(width=width, height=height) | OvalOutline(length=width, width=height):
            yield from (width, height)
        case LozengeOutline(length=length, middle_diameter=middle):
            yield from (length, middle)
        case LuggedOutline() as lugged:
            on_holes = any(abs(circle.diameter - lugged.lug_circle) < _SAME for circle in flange.bolt_circles)
            yield from (lugged.width_at_middle, lugged.root_radius, None if on_holes else lugged.lug_circle)
        case PathOutline(contour=contour):
            yield from _from_center([corner for corner, _ in path_corners(contour)])
            yield from (part.radius for part in contour.parts if isinstance(part, Arc) and part.sweep_deg < 0)
        case PaddleOutline() as paddle:
            yield from (paddle.handle_length, paddle.handle_width, paddle.root_radius)
        case FigureEightOutline() as eight:
            yield from (eight.center_distance, eight.web_width, eight.root_radius)
        case SegmentOutline(inside_diameter=hollow, gap=gap):
            yield from (hollow / 2 if is_open else None, gap)
        case SplitOutline(inside_diameter=hollow, gap=gap):
            yield from (hollow if is_open else None, gap)
        case _:
            assert_never(flange.outline)


def _outer_radii(flange: Flange) -> tuple[float, ...]:
    """The external radii of the edge that are dimensioned."""
    match flange.outline:
        case RectangleOutline(corner_radius=radius) | LuggedOutline(lug_radius=radius):
            return (radius,)
        case OvalOutline(end_radius=radius) | LozengeOutline(end_radius=radius):
            return (radius,)
        case PaddleOutline(end_radius=radius, handle_width=width):
            return (radius,) if abs(radius - width / 2) >= _SAME else ()
        case PathOutline(contour=contour):
            return tuple(part.radius for part in contour.parts if isinstance(part, Arc) and part.sweep_deg > 0)
        case SegmentOutline(outside_diameter=diameter):
            return (diameter / 2,) if flange.tolerances.outside is None else ()
        case _:
            return ()


def _openings(flange: Flange) -> Iterator[float | None]:
    """What openings beside the bore are made from and where they stand."""
    copies: dict[int, list[Opening]] = {}
    for each in (opening for opening in flange.openings if not opening.is_bore):
        copies.setdefault(each.number, []).append(each)
    for alike in copies.values():
        first = alike[0]
        match first.form:
            case RoundForm(diameter=diameter):
                yield diameter
            case RectangleForm(width=width, height=height, corner_radius=radius):
                yield from (width, height, radius)
            case SlotForm(width=width, length=length):
                yield from (width, length)
            case WindowForm(inner_diameter=inner, outer_diameter=outer, corner_radius=radius):
                yield from (inner, outer, radius)
        if len(alike) > 1:
            yield 2 * ORIGIN.distance_to(first.middle)
        else:
            yield from (abs(first.middle.x), abs(first.middle.y))


def _turned(flange: Flange) -> Iterator[float | None]:
    if not flange.raised_face_height:
        yield flange.raised_face_diameter
    for each in flange.all_turned():
        yield from (None if each.fit else each.diameter, each.inner_diameter, each.size)


def _places(flange: Flange) -> Iterator[float]:
    """Where holes stand: nothing where that has limits, as stated or as the standard of their circle has them."""
    stated = flange.tolerances
    if stated.position is not None:
        return
    circles = stated.bolt_circle is not None or stated.chord is not None
    yield from (each.diameter for each in flange.bolt_circles if not circles and own_tolerance(each) is None)
    for pattern in flange.patterns:
        match pattern:
            case HoleRectangle():
                yield from (pattern.width, pattern.height)
            case HoleGrid():
                yield from (pattern.pitch_x, pattern.pitch_y)
            case HoleRings():
                yield from (pattern.first_diameter, pattern.ring_pitch)
            case _:
                assert_never(pattern)
        yield from (abs(pattern.center.x), abs(pattern.center.y))
    singles = [single.center for single in flange.single_holes]
    yield from chain.from_iterable((abs(at.x), abs(at.y)) for at in singles)
    yield from _from_center(singles)


def _from_center(points: Iterable[Point]) -> Iterator[float]:
    """Distances from the centerlines, or across one from each other where two stand evenly and they are few."""
    places = list(points)
    for along in ({round(at.x, 6) for at in places}, {round(at.y, 6) for at in places}):
        few = len({abs(at) for at in along} - {0.0}) <= _MOST_DIMENSIONED
        yield from (abs(at) * (2 if few and -at in along else 1) for at in along)


def _drillings(flange: Flange) -> tuple[Drilling, ...]:
    groups: tuple[BoltCircle | HoleRectangle | HoleGrid | HoleRings, ...] = flange.groups()
    return (*(group.drilling for group in groups), *(single.drilling for single in flange.single_holes))


def _hole(drilling: Drilling, *, is_open: bool) -> Iterator[float | None]:
    """What a hole is made from; of its own diameter the limits may be stated."""
    kind, diameter = drilling.kind, drilling.diameter if is_open else None
    match kind:
        case Drilled():
            yield diameter
        case Slot():
            yield from (drilling.diameter, kind.length)
        case Countersunk():
            yield from (diameter, kind.head_diameter)
        case Counterbored():
            yield from (diameter, kind.bore_diameter, kind.depth)
        case Spotfaced():
            yield from (diameter, kind.seat_diameter)
        case Tapped():
            yield from (kind.depth, kind.drill_depth)
        case Jack() | Dowel():
            return
        case _:
            assert_never(kind)
