"""What a plate is bolted up with: which fastener each group of holes takes, how long, how many, and what lies between.

A length adds up from the parts it goes through; nothing is ordered where the holes or the job do not say what.
"""

import math
from collections.abc import Iterator
from enum import Enum

from msgspec import Struct

from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilling,
    Flange,
    Hole,
    HoleKind,
    Jack,
    Tapped,
)
from flangelayout.flange.claims import named_rows
from flangelayout.flange.drilling import Fastener, Joint
from flangelayout.flange.joints import Mate, mates_by_group
from flangelayout.flange.origin import PublishedRow
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.provenance import Family
from flangelayout.standards.bolting import BoltSize, bolt_size
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.seals import gasket_thickness
from flangelayout.standards.joints.stock import StockKind, has_shank, next_stock
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, to_mm

PITCHES_PAST = 2
"""Threads that show beyond a nut (common practice, no source)."""
USUAL_ENGAGEMENT = 1.0
"""Thread that a screw takes in a tapped hole, as a multiple of its diameter (common practice for steel)."""
PIN_IN_MATE = 1.5
"""How far a dowel pin goes into the mate, as a multiple of its diameter (common practice, no source)."""
_OWN_BOLTS = frozenset({Family.CHAINRING, Family.WHEEL_HUB, Family.SAW_BLADE})
"""Families that are bolted by screws and nuts of their own."""


class FastenerKind(Enum):
    """What goes into the holes; the value is what it is called."""

    HEX_BOLT = "hexagon bolt"
    HEX_SCREW = "hexagon screw"
    STUD = "stud"
    CAP_SCREW = "socket head cap screw"
    FLAT_SCREW = "countersunk socket screw"
    JACK_SCREW = "jack screw, hexagon"
    DOWEL = "dowel pin"


class Through(Enum):
    """What a length is made up of."""

    PLATE = "plate"
    MATE = "mate"
    GASKET = "gasket"
    WASHERS = "washer"
    NUTS = "nut"
    THREADS = "thread past the nut"
    IN_PLATE = "thread in the plate"
    IN_MATE = "thread in the mate"
    PIN_IN_MATE = "pin in the mate"
    PUSH = "push"


class Summand(Struct, frozen=True):
    """A part of a length: how much in mm, how many where it is counted, whether it is only assumed."""

    what: Through
    length: float
    count: int = 1
    assumed: bool = False


class NotListed(Enum):
    """Why nothing is ordered for a group of holes."""

    UNKNOWN_SIZE = "unknown size"
    DOES_NOT_PASS = "does not pass"
    NO_THICKNESS = "no thickness"
    WITH_OTHER_PART = "with other part"
    NO_STOCK = "no stock length"
    NOTHING_HELD = "nothing held"
    OWN_BOLTS = "own bolts"


class LeftOut(Struct, frozen=True):
    """A group of holes that nothing is ordered for: its index, the bolt or thread, and why.

    Where no stock length fits, ``length`` is the shortest that engages and ``over`` how far it is too long, in mm;
    ``assumed`` where that hangs on a mate that is only taken to be as thick as the plate.
    """

    group: int
    name: str
    why: NotListed
    length: float = 0.0
    over: float = 0.0
    assumed: bool = False


class Hardware(Struct, frozen=True):
    """The fasteners of one group of holes.

    Attributes:
        group: Index of the group, -1 for single holes.
        kind: What they are.
        name: Thread or size, with the pitch where it is not the usual one: ``M20``, ``M16x1.5``.
        grade: Strength class as the job writes it with the bolt; empty where it does not.
        diameter: Nominal, in mm.
        pitch: Of the thread in mm; 0 of a pin.
        unit: Whether it is a metric or an inch size.
        count: Of the fasteners.
        summands: What the length adds up from.
        length: That is bought, in mm.
        nuts: For all of them.
        washers: For all of them.
        gasket: Thickness in mm of what lies between; ``None`` for nothing.
        gasket_stated: Whether the job says how thick it is.
        spare: How much longer in mm it may be before it meets an end of its thread; ``None`` where there is none.
    """

    group: int
    kind: FastenerKind
    name: str
    grade: str
    diameter: float
    pitch: float
    unit: Unit
    count: int
    summands: tuple[Summand, ...]
    length: float
    nuts: int = 0
    washers: int = 0
    gasket: float | None = None
    gasket_stated: bool = False
    spare: float | None = None

    @property
    def wanted(self) -> float:
        """What the parts of the length add up to, in mm."""
        return sum(each.length for each in self.summands)


