"""General tolerances: what ISO 2768-1, ISO 13920 and ISO 9013 allow on a length that states nothing of its own."""

import math
from enum import Enum

from msgspec import Struct

from flangelayout.flange.plate import GeneralTolerance
from flangelayout.provenance import Confidence
from flangelayout.standards.rows import shipped

_FILES = {
    GeneralTolerance.ISO_2768_F: ("iso_2768_1.csv", "f"),
    GeneralTolerance.ISO_2768_M: ("iso_2768_1.csv", "m"),
    GeneralTolerance.ISO_2768_C: ("iso_2768_1.csv", "c"),
    GeneralTolerance.ISO_2768_V: ("iso_2768_1.csv", "v"),
    GeneralTolerance.ISO_13920_A: ("iso_13920.csv", "A"),
    GeneralTolerance.ISO_13920_B: ("iso_13920.csv", "B"),
    GeneralTolerance.ISO_13920_C: ("iso_13920.csv", "C"),
    GeneralTolerance.ISO_13920_D: ("iso_13920.csv", "D"),
    GeneralTolerance.ISO_9013_1: ("iso_9013.csv", "1"),
    GeneralTolerance.ISO_9013_2: ("iso_9013.csv", "2"),
}


class Scope(Enum):
    """What a general tolerance holds for, as the first clause of its standard says."""

    EVERY = "every size"
    CUT = "sizes that are cut thermally"
    WELDED = "sizes of what is welded"


_SCOPES = {"iso_2768_1.csv": Scope.EVERY, "iso_13920.csv": Scope.WELDED, "iso_9013.csv": Scope.CUT}
_SAME = 1e-6
_EDGES = {"iso_2768_1.csv": "iso_2768_1_edges.csv"}
"""Tables of chamfers and external radii, where a standard has one of their own."""


def scope(general: GeneralTolerance) -> Scope:
    """What a general tolerance holds for."""
    return _SCOPES[_FILES[general][0]]


class GeneralRange(Struct, frozen=True):
    """What is allowed on sizes of a range, in mm.

    Attributes:
        over: Sizes over this,
        to: up to this; without end where the table has none.
        plus_minus: May be off by so much, either way.
        confidence: How well the table is vouched for.
        from_over: Whether ``over`` itself is one of them: always of the first range of a standard.
        below_to: Whether ``to`` itself is none of them.
    """

    over: float
    to: float
    plus_minus: float
    confidence: Confidence
    from_over: bool = False
    below_to: bool = False

    def holds(self, size: float) -> bool:
        """Whether a size in mm is one of the range."""
        low, high = size - self.over, size - self.to
        over = low > -_SAME if self.from_over else low > _SAME
        return over and (high < -_SAME if self.below_to else high < _SAME)


def general_ranges(
    general: GeneralTolerance, thickness: float | None, *, of_edges: bool = False
) -> tuple[GeneralRange, ...]:
    """The ranges of a general tolerance, from the smallest sizes.

    Args:
        general: Standard and class.
        thickness: Of the plate in mm: ISO 9013 goes by it, and has no figures where it is not known.
        of_edges: Whether those of chamfers and external radii are asked for, which ISO 2768-1 has a table of.

    Example:
        >>> next(each.plus_minus for each in general_ranges(GeneralTolerance.ISO_2768_M, None) if each.holds(285.0))
        0.5
    """
    file, grade = _FILES[general]
    file = _EDGES.get(file, file) if of_edges else file
    found: list[GeneralRange] = []
    table = shipped("tolerances", file)
    below = table.said("ranges") == "from, below"
    for row in table.rows:
        cells = row.cells
        if cells["grade"] != grade or not _fits(cells, thickness):
            continue
        to = float(cells["to"]) if cells["to"] else math.inf
        confidence = Confidence(cells["confidence"])
        over, first = float(cells["over"]), not found
        found.append(GeneralRange(over, to, float(cells["plus_minus"]), confidence, below or first, below))
    return tuple(found)


def _fits(cells: dict[str, str], thickness: float | None) -> bool:
    """Whether a row is for the plate's thickness, or for any."""
    if "thicker_than" not in cells:
        return True
    return thickness is not None and float(cells["thicker_than"]) < thickness <= float(cells["thick_to"])
