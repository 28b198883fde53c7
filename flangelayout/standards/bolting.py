"""Bolts, nuts and washers a shop buys: their sizes, the lengths they come in, the order they are tightened in."""

from collections.abc import Iterator
from functools import cache

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.rows import shipped
from flangelayout.units import Unit, parse_length


class BoltSize(Struct, frozen=True):
    """One size of bolt with its nut and washer; lengths in mm.

    Attributes:
        name: As the trade calls it: ``M20``, ``3/4``.
        diameter: Of the thread.
        pitch: Of the thread.
        nut_height: Greatest height of the nut.
        washer_thickness: Nominal; ``None`` where the table lists no washer.
        washer_outside: Outside diameter of the washer.
        unit: Whether it is a metric or an inch size.
        confidence: How well the figures are vouched for.
    """

    name: str
    diameter: float
    pitch: float
    nut_height: float
    washer_thickness: float | None
    washer_outside: float | None
    unit: Unit
    confidence: Confidence

    @property
    def standards(self) -> str:
        """The standards of bolt, nut and washer."""
        if self.unit is Unit.MM:
            return "ISO 4014, ISO 4032, ISO 7089"
        return "ASME B18.2.1, B18.2.2 heavy hex, B18.21.1 type A"


def bolt_size(written: str) -> BoltSize | None:
    """The size meant by a name that `bolts.parse_bolt` reads; ``None`` if it names none that a shop buys."""
    bolt = known_bolt(written)
    return None if bolt is None else _sizes(bolt.unit).get(bolt.name)


def bolt_sizes(unit: Unit) -> tuple[BoltSize, ...]:
    """Every size of a unit that a shop buys."""
    return tuple(_sizes(unit).values())


def cross_pattern(count: int) -> tuple[tuple[int, ...], str]:
    """The order in which ``count`` bolts are tightened, numbered round the circle from 1, and its source.

    Counts of a multiple of four up to 32 follow the table; other even counts go in
    pairs of opposites, odd ones as a star (common practice, no source).
    """
    quarter, rest = divmod(count, 4)
    order = {int(row["quarter"]): row["order"] for row in bolting_rows("tightening_orders.csv")}.get(quarter)
    if rest == 0 and order:
        starts = [int(number) for number in order.split()]
        shifts = (0, 2 * quarter, quarter, 3 * quarter)
        turned = tuple(start + shift for start in starts for shift in shifts)
        return turned, "ASME PCC-1 cross pattern, not verified: compare"
    return tuple(_spread_out(count)), "cross pattern, common practice, no source"


def _spread_out(count: int) -> Iterator[int]:
    """An odd count as a star; an even one in pairs of opposites, each pair in the largest stretch left."""
    if count % 2:
        yield from (index * (count // 2) % count + 1 for index in range(count))
        return
    half = count // 2
    for start in _halving(half):
        yield start + 1
        yield start + half + 1


def _halving(count: int) -> list[int]:
    """0 to ``count`` - 1, each next one in the middle of the largest stretch left."""
    order, gaps = [0], [(0, count)]
    while gaps:
        low, high = max(gaps, key=lambda gap: (gap[1] - gap[0], -gap[0]))
        gaps.remove((low, high))
        middle = (low + high) // 2
        if middle > low:
            order.append(middle)
            gaps += [(low, middle), (middle, high)]
    return order


@cache
def _sizes(unit: Unit) -> dict[str, BoltSize]:
    def length(text: str) -> float | None:
        return parse_length(text, unit) if text else None

    sizes = (
        BoltSize(
            name=row["size"],
            diameter=length(row["diameter"]) or 0.0,
            pitch=length(row["pitch"]) or 0.0,
            nut_height=length(row["nut_height"]) or 0.0,
            washer_thickness=length(row["washer_thickness"]),
            washer_outside=length(row["washer_outside"]),
            unit=unit,
            confidence=Confidence(row["confidence"]),
        )
        for row in bolting_rows("hex_metric.csv" if unit is Unit.MM else "hex_inch.csv")
    )
    return {size.name: size for size in sizes}


def bolting_rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a file of ``tables/bolting``."""
    return tuple(row.cells for row in shipped("bolting", name).rows)
