"""Two flanges face to face: how one pattern lies best on the other, and whether bolts go through both."""

import math
from collections.abc import Sequence
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.checks.fitting.matching import MAX_HOLES, Match, best_match
from flangelayout.checks.fitting.minimax import Placing
from flangelayout.errors import GeometryError
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Drilling, Flange, Hole, Jack, Slot, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Point
from flangelayout.problems.checks import CheckProblem
from flangelayout.standards import Pattern
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.seals import known_joint_face
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

TOUCH = 1e-7
"""In mm: a bolt that just touches goes through."""
_ALIKE = 1e-5
_SAME_THREAD = 0.01
"""In mm: diameters of a bolt and of a thread that it screws into."""


class MatingVerdict(Enum):
    """Whether the bolts go through; never more than that."""

    PASS = "bolts pass"
    FAIL = "bolts do not pass"


class Hindrance(Enum):
    """What keeps a bolt from joining two sides, whatever room its holes have."""

    OTHER_THREAD = "tapped for another bolt"
    BOTH_TAPPED = "both tapped"
    CLOSED_THREAD = "threads closed toward the other part"
    SEAT_INSIDE = "heads sunk toward the other part"


class Handed(Enum):
    """Which way round the second flange fits, seen against the first."""

    EITHER = "fits face to face and also turned over"
    FACE_TO_FACE = "fits face to face only; turned over it does not"
    TURNED_OVER = "does not fit face to face; turned over it would"
    NEITHER = "fits neither face to face nor turned over"


class SideHole(Struct, frozen=True):
    """A hole as a bolt sees it: its label, center and width in mm."""

    label: str
    center: Point
    diameter: float


class Side(Struct, frozen=True):
    """One pattern of one of the two flanges, seen from the face that it is drawn from.

    Attributes:
        name: The flange: a job's number and title, or a designation.
        pattern: The pattern in words; empty where the flange has only one.
        holes: Its holes.
        bolt: Bolt that its drawing or table names; may be empty.
        outside_diameter: Of the flange, ``None`` where it is not round or not known.
        bore: ``None`` for a blind or where it is not known.
        letter: Of the pattern, where the flange has several.
        called: What the shop calls the pattern.
        thread: Of tapped holes; empty where a bolt goes through.
        blind_from: The face that blind threads open at; ``None`` for what goes right through.
        sunk_from: The face that heads are sunk into; ``None`` where none are.
        joint_face: The face that lies on the other part; ``None`` where that is only taken to be the one it is drawn
            from.
        slot_length: Of slots in mm, over all; ``None`` of holes. They are taken as round holes at their middles.
    """

    name: str
    pattern: str
    holes: tuple[SideHole, ...]
    bolt: str = ""
    outside_diameter: float | None = None
    bore: float | None = None
    letter: str = ""
    called: str = ""
    thread: str = ""
    blind_from: PlateFace | None = None
    sunk_from: PlateFace | None = None
    joint_face: PlateFace | None = None
    slot_length: float | None = None

    def takes(self, bolt_diameter: float) -> bool:
        """Whether a bolt of this diameter is that of the thread, where there is one."""
        return not self.thread or all(abs(hole.diameter - bolt_diameter) < _SAME_THREAD for hole in self.holes)

    def hindrances(self, bolt_diameter: float) -> tuple[Hindrance, ...]:
        """What keeps a bolt of this diameter from joining it, whatever the other one is."""
        face = self.joint_face
        found = (
            (Hindrance.OTHER_THREAD, not self.takes(bolt_diameter)),
            (Hindrance.CLOSED_THREAD, face is not None and self.blind_from is face.other),
            (Hindrance.SEAT_INSIDE, face is not None and self.sunk_from is face),
        )
        return tuple(hindrance for hindrance, is_so in found if is_so)

    def mirrored(self) -> "Side":
        """The pattern seen from behind, turned over about its vertical centerline."""
        holes = tuple(replace(hole, center=Point(-hole.center.x, hole.center.y)) for hole in self.holes)
        return replace(self, holes=holes)

    def centers(self) -> "FloatArray":
        """Hole centers in mm, shape (n, 2)."""
        import numpy as np

        return np.array([(hole.center.x, hole.center.y) for hole in self.holes])

    def clearances(self, bolt_diameter: float) -> "FloatArray":
        """Radial room of the bolt in each hole, negative where the hole is smaller."""
        import numpy as np

        room: FloatArray = (np.array([hole.diameter for hole in self.holes]) - bolt_diameter) / 2
        return room


