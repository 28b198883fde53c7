"""What a drilling has in common with the published rows it names, worked out from its figures when it is asked."""

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import assert_never

from msgspec import Struct

from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.groups import Group
from flangelayout.flange.hole import Counterbored, Countersunk, Dowel, Drilled, Jack, Slot, Spotfaced, Tapped
from flangelayout.flange.origin import (
    Figure,
    FromRow,
    LookedUp,
    Made,
    Measured,
    NearestOf,
    PublishedRow,
    Written,
)
from flangelayout.provenance import DrillingTolerance, Family

SAME = 0.005
"""In mm; two figures no farther apart are the same figure, printed to a hundredth."""


class Difference(Struct, frozen=True):
    """One figure of a drilling that is not a row's.

    Attributes:
        figure: Which one.
        drawn: The drilling's, in mm or a count; of the spacing, the distance between the two neighbors that are
            farthest from where the row has them; ``None`` where it is no number.
        published: The row's for the same; ``None`` where it has none.
    """

    figure: Figure
    drawn: float | None
    published: float | None


class Against(Struct, frozen=True):
    """A drilling held against the row it names.

    Attributes:
        row: The row.
        differences: Every figure that is not the row's.
        meant: Those figures that the job says are meant to differ.
    """

    row: PublishedRow
    differences: tuple[Difference, ...]
    meant: frozenset[Figure]

    @property
    def unmeant(self) -> tuple[Difference, ...]:
        """The differences that nobody asked for."""
        return tuple(each for each in self.differences if each.figure not in self.meant)


def met_rows(circle: BoltCircle) -> tuple[PublishedRow, ...]:
    """The rows that a bolt circle names and equals in circle, count, spacing and hole."""
    return tuple(row for row in named_rows(circle) if not differences(circle, row))


def own_tolerance(circle: BoltCircle) -> DrillingTolerance | None:
    """The drilling tolerance published for the circle as it is drilled; ``None`` where it is no row's circle."""
    own = {Figure.CIRCLE, Figure.HOLE_COUNT, Figure.SPACING}
    rows = (row for row in named_rows(circle) if own.isdisjoint(each.figure for each in differences(circle, row)))
    return next((row.tolerance for row in rows if row.tolerance), None)


def against(circle: BoltCircle) -> Against | None:
    """How a bolt circle stands to the row it names, of several the one it is nearest; ``None`` where it names none."""
    rows = named_rows(circle)
    if not rows:
        return None
    row = min(rows, key=lambda each: len(differences(circle, each)))
    return Against(row, differences(circle, row), _meant(circle))


def named_rows(circle: BoltCircle) -> tuple[PublishedRow, ...]:
    """The rows that a bolt circle names, whether or not it is drilled as they are."""
    match circle.origin:
        case FromRow(row=row):
            return (row,)
        case NearestOf(rows=rows):
            return rows
        case Written() | Measured():
            return ()
        case _:
            assert_never(circle.origin)


_LINES = frozenset({Family.PIPE_FLANGE, Family.TANK_TRUCK_FLANGE, Family.WELLHEAD_FLANGE, Family.HYGIENIC_FLANGE})
"""Families of flanges on lines and tanks, which seal."""


def families(groups: Iterable[Group]) -> frozenset[Family]:
    """The families of the rows that the bolt circles among some groups of holes name, else that readings leave."""
    found = (_family(group) for group in groups if isinstance(group, BoltCircle))
    return frozenset(family for family in found if family is not None)


def _family(circle: BoltCircle) -> Family | None:
    rows, read = named_rows(circle), measured(circle)
    return rows[0].family if rows else read.family if read else None


def may_be_pipe_flange(groups: Sequence[Group]) -> bool:
    """Whether a plate's holes are a pipe flange's: so named, or plain bolt holes that name no family."""
    found = families(groups)
    plain = all(isinstance(group.drilling.kind, Drilled) for group in groups)
    circles = any(isinstance(group, BoltCircle) for group in groups)
    return Family.PIPE_FLANGE in found or (not found and plain and circles)


def is_sealed(groups: Sequence[Group]) -> bool:
    """Whether a job says that a plate's holes are of a flange that seals: by the row they name or by a gasket."""
    return bool(families(groups) & _LINES) or any(group.drilling.joint.gasket_thickness is not None for group in groups)


def may_seal(groups: Sequence[Group]) -> bool:
    """Whether a plate's holes are those of a flange on a line or a tank."""
    return bool(families(groups) & _LINES) or may_be_pipe_flange(groups)


def measured(circle: BoltCircle) -> Measured | None:
    """What readings say of a bolt circle that was taken from them; ``None`` where it was not, or is not any more."""
    match circle.origin:
        case NearestOf(measured=found):
            return found
        case Measured() as found:
            return found if abs(found.diameter - circle.diameter) <= SAME else None
        case FromRow(measured=taken):
            return taken if taken and abs(taken.diameter - circle.diameter) <= SAME else None
        case Written():
            return None
        case _:
            assert_never(circle.origin)


