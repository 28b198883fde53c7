"""Dimensions that measure, and leaders: the value in the file is the one its points give, not a typed one."""

import math
from typing import assert_never

from msgspec import Struct

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import ARROW_LENGTH, LINE_PITCH, Primitive, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    AngularDimension,
    DiameterDimension,
    Label,
    Leader,
    LinearDimension,
    MeasuredText,
    Measuring,
    RadiusDimension,
    Said,
)
from flangelayout.geometry.shapes import Line, Point, polar
from flangelayout.units import Rounding, Unit, from_mm, to_mm
from flangelayout.writers.dxf.items import TEXT_STYLE, Space, add_primitives
from flangelayout.writers.dxf.shapes import Attributes
from flangelayout.writers.dxf.text import dimension_string, dimension_words
from flangelayout.writers.numbers import decimal, fixed

_LINEAR, _DIAMETER, _RADIUS, _ANGULAR = 0, 3, 4, 5
_OWN_BLOCK = 32
_TEXT_PLACED = 128
_DECIMAL, _FRACTIONAL = 2, 5
_NOT_STACKED = 2
_NO_LEADING, _NO_TRAILING = 4, 8
_NO_TRAILING_OF_ANGLES = 2
_MEASURED, _OTHER = "<>", " []"
_LINE_OF_MTEXT = 5 / 3
"""From line to line of an MTEXT with a spacing factor of 1, in heights of its text."""
_EXACT_SPACING = 2
_MIDDLE_LEFT, _MIDDLE, _MIDDLE_RIGHT = 4, 5, 6
_FIRST_VERSION = "280\n0\n"
_NO_SECOND_ARC = "16\n0.0\n26\n0.0\n36\n0.0\n"


class _Definition(Struct, frozen=True):
    """What a DIMENSION is defined by: its type, its point of group 10, what it measures, and the groups of its type."""

    kind: int
    at: Point
    measure: str
    own: str


def add_dimension(space: Space, dimension: Measuring, layer: Layer) -> None:
    """A DIMENSION that measures the true points, its picture the one all other formats show."""
    primitives = explode(dimension, space.scale)
    picture = space.document.blocks.new_anonymous_block("D")
    add_primitives(space.block(picture), primitives, layer)
    at, version, definition = space.placing.at, space.placing.version, _definition(space, dimension)
    style = _style(space, dimension.style, dimension.said, level=isinstance(dimension, RadiusDimension))
    named = f"{_FIRST_VERSION if version is DxfVersion.R2010 else ''}2\n{picture.name}\n3\n{style}\n"
    placed = f"{at(10, definition.at)}{at(11, _text_middle(primitives, space.scale))}"
    kind = f"70\n{definition.kind | _OWN_BLOCK | _TEXT_PLACED}\n71\n{_MIDDLE}\n"
    said = f"42\n{definition.measure}\n1\n{dimension_text(dimension.said, version)}\n"
    space.add(layer, ("DIMENSION", f"100\nAcDbDimension\n{named}{placed}{kind}{said}{definition.own}"))


def dimension_text(said: Said, version: DxfVersion) -> str:
    """The text of a DIMENSION: ``<>`` stands for what it measures, ``[]`` for the same in the other unit."""
    if isinstance(said, str):
        return dimension_string(said, version)
    before = dimension_words(said.before, version)
    after = r"\P".join(dimension_words(line, version) for line in said.after.split("\n"))
    return f"{before}{_MEASURED}{_OTHER if said.other else ''}{after}"


def add_leader(space: Space, leader: Leader, layer: Layer) -> None:
    """A LEADER with its arrow, and the MTEXT at its tail that belongs to it."""
    *lines, label = (part for part in explode(leader, space.scale) if isinstance(part, Line | Label))
    shelf_end = next(line.end for line in lines if isinstance(line, Line) and line.start == leader.elbow)
    height = space.paper_text(leader.style.text_height)
    words = r"\P".join(dimension_string(line, space.placing.version) for line in leader.text)
    side = _MIDDLE_LEFT if leader.to_right else _MIDDLE_RIGHT
    middle = Point(label.at.x, shelf_end.y) if isinstance(label, Label) else shelf_end
    place = f"{space.placing.at(10, middle)}40\n{height}\n41\n0.0\n71\n{side}\n72\n1\n"
    spacing = f"73\n{_EXACT_SPACING}\n44\n{decimal(LINE_PITCH / _LINE_OF_MTEXT)}\n"
    own = f"100\nAcDbMText\n{place}1\n{words}\n7\n{TEXT_STYLE}\n50\n0.0\n{spacing}"
    text = space.add(layer, ("MTEXT", own))
    way = "".join([space.placing.at(10, place) for place in (leader.tip, leader.elbow, shelf_end)])
    style = _style(space, leader.style, level=True)
    own = f"100\nAcDbLeader\n3\n{style}\n73\n0\n75\n0\n40\n{height}\n76\n3\n{way}340\n{text}\n"
    space.add(layer, ("LEADER", own))


