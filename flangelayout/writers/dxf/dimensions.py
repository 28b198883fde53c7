"""Dimensions that measure, and leaders: the value in the file is the one its points give, not a typed one."""

import math
from collections.abc import Mapping
from typing import assert_never

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import ARROW_LENGTH, LINE_PITCH, TEXT_HEIGHT, Primitive, explode
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
from flangelayout.writers.dxf.blank import usual_dimension_style
from flangelayout.writers.dxf.document import DxfDocument
from flangelayout.writers.dxf.items import TEXT_STYLE, Space, add_primitive
from flangelayout.writers.dxf.tags import Group, at
from flangelayout.writers.dxf.text import dimension_string, dimension_words
from flangelayout.writers.numbers import fixed, rounded

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
_MIDDLE_LEFT, _MIDDLE_CENTER, _MIDDLE_RIGHT = 4, 5, 6
_TEXT_STYLE_GROUP = 340


def add_dimension(space: Space, dimension: Measuring, layer: Layer) -> None:
    """A DIMENSION that measures the true points, its picture the one all other formats show."""
    primitives = explode(dimension, space.scale)
    document, placing = space.document, space.placing
    picture = document.new_block(f"*D{1 + sum(name.startswith('*D') for name in document.blocks)}")
    for primitive in primitives:
        add_primitive(space.block(picture), primitive, layer)
    style = _style(space, dimension.style, dimension.said)
    kind, foot, measured, own = _definition(space, dimension)
    text = dimension_text(dimension.said, placing.version)
    middle = placing.point(_text_middle(primitives, space.scale))
    head = ((100, "AcDbDimension"), (280, 0), (2, picture.name), (3, style), *at(10, placing.point(foot)))
    said = (*at(11, middle), (70, kind | _OWN_BLOCK | _TEXT_PLACED), (71, _MIDDLE_CENTER), (42, measured), (1, text))
    space.owner.add("DIMENSION", space.shared(layer), (*head, *said, *own))


def dimension_text(said: Said, version: DxfVersion) -> str:
    """The text of a DIMENSION: ``<>`` stands for what it measures, ``[]`` for the same in the other unit."""
    if isinstance(said, str):
        return dimension_string(said, version)
    before, after = (dimension_words(words, version) for words in (said.before, said.after))
    return f"{before}{_MEASURED}{_OTHER if said.other else ''}{after}"


def add_leader(space: Space, leader: Leader, layer: Layer) -> None:
    """A LEADER with its arrow, and the MTEXT at its tail that belongs to it."""
    *lines, label = (part for part in explode(leader, space.scale) if isinstance(part, Line | Label))
    shelf_end = next(line.end for line in lines if isinstance(line, Line) and line.start == leader.elbow)
    height = space.paper(TEXT_HEIGHT)
    words = r"\P".join(dimension_string(line, space.placing.version) for line in leader.text)
    side = _MIDDLE_LEFT if leader.to_right else _MIDDLE_RIGHT
    middle = Point(label.at.x, shelf_end.y) if isinstance(label, Label) else shelf_end
    spacing = ((73, _EXACT_SPACING), (44, LINE_PITCH / _LINE_OF_MTEXT))
    groups = (*at(10, space.placing.point(middle)), (40, height), (41, 0.0), (71, side), (72, 1), (1, words))
    own = ((100, "AcDbMText"), *groups, (7, TEXT_STYLE), (50, 0.0), *spacing)
    text = space.owner.add("MTEXT", space.shared(layer), own)
    places = (leader.tip, leader.elbow, shelf_end)
    way = [group for place in places for group in at(10, space.placing.point(place))]
    head = ((100, "AcDbLeader"), (3, _style(space, DimensionStyle.LEVEL, "")), (73, 0), (75, 0), (40, height))
    space.owner.add("LEADER", space.shared(layer), (*head, (76, len(places)), *way, (340, text)))


