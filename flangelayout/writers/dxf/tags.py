"""Entities of a sheet as the tags they are written with, made once: what a general entity does beside costs ten times.

Groups as the DXF reference (2010) lists them for each entity, for files of R2000 and later.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING, assert_never, cast

from msgspec import Struct

from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, Shape
from flangelayout.writers.dxf.shapes import BULGE_PLACES, FilePlacing, arc_ends, vertices
from flangelayout.writers.numbers import decimal, fixed

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.lldxf.tagwriter import AbstractTagWriter

Pair = tuple[float, float]
Entity = tuple[str, str]
"""Group 0, and the groups of its own as lines of the file, subclass markers (100) included."""
_ORIGIN = "10\n0.0\n20\n0.0\n30\n0.0\n"
_UPWARD = "210\n0.0\n220\n0.0\n230\n1.0\n"


class WrittenEntity(Struct, frozen=True, gc=False):
    """An entity that is nothing but its tags; the document writes it and asks no more of it than this.

    Attributes:
        kind: What group 0 says.
        tags: From group 0 to the entity's last.
        is_alive: Always.
    """

    kind: str
    tags: str
    is_alive: bool = True

    def dxftype(self) -> str:
        """What it is, as group 0 says."""
        return self.kind

    def export_dxf(self, writer: "AbstractTagWriter") -> None:
        """Write it."""
        writer.write_str(self.tags)


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
            return "LINE", f"100\nAcDbLine\n{placing.at(10, shape.start)}{placing.at(11, shape.end)}"
        case Circle():
            return "CIRCLE", _round_tags(shape, placing)
        case Arc() if abs(shape.sweep_deg) >= 360:
            return "CIRCLE", _round_tags(shape, placing)
        case Arc():
            first, last = arc_ends(shape)
            turns = f"100\nAcDbArc\n50\n{decimal(first)}\n51\n{decimal(last)}\n"
            return "ARC", _round_tags(shape, placing) + turns
        case Contour():
            corners = vertices(shape, placing)
            places = "".join([f"10\n{decimal(x)}\n20\n{decimal(y)}\n42\n{_bulge(bulge)}\n" for x, y, bulge in corners])
            return "LWPOLYLINE", f"100\nAcDbPolyline\n90\n{len(corners)}\n70\n{int(shape.closed)}\n{places}"
        case _:
            assert_never(shape)


def _round_tags(shape: Circle | Arc, placing: FilePlacing) -> str:
    return f"100\nAcDbCircle\n{placing.at(10, shape.center)}40\n{placing.text(shape.radius)}\n"


def solid_tags(corners: Sequence[Point], placing: FilePlacing) -> Entity:
    """A filled triangle or quadrilateral, whose last two corners the entity wants crossed over."""
    first, second, third, *more = corners
    crossed = (first, second, more[0], third) if more else (first, second, third, third)
    places = "".join([placing.at(code, corner) for code, corner in enumerate(crossed, 10)])
    return "SOLID", f"100\nAcDbTrace\n{places}"


def insert_tags(name: str, *, with_attributes: bool = False) -> Entity:
    """A block put where it was drawn."""
    follow = "66\n1\n" if with_attributes else ""
    return "INSERT", f"100\nAcDbBlockReference\n{follow}2\n{name}\n{_ORIGIN}"


def body_path(corners: Sequence[Point], placing: FilePlacing) -> str:
    """A polygon as an outer, closed path of a HATCH."""
    places = (placing.at(10, corner).removesuffix("30\n0.0\n") for corner in corners)
    return f"92\n3\n72\n0\n73\n1\n93\n{len(corners)}\n{''.join(places)}97\n0\n"


def box_paths(boxes: Iterable[Box], placing: FilePlacing) -> list[str]:
    """The same of boxes that stand in a grid: a code has hundreds, with few edges."""
    text, shift = cache(placing.text), placing.shift
    edges = (
        (text(box.left + shift.x), text(box.bottom + shift.y), text(box.right + shift.x), text(box.top + shift.y))
        for box in boxes
    )
    return [
        f"92\n3\n72\n0\n73\n1\n93\n4\n10\n{left}\n20\n{low}\n10\n{right}\n20\n{low}\n"
        f"10\n{right}\n20\n{top}\n10\n{left}\n20\n{top}\n97\n0\n"
        for left, low, right, top in edges
    ]


def filled_boxes_tags(paths: Sequence[str], color: int) -> Entity:
    """One solid HATCH over the paths of boxes that do not overlap."""
    kind, own = _hatch(paths, "2\nSOLID\n70\n1\n71\n0\n", "75\n0\n76\n1\n98\n1\n10\n0.0\n20\n0.0\n")
    return kind, f"62\n{color}\n{own}"


def hatched_tags(paths: Sequence[str], name: str, size: float, base: Pair, step: float) -> Entity:
    """One HATCH of lines at 45 degrees over the paths of bodies that do not overlap.

    Args:
        paths: Of the bodies.
        name: Of the pattern that has such lines.
        size: By which its own lines would have to be scaled to stand as far apart.
        base: A place that a line goes through, in the file as is the step.
        step: To the next line along x and along y.
    """
    x, y = base
    line = f"78\n1\n53\n45.0\n43\n{decimal(x)}\n44\n{decimal(y)}\n45\n{decimal(-step)}\n46\n{decimal(step)}\n79\n0\n"
    drawn = f"75\n1\n76\n1\n52\n0.0\n41\n{decimal(size)}\n77\n0\n{line}98\n0\n"
    return _hatch(paths, f"2\n{name}\n70\n0\n71\n0\n", drawn)


def _hatch(paths: Sequence[str], kind: str, drawn: str) -> Entity:
    return "HATCH", f"100\nAcDbHatch\n{_ORIGIN}{_UPWARD}{kind}91\n{len(paths)}\n{''.join(paths)}{drawn}"


def _bulge(value: float) -> str:
    """A bulge as it stands in the file: one that Python would write with an exponent without."""
    text = str(value)
    return fixed(value, BULGE_PLACES) if "e" in text else text
