"""What can be pointed at in a picture: its holes, and the dimensions that stand for a field."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.explode import explode
from flangelayout.drawing.model import Dimension, Item, Label, Sheet, View
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef
from flangelayout.drawing.textwidth import label_box
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Box, Point, box_around
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.writers.numbers import fixed

_LEAST_TARGET = 7.0
"""Printed mm: a dimension's text is smaller than a finger."""
_FIELDS = {
    Feature.OUTSIDE: "plate.outside_diameter",
    Feature.THICKNESS: "plate.thickness",
    Feature.BORE: "plate.bore",
    Feature.BORE_CHAMFER: "plate.bore_chamfer",
    Feature.RAISED_FACE: "plate.raised_face_diameter",
    Feature.RAISED_FACE_HEIGHT: "plate.raised_face_height",
    Feature.FIRST_HOLE_ANGLE: "bolt_circle.1.start_angle",
}
"""The field behind a feature of the plate; every other size belongs to the outline, which is a table."""


@dataclass(frozen=True, slots=True)
class HoleSpot:
    """A hole of a picture: where it stands on the page, and what there is to know about it."""

    label: str
    x: str
    y: str
    r: str
    angle: str
    across: str
    up: str
    chord: str
    said: str


@dataclass(frozen=True, slots=True)
class FieldSpot:
    """A dimension of a picture: the room it takes on the page, and the key of the field behind it."""

    key: str
    text: str
    x: str
    y: str
    width: str
    height: str


def hole_spots(flange: Flange, sheet: Sheet, unit: Unit) -> tuple[HoleSpot, ...]:
    """The holes where the first view of a sheet places them, in its printed mm with y down."""
    view = sheet.views[0]
    holes = flange.holes()
    chords = _chords(flange, holes, unit)
    return tuple(_hole_spot(hole, view, sheet, unit, chords.get(hole.label, "")) for hole in holes)


def field_spots(flange: Flange, sheet: Sheet) -> tuple[FieldSpot, ...]:
    """The dimensions and call-outs of the first view of a sheet that have a field."""
    view = sheet.views[0]
    return tuple(
        _field_spot(key, box, sheet, text)
        for item in view.drawing.items
        if (key := _key(item, flange))
        for box, text in _text_room(item, view)
    )


def _hole_spot(hole: Hole, view: View, sheet: Sheet, unit: Unit, chord: str) -> HoleSpot:
    at = view.at_paper + hole.center.scaled(view.scale)
    x, y = decimal_text(hole.center.x, unit), decimal_text(hole.center.y, unit)
    angle = angle_text(hole.angle)
    said = f"Hole {hole.label}: {angle}, X {x}, Y {y} {unit.value}" + (f", {chord}" if chord else "")
    return HoleSpot(
        label=hole.label,
        x=fixed(at.x),
        y=fixed(sheet.paper.height - at.y),
        r=fixed(hole.diameter / 2 * view.scale),
        angle=angle,
        across=x,
        up=y,
        chord=chord,
        said=said,
    )


def _chords(flange: Flange, holes: tuple[Hole, ...], unit: Unit) -> dict[str, str]:
    """From each hole of a circle to the next one of it, by label, in words."""
    groups: dict[int, list[Hole]] = {}
    for hole in holes:
        if 0 <= hole.group < len(flange.bolt_circles):
            groups.setdefault(hole.group, []).append(hole)
    return {
        hole.label: f"to hole {after.label} {decimal_text(hole.center.distance_to(after.center), unit)} {unit.value}"
        for group in groups.values()
        if len(group) > 1
        for hole, after in zip(group, [*group[1:], group[0]], strict=True)
    }


def _key(item: Item, flange: Flange) -> str:
    """The field behind a dimension; empty for anything else."""
    if not isinstance(item.what, Dimension):
        return ""
    match item.source:
        case FeatureRef(feature):
            return _field(feature, flange)
        case GroupRef(group) if group < len(flange.bolt_circles):
            return f"bolt_circle.{group + 1}.diameter"
        case _:
            return ""


def _field(feature: Feature, flange: Flange) -> str:
    if feature is Feature.OUTSIDE and flange.round_diameter is None:
        return "plate"
    return _FIELDS.get(feature, "plate")


def _text_room(item: Item, view: View) -> Iterator[tuple[Box, str]]:
    """The room of all texts of a dimension on the paper, and the texts."""
    labels = [part for part in explode(item.what, view.scale) if isinstance(part, Label)]
    if labels:
        boxes = [label_box(label, view.scale) for label in labels]
        corners = [Point(box.left, box.bottom) for box in boxes] + [Point(box.right, box.top) for box in boxes]
        room = box_around([view.at_paper + corner.scaled(view.scale) for corner in corners])
        yield room, " ".join(label.text for label in labels)


def _field_spot(key: str, room: Box, sheet: Sheet, text: str) -> FieldSpot:
    wide, high = max(room.width, _LEAST_TARGET), max(room.height, _LEAST_TARGET)
    left, top = room.center.x - wide / 2, sheet.paper.height - room.center.y - high / 2
    return FieldSpot(key, text, fixed(left), fixed(top), fixed(wide), fixed(high))
