"""The section drawn: cut metal with its hatching, the edges behind the cut, centerlines.

In first-angle projection what stands right of the face view is seen from the left, so its right edge is the
named face; in third-angle projection it is seen from the right and its left edge is the face (ISO 5456-2).
"""

import math
from collections.abc import Iterator
from itertools import pairwise

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Hatching, Item
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange
from flangelayout.flange.turning import FaceProfile, PlateFace
from flangelayout.geometry.shapes import Contour, Line, Point
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.section.cut import PlaneCut, Stretch, plane_cut
from flangelayout.views.sheet.section.holes import HoleInSection, Notch

_HATCH_PITCH = 2.2
GAP = 7.0
"""Least printed mm between the plate of the face view and the section."""
_NOTHING = 1e-9
_SEAT, _SEAT_PRINTED, _SEAT_SHARE = 1.0, 0.8, 1 / 6
"""Mm that cleaning up takes (common practice, no source), printed mm that are seen as a step, and the most that either
takes of a plate's thickness."""

Corners = tuple[Point, ...]


class Section:
    """A section at a place: depth below the named face becomes x, the height on the plate stays y."""

    def __init__(self, look: Look, left: float, met: PlaneCut | None = None, *, is_lying: bool = False) -> None:
        """Stand the section with its left edge at ``left``; the plate has a thickness.

        Args:
            look: What and how.
            left: In mm.
            met: What its plane meets; that of the plate's section unless told.
            is_lying: Whether it lies with the named face up instead, from there downward; ``left`` is then the place
                of the middle of the plate.
        """
        flange = look.flange
        self.look, self.left, self.is_lying = look, left, is_lying
        self.thickness = flange.thickness or 0.0
        self.step = flange.raised_face_height if flange.raised_face_diameter else 0.0
        self.half_face = (flange.raised_face_diameter or 0.0) / 2
        met = met or plane_cut(flange, seat_depth(look))
        self.plane, self.metal, self.openings, self.cuts = met.x, met.metal, met.openings, met.holes
        self.turned_by = met.turned_by
        self.gaps = [*self.openings, *(cut.gap for cut in self.cuts if cut.gap)]
        self.notches: dict[PlateFace, list[Notch]] = {face: [] for face in PlateFace}
        self.notches[PlateFace.FACE] += _chamfer_notches(flange)
        for cut in self.cuts:
            self.notches[cut.worked_from] += cut.notches(self.surface(cut.worked_from, cut.middle))

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.thickness

    def place(self, depth: float, y: float) -> Point:
        """The place ``depth`` mm below the named face at height ``y``."""
        if self.is_lying:
            return Point(self.left + y, -depth)
        return Point(self.right - depth if self.look.convention.first_angle else self.left + depth, y)

    def profile(self, face: PlateFace) -> FaceProfile:
        """One face along a radius."""
        return self.look.flange.profile.of(face)

    def surface(self, face: PlateFace, y: float) -> float:
        """How deep the surface of a face lies at a height, below the outermost plane of that face."""
        return self.profile(face).depth_at(math.hypot(self.plane, y))

    def below(self, face: PlateFace, depth: float) -> float:
        """A depth below a face as a depth below the named one."""
        return depth if face is PlateFace.FACE else self.thickness - depth

    def walls(self, face: PlateFace) -> list[float]:
        """Heights above the middle at which the plane meets the walls of what is turned on a face."""
        return [self.height(wall) for wall in self.profile(face).walls if wall > abs(self.plane)]

    def height(self, radius: float) -> float:
        """The height above the middle at which the plane meets a circle round it; 0 where it does not."""
        return math.sqrt(max(radius**2 - self.plane**2, 0.0))

    def stretches(self) -> list[Stretch]:
        """Where the section cuts metal, from below."""
        return [stretch for ends in self.metal for stretch in _between(*ends, self.gaps)]