class _Ordered(Struct, frozen=True):
    """One group of holes with what is known of its joint."""

    flange: Flange
    group: int
    holes: tuple[Hole, ...]
    drilling: Drilling
    mate: Mate | None
    rows: tuple[PublishedRow, ...]

    @property
    def families(self) -> set[Family]:
        """Of the rows that the group names."""
        return {row.family for row in self.rows}

    @property
    def names_plain_holes(self) -> bool:
        """Whether it names a published drilling, and that one has no threads: what bolts to it takes nuts."""
        return bool(self.rows) and not any(row.tapped for row in self.rows)

    @property
    def joint(self) -> Joint:
        return self.drilling.joint

    @property
    def name(self) -> str:
        """The bolt as written, or the thread."""
        kind = self.drilling.kind
        return kind.thread if isinstance(kind, Tapped | Jack) else self.drilling.bolt.strip()


def hardware_of(flange: Flange) -> tuple[Hardware | LeftOut, ...]:
    """What every group of holes is bolted up with, or why nothing is ordered for it; nothing for a gasket."""
    if is_gasket_material(flange.material):
        return ()
    return tuple(found for asked in _groups(flange) if (found := _hardware(asked)) is not None)


def _groups(flange: Flange) -> Iterator[_Ordered]:
    """Every bolt circle and pattern, and the single holes that are alike together."""
    mates = mates_by_group(flange.mates)
    holes: dict[int, list[Hole]] = {}
    for hole in flange.holes():
        holes.setdefault(hole.group, []).append(hole)
    for group, what in enumerate(flange.groups()):
        rows = named_rows(what) if isinstance(what, BoltCircle) else ()
        yield _Ordered(flange, group, tuple(holes[group]), what.drilling, mates.get(group), rows)
    alike: dict[tuple[HoleKind, str, float], list[tuple[Drilling, Hole]]] = {}
    for single, hole in zip(flange.single_holes, holes.get(-1, []), strict=True):
        made = single.drilling
        alike.setdefault((made.kind, made.bolt, made.diameter), []).append((made, hole))
    for same in alike.values():
        yield _Ordered(flange, -1, tuple(hole for _, hole in same), same[0][0], None, ())


def _hardware(asked: _Ordered) -> Hardware | LeftOut | None:  # noqa: PLR0911 - a line for each kind
    """The fasteners of a group; ``None`` where nothing says that anything goes in."""
    kind = asked.drilling.kind
    if asked.joint.fastener is Fastener.NONE or asked.drilling.is_lifting:
        return None
    if isinstance(kind, Dowel):
        return _pins(asked)
    plain = not isinstance(kind, Tapped | Jack | Counterbored | Countersunk)
    if not asked.name or (plain and asked.group < 0):
        return None
    why = _obstacle(asked)
    if why is not None:
        return LeftOut(asked.group, asked.name, why)
    size = bolt_size(asked.name)
    assert size is not None
    if isinstance(kind, Jack):
        return _jack_screws(asked, size)
    if isinstance(kind, Tapped):
        return _into_the_plate(asked, size)
    return _through_the_plate(asked, size)


def _obstacle(asked: _Ordered) -> NotListed | None:
    """What keeps the fasteners of a group from being ordered."""
    kind, size = asked.drilling.kind, bolt_size(asked.name)
    if asked.joint.bolts_with:
        return NotListed.WITH_OTHER_PART
    if asked.families & _OWN_BOLTS:
        return NotListed.OWN_BOLTS
    if isinstance(kind, Tapped) and asked.group < 0:
        return NotListed.NOTHING_HELD
    if size is None:
        return NotListed.UNKNOWN_SIZE
    if not isinstance(kind, Tapped | Jack) and size.diameter > asked.drilling.diameter + 1e-6:
        return NotListed.DOES_NOT_PASS
    return NotListed.NO_THICKNESS if asked.flange.thickness is None else None


