"""The keys that say what a hole is, and those of every pattern of holes beside the bolt circle."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from flangelayout.flange.cutting import HoleCut
from flangelayout.flange.turning import PlateFace
from flangelayout.job.schema.values import Angle, Name, SchemaTable, Size, Text, whole_number

HoleKindName = Literal[
    "drilled", "tapped", "jack", "countersunk", "counterbored", "spotfaced", "slot", "dowel", "lifting"
]
Places = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=10_000)]

KIND_KEYS: dict[str, tuple[str, ...]] = {
    "drilled": (),
    "tapped": ("thread", "tap_drill", "depth", "worked_from"),
    "jack": ("thread", "tap_drill"),
    "countersunk": ("seat_diameter", "seat_angle", "worked_from"),
    "counterbored": ("seat_diameter", "seat_depth", "worked_from"),
    "spotfaced": ("seat_diameter", "worked_from"),
    "slot": ("slot_length", "slot_along"),
    "dowel": (),
    "lifting": ("thread", "tap_drill", "depth", "worked_from"),
}
"""The keys that each kind of hole takes beside those of every hole."""


class HoleKeys(SchemaTable):
    """What every table of holes takes."""

    kind: HoleKindName = "drilled"
    fit: Name | None = None
    thread: Name | None = None
    tap_drill: Size | None = None
    depth: Size | None = None
    seat_diameter: Size | None = None
    seat_depth: Size | None = None
    seat_angle: Angle | None = None
    slot_length: Size | None = None
    slot_along: Literal["circle", "radius", "x", "y"] | None = None
    worked_from: PlateFace = PlateFace.FACE


class PatternKeys(HoleKeys):
    """What every pattern beside the bolt circle takes."""

    name: Text = ""
    hole_diameter: Size | None = None
    bolt: Text = ""
    mates_with: Text = ""
    cut: HoleCut | None = None
