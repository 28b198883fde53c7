"""What a flange is: bolt circles, single holes and the plate they are drilled in. No drawing, no files."""

from flangelayout.flange.bolt_circle import BoltCircle, Centerline, Placement, chord_across, chord_to_diameter
from flangelayout.flange.plate import Flange, Hole, RoundOutline, SingleHole, Tolerances

__all__ = [
    "BoltCircle",
    "Centerline",
    "Flange",
    "Hole",
    "Placement",
    "RoundOutline",
    "SingleHole",
    "Tolerances",
    "chord_across",
    "chord_to_diameter",
]
