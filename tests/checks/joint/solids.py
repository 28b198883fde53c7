"""An adapter and its two mates in three dimensions, by cylinders and rings: an own model that shares no code.

Everything is a cylinder or a ring with an upright axis. The plate lies from z = 0 (outermost plane of its back) to its
thickness (outermost plane of its named face). Sizes of bolts: flats of ISO 4032 nuts over cos 30 degrees, washers of
ISO 7089, heights of ISO 4032 nuts; ISO 4762 heads 1.5 d wide and d high. All lengths in mm.
"""

import itertools
import math
from dataclasses import dataclass, field

FLATS = {"M10": 16.0, "M12": 18.0, "M16": 24.0, "M20": 30.0}
WASHERS = {"M10": (20.0, 2.0), "M12": (24.0, 2.5), "M16": (30.0, 3.0), "M20": (37.0, 3.0)}
NUT_HEIGHTS = {"M10": 8.4, "M12": 10.8, "M16": 14.8, "M20": 18.0}
SIZES = {"M10": 10.0, "M12": 12.0, "M16": 16.0, "M20": 20.0}
CBORES = {"M10": (18.0, 10.6), "M12": (20.0, 12.6), "M16": (26.0, 16.6), "M20": (33.0, 20.6)}


@dataclass
class Sunk:
    """A ring turned on a face: level over the flat face, negative where it goes in."""

    face: str
    inner: float
    outer: float
    rise: float


@dataclass
class Bolts:
    """A circle: ``kind`` drilled, tapped, blind or counterbored; ``worked``: where recess or blind thread opens."""

    radius: float
    count: int
    bolt: str
    kind: str
    turn: float
    hole: float
    worked: str
    washers: bool
    cbore_depth: float = 0.0
    depth: float = 0.0

    @property
    def centers(self) -> list[tuple[float, float]]:
        first = 90.0 + 180.0 / self.count + self.turn
        angles = (math.radians(first + 360.0 * k / self.count) for k in range(self.count))
        return [(self.radius * math.cos(a), self.radius * math.sin(a)) for a in angles]

    @property
    def seat(self) -> float:
        corners = FLATS[self.bolt] / math.cos(math.radians(30))
        return (WASHERS[self.bolt][0] if self.washers else corners) / 2


@dataclass
class Part:
    """A mate: a ring with, it may be, a spigot in front and a hub behind; radii."""

    face: str
    outer: float
    bore: float | None
    thickness: float
    spigot: float | None = None
    height: float = 0.0
    hub: float | None = None
    tapped: bool = False


