"""What a finished part is held to; lengths in mm."""

from msgspec import Struct


class Allowed(Struct, frozen=True):
    """A tolerance in mm and who states it; a diameter for a position, plus and minus else."""

    value: float
    source: str


class GroupLimits(Struct, frozen=True):
    """What one group of holes is held to; ``None`` where nothing is stated.

    Attributes:
        bolt_circle: Of its diameter, plus and minus.
        chord: Between centers, plus and minus.
        any_chord: Whether that holds for any two holes, not only for neighbors.
        bolt: The bolt that goes through, as written; empty where none is known.
    """

    bolt_circle: Allowed | None = None
    chord: Allowed | None = None
    any_chord: bool = False
    bolt: str = ""


class InspectionLimits(Struct, frozen=True):
    """What a finished part is held to.

    Attributes:
        position: Diameter of the zone each center must lie in; ``None`` to take hole less bolt.
        maximum_material: Whether a hole larger than its least size widens the zone (ASME Y14.5, ISO 2692);
            ``None`` for as usual: not for a stated position, but for one that is hole less bolt.
        hole_plus: How much larger a hole may be, ``None`` where nothing is stated.
        hole_minus: How much smaller; its least size is the maximum material size.
        groups: By index of the group in the flange.
    """

    position: Allowed | None = None
    maximum_material: bool | None = None
    hole_plus: float | None = None
    hole_minus: float | None = None
    groups: tuple[GroupLimits, ...] = ()

    def group(self, index: int) -> GroupLimits:
        """What a group is held to; nothing for single holes."""
        return self.groups[index] if 0 <= index < len(self.groups) else GroupLimits()


NOTHING_STATED = InspectionLimits()
