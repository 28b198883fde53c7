"""The report of an inspection: where every hole is, whether that is good enough, and the least rework."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from flangelayout.checks.inspection.results import HoleResult, Inspection, SizeResult
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, SheetSet, Solid, Stamp, TextTable
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_about, polar
from flangelayout.units import Unit, angle_text, decimal_text, size_text
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.reports.flow import (
    Block,
    FlowedItems,
    FlowFigure,
    Tables,
    Words,
    fewest_pages,
    page_width,
    report_sheets,
)
from flangelayout.views.reports.pictures.hole_numbers import NumberedHole, apart, hole_numbers, number_reach, off_edges
from flangelayout.views.words.parts.inspection import (
    ended,
    hole_passed,
    mate_lines,
    passed_text,
    plate_size_line,
    told_apart,
    verdict_text,
)

_PICTURE = 100.0
_LONGEST_ARROW, _SHORTEST_LONGEST = 11.0, 4.0
"""Printed mm that the longest arrow may take: a pitch of the holes, within these."""
_ARROW = 1.6
_TEXT, _LINE = 2.5, 4.0
_PAST, _OFF_ARROW = 4.0, 0.7
"""Printed mm left round the plate for what stands out over it, and between a number and an arrow."""
_MAGNIFICATIONS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


def inspection_sheets(
    flange: Flange, found: Inspection, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str
) -> SheetSet:
    """Picture with the deviations drawn large, verdict, tables of holes and sizes, mating and rework."""
    sizes = (*found.circles, *found.chords)

    def drawn(share: float) -> SheetSet:
        blocks: list[Block] = [
            Words((verdict_text(found),), height_paper=3.2),
            _figure(flange, found, page_width(paper_name), share),
            Words((*_fit_words(found, unit), *(ended(plate_size_line(each, unit)) for each in found.plate_sizes))),
        ]
        if found.mates:
            lines = [ended(line) for mate in found.mates for line in mate_lines(mate, unit)]
            blocks.append(Words(tuple(lines), "MATING AND REWORK"))
        blocks.append(Tables((_hole_table(found, unit), _size_table(sizes, unit))))
        blocks.append(Words((_signature(),)))
        return report_sheets("INSPECTION OF THE FINISHED PART", blocks, info, stamp, paper_name)

    return fewest_pages(drawn)


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


def _figure(flange: Flange, found: Inspection, width: float, share: float) -> FlowFigure:
    """The plate with an arrow from every drawn center to the measured one, drawn so many times too long."""
    box = flange.box()
    scale = share * _PICTURE / max(box.width, box.height)
    worst = max((each.radial for each in found.holes), default=0.0)
    longest = min(_LONGEST_ARROW, max(_SHORTEST_LONGEST, _pitch(found) * scale))
    factor = next((f for f in reversed(_MAGNIFICATIONS) if worst * f <= longest), 1)
    numbers = _numbers(flange, found, factor, scale)
    items = (*_plate(flange, scale, _rooms(numbers, scale)), *_arrows(found, factor, scale), *_labels(numbers))
    height = box.height * scale + 2 * _PAST + 4.0
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - _PAST)
    left_out = "; count on between the numbered holes" if len(numbers) < len(found.holes) else ""
    texts = (
        f"seen from {flange.face}; arrows from the drawn to the measured center, {factor} times as long as that is;",
        f"a filled arrow head fails{left_out}",
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


def _pitch(found: Inspection) -> float:
    """The least distance in mm of holes that follow each other."""
    centers = [each.hole.center for each in found.holes]
    return min((a.distance_to(b) for a, b in pairwise(centers)), default=math.inf)


def _plate(flange: Flange, scale: float, rooms: Sequence[Box]) -> Iterator[Item]:
    """The edges of the metal, and centerlines that leave the numbers room."""
    yield from metal_edges(flange, Layer.OUTLINE)
    box = flange.box().grown(3.0 / scale)
    for line in (
        Line(Point(box.left, 0.0), Point(box.right, 0.0)),
        Line(Point(0.0, box.bottom), Point(0.0, box.top)),
    ):
        yield from (Item(Layer.CENTERLINE, part, Furniture("centerline")) for part in broken(line, rooms))


def _tip(each: HoleResult, factor: float, scale: float) -> Point:
    return each.hole.center + each.deviation.scaled(factor / scale)


def _arrows(found: Inspection, factor: float, scale: float) -> Iterator[Item]:
    for each in found.holes:
        center, tip = each.hole.center, _tip(each, factor, scale)
        yield Item(Layer.DIMENSION, Circle(center, each.hole.diameter / 2), HoleRef(each.hole.label))
        yield Item(Layer.TEXT, Line(center, tip), HoleRef(each.hole.label))
        yield from _head(each, tip, scale)


def _numbers(flange: Flange, found: Inspection, factor: float, scale: float) -> dict[str, Point]:
    """Where the numbers of as many holes as have room stand, inward of them if they can, clear of every arrow."""
    spots = [NumberedHole(each.hole.label, each.hole.center, each.hole.diameter / 2) for each in found.holes]
    arrows = [Line(each.hole.center, _tip(each, factor, scale)) for each in found.holes]
    clear, off = off_edges(flange), _OFF_ARROW / scale

    def clears(at: Point, half: float) -> bool:
        return all(apart(at, arrow) >= half + off for arrow in arrows) and clear(at, half)

    return hole_numbers(spots, _TEXT, scale, clears, (), 180.0)


def _rooms(numbers: Mapping[str, Point], scale: float) -> list[Box]:
    """What the numbers take."""
    return [box_about(at, number_reach(label, _TEXT) / scale) for label, at in numbers.items()]


def _labels(numbers: Mapping[str, Point]) -> Iterator[Item]:
    for label, at in numbers.items():
        yield Item(Layer.TEXT, Label(at, label, _TEXT, 0.0, Anchor.MIDDLE), HoleRef(label))


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
            hole_passed(each),
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
