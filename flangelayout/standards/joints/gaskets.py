"""What a flat gasket may be off, as published."""

from dataclasses import dataclass

from flangelayout.provenance import Confidence

_LARGEST_OF_THE_SMALL = 340.0
"""Inside diameter in mm that parts NPS 12 (pipe of 323.8) from NPS 14 (355.6)."""


@dataclass(frozen=True, slots=True)
class GasketTolerance:
    """Tolerances of a flat gasket in mm: the outside is at most as drawn, the others go plus and minus."""

    standard: str
    confidence: Confidence
    outside_minus: float
    inside: float
    bolt_circle: float = 1.5
    chord: float = 1.0


_SMALL = GasketTolerance("ASME B16.21-2005, 4.2, NPS 12 and smaller", Confidence.ONE_SOURCE, 1.5, 1.5)
_LARGE = GasketTolerance("ASME B16.21-2005, 4.2, NPS 14 and larger", Confidence.ONE_SOURCE, 3.0, 3.0)


def gasket_tolerance(inside_diameter: float) -> GasketTolerance:
    """The tolerances of ASME B16.21-2005, 4.2, for a gasket that is open so wide, in mm."""
    return _SMALL if inside_diameter < _LARGEST_OF_THE_SMALL else _LARGE
