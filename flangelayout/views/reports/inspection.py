"""The report of an inspection: where every hole is, whether that is good enough, and the least rework."""

import math
from collections.abc import Iterator
from itertools import pairwise

from flangelayout.checks.inspection.results import HoleResult, Inspection, SizeResult
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, SheetSet, Solid, Stamp, TextTable
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.units import Unit, angle_text, decimal_text, size_text
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale, scale_text
from flangelayout.views.reports.flow import Block, FlowedItems, FlowFigure, Tables, Words, page_width, report_sheets
from flangelayout.views.words.parts.inspection import ended, mate_lines, passed_text, told_apart, verdict_text

_PICTURE = 100.0
_LONGEST_ARROW = 11.0
_ARROW = 1.6
_TEXT, _LINE = 2.5, 4.0
_MOST_NUMBERED, _NUMBER_PITCH = 60, 7.5
_NARROW, _OFF_BORE = 5.0, 2.4
"""Printed mm of metal between hole and bore below which the number stands inside the bore, and how far inside."""
_MAGNIFICATIONS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


def inspection_sheets(
    flange: Flange, found: Inspection, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str
) -> SheetSet:
    """Picture with the deviations drawn large, verdict, tables of holes and sizes, mating and rework."""
    sizes = (*found.circles, *found.chords)
    blocks: list[Block] = [
        Words((verdict_text(found),), height_paper=3.2),
        _figure(flange, found, unit, page_width(paper_name)),
        Words(tuple(_fit_words(found, unit))),
    ]
    if found.mates:
        lines = [ended(line) for mate in found.mates for line in mate_lines(mate, unit)]
        blocks.append(Words(tuple(lines), "MATING AND REWORK"))
    blocks.append(Tables((_hole_table(found, unit), _size_table(sizes, unit))))
    blocks.append(Words((_signature(),)))
    return report_sheets("INSPECTION OF THE FINISHED PART", blocks, info, stamp, paper_name)


def _signature() -> str:
    return "Inspected by: ______________________   Date: ______________   Instrument: ______________________"


def _fit_words(found: Inspection, unit: Unit) -> Iterator[str]:
    x, y = (decimal_text(step, unit) for step in (found.placing.shift_x, found.placing.shift_y))
    yield (
        f"Best fit, {found.freedom.value}: the part lies turned {angle_text(round(found.placing.turn_deg, 3) + 0.0)} "
        f"and shifted {x}, {y} {unit.value} in the measured coordinates; least squares leaves "
        f"{decimal_text(found.rms, unit, 3)} {unit.value} (root mean square)."
    )
    zones = {each.zone.source: each.zone for each in found.holes if each.zone is not None}
    for source, zone in zones.items():
        yield f"Position: every center in a zone of ⌀{decimal_text(zone.value, unit)} {unit.value} ({source})."
    if found.passes_plain is not None:
        with_bonus = found.passes_bonus is True
        yield (
            f"All zones hold without the bonus of larger holes: {'yes' if found.passes_plain else 'no'}; "
            f"with it (maximum material): {'yes' if with_bonus else 'no'}."
        )
    for what, value in found.eccentricity:
        yield f"The middle of {what} is {decimal_text(value, unit)} {unit.value} from the middle of the bore."


def _figure(flange: Flange, found: Inspection, unit: Unit, width: float) -> FlowFigure:
    """The plate with an arrow from every drawn center to the measured one, drawn so many times too long."""
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    worst = max((each.radial for each in found.holes), default=0.0)
    factor = next((f for f in reversed(_MAGNIFICATIONS) if worst * f <= _LONGEST_ARROW), 1)
    items = (*_plate(flange, scale), *_arrows(found, factor, scale), *_labels(flange, found, scale))
    height = box.height * scale + 6.0
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - 1.0)
    texts = (
        f"{scale_text(scale)}, seen from {flange.face}; arrows from the drawn to the measured center,",
        f"{factor} times the printed size; a filled arrow head fails",
    )
    captions = tuple(
        Item(
            Layer.TEXT,
            Label(Point(width / 2, -height - _LINE * row), text, _TEXT, 0.0, Anchor.CENTER),
            Furniture("caption"),
        )
        for row, text in enumerate(texts)
    )
    return FlowFigure(
        height + _LINE + 1.0,
        (
            FlowedItems(Drawing("inspection", items), scale, middle),
            FlowedItems(Drawing("caption", captions), 1.0, ORIGIN),
        ),
    )


def _plate(flange: Flange, scale: float) -> Iterator[Item]:
    yield from metal_edges(flange, Layer.OUTLINE)
    box = flange.box().grown(3.0 / scale)
    for line in (
        Line(Point(box.left, 0.0), Point(box.right, 0.0)),
        Line(Point(0.0, box.bottom), Point(0.0, box.top)),
    ):
        yield Item(Layer.CENTERLINE, line, Furniture("centerline"))


