"""The plate and everything drilled in it."""

import re
from dataclasses import dataclass, field
from enum import Enum

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.groups import Group, SingleHole, group_letter, group_name, placed_holes, table_keys
from flangelayout.flange.hole import Hole
from flangelayout.flange.joints import Mate
from flangelayout.flange.joints.pipe import PipeBore
from flangelayout.flange.outline import (
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    check_radii,
    check_sizes,
)
from flangelayout.flange.paddles import FigureEightOutline, PaddleOutline
from flangelayout.flange.pattern import HolePattern
from flangelayout.flange.segments import SegmentOutline, SplitOutline
from flangelayout.flange.turning import PlateFace, PlateProfile, Turned, plate_profile, raised_face
from flangelayout.geometry.measure import Edge, Spine, spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Point, extent
from flangelayout.problems.flange import FlangeProblem
from flangelayout.units import Unit, inch_places, is_exact_at
from flangelayout.value import replace

Outline = (
    RoundOutline
    | RectangleOutline
    | OvalOutline
    | LozengeOutline
    | LuggedOutline
    | PathOutline
    | PaddleOutline
    | FigureEightOutline
    | SegmentOutline
    | SplitOutline
)


class RoundForm(Struct, frozen=True):
    """A round opening; ``diameter`` in mm."""

    diameter: float


class RectangleForm(Struct, frozen=True):
    """A rectangle, ``width`` along x before it is turned, its corners rounded; in mm."""

    width: float
    height: float
    corner_radius: float = 0.0


class SlotForm(Struct, frozen=True):
    """A slot with round ends, ``length`` over all, along x before it is turned; in mm."""

    width: float
    length: float


class WindowForm(Struct, frozen=True):
    """A window between two circles about the middle of the plate, ``sweep`` degrees wide, its corners rounded."""

    inner_diameter: float
    outer_diameter: float
    sweep: float
    corner_radius: float = 0.0


OpeningForm = RoundForm | RectangleForm | SlotForm | WindowForm


class Opening(Struct, frozen=True):
    """An opening of the plate.

    Attributes:
        shape: Its edge.
        number: Of the job's openings, from 1; 0 for the one the plate's bore gives.
        called: What it is called: ``opening 2 (window)``.
        copy: Which copy it is, from 1, where it repeats; 0 where it stands once.
        form: What it was made from; ``None`` where only its edge is known.
        middle: Of its form; a window's is that of the plate.
        turned_by: Degrees counter-clockwise; of a window, the direction of its middle.
    """

    shape: Edge
    number: int
    called: str
    copy: int = 0
    form: OpeningForm | None = None
    middle: Point = ORIGIN
    turned_by: float = 0.0

    @property
    def is_bore(self) -> bool:
        """Whether the plate's own bore makes it."""
        return self.number == 0

    @property
    def name(self) -> str:
        """What it is called, with its copy: ``opening 2 (window), copy 1``."""
        return f"{self.called}, copy {self.copy}" if self.copy else self.called


class GeneralTolerance(Enum):
    """What holds for every size that states nothing of its own: a standard and its class."""

    ISO_2768_F = "ISO 2768-1 f"
    ISO_2768_M = "ISO 2768-1 m"
    ISO_2768_C = "ISO 2768-1 c"
    ISO_2768_V = "ISO 2768-1 v"
    ISO_13920_A = "ISO 13920 A"
    ISO_13920_B = "ISO 13920 B"
    ISO_13920_C = "ISO 13920 C"
    ISO_13920_D = "ISO 13920 D"
    ISO_9013_1 = "ISO 9013 class 1"
    ISO_9013_2 = "ISO 9013 class 2"


USUAL_PLACES = 3
"""Decimals of inches that sizes are usually written with."""
_SAME_SIZE = 1e-6


class Deviations(Struct, frozen=True):
    """How much larger and how much smaller a size may be, both 0 or more, in mm."""

    plus: float
    minus: float