class MatedBolt(Struct, frozen=True):
    """One bolt: the holes it goes through, how far their centers are apart and how far it can still move, in mm."""

    a: str
    b: str
    offset: float
    clearance: float


class HolesToOpen(Struct, frozen=True):
    """Diameters in mm that holes must be opened to, at the best turn, so that the bolts pass.

    Attributes:
        a_only: Holes of the first flange, the second left as it is; ``None`` where that does not help.
        b_only: The same the other way round.
        both: Holes of both to one diameter; ``None`` where one side is tapped: a thread is not opened.
    """

    a_only: float | None
    b_only: float | None
    both: float | None


class EdgeStep(Struct, frozen=True):
    """Edges of two round parts, one on the other: the second stands out by ``least`` to ``most`` mm, or back if < 0."""

    a: float
    b: float
    least: float
    most: float


class Mating(Struct, frozen=True):
    """Two patterns at the best turn and shift.

    Attributes:
        a: The first side, as it is.
        b: The second, as it was laid on the first (mirrored for face to face), not yet placed.
        bolt: The bolt as written.
        bolt_diameter: In mm.
        placing: Turn and shift of the second.
        bolts: In order of the first side's holes.
        unmatched_a: Holes of the first side without a partner.
        unmatched_b: Holes of the second side without a partner.
        opening: What to open where the bolts do not pass.
        handed: The mirror check.
        outside: Step at the outside diameters, where both are known.
        bore: Step at the bores.
    """

    a: Side
    b: Side
    bolt: str
    bolt_diameter: float
    placing: Placing
    bolts: tuple[MatedBolt, ...]
    unmatched_a: tuple[str, ...]
    unmatched_b: tuple[str, ...]
    opening: HolesToOpen | None
    handed: Handed
    outside: EdgeStep | None
    bore: EdgeStep | None

    @property
    def worst_offset(self) -> float:
        """The greatest distance between two matched centers in mm."""
        return max(bolt.offset for bolt in self.bolts)

    @property
    def least_clearance(self) -> float:
        """How far the tightest bolt can still move along its tight direction, in mm."""
        return min(bolt.clearance for bolt in self.bolts)

    @property
    def hindrances(self) -> tuple[tuple[Hindrance, str], ...]:
        """What keeps bolts from joining them, each with the side, A or B, that it is of; empty for both."""
        both = ((Hindrance.BOTH_TAPPED, ""),) if self.a.thread and self.b.thread else ()
        sides = (("A", self.a), ("B", self.b))
        return (*((each, name) for name, side in sides for each in side.hindrances(self.bolt_diameter)), *both)

    @property
    def goes_through(self) -> bool:
        """Whether there is room for a bolt in every hole of both."""
        return not self.unmatched_a and not self.unmatched_b and self.least_clearance >= -TOUCH

    @property
    def verdict(self) -> MatingVerdict:
        """Whether a bolt goes through every hole of both, or screws in."""
        fits = self.goes_through and not self.hindrances
        return MatingVerdict.PASS if fits else MatingVerdict.FAIL

    @property
    def limiting(self) -> tuple[MatedBolt, ...]:
        """The bolts with the least clearance."""
        least = self.least_clearance
        return tuple(bolt for bolt in self.bolts if bolt.clearance < least + _ALIKE)


def sides_of(flange: Flange, name: str) -> tuple[Side, ...]:
    """One side for each group of holes of a plate; single holes are vents and drains, no bolt goes through."""
    holes = flange.holes()
    sides = []
    for group, what in enumerate(flange.groups()):
        letter = flange.group_letter(group)
        label, drilling = flange.group_name(group) if letter else "", what.drilling
        own = tuple(SideHole(hole.label, hole.center, bolt_width(hole)) for hole in holes if hole.group == group)
        part = flange.round_diameter, flange.bore
        thread, face = _threaded(drilling), known_joint_face(flange, group)
        slot = drilling.kind.length if isinstance(drilling.kind, Slot) else None
        sunk = drilling.worked_from if isinstance(drilling.kind, Counterbored | Countersunk) else None
        sides.append(Side(name, label, own, drilling.bolt, *part, letter, drilling.name, *thread, sunk, face, slot))
    return tuple(sides)