@dataclass
class Assembled:
    """The whole: the first circle bolts to the first part, the second to the second."""

    outer: float
    bore: float
    thickness: float
    turned: list[Sunk]
    circles: list[Bolts]
    parts: list[Part]
    gaps: dict[str, float] = field(default_factory=dict)

    def find(self) -> dict[str, float]:
        """The least gap of every kind of fault in mm, negative where there is one."""
        for index, part in enumerate(self.parts):
            self._spigot(part)
            self._own_spigots(part)
            self._bolts_of(index)
        self._two_spigots()
        self._heads_and_parts()
        self._seats()
        return self.gaps

    def _note(self, kind: str, gap: float) -> None:
        self.gaps[kind] = min(gap, self.gaps.get(kind, math.inf))

    def rings(self, face: str) -> list[tuple[float, float, float]]:
        """Inner and outer radius of every ring of a face, with its level over the flat face."""
        edges = sorted({0.0, math.inf, *(r for s in self.turned if s.face == face for r in (s.inner, s.outer))})
        found = []
        for inner, outer in itertools.pairwise(edges):
            here = [s for s in self.turned if s.face == face and s.inner <= inner and outer <= s.outer]
            found.append((inner, outer, sum(s.rise for s in here)))
        return found

    def level(self, face: str, radius: float) -> float:
        return next(level for inner, outer, level in self.rings(face) if inner <= radius < outer)

    def _plane(self, part: Part) -> float:
        """The level that a part rests on: the highest ring of metal under its flat face."""
        inner = max(self.bore, part.bore or 0.0, part.spigot or 0.0)
        under = [level for a, b, level in self.rings(part.face) if a < part.outer and b > inner]
        return max(under)

    def _spigot(self, part: Part) -> None:
        """The part's spigot is a cylinder from the plane down: it must meet no ring of metal."""
        if part.spigot is None:
            return
        plane = self._plane(part)
        wide, deep = math.inf, math.inf
        for inner, outer, level in self.rings(part.face):
            metal_from = max(inner, self.bore)
            if outer <= self.bore or metal_from >= part.spigot:
                continue
            below = plane - level
            if below <= 1e-9:
                wide = min(wide, metal_from - part.spigot)
            else:
                deep = min(deep, below - part.height)
        if wide < math.inf:
            self._note("spigot", wide)
        elif deep < math.inf:
            self._note("spigot", deep)

    def _own_spigots(self, part: Part) -> None:
        """A ring of the plate that stands higher than the plane round it must go into the part's bore."""
        for each in self.turned:
            if each.face == part.face and each.rise > 0 and part.bore is not None:
                self._note("own spigot", 2 * (part.bore - each.outer))

    def _two_spigots(self) -> None:
        one, other = self.parts
        if one.face == other.face or one.spigot is None or other.spigot is None:
            return
        tops = {face: max(level for *_, level in self.rings(face)) for face in ("face", "back")}
        between = self.thickness - sum(tops[part.face] - self._plane(part) for part in self.parts)
        self._note("two spigots", between - one.height - other.height)

    def _bears_on(self, index: int) -> str | None:
        circle, part = self.circles[index], self.parts[index]
        if circle.kind in ("tapped", "blind"):
            return None
        if circle.kind == "counterbored":
            return circle.worked
        return "back" if part.face == "face" else "face"

    def _bolts_of(self, index: int) -> None:
        """On the part: room to its edge and its hub. In the plate: a recess or a blind thread opens where it must."""
        circle, part = self.circles[index], self.parts[index]
        if not part.tapped:
            self._note("on part", part.outer - circle.radius - circle.seat)
            if part.hub is not None:
                self._note("on part", circle.radius - circle.seat - part.hub)
        across = "back" if part.face == "face" else "face"
        right = {"blind": part.face, "counterbored": across}.get(circle.kind)
        if right is not None:
            self._note("worked", 1.0 if circle.worked == right else -1.0)

    def _heads_and_parts(self) -> None:
        """Heads and nuts against the bodies of the parts that lie on their face."""
        for index, part in itertools.product(range(2), self.parts):
            circle, face = self.circles[index], self._bears_on(index)
            if part is self.parts[index] or face != part.face:
                continue
            if circle.kind == "counterbored":
                stands_out = SIZES[circle.bolt] - circle.cbore_depth
                half = CBORES[circle.bolt][0] / 2
                if circle.radius - half < part.outer and circle.radius + half > (part.bore or 0.0):
                    self._note("sunk head", -stands_out)
                continue
            height = NUT_HEIGHTS[circle.bolt] + WASHERS[circle.bolt][1]
            below = self._plane(part) - self.level(face, circle.radius)
            beside = circle.radius - circle.seat - part.outer
            inside = part.bore - circle.radius - circle.seat if part.bore else -math.inf
            self._note("head", max(beside, inside, below - height))

    def _seats(self) -> None:
        """Seats flat on metal: no wall under them, inside the edge, outside the bore, apart from each other."""
        placed = []
        for index in range(2):
            circle, face = self.circles[index], self._bears_on(index)
            if face is None or circle.kind == "counterbored":
                continue
            for inner, outer, _ in self.rings(face):
                for wall in (inner, outer):
                    if 0 < wall < math.inf:
                        self._note("wall", abs(wall - circle.radius) - circle.seat)
            self._note("edge", self.outer - circle.radius - circle.seat)
            if self.bore:
                self._note("bore", circle.radius - circle.seat - self.bore)
            self._note("next", 2 * circle.radius * math.sin(math.pi / circle.count) - 2 * circle.seat)
            placed.append((circle, face))
        if len(placed) == 2 and placed[0][1] == placed[1][1]:
            one, other = placed[0][0], placed[1][0]
            apart = min(math.dist(a, b) for a in one.centers for b in other.centers)
            self._note("two heads", apart - one.seat - other.seat)
