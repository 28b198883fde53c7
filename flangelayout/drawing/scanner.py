"""What a flatbed scanner makes of a millimeter: two factors and the skew between its axes."""

from msgspec import Struct


class Scanner(Struct, frozen=True):
    """A scanner as measured.

    Attributes:
        name: What the shop calls it.
        across: Real mm for a mm that a scan claims, along its x.
        along: Likewise along its y.
        skew_deg: How far the angle between its axes is short of 90 degrees.
        date: When, as ISO 8601.
    """

    name: str
    across: float = 1.0
    along: float = 1.0
    skew_deg: float = 0.0
    date: str = ""


UNMEASURED = Scanner("")
"""One whose claims are taken as they are."""
