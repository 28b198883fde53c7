"""What a finished part is held to; lengths in mm.

Check card, inspection form and inspection hold the same distance to the same limit: the one that is worked out here.
"""

from collections.abc import Sequence

from msgspec import Struct

from flangelayout.checks.dimensioned import is_written
from flangelayout.checks.measuring import MeasuredSpan
from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Group,
    Hole,
    Slot,
    Spotfaced,
    Tapped,
    Tolerances,
)
from flangelayout.flange.claims import own_tolerance
from flangelayout.flange.plate import GeneralTolerance
from flangelayout.geometry.shapes import Point
from flangelayout.provenance import DrillingTolerance
from flangelayout.standards.tolerances.block import block_allowed
from flangelayout.standards.tolerances.general import Scope, general_ranges, scope
from flangelayout.units import Unit

_SAME = 1e-6
"""In mm, between equal distances."""


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
        bolt: The bolt that goes through, as written; empty where none is known, or it is screwed in.
        general: Of the drawing, whose general tolerance or block is for distances that state nothing of their own.
    """

    bolt_circle: Allowed | None = None
    chord: Allowed | None = None
    any_chord: bool = False
    bolt: str = ""
    general: Tolerances = Tolerances()

    def between(self, apart: float, circle: float, adjacent: bool) -> Allowed | None:
        """What two holes of a circle so far apart, neighbors or not, are held to.

        What goes through the middle of the circle is its diameter, and held as that: common practice, no source.
        """
        across = abs(apart - circle) < _SAME
        held = (
            self.bolt_circle if across else None,
            self.chord if self.any_chord or (adjacent and not across) else None,
        )
        stated = min((each for each in held if each is not None), key=lambda each: each.value, default=None)
        return stated or general_allowed(self.general, apart, is_drawn=across)


class InspectionLimits(Struct, frozen=True):
    """What a finished part is held to.

    Attributes:
        position: Diameter of the zone each center must lie in; ``None`` to take hole less bolt.
        maximum_material: Whether a hole larger than its least size widens the zone (ASME Y14.5, ISO 2692);
            ``None`` for as usual: not for a stated position, but for one that is hole less bolt.
        hole_plus: How much larger a hole may be, ``None`` where nothing is stated.
        hole_minus: How much smaller; its least size is the maximum material size.
        groups: By index of the group in the flange.
        general: Of the drawing, whose general tolerance or block is for holes whose width states nothing of its own.
    """

    position: Allowed | None = None
    maximum_material: bool | None = None
    hole_plus: float | None = None
    hole_minus: float | None = None
    groups: tuple[GroupLimits, ...] = ()
    general: Tolerances = Tolerances()

    def group(self, index: int) -> GroupLimits:
        """What a group is held to; nothing for single holes."""
        return self.groups[index] if 0 <= index < len(self.groups) else GroupLimits()


NOTHING_STATED = InspectionLimits()
_DRILLED = Drilled | Countersunk | Counterbored | Spotfaced


class HeldWidth(Struct, frozen=True):
    """How much wider and narrower than drawn a hole may be in mm, ``None`` where nothing is stated, and who says so."""

    plus: float | None
    minus: float | None
    source: str


def held_in_width(flange: Flange) -> tuple[Hole, ...]:
    """The holes that a tolerance of drilled holes is of: no threads, slots or dowels."""
    return tuple(hole for hole in flange.holes() if isinstance(hole.kind, _DRILLED))


def held_width(hole: Hole, limits: InspectionLimits) -> HeldWidth | None:
    """What the width of a hole is held to: a pin's by its fit, a drilled one by the job, else as sizes in general are.

    A slot's width is held as sizes in general are: what is stated of drilled holes is not of slots.

    ``None`` where by nothing.
    """
    kind = hole.kind
    if isinstance(kind, Dowel):
        if kind.lower is None or kind.upper is None:
            return None
        return HeldWidth(kind.upper, -kind.lower, f"ISO 286 {kind.fit}")
    is_stated = limits.hole_plus is not None or limits.hole_minus is not None
    if not isinstance(kind, _DRILLED | Slot):
        return None
    if is_stated and not isinstance(kind, Slot):
        return HeldWidth(limits.hole_plus, limits.hole_minus, "the job")
    general = general_allowed(limits.general, hole.diameter)
    return None if general is None else HeldWidth(general.value, general.value, general.source)


def drawing_limits(flange: Flange, unit: Unit) -> tuple[GroupLimits, ...]:
    """What each group of holes is held to by its drawing: as the job states it, else as its circle's standard does."""
    return tuple(_group_limits(flange, group, unit) for group in flange.groups())


