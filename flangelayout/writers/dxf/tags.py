"""Entities of a sheet as the tags they are written with, made once: what a general entity does beside costs ten times.

Groups as the DXF reference (2010) lists them for each entity, for files of R2000 and later.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Shape
from flangelayout.writers.dxf.shapes import FilePlacing, arc_ends, vertices
from flangelayout.writers.numbers import fixed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.lldxf.tagwriter import AbstractTagWriter

Pair = tuple[float, float]
Group = tuple[int, object]
_PLACES = 6


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


@dataclass(frozen=True, slots=True)
class Owner:
    """Model space, a page or a block, or the entity whose handle is ``held_by``, as what is in it says."""

    document: "DxfDocument"
    layout: "BaseLayout"
    held_by: str = ""

    def add(self, kind: str, shared: Mapping[int, object], groups: Iterable[Group]) -> str:
        """Write an entity into it and return its handle.

        Args:
            kind: Group 0.
            shared: Groups that all entities have: 8 the layer, 48 the factor of the dashes.
            groups: Its own, subclass markers (100) included; numbers are rounded.
        """
        handle = self.document.entitydb.handles.next()
        paper = () if not self.layout.is_any_paperspace else ((67, 1),)
        head = (
            (0, kind),
            (5, handle),
            (330, self.held_by or self.layout.layout_key),
            (100, "AcDbEntity"),
            *paper,
            *shared.items(),
        )
        tags = "".join([f"{code}\n{_value(value)}\n" for code, value in (*head, *groups)])
        self.layout.entity_space.entities.append(cast("DXFGraphic", WrittenEntity(kind, tags)))
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
            places = [group for x, y, bulge in corners for group in ((10, x), (20, y), (42, _Precise(bulge)))]
            counted = ((90, len(corners)), (70, int(shape.closed)))
            owner.add("LWPOLYLINE", shared, ((100, "AcDbPolyline"), *counted, *places))


def add_solid_tags(owner: Owner, corners: Sequence[Pair], shared: Mapping[int, object]) -> None:
    """A filled triangle or quadrilateral, whose last two corners the entity wants crossed over."""
    first, second, third, *more = corners
    crossed = (first, second, more[0], third) if more else (first, second, third, third)
    places = [group for code, corner in enumerate(crossed, 10) for group in at(code, corner)]
    owner.add("SOLID", shared, ((100, "AcDbTrace"), *places))


def at(code: int, place: Pair) -> tuple[Group, Group, Group]:
    """The three groups of a place in the plane."""
    return (code, place[0]), (code + 10, place[1]), (code + 20, 0.0)


class _Precise(float):
    """A number that needs more digits than a coordinate."""

    __slots__ = ()


def _value(value: object) -> str:
    if isinstance(value, _Precise):
        return fixed(value, 12)
    return fixed(value, _PLACES) if isinstance(value, float) else str(value)
