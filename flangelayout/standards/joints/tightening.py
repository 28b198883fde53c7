"""Torque for a wanted share of a bolt's proof load, by the plain formula; no advice which share that should be.

T = K F d: nut factor, load of the bolt, nominal diameter (the short form of the handbooks, such as Shigley's
Mechanical Engineering Design). All the friction is in K, which the maker of the lubricant states.
"""

import math

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.standards.bolting import bolting_rows
from flangelayout.units import Unit, from_mm

_MPA_OF_KSI = 6.894757
_METRIC, _INCH = 0.9382, 0.9743
"""Pitches by which the stress diameter is less than the nominal one: ISO 898-1, and ASME B1.1."""
ROUNDS = (0.3, 0.7, 1.0)
"""Shares of the torque in which bolts are tightened crosswise (ASME PCC-1, from memory)."""


class Strength(Struct, frozen=True):
    """What a strength class asks of a bolt, in MPa.

    Attributes:
        value: Proof strength, or yield strength where the standard has no proof load.
        is_proof: Which of the two.
        standard: Which one says so.
        confidence: How well it is vouched for.
    """

    value: float
    is_proof: bool
    standard: str
    confidence: Confidence


class Torque(Struct, frozen=True):
    """A torque with everything it comes from: N m, N, mm2 and mm.

    Attributes:
        torque: In N m.
        load: Of the bolt in N.
        area: Stress area of the thread in square mm.
        diameter: Nominal, in mm.
        strength: What the class asks for.
    """

    torque: float
    load: float
    area: float
    diameter: float
    strength: Strength


def stress_area(diameter: float, pitch: float, unit: Unit) -> float:
    """Tensile stress area of a thread in square mm, from its nominal diameter and pitch in mm.

    Pi/4 (d - 0.9382 p)^2 by ISO 898-1, 0.9743 for inch threads by ASME B1.1.

    Example:
        >>> round(stress_area(12.0, 1.75, Unit.MM), 1)
        84.3
    """
    return math.pi / 4 * (diameter - (_METRIC if unit is Unit.MM else _INCH) * pitch) ** 2


def strength_of(name: str, diameter: float) -> Strength | None:
    """The strength of a class such as ``8.8``, ``A4-70``, ``B7`` at a diameter in mm; ``None`` if not listed."""
    wanted = name.strip().upper().removeprefix("GRADE").removeprefix("CLASS").strip()
    for row in bolting_rows("strengths.csv"):
        size = diameter if row["size_unit"] == "mm" else from_mm(diameter, Unit.IN)
        if row["class"].upper() != wanted or not float(row["over"]) < size - 1e-9 <= float(row["to"]):
            continue
        value, factor = row["proof"] or row["yield"], 1.0 if row["unit"] == "MPa" else _MPA_OF_KSI
        return Strength(float(value) * factor, bool(row["proof"]), row["standard"], Confidence(row["confidence"]))
    return None


def strength_classes() -> tuple[str, ...]:
    """Every class whose strength is listed."""
    return tuple(dict.fromkeys(row["class"] for row in bolting_rows("strengths.csv")))


def torque(diameter: float, pitch: float, unit: Unit, strength: Strength, nut_factor: float, share: float) -> Torque:
    """The torque that brings a bolt to a share of its proof load by the plain formula.

    Args:
        diameter: Nominal, in mm.
        pitch: In mm.
        unit: Whether it is a metric or an inch thread.
        strength: Of its class.
        nut_factor: K.
        share: Of the proof (or yield) load, 0 to 1.
    """
    area = stress_area(diameter, pitch, unit)
    load = share * strength.value * area
    return Torque(nut_factor * load * diameter / 1000.0, load, area, diameter, strength)
