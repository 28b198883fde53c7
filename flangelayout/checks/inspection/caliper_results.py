"""What an inspection by caliper finds: of every limit whether all, none or some of the allowed parts keep it."""

from enum import Enum
from typing import assert_never

from msgspec import Struct

from flangelayout.checks.inspection.results import Inspection, OtherSize, common_ends
from flangelayout.flange import Hole
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading

_SAME = 1e-6
"""In mm, how far past a limit a reading counts as on it."""


class Standing(Enum):
    """How a limit is kept by the parts that the readings allow."""

    KEPT = "kept"
    BROKEN = "broken"
    OPEN = "open"


class CaliperVerdict(Enum):
    """How the part stands as a whole."""

    PASS = "part passes"
    FAIL = "part does not pass"
    OPEN = "open"
    CONTRADICTORY = "readings contradict each other"
    UNJUDGED = "no tolerance is stated to judge the part by"


class Between(Struct, frozen=True):
    """Two holes, by label, from center to center."""

    first: str
    second: str


class CircleOf(Struct, frozen=True):
    """The circle through the holes of a group that fits them best, by the index of the group and its name."""

    group: int
    name: str


class WidthOf(Struct, frozen=True):
    """The diameter of a hole or the width of a slot, by label."""

    label: str
    is_slot: bool = False


class SizeOf(Struct, frozen=True):
    """A diameter of the plate: the bore or the outside."""

    kind: Kind


class AllPlaces(Struct, frozen=True):
    """The places of holes, by label, at the turn and shift of the drawing that suit them best."""

    labels: tuple[str, ...]


Judged = Between | CircleOf | WidthOf | SizeOf


def holes_of(what: Judged) -> frozenset[str]:
    """The holes that a length is between or of; none of a circle or of the plate."""
    match what:
        case Between(first=first, second=second):
            return frozenset((first, second))
        case WidthOf(label=label):
            return frozenset((label,))
        case CircleOf() | SizeOf():
            return frozenset()
        case _:
            assert_never(what)


class LimitResult(Struct, frozen=True):
    """One stated limit.

    Attributes:
        what: The length it is of.
        nominal: As drawn, in mm.
        low: The least it is in any allowed part, in mm; minus infinity where no reading holds it.
        high: The greatest, likewise.
        least: What it must be at least; minus infinity where nothing is stated.
        most: What it must be at most, likewise.
        source: Who states the limit.
        standing: Whether it is kept.
    """

    what: Judged
    nominal: float
    low: float
    high: float
    least: float
    most: float
    source: str
    standing: Standing


class PlacesResult(Struct, frozen=True):
    """Whether holes keep their zones, or let their bolts through, all at once.

    Attributes:
        what: The holes.
        zone: Diameter in mm of the narrowest zone; for bolts the room in diameter of the tightest hole and its mate.
        source: Who states it.
        least: How far in mm the worst hole is past its zone in the allowed part that keeps them best.
        most: The same in the part that keeps them worst, or a little more; infinite where no reading holds them.
        standing: Whether they are kept.
        alone: Where zones are not kept, the labels of the holes each of which can be the only one that is out: some
            allowed part keeps the others in theirs. Empty where two or more must be out, ``None`` where not asked.
        is_stated: Whether the job states the zones itself, so that no distances stand for them.
    """

    what: AllPlaces
    zone: float
    source: str
    least: float
    most: float
    standing: Standing
    alone: tuple[str, ...] | None = None
    is_stated: bool = False


class BoltsResult(Struct, frozen=True):
    """Whether the bolts of a group pass.

    Attributes:
        group: Index of the group.
        bolt: As written.
        places: Whether every bolt goes through both parts.
        mate_drawn: Whether the mate is taken as drilled as drawn, else as given.
        unread: Holes whose width was not read and is taken from the drawing, by label.
    """

    group: int
    bolt: str
    places: PlacesResult
    mate_drawn: bool
    unread: tuple[str, ...]


class ReadingResult(Struct, frozen=True):
    """One reading.

    Attributes:
        reading: As taken.
        labels: The holes it names.
        nominal: What it would be on a part as drawn, in mm; ``None`` for what the drawing does not have.
        limit: What is stated for the length it reads, where anything is.
        of_slot: Whether it is the width of a slot.
    """

    reading: Reading
    labels: tuple[str, ...]
    nominal: float | None
    limit: LimitResult | None
    of_slot: bool = False

    @property
    def is_out(self) -> bool:
        """Whether it lies outside of its limit as it was read, whatever it is good to: what a check card goes by."""
        if self.limit is None or self.nominal is None:
            return False
        off, of = self.reading.value - self.nominal, self.limit
        return not of.least - of.nominal - _SAME <= off <= of.most - of.nominal + _SAME