class Tolerances(Struct, frozen=True):
    """What a drawing allows, in mm; ``None`` or empty where nothing is stated.

    Attributes:
        bolt_circle: Of bolt circles, plus and minus.
        chord: Between any two holes of a circle, plus and minus.
        position: Diameter of the zone that the center of each hole lies in, about its exact place.
        maximum_material: Whether a hole larger than its least size widens that zone (ASME Y14.5, ISO 2692); ``None``
            where nothing is said.
        outside: Of the outside diameter.
        bore: Of the bore, of a ring in parts its inside diameter.
        thickness: Of the plate.
        hole: Of drilled holes.
        general: Of every size that states nothing of its own.
        block: What the shop's own block says in its place: lines of what = how much.
        cut_edges: Quality of thermally cut edges, as written: ``ISO 9013-342``.
        texture: Of surfaces, as written: ``gasket face Ra 3.2``.
        edges: What is done to edges, as written: ``break 0.5``.
        block_unit: What the lengths of that are in.
        decimals: Sizes that the job writes as text, each with how many decimals of inches it has there.
    """

    bolt_circle: float | None = None
    chord: float | None = None
    position: float | None = None
    maximum_material: bool | None = None
    outside: Deviations | None = None
    bore: Deviations | None = None
    thickness: Deviations | None = None
    hole: Deviations | None = None
    general: GeneralTolerance | None = None
    block: tuple[str, ...] = ()
    block_unit: Unit = Unit.MM
    cut_edges: str = ""
    texture: str = ""
    edges: str = ""
    decimals: tuple[tuple[float, int], ...] = ()

    @property
    def block_decimals(self) -> tuple[int, ...]:
        """For how many decimals the shop's own block has a line, as ``.XX = ±.03`` is for two."""
        heads = (line.partition("=")[0].strip().upper() for line in self.block)
        return tuple(len(found[1]) for found in (re.fullmatch(r"[X0]*\.(X+)", head) for head in heads) if found)

    def inch_decimals(self, length: float) -> int:
        """How many decimals of inches a size in mm is written with, by which the shop's own block tells what holds.

        As many as the job writes it with, else as the block has a line for, rather three than others, if they tell it
        exactly; as many as are usual where no line is for such a size.
        """
        if not (lines := self.block_decimals):
            return inch_places(length)
        own = (places for size, places in self.decimals if abs(size - length) < _SAME_SIZE and places in lines)
        others = sorted(lines, key=lambda places: (places != USUAL_PLACES, places > USUAL_PLACES, -places))
        exact = (places for places in others if is_exact_at(length, places))
        return next(own, None) or next(exact, None) or inch_places(length)

    @property
    def of_places(self) -> tuple[float, ...]:
        """How far two opposite holes may be off their distance, plus and minus, by each thing stated of their places.

        Each of two centers may be off by half of its zone.
        """
        return tuple(each for each in (self.bolt_circle, self.chord, self.position) if each is not None)

    @property
    def of_distances(self) -> "Tolerances":
        """What holds for distances of holes that state nothing of their own: nothing where each has its zone.

        A zone lies about an exact place, of which ISO 2768-1 says that no general tolerance is.
        """
        return self if self.position is None else Tolerances()


