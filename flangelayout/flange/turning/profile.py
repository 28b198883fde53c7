"""The section of a plate along a radius: how deep each face lies and what thickness is left, ring by ring.

Depth is counted from the outermost plane of a face, so that the thickness of the plate is what a caliper finds
over all, whatever stands out of its faces.
"""

import math
from collections.abc import Sequence

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.turning.turned import PlateFace, Turned
from flangelayout.problems.flange import FlangeProblem

_SAME = 1e-9


class FaceRing(Struct, frozen=True):
    """A ring of a face at one depth: from ``inner`` to ``outer``, radii in mm, the last without end."""

    inner: float
    outer: float
    depth: float


class FaceProfile(Struct, frozen=True):
    """One face along a radius: its bands from the middle outward."""

    bands: tuple[FaceRing, ...]

    @property
    def is_flat(self) -> bool:
        """Whether all of it lies in one plane."""
        return len(self.bands) == 1

    @property
    def base(self) -> float:
        """How deep in mm the face lies outside of everything that is turned on it."""
        return self.bands[-1].depth

    @property
    def walls(self) -> tuple[float, ...]:
        """The radii in mm at which its depth changes."""
        return tuple(band.outer for band in self.bands[:-1])

    def depth_at(self, radius: float) -> float:
        """How deep in mm the surface lies below the outermost plane of the face; on a wall, outside of it."""
        return next(band.depth for band in self.bands if radius < band.outer - _SAME)

    def highest(self, inner: float, outer: float) -> float:
        """The least depth in mm anywhere between two radii: the plane that something flat lies on."""
        return min(band.depth for band in self.bands if band.inner < outer - _SAME and inner < band.outer - _SAME)

    def opening(self, start: float, plane: float) -> float:
        """How far out from a radius everything lies below a depth, in mm: the radius of the wall that ends it."""
        reach = start
        for band in self.bands:
            if band.outer <= start + _SAME:
                continue
            if band.depth <= plane + _SAME:
                break
            reach = band.outer
        return reach


_FLAT = FaceProfile((FaceRing(0.0, math.inf, 0.0),))


class PlateProfile(Struct, frozen=True):
    """Both faces of a plate."""

    face: FaceProfile = _FLAT
    back: FaceProfile = _FLAT

    def of(self, face: PlateFace) -> FaceProfile:
        """One of them."""
        return self.face if face is PlateFace.FACE else self.back

    @property
    def is_flat(self) -> bool:
        """Whether the plate is as thick everywhere."""
        return self.face.is_flat and self.back.is_flat

    def taken(self, radius: float) -> float:
        """What both faces together lie below their outermost planes at a radius, in mm."""
        return self.face.depth_at(radius) + self.back.depth_at(radius)

    def most_taken(self, inner: float, outer: float) -> float:
        """The most of that anywhere between two radii."""
        return max(band.depth for band in self.bands() if band.inner < outer - _SAME and inner < band.outer - _SAME)

    def bands(self) -> tuple[FaceRing, ...]:
        """The rings of one thickness: each as deep as both faces together."""
        walls = sorted({*self.face.walls, *self.back.walls})
        edges = zip((0.0, *walls), (*walls, math.inf), strict=True)
        return tuple(FaceRing(inner, outer, self.taken(inner)) for inner, outer in edges)


def plate_profile(turned: Sequence[Turned]) -> PlateProfile:
    """The section of a plate with these things turned on its faces.

    Raises:
        GeometryError: If the edges of two of them cross, so that neither lies on one surface.
    """
    return PlateProfile(*(_face_profile([each for each in turned if each.face is face]) for face in PlateFace))


def _face_profile(turned: Sequence[Turned]) -> FaceProfile:
    """The bands of one face: the widest thing first, each measured from the surface it is made in."""
    heights = [FaceRing(0.0, math.inf, 0.0)]
    for each in sorted(turned, key=lambda one: -one.diameter):
        heights = _with(heights, each)
    highest = max(band.depth for band in heights)
    return FaceProfile(tuple(FaceRing(band.inner, band.outer, highest - band.depth) for band in heights))


def _with(heights: list[FaceRing], each: Turned) -> list[FaceRing]:
    """The heights of a face with one thing more, which must lie whole inside one of its bands."""
    inner, outer = each.inner_diameter / 2, each.diameter / 2
    found = next(
        (band for band in heights if band.inner <= inner + _SAME and outer <= band.outer - _SAME),
        None,
    )
    if found is None:
        what, size = each.kind.value, Length(each.diameter)
        raise GeometryError.of(FlangeProblem.TURNED_ACROSS_AN_EDGE, what=what, diameter=size)
    parts = (
        FaceRing(found.inner, inner, found.depth),
        FaceRing(inner, outer, found.depth + each.rise),
        FaceRing(outer, found.outer, found.depth),
    )
    own = [part for part in parts if part.outer - part.inner > _SAME]
    at = heights.index(found)
    return [*heights[:at], *own, *heights[at + 1 :]]