def _threaded(drilling: Drilling) -> tuple[str, PlateFace | None]:
    """The thread of tapped holes, and the face that it opens at where it is blind."""
    kind = drilling.kind
    if not isinstance(kind, Tapped | Jack):
        return "", None
    blind = isinstance(kind, Tapped) and kind.depth is not None
    return kind.thread, drilling.worked_from if blind else None


def bolt_width(hole: Hole) -> float:
    """What a bolt has to go through: a thread's nominal diameter, a slot's width, else the hole."""
    return hole.kind.major_diameter if isinstance(hole.kind, Tapped | Jack) else hole.diameter


def side_of_pattern(pattern: Pattern) -> Side:
    """The side of a published drilling, its holes straddling the centerlines.

    Raises:
        GeometryError: If the table lists no hole, or the holes are not equally spaced.
    """
    if pattern.hole_diameter is None:
        raise GeometryError.of(CheckProblem.PATTERN_WITHOUT_HOLE, standard=pattern.designation)
    if not pattern.equally_spaced:
        raise GeometryError.of(CheckProblem.PATTERN_UNEQUAL, standard=pattern.designation)
    circle = BoltCircle(pattern.bolt_circle, pattern.hole_count, pattern.hole_diameter, bolt=pattern.bolt or "")
    side = side_of_circle(circle, pattern.designation)
    bore = pattern.bore if pattern.register is None else None
    return replace(side, outside_diameter=pattern.outside_diameter, bore=bore, joint_face=PlateFace.FACE)


def side_of_circle(circle: BoltCircle, name: str = "") -> Side:
    """The side of one bolt circle about the middle of its part."""
    width = circle.kind.major_diameter if isinstance(circle.kind, Tapped | Jack) else circle.hole_diameter
    places = zip(circle.hole_numbers(), circle.hole_centers(), strict=True)
    holes = tuple(SideHole(str(number), center, width) for number, center in places)
    return Side(name, "", holes, circle.bolt)


def mate(
    sides_a: Sequence[Side],
    sides_b: Sequence[Side],
    bolt: str | None = None,
    face_to_face: bool = True,
) -> Mating:
    """The two patterns, one of each flange, that fit each other best, at the best turn and shift.

    A bolt of diameter d goes through a hole D1 and a hole D2 whose centers are apart by ``offset`` as long as
    (D1 - d) / 2 + (D2 - d) / 2 - offset is not negative; that is how far it can still move. The best placing
    is the one that leaves the tightest bolt the most.

    Args:
        sides_a: Patterns of the first flange.
        sides_b: Patterns of the second; it is turned and shifted.
        bolt: The bolt as written; ``None`` for the one that the first pattern names, else the second, else a thread.
        face_to_face: Whether the joint faces meet, as those of flanges do: the second is turned over, unless the
            joint face of just one lies behind the face it is drawn from. Otherwise both are taken as seen from the
            same side.

    Raises:
        GeometryError: If a flange has no pattern or more holes than can be compared, or no bolt is known.
    """
    for side in (*sides_a, *sides_b):
        if len(side.holes) > MAX_HOLES:
            raise GeometryError.of(
                CheckProblem.TOO_MANY_TO_COMPARE, side=side.name, count=len(side.holes), most=MAX_HOLES
            )
    pairs = [
        (a, b.mirrored() if face_to_face and _face_alike(a, b) else b)
        for a in sides_a
        for b in sides_b
        if a.holes and b.holes
    ]
    if not pairs:
        raise GeometryError.of(CheckProblem.NO_HOLES_TO_LAY)
    same_count = [pair for pair in pairs if len(pair[0].holes) == len(pair[1].holes)]
    laid = [_laid(*pair) for pair in _bolted(same_count or pairs, bolt)]
    best = max(laid, key=lambda found: (found.verdict is MatingVerdict.PASS, round(found.least_clearance, 6)))
    return replace(best, handed=_handed(best))