def _group_limits(flange: Flange, group: Group, unit: Unit) -> GroupLimits:
    circle, chord = flange.tolerances.bolt_circle, flange.tolerances.chord
    bolt = "" if isinstance(group.drilling.kind, Tapped) else group.drilling.bolt
    known = published_tolerance(flange, group)
    if known is None:
        general = flange.tolerances.of_distances
        of_circle = _stated(circle) or _in_general(group, general)
        return GroupLimits(of_circle, _stated(chord), chord is not None, bolt, general)
    here = known.published_in(unit)
    source = f"{known.standard}, {known.confidence.short}"
    beside = None if here.chord is None else Allowed(here.chord, source)
    return GroupLimits(Allowed(here.circle, source), beside, bolt=bolt)


def _in_general(group: Group, general: Tolerances) -> Allowed | None:
    """What the diameter of a circle is held to in general, where no distance of its holes is held so for it."""
    if not isinstance(group, BoltCircle) or group.spans_middle:
        return None
    by_size = general_allowed(general, group.diameter, is_drawn=False)
    return None if by_size is not None else general_allowed(general, group.diameter)


def published_tolerance(flange: Flange, group: Group) -> DrillingTolerance | None:
    """What is published of a circle, where that is what it is held to: the job states nothing itself."""
    is_own = bool(flange.tolerances.of_places)
    return own_tolerance(group) if isinstance(group, BoltCircle) and not is_own else None


def general_allowed(stated: Tolerances, size: float, *, is_drawn: bool = True) -> Allowed | None:
    """What a drawing allows in general of a size that is drilled or turned: its general tolerance, else its block.

    Those of cuts and welds say nothing of it; ``is_drawn`` as :func:`block_allowed` has it.
    """
    if stated.general is not None and scope(stated.general) is Scope.EVERY:
        return _in_range(stated.general, size, None)
    plus_minus = block_allowed(stated, size, is_drawn=is_drawn)
    return None if plus_minus is None else Allowed(plus_minus, "the block of the drawing")


def allowed_between(flange: Flange, pattern: Group | None, one: Point, other: Point) -> Allowed | None:
    """What two holes off the bolt circles are held to in general; ``None`` for the pattern where they are of none."""
    general = flange.tolerances.of_distances
    is_drawn = bool(general.block_decimals) and is_written(flange, pattern, one, other)
    return general_allowed(general, one.distance_to(other), is_drawn=is_drawn)


def pattern_of(flange: Flange, one: Hole, other: Hole) -> Group | None:
    """The pattern that both are of; ``None`` where they are of none, or of two."""
    return flange.groups()[one.group] if one.group == other.group >= 0 else None


def edge_allowed(flange: Flange, size: float) -> Allowed | None:
    """What a drawing allows in general of its outside, bore and openings, which are cut where that is of cuts.

    Its block goes before what holds for welded sizes: it is of every size.
    """
    stated = flange.tolerances
    by_drawing = general_allowed(stated, size)
    if by_drawing is not None or stated.general is None:
        return by_drawing
    return _in_range(stated.general, size, flange.thickness)


def _in_range(general: GeneralTolerance, size: float, thickness: float | None) -> Allowed | None:
    held = (each.plus_minus for each in general_ranges(general, thickness) if each.holds(size))
    return next((Allowed(plus_minus, general.value) for plus_minus in held), None)


def _stated(value: float | None) -> Allowed | None:
    return None if value is None else Allowed(value, "the job")


def allowed_spans(flange: Flange, group: int, found: Sequence[MeasuredSpan], unit: Unit) -> tuple[Allowed | None, ...]:
    """What each distance measured of a pattern is held to; those of other patterns than circles only in general."""
    pattern = flange.groups()[group]
    if not isinstance(pattern, BoltCircle):
        at = pattern.hole_centers()
        return tuple(allowed_between(flange, pattern, at[span.first], at[span.last]) for span in found)
    limits = drawing_limits(flange, unit)[group]
    return tuple(limits.between(span.distance, pattern.diameter, not span.is_across) for span in found)