def _definition(space: Space, dimension: Measuring) -> tuple[int, Point, float, tuple[Group, ...]]:
    """Type, definition point, measured value and further groups (DXF reference, DIMENSION: 70, 10, 42, 13 to 16)."""
    point, length = space.placing.point, space.placing.length
    match dimension:
        case LinearDimension():
            kind, foot, measured = _LINEAR, _foot(dimension), length(dimension.measure)
            ends = (*at(13, point(dimension.start)), *at(14, point(dimension.end)))
            turned = ((50, rounded(dimension.angle_deg)), (100, "AcDbRotatedDimension"))
            return kind, foot, measured, ((100, "AcDbAlignedDimension"), *ends, *turned)
        case DiameterDimension(center=center, radius=radius, angle_deg=angle):
            far, near = polar(radius, angle + 180, center), at(15, point(polar(radius, angle, center)))
            return _DIAMETER, far, length(dimension.measure), ((100, "AcDbDiametricDimension"), *near)
        case RadiusDimension(center=center, radius=radius, angle_deg=angle):
            near, tail = at(15, point(polar(radius, angle, center))), (40, space.paper(dimension.tail_paper))
            return _RADIUS, center, length(dimension.measure), ((100, "AcDbRadialDimension"), *near, tail)
        case AngularDimension(center=center, radius=radius, start_deg=start, sweep_deg=sweep):
            first, last = point(polar(radius, start, center)), point(polar(radius, start + sweep, center))
            tips = (*at(13, first), *at(14, last), *at(15, point(center)), *at(16, (0.0, 0.0)))
            middle, measured = polar(radius, start + sweep / 2, center), rounded(math.radians(sweep), 9)
            return _ANGULAR, middle, measured, ((100, "AcDb3PointAngularDimension"), *tips)
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
    label = next(primitive for primitive in primitives if isinstance(primitive, Label))
    if label.anchor.on_middle:
        return label.at
    return polar(label.height_paper / scale / 2, label.rotation_deg + 90, label.at)


def _style(space: Space, text: DimensionStyle, said: Said) -> str:
    """The dimension style of a scale and a rounding: printed sizes, and one factor that brings them into the space."""
    factor, level = space.paper(1.0), text is DimensionStyle.LEVEL
    written = f"_{_rounding_name(said)}" if isinstance(said, MeasuredText) else ""
    name = f"{'LEVEL' if level else 'SHEET'}_{fixed(factor)}{written}"
    if name not in space.document.dimension_styles:
        shape = {40: factor, 140: TEXT_HEIGHT, 41: ARROW_LENGTH, 42: 1.0, 44: 1.8, 147: 0.9, 278: ord(".")}
        level_text = {77: 0 if level else 1, 73: int(level), 74: int(level), 172: 1}
        own = shape | level_text | (_rounding(said, space.placing.unit) if isinstance(said, MeasuredText) else {})
        space.document.dimension_styles[name] = _written_style(space.document, name, own)
    return name


def _written_style(document: DxfDocument, name: str, own: Mapping[int, object]) -> str:
    """A DIMSTYLE: what is usual but for its own groups, its texts in the style of the sheet."""
    groups = [(code, own.get(code, usual)) for code, usual in usual_dimension_style()]
    before = next(index for index, (code, _) in enumerate(groups) if code > _TEXT_STYLE_GROUP)
    groups.insert(before, (_TEXT_STYLE_GROUP, document.text_style))
    return document.entry("DIMSTYLE", 4, "AcDbDimStyleTableRecord", ((2, name), (70, 0), *groups), code=105)


def _rounding(said: MeasuredText, unit: Unit) -> dict[int, object]:
    """How a style writes what is measured (DXF reference, DIMSTYLE: 275 and on)."""
    main, other = said.rounding, said.other
    if main.unit is None:
        return {275: 0, 179: main.places, 79: 0 if main.idle_zeros else _NO_TRAILING_OF_ANGLES}
    kind: dict[int, object] = {277: _FRACTIONAL, 276: _NOT_STACKED} if main.is_fraction else {277: _DECIMAL}
    own = kind | {271: main.places, 78: _zeros(main), 45: 0.0}
    if other is None or other.unit is None:
        return own
    factor = from_mm(1.0, other.unit) if unit is Unit.MM else to_mm(1.0, unit)
    return own | {170: 1, 143: factor, 273: _DECIMAL, 171: other.places, 285: _zeros(other)}


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
