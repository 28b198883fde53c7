"""Entities as the tags they are written with, made once; groups as the DXF reference (2010) lists them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import assert_never

from flangelayout.drawing.choices import DxfVersion
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, Shape
from flangelayout.writers.dxf.shapes import FilePlacing, arc_ends, vertices
from flangelayout.writers.numbers import fixed

Pair = tuple[float, float]
Group = tuple[int, object]
_PLACES = 12
_CLASS = 100
_UPWARD = ((210, 0.0), (220, 0.0), (230, 1.0))


def tagged(groups: Iterable[Group]) -> str:
    """Groups as they stand in a table, codes in three places as the oldest readers want them."""
    return "".join([f"{code:>3}\n{value}\n" for code, value in groups])


@dataclass(slots=True)
class Handles:
    """The numbers that entities of a file are known by."""

    last: int

    def next(self) -> str:
        """One that is not taken yet."""
        self.last += 1
        return self.now

    @property
    def now(self) -> str:
        """The one taken last."""
        return f"{self.last:X}"


class Owner:
    """Model space, a page or a block, or an entity that holds others, with what it owns as it is written."""

    __slots__ = ("_handles", "_head", "_is_paper", "_owned", "_padded", "handle", "written")

    def __init__(
        self, handles: Handles, handle: str, *, is_paper: bool = False, padded: bool = False, owned: bool = True
    ) -> None:
        """Nothing yet.

        Args:
            handles: Of the file.
            handle: Its own.
            is_paper: Whether it is a page or lies on one.
            padded: Whether codes take three places each.
            owned: Whether entities say whose they are and of what class, which those of R12 do not.
        """
        self.handle, self.written = handle, list[str]()
        self._handles, self._is_paper, self._padded, self._owned = handles, is_paper, padded, owned
        whose: tuple[Group, ...] = ((330, handle), (100, "AcDbEntity")) if owned else ()
        self._head = self._text((*whose, (67, 1)) if is_paper else whose)

    def reserved(self) -> str:
        """A handle for an entity that is written later."""
        return self._handles.next()

    def holder(self, handle: str) -> "Owner":
        """An entity of it that holds others, which are written after it."""
        inner = Owner(self._handles, handle, is_paper=self._is_paper, padded=self._padded, owned=self._owned)
        inner.written = self.written
        return inner

    def add(self, kind: str, shared: Mapping[int, object], groups: Iterable[Group]) -> str:
        """Write an entity into it and return its handle.

        Args:
            kind: Group 0.
            shared: Groups that all entities have: 8 the layer, 48 the factor of the dashes.
            groups: Its own, subclass markers (100) included; numbers are rounded.
        """
        handle = self._handles.next()
        self.write(kind, handle, shared, groups)
        return handle

    def write(self, kind: str, handle: str, shared: Mapping[int, object], groups: Iterable[Group]) -> None:
        """As :meth:`add`, with a handle taken before."""
        lead = f"  0\n{kind}\n  5\n{handle}\n" if self._padded else f"0\n{kind}\n5\n{handle}\n"
        self.written.append(lead + self._head + self._text((*shared.items(), *groups)))

    def _text(self, groups: Sequence[Group]) -> str:
        if not self._owned:
            groups = [group for group in groups if group[0] != _CLASS]
        if self._padded:
            return "".join([f"{code:>3}\n{_value(value)}\n" for code, value in groups])
        text = "".join([f"{code}\n{value}\n" for code, value in groups])
        if "e-" not in text:  # as good as always
            return text
        return "".join([f"{code}\n{_value(value)}\n" for code, value in groups])


def add_shape_tags(owner: Owner, shape: Shape, shared: Mapping[int, object], placing: FilePlacing) -> None:
    """Put a shape into a space as the entity of its kind."""
    match shape:
        case Line():
            ends = (*at(10, placing.point(shape.start)), *at(11, placing.point(shape.end)))
            owner.add("LINE", shared, ((100, "AcDbLine"), *ends))
        case Circle():
            center = at(10, placing.point(shape.center))
            owner.add("CIRCLE", shared, ((100, "AcDbCircle"), *center, (40, placing.length(shape.radius))))
        case Arc() if abs(shape.sweep_deg) >= 360:
            add_shape_tags(owner, Circle(shape.center, shape.radius), shared, placing)
        case Arc():
            center, radius = at(10, placing.point(shape.center)), placing.length(shape.radius)
            turns = zip((50, 51), arc_ends(shape), strict=True)
            owner.add("ARC", shared, ((100, "AcDbCircle"), *center, (40, radius), (100, "AcDbArc"), *turns))
        case Contour():
            _add_contour(owner, shape, shared, placing)
        case _:
            assert_never(shape)


def _add_contour(owner: Owner, contour: Contour, shared: Mapping[int, object], placing: FilePlacing) -> None:
    """A polyline with a vertex at each joint; a closed one has the flag and ends where it began.

    A closed one is the old polyline in R12 and R2000, which every importer reads, and the lightweight one in R2010; an
    open one is lightweight wherever there is one, for its bulges and its order are all it is.
    """
    corners, closed = vertices(contour, placing), ((70, int(contour.closed)),)
    curved = [((42, bulge),) if bulge else () for *_, bulge in corners]
    if placing.version is DxfVersion.R2010 or not (contour.closed or placing.version is DxfVersion.R12):
        places = [each for (x, y, _), curve in zip(corners, curved, strict=True) for each in ((10, x), (20, y), *curve)]
        owner.add("LWPOLYLINE", shared, ((100, "AcDbPolyline"), (90, len(corners)), *closed, *places))
        return
    head = ((100, "AcDb2dPolyline"), (66, 1), *at(10, (0.0, 0.0)), *closed)
    line = owner.holder(owner.add("POLYLINE", shared, head))
    end = line.reserved()
    for (x, y, _), curve in zip(corners, curved, strict=True):
        vertex = ((100, "AcDbVertex"), (100, "AcDb2dVertex"), *at(10, (x, y)), *curve, (70, 0))
        owner.add("VERTEX", shared, vertex)
    line.write("SEQEND", end, shared, ())


def add_solid_tags(owner: Owner, corners: Sequence[Pair], shared: Mapping[int, object]) -> None:
    """A filled triangle or quadrilateral, whose last two corners the entity wants crossed over."""
    first, second, third, *more = corners
    crossed = (first, second, more[0], third) if more else (first, second, third, third)
    places = [group for code, corner in enumerate(crossed, 10) for group in at(code, corner)]
    owner.add("SOLID", shared, ((100, "AcDbTrace"), *places))


def box_path(box: Box, placing: FilePlacing) -> Group:
    """A box as a path of a HATCH, in one piece: a code has hundreds."""
    (left, bottom), (right, top) = placing.point(Point(box.left, box.bottom)), placing.point(Point(box.right, box.top))
    corners = f"10\n{left}\n20\n{bottom}\n10\n{right}\n20\n{bottom}\n10\n{right}\n20\n{top}\n10\n{left}\n20\n{top}"
    return 92, f"3\n72\n0\n73\n1\n93\n4\n{corners}\n97\n0"


def outline_path(outline: Sequence[Pair]) -> Iterator[Group]:
    """A polygon as a path of a HATCH: an outer, closed polyline without bulges."""
    yield from ((92, 3), (72, 0), (73, 1), (93, len(outline)))
    yield from (group for x, y in outline for group in ((10, x), (20, y)))
    yield 97, 0


def add_filled(owner: Owner, paths: Sequence[Group], count: int, color: int) -> None:
    """One solid HATCH over ``count`` polygons that do not overlap."""
    lines = ((98, 1), (10, 0.0), (20, 0.0))
    add_hatch(owner, {8: "0", 62: color}, (paths, count), ((2, "SOLID"), (70, 1)), lines, style=0)


def add_hatch(
    owner: Owner,
    shared: Mapping[int, object],
    paths: tuple[Iterable[Group], int],
    pattern: Iterable[Group],
    lines: Iterable[Group],
    *,
    style: int = 1,
) -> None:
    """A HATCH over paths, so many: the name of its pattern and whether it is solid, its lines, its style (group 75)."""
    head = ((100, "AcDbHatch"), *at(10, (0.0, 0.0)), *_UPWARD, *pattern, (71, 0), (91, paths[1]))
    owner.add("HATCH", shared, (*head, *paths[0], (75, style), (76, 1), *lines))


def at(code: int, place: Pair) -> tuple[Group, Group, Group]:
    """The three groups of a place in the plane."""
    return (code, place[0]), (code + 10, place[1]), (code + 20, 0.0)


def _value(value: object) -> str:
    """What stands in the file; numbers come rounded, and the few that Python would write with an exponent without."""
    text = str(value)
    return fixed(value, _PLACES) if isinstance(value, float) and "e" in text else text