class WantedReading(Struct, frozen=True):
    """A reading that is worth taking: its kind, its holes by label, and what it would be on a part as drawn in mm."""

    kind: Kind
    labels: tuple[str, ...]
    expected: float


class CaliperInspection(Struct, frozen=True):
    """A part that was measured by caliper, against its drawing.

    Attributes:
        readings: In the order taken.
        contradicting: Places among the readings of those each of which, left out, lets the others agree.
        agree: Whether there is a part that all readings allow.
        limits: Every stated limit of a length.
        places: Whether all zones are kept; ``None`` where none is stated.
        bolts: One for each group whose bolt is known.
        together: Whether some allowed part keeps all limits at once.
        wanted: The further reading that narrows most of what is open; ``None`` where nothing is, or none would.
        likeliest: The part that fits the readings best, held against the drawing as if its places were known;
            ``None`` where the readings do not fix the places of two holes or more to each other.
        unread: What a check card has limits for and no reading is of.
        other_sizes: What has limits that readings are not held against.
        apart: The holes that no reading ties to most of the others, in their order.
        unasked: The holes whose width has limits, no box on a form and no reading, in their order.
        unlimited: The holes whose width was read and has no limits, in their order.
        threaded: The holes with threads, which no caliper judges, in their order.
        has_card: Whether the plate has a check card: it has patterns of holes.
    """

    readings: tuple[ReadingResult, ...]
    contradicting: tuple[int, ...]
    agree: bool
    limits: tuple[LimitResult, ...]
    places: PlacesResult | None
    bolts: tuple[BoltsResult, ...]
    together: bool
    wanted: WantedReading | None
    likeliest: Inspection | None
    unread: tuple[Judged, ...] = ()
    other_sizes: tuple[OtherSize, ...] = ()
    apart: tuple[Hole, ...] = ()
    unasked: tuple[Hole, ...] = ()
    unlimited: tuple[Hole, ...] = ()
    threaded: tuple[Hole, ...] = ()
    has_card: bool = True

    @property
    def out(self) -> tuple[ReadingResult, ...]:
        """The readings that lie outside of their limits as they were read."""
        return tuple(each for each in self.readings if each.is_out)

    @property
    def is_usable(self) -> bool:
        """Whether a check card filled in with these readings says that the holes are good, undisputed."""
        judged = any(each.limit is not None for each in self.readings) and not self.out and not self.unread
        is_placed = self.places is None or not self.places.is_stated or self.places.standing is Standing.KEPT
        is_known = all(each.is_known for each in self.other_sizes)
        return judged and is_placed and is_known and self.verdict in (CaliperVerdict.PASS, CaliperVerdict.OPEN)

    @property
    def are_bolts_stopped(self) -> bool:
        """Whether some of the bolts that were tried surely do not pass."""
        return any(each.places.standing is Standing.BROKEN for each in self.bolts)

    @property
    def standings(self) -> tuple[Standing, ...]:
        """How every stated limit stands."""
        stated = [each.standing for each in self.limits]
        return (*stated, self.places.standing) if self.places else tuple(stated)

    @property
    def suspects(self) -> frozenset[str]:
        """The hole at which every length between holes that fails ends, where more than one fails."""
        broken = [each.what for each in self.limits if each.standing is Standing.BROKEN]
        return common_ends(frozenset((what.first, what.second)) for what in broken if isinstance(what, Between))

    @property
    def verdict(self) -> CaliperVerdict:
        """Pass only if every allowed part keeps every limit of the drawing, fail only if none keeps all of them."""
        if not self.agree:
            return CaliperVerdict.CONTRADICTORY
        if not self.standings and all(each.is_known for each in self.other_sizes):
            return CaliperVerdict.UNJUDGED
        if Standing.BROKEN in self.standings or not self.together:
            return CaliperVerdict.FAIL
        is_open = Standing.OPEN in self.standings or self.other_sizes or self.apart or self.unlimited
        return CaliperVerdict.OPEN if is_open else CaliperVerdict.PASS
