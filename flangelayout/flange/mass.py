"""Volume and center of gravity of a plate, from its true contour: edges, bore, slots, recesses, turned faces."""

import math
from collections.abc import Iterator
from enum import StrEnum

from msgspec import Struct

from flangelayout.flange.hole import Step
from flangelayout.flange.plate import Flange
from flangelayout.flange.turning import FaceRing
from flangelayout.geometry.disc import AreaShare, share_within, whole
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Point

_CUBIC_MM = 1e-9


class Body(Struct, frozen=True):
    """A body.

    Attributes:
        volume: In cubic mm.
        center: Of gravity, in mm from the middle of the plate, seen on the named face.
    """

    volume: float
    center: Point

    def mass(self, density: float) -> float:
        """In kg, of a density in kg per cubic meter."""
        return self.volume * density * _CUBIC_MM


class MassNeed(StrEnum):
    """What a mass cannot be worked out without."""

    THICKNESS = "thickness"
    DENSITY = "density"


def mass_needs(flange: Flange, density: float | None) -> tuple[MassNeed, ...]:
    """What is missing for the mass of a plate; empty where nothing is."""
    known = ((MassNeed.THICKNESS, flange.thickness), (MassNeed.DENSITY, density))
    return tuple(need for need, value in known if value is None)


_Part = tuple[float, Point]
"""Volume (taken off: less than 0) and its center."""


def plate_solid(flange: Flange) -> Body | None:
    """The finished plate; ``None`` where no thickness is stated.

    The volume is exact for lines, arcs and round holes, those that cross the edge of something turned included. A
    spotface and the thread in a tap drill's hole count for nothing.
    """
    if flange.thickness is None:
        return None
    parts = [*_metal(flange, flange.thickness), *_taken_off(flange, flange.thickness)]
    volume = sum(size for size, _ in parts)
    x, y = (sum(size * place for size, place in zip(*each, strict=True)) / volume for each in _moments(parts))
    return Body(volume, Point(x, y))


def _moments(parts: list[_Part]) -> tuple[tuple[list[float], list[float]], tuple[list[float], list[float]]]:
    sizes = [size for size, _ in parts]
    return (sizes, [at.x for _, at in parts]), (sizes, [at.y for _, at in parts])


def _metal(flange: Flange, thickness: float) -> Iterator[_Part]:
    for piece in flange.pieces():
        yield from _through(flange, piece, thickness)


def _taken_off(flange: Flange, thickness: float) -> Iterator[_Part]:
    if flange.bore is not None and flange.bore_chamfer:
        size, radius = flange.bore_chamfer, flange.bore / 2
        yield -math.pi * size**2 * (radius + size / 3), Point(0.0, 0.0)
    for opening in flange.cutouts():
        yield from _less(_through(flange, opening.shape, thickness))
    for hole in flange.holes():
        depth = flange.metal_at(hole, thickness)
        removed = sum(step.volume for step in hole.profile(depth))
        if hole.is_through:
            plain = Step(0.0, depth, hole.diameter, hole.diameter).volume
            yield from _less(_through(flange, hole.shape, thickness))
            yield plain - removed, hole.center
        else:
            yield -removed, hole.center


def _less(parts: Iterator[_Part]) -> Iterator[_Part]:
    return ((-size, middle) for size, middle in parts)


def _through(flange: Flange, shape: Edge, thickness: float) -> Iterator[_Part]:
    """What stands between the two faces inside a closed line: thickness by thickness, from the middle outward."""
    if flange.profile.is_flat:
        yield _body(whole(shape), thickness)
        return
    inside = AreaShare(0.0, Point(0.0, 0.0))
    for band in flange.profile.bands():
        share = _share(shape, band)
        ring = AreaShare(share.size - inside.size, share.moment - inside.moment)
        inside = share
        yield _body(ring, thickness - band.depth)


def _share(shape: Edge, band: FaceRing) -> AreaShare:
    """What of an area lies within the outer wall of a band."""
    return whole(shape) if math.isinf(band.outer) else share_within(shape, band.outer)


def _body(area: AreaShare, thickness: float) -> _Part:
    middle = area.moment.scaled(1 / area.size) if area.size > 0 else Point(0.0, 0.0)
    return area.size * thickness, middle
