"""General tolerances: what ISO 2768-1, ISO 13920 and ISO 9013 allow on a length that states nothing of its own."""

import math

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


class GeneralRange(Struct, frozen=True):
    """What is allowed on sizes of a range, in mm.

    Attributes:
        over: Sizes from here,
        to: up to here; without end where the table has none.
        plus_minus: May be off by so much, either way.
        confidence: How well the table is vouched for.
    """

    over: float
    to: float
    plus_minus: float
    confidence: Confidence

    def holds(self, size: float) -> bool:
        """Whether a size in mm is one of the range."""
        return self.over < size <= self.to


def general_ranges(general: GeneralTolerance, thickness: float | None) -> tuple[GeneralRange, ...]:
    """The ranges of a general tolerance, from the smallest sizes.

    Args:
        general: Standard and class.
        thickness: Of the plate in mm: ISO 9013 goes by it, and has no figures where it is not known.

    Example:
        >>> next(each.plus_minus for each in general_ranges(GeneralTolerance.ISO_2768_M, None) if each.holds(285.0))
        0.5
    """
    file, grade = _FILES[general]
    found = []
    for row in shipped("tolerances", file).rows:
        cells = row.cells
        if cells["grade"] != grade or not _fits(cells, thickness):
            continue
        to = float(cells["to"]) if cells["to"] else math.inf
        confidence = Confidence(cells["confidence"])
        found.append(GeneralRange(float(cells["over"]), to, float(cells["plus_minus"]), confidence))
    return tuple(found)


def _fits(cells: dict[str, str], thickness: float | None) -> bool:
    """Whether a row is for the plate's thickness, or for any."""
    if "thicker_than" not in cells:
        return True
    return thickness is not None and float(cells["thicker_than"]) < thickness <= float(cells["thick_to"])