def _named(name: str, size: BoltSize) -> tuple[str, float, str]:
    """What a bolt is called, its pitch in mm, and its strength class."""
    bolt = known_bolt(name)
    if bolt is None or bolt.pitch is None or abs(bolt.pitch - size.pitch) < 1e-6:
        return size.name, size.pitch, bolt.grade if bolt else ""
    fine = (
        f"{size.name}x{bolt.pitch:g}" if size.unit is Unit.MM else f"{size.name}-{to_mm(1.0, Unit.IN) / bolt.pitch:g}"
    )
    return fine, bolt.pitch, bolt.grade


def _through_the_plate(asked: _Ordered, size: BoltSize) -> Hardware | LeftOut:
    """A bolt, stud or screw that goes through the plate, into a nut behind the mate or into its thread."""
    kind, tapped = asked.drilling.kind, asked.mate is not None and asked.mate.is_tapped
    sunk = isinstance(kind, Counterbored | Countersunk)
    into_mate = tapped or (sunk and asked.mate is None and not asked.names_plain_holes)
    stud = asked.joint.fastener is Fastener.STUD and not sunk
    parts = [Summand(Through.PLATE, _grip(asked))]
    washers = 0 if sunk else asked.joint.washers
    if into_mate:
        parts.append(Summand(Through.IN_MATE, USUAL_ENGAGEMENT * size.diameter, assumed=asked.mate is None))
        washers, nuts = min(washers, 1), 1 if stud else 0
    else:
        parts.append(_mate_thickness(asked))
        nuts = 2 if stud else 1
        washers = min(asked.joint.washers, 1) if sunk else washers
    parts += (*_between(asked, size), *_ends(size, nuts, washers))
    spare = _spare_in_mate(asked, size) if into_mate and not stud else math.inf
    most = sum(each.length for each in parts) + spare
    what = _head(kind, stud, into_mate)
    return _bought(asked, size, what, parts, (nuts, washers), most)


def _head(kind: object, stud: bool, into_mate: bool) -> FastenerKind:
    if isinstance(kind, Counterbored):
        return FastenerKind.CAP_SCREW
    if isinstance(kind, Countersunk):
        return FastenerKind.FLAT_SCREW
    if stud:
        return FastenerKind.STUD
    return FastenerKind.HEX_SCREW if into_mate else FastenerKind.HEX_BOLT


def _into_the_plate(asked: _Ordered, size: BoltSize) -> Hardware | LeftOut:
    """A screw through the mate into the plate's thread, or a stud with a nut on the mate."""
    kind = asked.drilling.kind
    assert isinstance(kind, Tapped)
    there = asked.flange.metal_at(asked.holes[0], asked.flange.thickness or 0.0)
    thread = there if kind.depth is None else kind.depth
    engaged = min(USUAL_ENGAGEMENT * size.diameter, thread)
    stud, washers = asked.joint.fastener is Fastener.STUD, min(asked.joint.washers, 1)
    parts = [Summand(Through.IN_PLATE, engaged), _mate_thickness(asked), *_between(asked, size)]
    parts += _ends(size, 1 if stud else 0, washers)
    most = math.inf if stud else sum(each.length for each in parts) - engaged + thread
    what = FastenerKind.STUD if stud else FastenerKind.HEX_SCREW
    return _bought(asked, size, what, parts, (1 if stud else 0, washers), most)


def _jack_screws(asked: _Ordered, size: BoltSize) -> Hardware | LeftOut:
    """Screws with thread to the head that push the joint apart: through the plate and their own diameter on."""
    there = asked.flange.metal_at(asked.holes[0], asked.flange.thickness or 0.0)
    parts = [Summand(Through.PLATE, there), Summand(Through.PUSH, size.diameter)]
    return _bought(asked, size, FastenerKind.JACK_SCREW, parts, (0, 0), math.inf)


def _pins(asked: _Ordered) -> Hardware | LeftOut:
    """Dowel pins through the plate and into the mate."""
    diameter, thickness = asked.drilling.diameter, asked.flange.thickness
    unit = Unit.MM if abs(diameter - round(diameter, 1)) < 1e-6 else Unit.IN
    if any(circle.joint.bolts_with for circle in asked.flange.bolt_circles):
        return LeftOut(asked.group, f"{diameter:g} mm pin", NotListed.WITH_OTHER_PART)
    if thickness is None:
        return LeftOut(asked.group, f"{diameter:g} mm pin", NotListed.NO_THICKNESS)
    there = asked.flange.metal_at(asked.holes[0], thickness)
    parts = (Summand(Through.PLATE, there), Summand(Through.PIN_IN_MATE, PIN_IN_MATE * diameter, assumed=True))
    length = next_stock(sum(each.length for each in parts), unit, StockKind.PIN)
    return Hardware(asked.group, FastenerKind.DOWEL, "", "", diameter, 0.0, unit, len(asked.holes), parts, length)


