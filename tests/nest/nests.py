"""Parts, random nests and plain rows to compare with; areas as shapely sees them."""

import math
from collections.abc import Sequence
from random import Random

import shapely

from as_shapely import polygon
from flangelayout.flange import LozengeOutline, OvalOutline, PaddleOutline, RectangleOutline, SegmentOutline
from flangelayout.geometry.measure import Edge, area
from flangelayout.geometry.shapes import ORIGIN, Circle
from flangelayout.nest import Nest, NestPart, Stock, moved_edge

OUTSIDES = (95, 115, 140, 150, 165, 185, 200, 220, 250, 285, 340, 405, 460)
"""Outside diameters in mm of flanges DN10 to DN300; from memory of EN 1092-1."""


def part(outline: Edge, *openings: Edge, quantity: int = 1, name: str = "part") -> NestPart:
    """A part with the area its edges leave."""
    return NestPart(name, outline, openings, area(outline) - sum(area(each) for each in openings), quantity)


def ring(outside: float, bore: float = 0.0, quantity: int = 1) -> NestPart:
    """A ring, or a blind without a bore."""
    openings = (Circle(ORIGIN, bore / 2),) if bore else ()
    return part(Circle(ORIGIN, outside / 2), *openings, quantity=quantity, name=f"ring {outside:g}")


def random_rings(chance: Random, kinds: int, most: int) -> list[NestPart]:
    """Rings and blinds of mixed sizes."""
    return [
        ring(outside, round(outside * chance.choice((0.0, 0.3, 0.5, 0.6, 0.7))), chance.randint(1, most))
        for outside in chance.sample(OUTSIDES, kinds)
    ]


def random_shapes(chance: Random, most: int) -> list[NestPart]:
    """Irregular outlines among rings."""
    bore = Circle(ORIGIN, 30.0)
    size = chance.uniform(0.6, 1.2)
    shapes = [
        part(OvalOutline(400 * size, 220 * size, 80 * size).shape, bore, quantity=chance.randint(1, most)),
        part(SegmentOutline(600 * size, 400 * size, 4, 90.0, 3.0).shape, quantity=chance.randint(1, most)),
        part(RectangleOutline(300 * size, 200 * size, 20).shape, bore, quantity=chance.randint(1, most)),
        part(LozengeOutline(320 * size, 160 * size, 40 * size).shape, quantity=chance.randint(1, most)),
        part(PaddleOutline(210 * size, 300 * size, 50.0).shape, quantity=chance.randint(1, most)),
        ring(285, 170, chance.randint(1, most)),
        ring(95, 30, chance.randint(1, most)),
    ]
    return chance.sample(shapes, 4)


def metal(nest: Nest, plate: int) -> list[shapely.Polygon]:
    """Every piece of a plate where it lies, its openings taken out."""
    found = []
    for placed in nest.on_plate(plate):
        kind = nest.parts[placed.part]
        whole, *holes = (
            polygon(moved_edge(edge, placed.turn_deg, placed.at)) for edge in (kind.outline, *kind.openings)
        )
        found.append(shapely.difference(whole, shapely.union_all(holes)))
    return found


def least_gap(areas: Sequence[shapely.Polygon]) -> float:
    """The least distance between any two areas; less than 0 where two share some."""
    tree = shapely.STRtree(areas)
    gaps = [math.inf]
    for index, one in enumerate(areas):
        for other in tree.query(one, predicate="dwithin", distance=50.0).tolist():
            if other > index:
                shared = one.intersection(areas[other]).area
                gaps.append(-shared if shared > 0 else one.distance(areas[other]))
    return min(gaps)


def check_sound(nest: Nest) -> None:
    """Nothing overlaps, spacing and margin are kept, every piece is placed or said to be left over."""
    stock = nest.stock
    room = shapely.box(stock.margin, stock.margin, stock.length - stock.margin, stock.width - stock.margin)
    for plate in range(nest.plates):
        areas = metal(nest, plate)
        assert areas
        assert least_gap(areas) >= stock.spacing - 1e-3
        assert all(room.buffer(1e-3).covers(each) for each in areas)
    for kind, each in enumerate(nest.parts):
        here = sum(placed.part == kind for placed in nest.placed)
        missing = sum(left.count for left in nest.left if left.part == kind)
        assert here + missing == each.quantity


def plain_rows(parts: Sequence[NestPart], stock: Stock, columns: bool) -> tuple[float, float]:
    """Rows or columns as one would chalk them, the largest first.

    Written on its own for the tests: boxes side by side, a new row when one is full, a new plate when that is full.

    Returns:
        Metal placed in square mm, and the length of plate used in mm, whole plates included.
    """
    boxes = []
    for each in parts:
        size = each.size()
        boxes += [(size.width, size.height, each.area)] * each.quantity
    boxes.sort(key=lambda box: -(box[0] if columns else box[1]))
    long, wide = stock.length - 2 * stock.margin, stock.width - 2 * stock.margin
    plate, x, y, deep, reach, placed = 0, 0.0, 0.0, 0.0, 0.0, 0.0
    for width, height, size_ in boxes:
        if columns and y + height > wide + 1e-9:
            x, y, deep = x + deep + stock.spacing, 0.0, 0.0
        if not columns and x + width > long + 1e-9:
            x, y, deep = 0.0, y + deep + stock.spacing, 0.0
        if x + width > long + 1e-9 or y + height > wide + 1e-9:
            if plate + 1 >= stock.most_plates:
                continue
            plate, x, y, deep, reach = plate + 1, 0.0, 0.0, 0.0, 0.0
        deep = max(deep, width if columns else height)
        reach, placed = max(reach, x + width), placed + size_
        if columns:
            y += height + stock.spacing
        else:
            x += width + stock.spacing
    return placed, plate * stock.length + reach + 2 * stock.margin


def yield_of_rows(parts: Sequence[NestPart], stock: Stock) -> float:
    """The better yield of rows and of columns."""
    tried = [plain_rows(parts, stock, columns) for columns in (True, False)]
    return max(placed / (used * stock.width) for placed, used in tried)