def _arrows(found: Inspection, factor: float, scale: float) -> Iterator[Item]:
    for each in found.holes:
        center = each.hole.center
        yield Item(Layer.DIMENSION, Circle(center, each.hole.diameter / 2), HoleRef(each.hole.label))
        tip = center + each.deviation.scaled(factor / scale)
        yield Item(Layer.TEXT, Line(center, tip), HoleRef(each.hole.label))
        yield from _head(each, tip, scale)


def _labels(flange: Flange, found: Inspection, scale: float) -> Iterator[Item]:
    """Numbers of as many holes as have room for one, inward of them or beside their arrows."""
    bore = (flange.bore or 0.0) / 2
    for each in found.holes[:: _number_step(found, scale)]:
        center, radius = each.hole.center, each.hole.diameter / 2
        inward = ORIGIN.direction_to(center) + 180.0
        away = next((way for way in (inward, inward + 50, inward - 50) if _is_clear(each, way)), inward)
        at = polar(radius + 3.0 / scale, away, center)
        if bore and 0 < (ORIGIN.distance_to(center) - radius - bore) * scale < _NARROW:
            at = polar(bore - _OFF_BORE / scale, inward + 180.0)
        yield Item(Layer.TEXT, Label(at, each.hole.label, _TEXT, 0.0, Anchor.MIDDLE), HoleRef(each.hole.label))


def _number_step(found: Inspection, scale: float) -> int:
    """1 where every hole has room for its number, 2 for every second one, and so on."""
    centers = [each.hole.center for each in found.holes]
    apart = min((a.distance_to(b) * scale for a, b in pairwise(centers)), default=_NUMBER_PITCH)
    return max(1, math.ceil(_NUMBER_PITCH / max(apart, 0.1)), math.ceil(len(centers) / _MOST_NUMBERED))


def _is_clear(each: HoleResult, direction: float) -> bool:
    """Whether the arrow of a hole points well away from a direction."""
    arrow = math.degrees(math.atan2(each.deviation.y, each.deviation.x))
    return abs((arrow - direction + 180.0) % 360.0 - 180.0) > 50.0 or each.radial < 1e-6


def _head(each: HoleResult, tip: Point, scale: float) -> Iterator[Item]:
    if each.radial < 1e-6:
        return
    back = math.degrees(math.atan2(each.deviation.y, each.deviation.x)) + 180.0
    left, right = (polar(_ARROW / scale, back + side, tip) for side in (18.0, -18.0))
    if each.passed is False:
        yield Item(Layer.TEXT, Solid((tip, left, right)), HoleRef(each.hole.label))
    else:
        yield Item(Layer.TEXT, Line(tip, left), HoleRef(each.hole.label))
        yield Item(Layer.TEXT, Line(tip, right), HoleRef(each.hole.label))


def _hole_table(found: Inspection, unit: Unit) -> TextTable:
    def text(value: float | None) -> str:
        return "-" if value is None else decimal_text(value, unit)

    rows = tuple(
        (
            each.hole.label,
            text(each.hole.center.x),
            text(each.hole.center.y),
            text(each.measured.center.x),
            text(each.measured.center.y),
            text(each.measured.diameter),
            text(each.deviation.x),
            text(each.deviation.y),
            told_apart(each.position, each.allowed, unit),
            text(each.bonus if each.with_bonus else 0.0),
            text(each.allowed),
            passed_text(each.passed) + (" (size)" if each.size_fits is False else ""),
        )
        for each in found.holes
    )
    heads = ("HOLE", "X", "Y", "MEAS. X", "MEAS. Y", "⌀", "DX", "DY", "POSITION", "BONUS", "ALLOWED", "")
    return TextTable(f"HOLES ({unit.value}; position is twice the distance from the drawn place)", heads, rows)


def _size_table(sizes: tuple[SizeResult, ...], unit: Unit) -> TextTable:
    rows = tuple(
        (
            size.what,
            decimal_text(size.nominal, unit),
            decimal_text(size.measured, unit),
            told_apart(size.deviation, size.tolerance.value if size.tolerance else None, unit),
            f"±{size_text(size.tolerance.value, unit)}" if size.tolerance else "-",
            passed_text(size.passed),
        )
        for size in sizes
    )
    heads = ("WHAT", "NOMINAL", "MEASURED", "OFF BY", "ALLOWED", "")
    sources = sorted({size.tolerance.source for size in sizes if size.tolerance})
    stated = f"; tolerances: {', '.join(sources)}" if sources else ""
    return TextTable(f"BOLT CIRCLE AND SPACING ({unit.value}{stated})", heads, rows)