@dataclass(frozen=True, slots=True)
class Flange:
    """A plate with its holes; lengths in mm, the origin in the middle of the plate.

    Attributes:
        outline: The edge.
        bolt_circles: All about the origin.
        bore: Diameter of the center opening; ``None`` for a blind.
        thickness: Of the plate over all, what stands out of its faces included.
        raised_face_diameter: ``None`` where the face is flat.
        raised_face_height: How far it stands out; 0 where the face is flat or the height unknown.
        single_holes: Holes outside the bolt circles.
        material: As written.
        face: The face the plate is seen from.
        tolerances: Of the drilling, as far as stated.
        patterns: Further groups of holes; they are counted on after the bolt circles.
        openings: Openings beside the bore.
        bore_chamfer: Of the bore's edge on the named face, at 45 degrees, in mm; 0 for a sharp edge.
        bore_cut: Whether the bore is already there when the holes are laid out.
        bore_fit: The pipe that the bore is for, where it follows from one.
        density: In kg per cubic meter, where the job states it.
        mates: What lies on its faces and bolts to its circles, as far as the job says.
        turned: Recesses, registers, spigots, grooves and raised faces, on either face.

    Raises:
        GeometryError: If a size is none, or the outline or a group of holes is something else, or two things that
            are turned on a face cross.
    """

    outline: Outline
    bolt_circles: tuple[BoltCircle, ...]
    bore: float | None = None
    thickness: float | None = None
    raised_face_diameter: float | None = None
    raised_face_height: float = 0.0
    single_holes: tuple[SingleHole, ...] = ()
    material: str = ""
    face: str = "gasket face"
    tolerances: Tolerances = Tolerances()
    patterns: tuple[HolePattern, ...] = ()
    openings: tuple[Opening, ...] = ()
    bore_chamfer: float = 0.0
    bore_cut: bool = False
    bore_fit: PipeBore | None = None
    density: float | None = None
    turned: tuple[Turned, ...] = ()
    mates: tuple[Mate, ...] = ()
    _holes: tuple[Hole, ...] = field(init=False, repr=False, compare=False)
    _shown: tuple[Hole, ...] = field(init=False, repr=False, compare=False)
    _shown_groups: frozenset[int] = field(init=False, repr=False, compare=False)
    _box: Box = field(init=False, repr=False, compare=False)
    _profile: PlateProfile = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse what is no plate; place and name every hole once."""
        _check(self)
        groups = (*self.bolt_circles, *self.patterns)
        holes = placed_holes(groups, self.single_holes)
        shown = tuple(hole for hole in holes if not hole.is_hidden)
        object.__setattr__(self, "_holes", holes)
        object.__setattr__(self, "_shown", shown if len(shown) < len(holes) else holes)
        object.__setattr__(self, "_shown_groups", frozenset(hole.group for hole in shown))
        object.__setattr__(self, "_box", extent(self.outline.shape))
        object.__setattr__(self, "_profile", plate_profile(self.all_turned()))

    def box(self) -> Box:
        """The least upright rectangle round the plate; its lower left corner is the corner datum."""
        return self._box

    @property
    def profile(self) -> PlateProfile:
        """How deep its two faces lie, ring by ring."""
        return self._profile

    def all_turned(self) -> tuple[Turned, ...]:
        """Everything that is turned on its faces, the raised face of known height among it."""
        return (*raised_face(self.raised_face_diameter, self.raised_face_height), *self.turned)

    def metal_at(self, hole: Hole, thickness: float) -> float:
        """How thick in mm a plate ``thickness`` over all is where a hole stands, at the least of its reach."""
        if self._profile.is_flat:
            return thickness
        away = ORIGIN.distance_to(hole.center)
        return thickness - self._profile.most_taken(max(away - hole.reach, 0.0), away + hole.reach)

    @property
    def is_blind(self) -> bool:
        """Whether it is a round plate with nothing but bolt circles in it."""
        whole = isinstance(self.outline, RoundOutline) and self.bore is None
        return whole and not (self.openings or self.patterns or self.single_holes)

    @property
    def round_diameter(self) -> float | None:
        """Outside diameter in mm of a plate that is round from outside, whole or split; ``None`` for any other."""
        outline = self.outline
        return outline.outside_diameter if isinstance(outline, RoundOutline | SplitOutline) else None

    @property
    def outside_diameter(self) -> float | None:
        """Of what is measured across outside: a round plate, the body between lugs, discs; ``None`` for any other."""
        match self.outline:
            case RoundOutline() | SplitOutline() | PaddleOutline() | FigureEightOutline():
                return self.outline.outside_diameter
            case LuggedOutline():
                return self.outline.body_diameter
            case _:
                return None

    @property
    def bore_diameter(self) -> float | None:
        """Of the bore, wherever it stands: that of the ring side of a figure-8, too."""
        forms = (opening.form for opening in self.openings if opening.is_bore)
        ring = next((form.diameter for form in forms if isinstance(form, RoundForm)), None)
        return ring if self.bore is None else self.bore

    def pieces(self) -> tuple[Edge, ...]:
        """The closed lines round the metal: one, or one for each part of a plate made in parts."""
        return self.outline.pieces if isinstance(self.outline, SplitOutline) else (self.outline.shape,)

    def cutouts(self) -> tuple[Opening, ...]:
        """The bore, where there is one, and every other opening."""
        bore = () if self.bore is None else (Opening(Circle(ORIGIN, self.bore / 2), 0, "bore"),)
        return (*bore, *self.openings)

    def edge_distance(self, spine: Spine) -> float:
        """How far a place, or a slot's middle line, is from the outer edge of its part; negative outside the metal."""
        return max(spine_to_edge(piece, spine) for piece in self.pieces())

    def groups(self) -> tuple[Group, ...]:
        """Bolt circles, then the other patterns: what ``Hole.group`` counts."""
        return (*self.bolt_circles, *self.patterns)

    def lifting_holes(self) -> tuple[Hole, ...]:
        """The holes that the plate is lifted by."""
        drillings = [group.drilling for group in self.groups()]
        singles = [single.drilling for single in self.single_holes]
        if not any(drilling.is_lifting for drilling in (*drillings, *singles)):
            return ()
        return tuple(
            hole
            for hole in self._holes
            if (drillings[hole.group] if hole.group >= 0 else singles[hole.number - 1]).is_lifting
        )

    def group_key(self, group: int) -> str:
        """The job table of a group, as in ``bolt_circle[2]``; for -1, of the single holes together."""
        return "hole" if group < 0 else table_keys(self.groups())[group]

    def group_letter(self, group: int) -> str:
        """Letter of a group on the outputs; empty where there is only one group of holes."""
        return group_letter(group, len(self.groups()) + bool(self.single_holes))

    def group_name(self, group: int) -> str:
        """A group in words: ``bolt circle A (pump side)``."""
        return group_name(self.groups()[group], self.group_letter(group))

    def holes(self) -> tuple[Hole, ...]:
        """Every hole, bolt circle by bolt circle, then the patterns and the single ones, in order of number."""
        return self._holes

    def shown_holes(self) -> tuple[Hole, ...]:
        """The holes of which the face that the plate is drawn from shows something."""
        return self._shown

    def hidden_holes(self) -> tuple[Hole, ...]:
        """The others: they are blind from the back."""
        return tuple(hole for hole in self._holes if hole.is_hidden)

    def with_faces_exchanged(self) -> "Flange":
        """The plate as if its back were the face that it is drawn from; nothing else moves: a page mirrors it."""

        def other(drilling: Drilling) -> Drilling:
            return replace(drilling, worked_from=drilling.worked_from.other)

        return replace(
            self,
            face=PlateFace.BACK.value,
            bolt_circles=tuple(replace(each, drilling=other(each.drilling)) for each in self.bolt_circles),
            patterns=tuple(replace(each, drilling=other(each.drilling)) for each in self.patterns),
            single_holes=tuple(replace(each, drilling=other(each.drilling)) for each in self.single_holes),
            turned=tuple(replace(each, face=each.face.other) for each in self.all_turned()),
            raised_face_diameter=None,
            raised_face_height=0.0,
            mates=(),
        )

    def shown_groups(self) -> tuple[tuple[int, Group], ...]:
        """The groups of these holes, each with its index."""
        return tuple((index, group) for index, group in enumerate(self.groups()) if index in self._shown_groups)

    def shown_circles(self) -> tuple[tuple[int, BoltCircle], ...]:
        """The bolt circles among these groups."""
        return tuple((index, group) for index, group in self.shown_groups() if isinstance(group, BoltCircle))


def _check(flange: Flange) -> None:
    """Refuse what is no plate."""
    if not isinstance(flange.outline, Outline):
        raise GeometryError.of(FlangeProblem.NO_OUTLINE, given=repr(flange.outline))
    for name, kind, found in (
        ("bolt_circles", BoltCircle, flange.bolt_circles),
        ("patterns", HolePattern, flange.patterns),
        ("single_holes", SingleHole, flange.single_holes),
        ("turned", Turned, flange.turned),
        ("mates", Mate, flange.mates),
    ):
        if not (isinstance(found, tuple) and all(isinstance(each, kind) for each in found)):
            raise GeometryError.of(FlangeProblem.NO_GROUPS, key=name, given=repr(found))
    sizes = {key: getattr(flange, key) for key in ("bore", "thickness", "raised_face_diameter", "density")}
    check_sizes(**{key: size for key, size in sizes.items() if size is not None})
    check_radii(raised_face_height=flange.raised_face_height, bore_chamfer=flange.bore_chamfer)
