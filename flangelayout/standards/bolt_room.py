"""How much room a bolt takes on a plate: its nut, its washer, the wrench or socket that turns it."""

from functools import cache

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.standards.bolting import bolt_size, bolting_rows
from flangelayout.standards.bolts import known_bolt
from flangelayout.units import Unit, parse_length


class Room(Struct, frozen=True):
    """One published distance in mm and where it is from, with how far to trust it."""

    value: float
    source: str


class WrenchRoom(Struct, frozen=True):
    """Least distances in mm from the middle of a bolt that let an open-end wrench turn.

    Attributes:
        bolt_to_bolt: To the next bolt (dimension B of the TEMA tables).
        bolt_to_hub: To the hub or pipe inside the bolts (dimension R).
        source: Where they are from.
    """

    bolt_to_bolt: float
    bolt_to_hub: float
    source: str


class Socket(Struct, frozen=True):
    """An impact socket in mm: its outside diameter, and the least distance from the bolt to an obstruction."""

    outside: float
    bolt_to_obstruction: float
    source: str


def nut_corners(bolt: str) -> Room | None:
    """Across the sharp corners of the bolt's nut: ISO 4032, or ASME B18.2.2 heavy hex; ``None`` if not in the table."""
    row = _row("hex_nuts.csv", bolt)
    standard = "ISO 4032" if row and row["unit"] == "mm" else "ASME B18.2.2 heavy hex"
    return Room(_length(row, "corners"), f"{standard}, across corners; {_trust(row)}") if row else None


def nut_flats(bolt: str) -> Room | None:
    """Across the flats of the bolt's nut: ISO 4032, or ASME B18.2.2 heavy hex; ``None`` if not in the table."""
    row = _row("hex_nuts.csv", bolt)
    standard = "ISO 4032" if row and row["unit"] == "mm" else "ASME B18.2.2 heavy hex"
    return Room(_length(row, "flats"), f"{standard}, across flats; {_trust(row)}") if row else None


def washer_outside(bolt: str) -> Room | None:
    """Outside diameter of the bolt's plain washer; ``None`` if no table has it."""
    size = bolt_size(bolt)
    if size is None or size.washer_outside is None:
        return None
    if size.unit is Unit.IN:
        return Room(size.washer_outside, f"ASME B18.21.1 type A; {Confidence.MEMORY.short}")
    return Room(size.washer_outside, f"ISO 7089; {size.confidence.short}")


def wrench_room(bolt: str) -> WrenchRoom | None:
    """Room for an open-end wrench, TEMA tables D-5 (inch) and D-5M (metric); ``None`` if not in them."""
    row = _row("wrench_room.csv", bolt)
    if row is None:
        return None
    table = "TEMA D-5M" if row["unit"] == "mm" else "TEMA D-5"
    return WrenchRoom(_length(row, "bolt_to_bolt"), _length(row, "bolt_to_hub"), f"{table}; {_trust(row)}")


def socket(bolt: str) -> Socket | None:
    """The impact socket of an inch bolt, AISC Manual; ``None`` if not in the table."""
    row = _row("sockets.csv", bolt)
    if row is None:
        return None
    source = f"AISC Manual entering and tightening clearances; {_trust(row)}"
    return Socket(_length(row, "outside"), _length(row, "bolt_to_obstruction"), source)


@cache
def _row(file: str, bolt: str) -> dict[str, str] | None:
    known = known_bolt(bolt)
    return next((row for row in bolting_rows(file) if known and row["size"] == known.name), None)


def _length(row: dict[str, str], column: str) -> float:
    return parse_length(row[column], Unit(row["unit"]))


def _trust(row: dict[str, str]) -> str:
    return Confidence(row["confidence"]).short