def seat_depth(look: Look) -> float:
    """How deep a spotface is drawn, in mm: as it is made, so that it is seen, on a thin plate so that metal is."""
    return min(max(_SEAT, look.real(_SEAT_PRINTED)), (look.flange.thickness or 0.0) * _SEAT_SHARE)


def section_items(section: Section) -> Iterator[Item]:
    """Cut metal with hatching, edges behind it, centerlines."""
    for stretch in section.stretches():
        bodies = _bodies(section, *stretch)
        yield Item(Layer.OUTLINE, _outline(section, *stretch), Furniture("section"))
        yield Item(Layer.HATCH, Hatching(tuple(bodies), _HATCH_PITCH), Furniture("section"))
    yield from _behind(section)
    yield from _centerlines(section)


def _between(low: float, high: float, gaps: list[Stretch]) -> Iterator[Stretch]:
    """The stretches from ``low`` to ``high`` that no gap takes."""
    at = low
    for start, end in sorted(gaps):
        if start > high:
            break
        if start > at:
            yield at, start
        at = max(at, end)
    if at < high:
        yield at, high


def _strips(section: Section, low: float, high: float) -> Iterator[Stretch]:
    """A stretch from below in strips, within each of which both faces run straight."""
    ends = [end for notches in section.notches.values() for notch in notches for end in (notch.low, notch.high)]
    ends += [side * wall for face in PlateFace for wall in section.walls(face) for side in (1, -1)]
    yield from pairwise(sorted({low, high, *(y for y in ends if low + _NOTHING < y < high - _NOTHING)}))


def _face_line(section: Section, face: PlateFace, low: float, high: float) -> list[tuple[float, float]]:
    """Depth below the named face and height along a face, from below: what is turned, chamfer, recesses of holes."""
    line: list[tuple[float, float]] = []
    for start, end in _strips(section, low, high):
        middle = (start + end) / 2
        notches = [each for each in section.notches[face] if each.low < middle < each.high]
        notch = max(notches, key=lambda each: each.depth(middle), default=None)
        surface = section.surface(face, middle)
        line += [(section.below(face, max(surface, notch.depth(y) if notch else 0.0)), y) for y in (start, end)]
    return line


def _outline(section: Section, low: float, high: float) -> Contour:
    """The edge of one cut stretch."""
    near, far = (_face_line(section, face, low, high) for face in PlateFace)
    line = [*near, *reversed(far)]
    kept = [point for index, point in enumerate(line) if point != line[index - 1]]
    corners = [section.place(depth, y) for depth, y in kept]
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return Contour(tuple(Line(start, end) for start, end in pairs), closed=True)


def _bodies(section: Section, low: float, high: float) -> list[Corners]:
    """A cut stretch as convex bodies, which hatching can be clipped to: the strips between its steps."""
    near, far = (_face_line(section, face, low, high) for face in PlateFace)
    sides = zip(near[::2], near[1::2], far[1::2], far[::2], strict=True)
    return [tuple(section.place(depth, y) for depth, y in corners) for corners in sides]


def _behind(section: Section) -> Iterator[Item]:
    """The edges behind the cut: the far rims of bore, recesses and holes close the gaps at both faces."""
    flange = section.look.flange
    chamfer = flange.bore_chamfer if flange.bore is not None else 0.0
    for start, end in section.openings:
        if _within_metal(section, start, end):
            is_bore = flange.bore is not None and abs(end - flange.bore / 2) < 1e-6 and start < 0
            cut = chamfer if is_bore else 0.0
            beside = end + 1e-6 if is_bore else (start + end) / 2
            front, back = (section.below(face, section.surface(face, beside)) for face in PlateFace)
            yield _edge(section, front, start - cut, end + cut)
            yield _edge(section, back, start, end)
            if cut:
                yield _edge(section, front + cut, start, end)
    for face in PlateFace:
        yield from _rims(section, face)
    for hole in section.cuts:
        if _within_metal(section, *hole.mouth):
            yield from _hole_behind(section, hole)