def _bolted(pairs: Sequence[tuple[Side, Side]], bolt: str | None) -> list[tuple[Side, Side, str, float]]:
    """The pairs whose bolt is known, each with its name and its diameter in mm."""
    bolts = [(a, b, bolt or a.bolt or b.bolt or a.thread or b.thread) for a, b in pairs]
    known = [(a, b, name, found.diameter) for a, b, name in bolts if (found := known_bolt(name))]
    if not known:
        named = next((name for _, _, name in bolts if name), "")
        if named:
            raise GeometryError.of(CheckProblem.NOT_A_BOLT, written=named)
        raise GeometryError.of(CheckProblem.NO_BOLT_NAMED)
    return known


def _face_alike(a: Side, b: Side) -> bool:
    """Whether both are joined at the face they are drawn from, or both at their backs."""
    return (a.joint_face is PlateFace.BACK) is (b.joint_face is PlateFace.BACK)


def _laid(a: Side, b: Side, bolt: str, diameter: float) -> Mating:
    """Two patterns at their best, the mirror check left open."""
    room_a, room_b = a.clearances(diameter), b.clearances(diameter)
    found = best_match(a.centers(), b.centers(), room_a, room_b)
    bolts = tuple(
        MatedBolt(a.holes[i].label, b.holes[j].label, offset, bolt_clearance(room_a[i], room_b[j], offset))
        for i, j, offset in zip(found.first, found.second, found.offsets, strict=True)
    )
    is_hindered = bool(a.hindrances(diameter) or b.hindrances(diameter))
    needs_room = min(each.clearance for each in bolts) < -TOUCH and not is_hindered
    return Mating(
        a=a,
        b=b,
        bolt=bolt.strip(),
        bolt_diameter=diameter,
        placing=found.placing,
        bolts=bolts,
        unmatched_a=tuple(hole.label for i, hole in enumerate(a.holes) if i not in set(found.first)),
        unmatched_b=tuple(hole.label for j, hole in enumerate(b.holes) if j not in set(found.second)),
        opening=_opening(a, b, found, diameter) if needs_room else None,
        handed=Handed.EITHER,
        outside=_step(a.outside_diameter, b.outside_diameter, found.placing),
        bore=_step(a.bore, b.bore, found.placing),
    )


def bolt_clearance(room_a: float, room_b: float, offset: float) -> float:
    """How much farther apart a bolt's holes may lie; negative where it does not pass: what is lacking."""
    least = min(room_a, room_b)
    together = room_a + room_b - offset
    return float(together if least >= 0 else min(least, together))


def _opening(a: Side, b: Side, found: Match, diameter: float) -> HolesToOpen:
    """What to open, to hundredths of a mm upward."""

    def only(opened: str) -> float | None:
        if (a if opened == "a" else b).thread:
            return None
        need = 0.0
        for i, j, offset in zip(found.first, found.second, found.offsets, strict=True):
            kept = (b.holes[j] if opened == "a" else a.holes[i]).diameter
            if kept < diameter:
                return None
            need = max(need, diameter + 2 * offset - (kept - diameter))
        return _up(max(need, diameter))

    both = None if a.thread or b.thread else _up(diameter + max(found.offsets))
    return HolesToOpen(only("a"), only("b"), both)


def _up(diameter: float) -> float:
    return math.ceil(diameter * 100 - 1e-6) / 100


def _step(a: float | None, b: float | None, placing: Placing) -> EdgeStep | None:
    if a is None or b is None:
        return None
    shift = math.hypot(placing.shift_x, placing.shift_y)
    return EdgeStep(a, b, (b - a) / 2 - shift, (b - a) / 2 + shift)


def _handed(found: Mating) -> Handed:
    """Whether the second flange turned over once more fits as well."""
    over = _laid(found.a, found.b.mirrored(), found.bolt, found.bolt_diameter)
    fits, fits_over = found.goes_through, over.goes_through
    if fits != fits_over:
        return Handed.FACE_TO_FACE if fits else Handed.TURNED_OVER
    return Handed.EITHER if fits else Handed.NEITHER