def differences(circle: BoltCircle, row: PublishedRow) -> tuple[Difference, ...]:
    """Everything in which a bolt circle is not as a row has it; only where nothing is may it be called by its name.

    A hole is compared where the row publishes one, a thread with the row's bolt. Spacing is compared where the counts
    are equal.
    """
    return tuple(_differences(circle, row))


def _differences(circle: BoltCircle, row: PublishedRow) -> Iterator[Difference]:
    if abs(circle.diameter - row.circle) > SAME:
        yield Difference(Figure.CIRCLE, circle.diameter, row.circle)
    if circle.hole_count != row.hole_count:
        yield Difference(Figure.HOLE_COUNT, circle.hole_count, row.hole_count)
    yield from _hole(circle, row)
    if circle.hole_count == row.hole_count:
        angles = [] if circle.equally_spaced else circle.place_angles
        yield from spacing_difference(circle.diameter, circle.hole_count, angles, row.angles)
    skipped = set(circle.skipped) - set(circle.elsewhere)
    if skipped:
        yield Difference(Figure.SKIPPED, len(skipped), 0)


def _hole(circle: BoltCircle, row: PublishedRow) -> Iterator[Difference]:
    match circle.kind:
        case Drilled() | Countersunk() | Counterbored() | Spotfaced():
            yield from _sized(circle.hole_diameter, row.hole_diameter)
        case Tapped():
            if row.thread is None or abs(circle.kind.major_diameter - row.thread) > SAME:
                yield Difference(Figure.THREAD, circle.kind.major_diameter, row.thread)
        case Slot() | Jack() | Dowel():
            yield Difference(Figure.KIND, None, None)
        case _:
            assert_never(circle.kind)


def _sized(drawn: float, published: float | None) -> Iterator[Difference]:
    if published is not None and abs(drawn - published) > SAME:
        yield Difference(Figure.HOLE, drawn, published)


def standing(drilling: Drilling) -> tuple[LookedUp, ...]:
    """Those of its looked-up sizes that the holes of a group still have."""
    return tuple(each for each in drilling.looked_up if abs(_size_made(drilling, each.made) - each.value) <= SAME)


def _size_made(drilling: Drilling, made: Made) -> float:
    """The size in mm that a table was asked for; NaN where the holes have none of that sort."""
    kind = drilling.kind
    match made:
        case Made.CLEARANCE_HOLE:
            return drilling.diameter
        case Made.TAP_DRILL:
            return drilling.diameter if isinstance(kind, Tapped | Jack) else math.nan
        case Made.COUNTERBORE:
            return kind.bore_diameter if isinstance(kind, Counterbored) else math.nan
        case Made.COUNTERSINK:
            return kind.head_diameter if isinstance(kind, Countersunk) else math.nan
        case Made.SPOTFACE:
            return kind.seat_diameter if isinstance(kind, Spotfaced) else math.nan
        case _:
            assert_never(made)


def _meant(circle: BoltCircle) -> frozenset[Figure]:
    origin = circle.origin
    return origin.meant if isinstance(origin, FromRow | NearestOf) else frozenset()


def spacing_difference(
    diameter: float, count: int, drawn: Sequence[float], published: Sequence[float]
) -> Iterator[Difference]:
    """The worst pair of neighbors, with the row's steps turned and mirrored to fit the drilling best.

    Args:
        diameter: Of the drilling's circle in mm.
        count: Holes of both.
        drawn: Angles of the drilling in degrees, in any order; empty for equal spacing.
        published: Those of the row, likewise.
    """
    if not drawn and not published:
        return
    here = _steps(drawn, count)
    there = _steps(published, count)
    turned = [steps[at:] + steps[:at] for steps in (there, there[::-1]) for at in range(count)]
    best = min(turned, key=lambda steps: max(abs(a - b) for a, b in zip(steps, here, strict=True)))
    pairs = [(_chord(diameter, a), _chord(diameter, b)) for a, b in zip(here, best, strict=True)]
    one, other = max(pairs, key=lambda pair: abs(pair[0] - pair[1]))
    if abs(one - other) > SAME:
        yield Difference(Figure.SPACING, one, other)


def _steps(angles: Sequence[float], count: int) -> list[float]:
    """Degrees from each hole to the next, once round."""
    if not angles:
        return [360.0 / count] * count
    places = sorted(angle % 360.0 for angle in angles)
    return [(after - place) % 360.0 or 360.0 for place, after in zip(places, places[1:] + places[:1], strict=True)]


def _chord(diameter: float, step: float) -> float:
    return diameter * math.sin(math.radians(step) / 2)
