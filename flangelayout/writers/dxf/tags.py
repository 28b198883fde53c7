"""Entities of a sheet as the tags they are written with, made once: what a general entity does beside costs ten times.

Groups as the DXF reference (2010) lists them for each entity, for files of R2000 and later.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, assert_never, cast

from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, Shape
from flangelayout.writers.dxf.shapes import FilePlacing, arc_ends, vertices
from flangelayout.writers.numbers import fixed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.lldxf.tagwriter import AbstractTagWriter

Pair = tuple[float, float]
Entity = tuple[str, str]
"""Group 0, and the groups of its own as lines of the file, subclass markers (100) included."""
_PLACES = 12
_UPWARD = "210\n0.0\n220\n0.0\n230\n1.0\n"


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

    def add(self, shared: str, entity: Entity) -> str:
        """Write an entity into it and return its handle.

        Args:
            shared: Groups that all entities have: 8 the layer, 48 the factor of the dashes.
            entity: What it is and its own groups.
        """
        handle, (kind, own) = self._handles.next(), entity
        tags = f"0\n{kind}\n5\n{handle}\n{self._head}{shared}{own}"
        self._entities.append(cast("DXFGraphic", WrittenEntity(kind, tags)))
        return handle


def shape_tags(shape: Shape, placing: FilePlacing) -> Entity:
    """A shape as the entity of its kind."""
    match shape:
        case Line():
            ends = at(10, placing.point(shape.start)) + at(11, placing.point(shape.end))
            return "LINE", f"100\nAcDbLine\n{ends}"
        case Circle():
            return "CIRCLE", _round_tags(shape, placing)
        case Arc() if abs(shape.sweep_deg) >= 360:
            return "CIRCLE", _round_tags(shape, placing)
        case Arc():
            first, last = arc_ends(shape)
            turns = f"100\nAcDbArc\n50\n{number(first)}\n51\n{number(last)}\n"
            return "ARC", _round_tags(shape, placing) + turns
        case Contour():
            corners = vertices(shape, placing)
            places = "".join([f"10\n{number(x)}\n20\n{number(y)}\n42\n{number(bulge)}\n" for x, y, bulge in corners])
            return "LWPOLYLINE", f"100\nAcDbPolyline\n90\n{len(corners)}\n70\n{int(shape.closed)}\n{places}"
        case _:
            assert_never(shape)


def _round_tags(shape: Circle | Arc, placing: FilePlacing) -> str:
    center, radius = at(10, placing.point(shape.center)), placing.length(shape.radius)
    return f"100\nAcDbCircle\n{center}40\n{number(radius)}\n"


def solid_tags(corners: Sequence[Pair]) -> Entity:
    """A filled triangle or quadrilateral, whose last two corners the entity wants crossed over."""
    first, second, third, *more = corners
    crossed = (first, second, more[0], third) if more else (first, second, third, third)
    places = "".join([at(code, corner) for code, corner in enumerate(crossed, 10)])
    return "SOLID", f"100\nAcDbTrace\n{places}"


def insert_tags(name: str, *, with_attributes: bool = False) -> Entity:
    """A block put where it was drawn."""
    follow = "66\n1\n" if with_attributes else ""
    return "INSERT", f"100\nAcDbBlockReference\n{follow}2\n{name}\n{at(10, (0.0, 0.0))}"


def box_path(box: Box, placing: FilePlacing) -> str:
    """A box as an outer, closed path of a HATCH: a code has hundreds."""
    (left, bottom), (right, top) = placing.point(Point(box.left, box.bottom)), placing.point(Point(box.right, box.top))
    places = f"10\n{left}\n20\n{bottom}\n10\n{right}\n20\n{bottom}\n10\n{right}\n20\n{top}\n10\n{left}\n20\n{top}\n"
    return f"92\n3\n72\n0\n73\n1\n93\n4\n{places}97\n0\n"


def filled_boxes_tags(paths: Sequence[str], color: int) -> Entity:
    """One solid HATCH over the paths of boxes that do not overlap."""
    head = f"62\n{color}\n100\nAcDbHatch\n{at(10, (0.0, 0.0))}{_UPWARD}2\nSOLID\n70\n1\n71\n0\n"
    tail = "75\n0\n76\n1\n98\n1\n10\n0.0\n20\n0.0\n"
    return "HATCH", f"{head}91\n{len(paths)}\n{''.join(paths)}{tail}"


def at(code: int, place: Pair) -> str:
    """The three groups of a place in the plane."""
    x, y = place
    return f"{code}\n{number(x)}\n{code + 10}\n{number(y)}\n{code + 20}\n0.0\n"


def number(value: float) -> str:
    """A rounded number as it stands in the file: those that Python would write with an exponent without."""
    text = str(value)
    return fixed(value, _PLACES) if "e" in text else text