def _between(asked: _Ordered, size: BoltSize) -> Iterator[Summand]:
    """The gasket, where something says that the joint is sealed."""
    gasket, stated = gasket_thickness(asked.flange, asked.group, size.unit)
    if gasket:
        yield Summand(Through.GASKET, gasket, assumed=not stated)


def _mate_thickness(asked: _Ordered) -> Summand:
    """As the job says, of the mate or of the circle; else as thick as the plate."""
    known = asked.mate.thickness if asked.mate and asked.mate.thickness is not None else asked.joint.mate_thickness
    if known is not None:
        return Summand(Through.MATE, known)
    return Summand(Through.MATE, asked.flange.thickness or 0.0, assumed=True)


def _ends(size: BoltSize, nuts: int, washers: int) -> Iterator[Summand]:
    if washers and size.washer_thickness:
        yield Summand(Through.WASHERS, washers * size.washer_thickness, washers)
    if nuts:
        yield Summand(Through.NUTS, nuts * size.nut_height, nuts)
        yield Summand(Through.THREADS, nuts * PITCHES_PAST * size.pitch, nuts * PITCHES_PAST)


def _grip(asked: _Ordered) -> float:
    """Plate in mm from where the head bears to where the mate lies."""
    flange, hole = asked.flange, asked.holes[0]
    face = asked.mate.face if asked.mate else PlateFace.FACE
    away = ORIGIN.distance_to(hole.center)
    under = flange.profile.of(face.other).depth_at(away)
    reach = (asked.mate.outside_diameter or math.inf) / 2 if asked.mate else math.inf
    plane = flange.profile.of(face).highest((flange.bore or 0.0) / 2, max(reach, away))
    whole = (flange.thickness or 0.0) - under - plane
    return whole - asked.drilling.kind.depth if isinstance(asked.drilling.kind, Counterbored) else whole


def _spare_in_mate(asked: _Ordered, size: BoltSize) -> float:
    """How much longer a screw may be before it meets the bottom of the mate's thread, in mm."""
    theirs = asked.mate.circle.kind if asked.mate and asked.mate.circle else None
    if isinstance(theirs, Tapped) and theirs.depth is not None:
        return theirs.depth - USUAL_ENGAGEMENT * size.diameter
    return math.inf


def _bought(
    asked: _Ordered,
    size: BoltSize,
    kind: FastenerKind,
    parts: list[Summand],
    each_takes: tuple[int, int],
    most: float,
) -> Hardware | LeftOut:
    """The next length that is sold, unless it would meet the bottom of a thread; a stud stands out past its nut."""
    nuts, washers = each_takes
    wanted, count = sum(part.length for part in parts), len(asked.holes)
    stock = StockKind.STUD if kind is FastenerKind.STUD else StockKind.BOLT if nuts else StockKind.SCREW
    length = next_stock(wanted, size.unit, stock)
    if length > most + 1e-6:
        assumed = any(part.what is Through.MATE and part.assumed for part in parts)
        return LeftOut(asked.group, asked.name, NotListed.NO_STOCK, length, length - most, assumed)
    if kind is FastenerKind.HEX_BOLT and not has_shank(size.diameter, length, size.unit):
        kind = FastenerKind.HEX_SCREW
    name, pitch, grade = _named(asked.name, size)
    gasket, stated = gasket_thickness(asked.flange, asked.group, size.unit)
    return Hardware(
        group=asked.group,
        kind=kind,
        name=name,
        grade=grade,
        diameter=size.diameter,
        pitch=pitch,
        unit=size.unit,
        count=count,
        summands=tuple(parts),
        length=length,
        nuts=nuts * count,
        washers=washers * count if size.washer_thickness else 0,
        gasket=None if kind is FastenerKind.JACK_SCREW else gasket,
        gasket_stated=stated,
        spare=None if math.isinf(most) else most - length,
    )
