"""Entities of a sheet as the tags they are written with, made once: what a general entity does beside costs ten times.

Groups as the DXF reference (2010) lists them for each entity, for files of R2000 and later.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, cast

from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, Shape
from flangelayout.writers.dxf.shapes import FilePlacing, arc_ends, vertices
from flangelayout.writers.numbers import fixed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.lldxf.tagwriter import AbstractTagWriter

Pair = tuple[float, float]
Group = tuple[int, object]
_PLACES = 12
_UPWARD = ((210, 0.0), (220, 0.0), (230, 1.0))


class WrittenEntity:
    """An entity that is nothing but its tags; the document writes it and asks no more of it than this."""

    __slots__ = ("_kind", "_tags", "is_alive")

    def __init__(self, kind: str, tags: str) -> None:
        """``tags`` from group 0 to the entity's last."""
        self._kind, self._tags, self.is_alive = kind, tags, True

    def dxftype(self) -> str:
        """What it is, as group 0 says."""
        return self._kind

    def export_dxf(self, writer: "AbstractTagWriter") -> None:
        """Write it."""
        writer.write_str(self._tags)


class Owner:
    """Model space, a page or a block, or the entity whose handle is ``held_by``, as what is in it says."""

    __slots__ = ("_entities", "_handles", "_head")

    def __init__(self, document: "DxfDocument", layout: "BaseLayout", held_by: str = "") -> None:
        """Nothing is asked of the layout later on."""
        paper = "67\n1\n" if layout.is_any_paperspace else ""
        self._handles, self._entities = document.entitydb.handles, layout.entity_space.entities
        self._head = f"330\n{held_by or layout.layout_key}\n100\nAcDbEntity\n{paper}"

    def add(self, kind: str, shared: Mapping[int, object], groups: Iterable[Group]) -> str:
        """Write an entity into it and return its handle.

        Args:
            kind: Group 0.
            shared: Groups that all entities have: 8 the layer, 48 the factor of the dashes.
            groups: Its own, subclass markers (100) included; numbers are rounded.
        """
        handle, every = self._handles.next(), (*shared.items(), *groups)
        own = "".join([f"{code}\n{value}\n" for code, value in every])
        if "e-" in own:  # a number too small, or a word
            own = "".join([f"{code}\n{_value(value)}\n" for code, value in every])
        tags = f"0\n{kind}\n5\n{handle}\n{self._head}{own}"
        self._entities.append(cast("DXFGraphic", WrittenEntity(kind, tags)))
        return handle


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
            corners = vertices(shape, placing)
            places = [group for x, y, bulge in corners for group in ((10, x), (20, y), (42, bulge))]
            counted = ((90, len(corners)), (70, int(shape.closed)))
            owner.add("LWPOLYLINE", shared, ((100, "AcDbPolyline"), *counted, *places))


def add_solid_tags(owner: Owner, corners: Sequence[Pair], shared: Mapping[int, object]) -> None:
    """A filled triangle or quadrilateral, whose last two corners the entity wants crossed over."""
    first, second, third, *more = corners
    crossed = (first, second, more[0], third) if more else (first, second, third, third)
    places = [group for code, corner in enumerate(crossed, 10) for group in at(code, corner)]
    owner.add("SOLID", shared, ((100, "AcDbTrace"), *places))


def box_path(box: Box, placing: FilePlacing) -> Group:
    """A box as an outer, closed path of a HATCH, in one piece: a code has hundreds."""
    (left, bottom), (right, top) = placing.point(Point(box.left, box.bottom)), placing.point(Point(box.right, box.top))
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    places = "".join([f"10\n{x}\n20\n{y}\n" for x, y in corners])
    return 92, f"3\n72\n0\n73\n1\n93\n4\n{places}97\n0"


def add_filled_boxes(owner: Owner, paths: Sequence[Group], color: int) -> None:
    """One solid HATCH over the paths of boxes that do not overlap."""
    head = ((62, color), (100, "AcDbHatch"), *at(10, (0.0, 0.0)), *_UPWARD, (2, "SOLID"), (70, 1), (71, 0))
    owner.add("HATCH", {8: "0"}, (*head, (91, len(paths)), *paths, (75, 0), (76, 1), (98, 1), *at(10, (0.0, 0.0))[:2]))


def at(code: int, place: Pair) -> tuple[Group, Group, Group]:
    """The three groups of a place in the plane."""
    return (code, place[0]), (code + 10, place[1]), (code + 20, 0.0)


def _value(value: object) -> str:
    """What stands in the file; numbers come rounded, and the few that Python would write with an exponent without."""
    text = str(value)
    return fixed(value, _PLACES) if isinstance(value, float) and "e" in text else text
