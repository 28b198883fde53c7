"""Lengths to read right across the paper: on joined pages such that their lines cross the seams, holes before edges."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.flange import Flange, Hole, SegmentOutline, Slot
from flangelayout.geometry.shapes import Arc, Line, Point, polar
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.views.page.flip import line_turned_over
from flangelayout.views.template.measured.bars import read_text

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import BoolArray, ComplexArray

_MOST_ENDS, _WAYS = 48, 48
"""Holes that lengths are looked for between, and the directions in which these stand out farthest."""
MOST_LENGTHS = 8
"""Of them on one paper: of a large ring they do not cross every seam."""


class PaperLength(Struct, frozen=True):
    """A length to read on the paper.

    Attributes:
        between: From where to where, in words.
        wanted: How long it is, in words.
        accept: What may be read, in words.
    """

    between: str
    wanted: str
    accept: str

    @property
    def words(self) -> str:
        """All of it in a line."""
        return f"{self.between}: {self.wanted}, accept {self.accept}"


class _Across(Struct, frozen=True):
    """A line from hole to hole or from edge to edge, in the frame of the plate."""

    between: str
    line: Line
    is_nominal: bool = False

    @property
    def size(self) -> float:
        """In mm."""
        return self.line.start.distance_to(self.line.end)

    def told(self, flange: Flange, unit: Unit) -> PaperLength:
        """What of it is wanted and accepted; a size of the plate as the trade writes it."""
        wanted = (size_text if self.is_nominal else decimal_text)(self.size, unit)
        return PaperLength(self.between, wanted, read_text(flange, self.size, unit))


class PaperCheck(Struct, frozen=True):
    """What is read on the paper, and how many of its seams that crosses."""

    lengths: tuple[PaperLength, ...]
    crossed: int = 0


def paper_check(flange: Flange, unit: Unit, seams: Sequence[Line] = (), is_back: bool = False) -> PaperCheck:
    """The fewest lengths found that cross the seams of the paper; the longest where it has none.

    Those from hole to hole come first, then those from edge to edge for the seams that no hole lies beyond. Few holes
    are tried each with each, of many those that stand out farthest. Where so many as are asked for do not cross every
    seam, the longest are among them.

    Args:
        flange: The plate, its face the one that the paper shows.
        unit: Of the numbers.
        seams: Where pages are joined, as the paper shows them.
        is_back: Whether it shows the plate turned over, left to right.
    """
    seams = tuple(map(line_turned_over, seams)) if is_back else seams
    found = _crossing_most([], flange, seams, is_back)
    left = _uncrossed(found, seams)
    if not found or (left and len(found) == MOST_LENGTHS):
        found = _crossing_most(_longest(flange), flange, seams, is_back)
        left = _uncrossed(found, seams)
    return PaperCheck(tuple(each.told(flange, unit) for each in found), len(seams) - len(left))


def _crossing_most(first: Sequence[_Across], flange: Flange, seams: Sequence[Line], is_back: bool) -> list[_Across]:
    """The ``first`` lines and those that cross the most of the seams left, from holes before those from edges."""
    found, left = list(first), _uncrossed(first, seams)
    pairs = combinations(_ends(flange), 2) if left else ()
    for lines in ([_between_holes(one, other) for one, other in pairs], list(_between_edges(flange, is_back))):
        while len(found) < MOST_LENGTHS and (best := _best(lines, left)):
            found.append(best)
            left = _uncrossed([best], left)
    return found


def _uncrossed(lines: Sequence[_Across], seams: Sequence[Line]) -> list[Line]:
    if not lines or not seams:
        return list(seams)
    return [seam for seam, crossed in zip(seams, _crossing(lines, seams).T, strict=True) if not crossed.any()]


def _ends(flange: Flange) -> Sequence[Hole]:
    """All holes, or of many those that stand out farthest in some direction, in their order."""
    holes = flange.shown_holes()
    if len(holes) <= _MOST_ENDS:
        return holes
    import numpy as np

    x, y = np.array([(hole.center.x, hole.center.y) for hole in holes]).T
    ways = (polar(1.0, 360.0 * step / _WAYS) for step in range(_WAYS))
    outer = {int((x * way.x + y * way.y).argmax()) for way in ways}
    return [holes[index] for index in sorted(outer)]


def _best(lines: Sequence[_Across], seams: Sequence[Line]) -> _Across | None:
    """The line that crosses the most seams, the longest of those that cross as many; nothing if none crosses one."""
    if not lines or not seams:
        return None
    import numpy as np

    counts = _crossing(lines, seams).sum(axis=1)
    most = int(counts.max())
    if not most:
        return None
    return max((lines[index] for index in np.flatnonzero(counts == most).tolist()), key=lambda each: each.size)


def _crossing(lines: Sequence[_Across], seams: Sequence[Line]) -> "BoolArray":
    """Which line crosses which seam: the ends of each lie to either side of the other."""
    import numpy as np

    def ends(some: Iterable[Line]) -> "list[ComplexArray]":
        return [
            np.array(places) for places in zip(*((_place(line.start), _place(line.end)) for line in some), strict=True)
        ]

    def is_between(start: "ComplexArray", end: "ComplexArray", *others: "ComplexArray") -> "BoolArray":
        one, other = (((end - start).conj() * (each - start)).imag for each in others)
        return one * other < 0.0

    start, end = (each[:, None] for each in ends(each.line for each in lines))
    low, high = ends(seams)
    return is_between(start, end, low, high) & is_between(low, high, start, end)


def _place(at: Point) -> complex:
    return complex(at.x, at.y)


def _longest(flange: Flange) -> list[_Across]:
    """The longest ways from hole to hole of the largest bolt circle, or the width of a plate without one."""
    group, circle = max(flange.shown_circles(), key=lambda pair: pair[1].diameter, default=(0, None))
    holes = [hole for hole in flange.holes() if hole.group == group] if circle else []
    if len(holes) < 2:
        return [next(_between_edges(flange))]
    half, quarter = len(holes) // 2, len(holes) // 4
    pairs = [(holes[0], holes[half])] + ([(holes[quarter], holes[quarter + half])] if quarter else [])
    if isinstance(flange.outline, SegmentOutline):
        joint = flange.outline.first_joint_angle
        holes.sort(key=lambda hole: (hole.angle - joint) % 360.0)
        pairs = [(holes[0], other) for other in dict.fromkeys((holes[-1], holes[half]))]
    return [_between_holes(one, other) for one, other in pairs]


def _between_holes(one: Hole, other: Hole) -> _Across:
    names = (
        f"middle of slot {hole.label}" if isinstance(hole.kind, Slot) else f"hole {hole.label}" for hole in (one, other)
    )
    return _Across(" to ".join(names), Line(one.center, other.center))


def _between_edges(flange: Flange, is_back: bool = False) -> Iterator[_Across]:
    """Lines right across a plate, over its centerlines, of a round one also aslant; the chord of a segment."""
    box, round_diameter = flange.box(), flange.round_diameter
    lines: list[tuple[str, Line]] = []
    if isinstance(flange.outline, SegmentOutline):
        outer = max((part for part in flange.outline.shape.parts if isinstance(part, Arc)), key=lambda arc: arc.radius)
        lines.append(("corner to corner of the outer edge", Line(outer.start, outer.end)))
    else:
        side = "edge" if round_diameter is None else "rim"
        lines.append((f"left {side} to right {side}", Line(Point(box.left, 0.0), Point(box.right, 0.0))))
        lines.append((f"bottom {side} to top {side}", Line(Point(0.0, box.bottom), Point(0.0, box.top))))
    names = ("lower left rim to upper right rim", "lower right rim to upper left rim")
    for way, name in zip((45.0, 135.0), reversed(names) if is_back else names, strict=True):
        if round_diameter is not None:
            end = polar(round_diameter / 2, way)
            lines.append((name, Line(end.scaled(-1.0), end)))
    yield from (_Across(between, line, is_nominal=True) for between, line in lines)