def _rims(section: Section, face: PlateFace) -> Iterator[Item]:
    """The rims of recesses and grooves, seen beyond the cut where it leaves no metal at their height.

    Of metal that shows neither end of one no rim is seen; of metal that shows one, as far as it goes.
    """
    bands = section.profile(face).bands
    for number, outside in enumerate(bands[1:], 1):
        deeper = [band for band in bands[:number] if band.depth > outside.depth + _NOTHING]
        if bands[number - 1] not in deeper:
            continue
        for band in deeper:
            inner, outer = section.height(band.inner), section.height(band.outer)
            ends = ((-outer, -inner), (inner, outer)) if inner else ((-outer, outer),)
            shown = (within for each in ends if outer > inner for within in _shown(section, *each))
            yield from (_edge(section, section.below(face, outside.depth), *each) for each in shown)


def _shown(section: Section, low: float, high: float) -> Iterator[Stretch]:
    """What is seen of an edge beyond the cut, where an end of it stands within the metal."""
    for start, end in section.metal:
        if start < low < end or start < high < end:
            yield max(low, start), min(high, end)


def _within_metal(section: Section, low: float, high: float) -> bool:
    return any(start < low and high < end for start, end in section.metal)


def _hole_behind(section: Section, hole: HoleInSection) -> Iterator[Item]:
    """The rims of a hole, and the thread it has: thin lines at its nominal diameter (ISO 6410-1)."""
    face = hole.worked_from
    surface = section.surface(face, hole.middle)
    yield _edge(section, section.below(face, surface), *hole.mouth)
    if hole.gap:
        behind = face.other
        yield _edge(section, section.below(behind, section.surface(behind, hole.middle)), *hole.gap)
    for half, depth in hole.rims:
        yield _edge(section, section.below(face, surface + depth), hole.middle - half, hole.middle + half)
    if hole.thread:
        half, depth = hole.thread
        front, bottom = (section.below(face, surface + each) for each in (0.0, depth))
        for y in (hole.middle - half, hole.middle + half):
            thread = Line(section.place(front, y), section.place(bottom, y))
            yield Item(Layer.DIMENSION, thread, Furniture("section"))
        if depth < hole.ends[0][1] - _NOTHING:
            for y in (hole.middle - half, hole.middle + half):
                inner = hole.middle + math.copysign(hole.ends[1][0], y - hole.middle)
                yield _edge(section, bottom, *sorted((y, inner)))


def _edge(section: Section, depth: float, low: float, high: float) -> Item:
    return Item(Layer.OUTLINE, Line(section.place(depth, low), section.place(depth, high)), Furniture("section"))


def _centerlines(section: Section) -> Iterator[Item]:
    past = section.look.real(2.5)
    low, high = section.metal[0][0], section.metal[-1][1]
    middle = (0.0,) if low < 0.0 < high else ()
    front, back = _outermost(section, low, high) if section.is_lying else (0.0, section.thickness)
    for y in dict.fromkeys((*middle, *(cut.middle for cut in section.cuts))):
        line = Line(*sorted((section.place(each, y) for each in (front - past, back + past)), key=_from_left))
        yield Item(Layer.CENTERLINE, line, Furniture("centerline"))


def _outermost(section: Section, low: float, high: float) -> Stretch:
    """Depths below the named face between which all metal from one height to another lies."""
    ends = [section.profile(face).highest(max(low, 0.0), high) for face in PlateFace]
    return section.below(PlateFace.FACE, ends[0]), section.below(PlateFace.BACK, ends[1])


def _from_left(point: Point) -> float:
    return point.x


def _chamfer_notches(flange: Flange) -> Iterator[Notch]:
    """What the chamfer of the bore takes off either side of it."""
    if flange.bore is not None and flange.bore_chamfer:
        bore, size = flange.bore / 2, flange.bore_chamfer
        surface = flange.profile.face.depth_at(bore + size)
        yield Notch(bore, bore + size, surface + size, surface)
        yield Notch(-bore - size, -bore, surface, surface + size)