def _definition(space: Space, dimension: Measuring) -> _Definition:
    """What it is defined by (DXF reference, DIMENSION: groups 70, 10, 42, 13 to 16, 40 and 50)."""
    at, length = space.placing.at, space.placing.text
    match dimension:
        case LinearDimension():
            ends = f"{at(13, dimension.start)}{at(14, dimension.end)}50\n{decimal(dimension.angle_deg)}\n"
            own = f"100\nAcDbAlignedDimension\n{ends}100\nAcDbRotatedDimension\n"
            return _Definition(_LINEAR, _foot(dimension), length(dimension.measure), own)
        case DiameterDimension():
            near, far = (polar(dimension.radius, dimension.angle_deg + turn, dimension.center) for turn in (0.0, 180.0))
            own = f"100\nAcDbDiametricDimension\n{at(15, near)}"
            return _Definition(_DIAMETER, far, length(dimension.measure), own)
        case RadiusDimension():
            rim = polar(dimension.radius, dimension.angle_deg, dimension.center)
            own = f"100\nAcDbRadialDimension\n{at(15, rim)}40\n{space.paper_text(dimension.tail_paper)}\n"
            return _Definition(_RADIUS, dimension.center, length(dimension.measure), own)
        case AngularDimension():
            start, sweep = dimension.start_deg, dimension.sweep_deg
            first, middle, last = (
                polar(dimension.radius, turn, dimension.center) for turn in (start, start + sweep / 2, start + sweep)
            )
            ends = f"{at(13, first)}{at(14, last)}{at(15, dimension.center)}"
            own = f"100\nAcDb3PointAngularDimension\n{ends}{_NO_SECOND_ARC}"
            return _Definition(_ANGULAR, middle, fixed(math.radians(sweep), 9), own)
        case _:
            assert_never(dimension)


def _foot(dimension: LinearDimension) -> Point:
    """Where the second extension line meets the dimension line."""
    angle = math.radians(dimension.angle_deg)
    step = dimension.end - dimension.line_at
    along = step.x * math.cos(angle) + step.y * math.sin(angle)
    return polar(along, dimension.angle_deg, dimension.line_at)


def _text_middle(primitives: tuple[Primitive, ...], scale: float) -> Point:
    """The middle of the text of an exploded dimension, half the height of its capitals above the baseline."""
    label, *others = (primitive for primitive in primitives if isinstance(primitive, Label))
    if label.anchor.on_middle:
        return Point(label.at.x, (label.at.y + [label, *others][-1].at.y) / 2)
    return polar(label.height_paper / scale / 2, label.rotation_deg + 90, label.at)


def _style(space: Space, text: DimensionStyle, said: Said = "", *, level: bool = False) -> str:
    """The dimension style of a scale and a rounding: printed sizes, and one factor that brings them into the space.

    ``level`` texts stand so in either style: those of leaders and radii.
    """
    factor, level = space.paper(1.0), level or text is DimensionStyle.LEVEL
    written = f"_{_rounding_name(said)}" if isinstance(said, MeasuredText) else ""
    name = f"{'LEVEL' if level else 'SHEET'}_{fixed(text.text_height)}_{fixed(factor)}{written}"
    if name not in space.document.dimstyles:
        shape: Attributes = {
            "dimscale": factor,
            "dimtxt": text.text_height,
            "dimasz": ARROW_LENGTH,
            "dimexo": 1.0,
            "dimexe": 1.8,
            "dimgap": 0.9,
            "dimtad": 0 if level else 1,
            "dimtih": int(level),
            "dimtoh": int(level),
            "dimtofl": 1,
            "dimdsep": ord("."),
        }
        value = _rounding(said, space.placing.unit) if isinstance(said, MeasuredText) else {}
        style = space.document.dimstyles.add(name, dxfattribs=shape | value)
        style.dxf.dimtxsty = TEXT_STYLE
    return name


def _rounding(said: MeasuredText, unit: Unit) -> Attributes:
    """How a style writes what is measured (DXF reference, DIMSTYLE)."""
    main, other = said.rounding, said.other
    if main.unit is None:
        return {"dimaunit": 0, "dimadec": main.places, "dimazin": 0 if main.idle_zeros else _NO_TRAILING_OF_ANGLES}
    kind = {"dimlunit": _FRACTIONAL, "dimfrac": _NOT_STACKED} if main.is_fraction else {"dimlunit": _DECIMAL}
    own: Attributes = {**kind, "dimdec": main.places, "dimzin": _zeros(main), "dimrnd": 0.0}
    if other is None or other.unit is None:
        return own
    factor = from_mm(1.0, other.unit) if unit is Unit.MM else to_mm(1.0, unit)
    return own | {
        "dimalt": 1,
        "dimaltf": factor,
        "dimaltu": _DECIMAL,
        "dimaltd": other.places,
        "dimaltz": _zeros(other),
    }


def _zeros(rounding: Rounding) -> int:
    return (0 if rounding.leading_zero else _NO_LEADING) + (0 if rounding.idle_zeros else _NO_TRAILING)


def _rounding_name(said: MeasuredText) -> str:
    """A name that tells a style by what it writes: ``MM2``, ``IN6_FRACTION``, ``IN3_MM2``."""
    return "_".join(_short(each) for each in (said.rounding, said.other) if each is not None)


def _short(rounding: Rounding) -> str:
    unit = "DEG" if rounding.unit is None else rounding.unit.value.upper()
    fraction = "_FRACTION" if rounding.is_fraction else ""
    zeros = ("" if rounding.idle_zeros else "T") + ("" if rounding.leading_zero else "L")
    return f"{unit}{rounding.places}{zeros}{fraction}"
