"""The plate and everything drilled in it."""

from collections.abc import Iterable
from dataclasses import dataclass

from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.hole import DRILLED, Hole, HoleKind, check_kind
from flangelayout.flange.outline import (
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
)
from flangelayout.flange.paddles import FigureEightOutline, PaddleOutline
from flangelayout.flange.pattern import HolePattern
from flangelayout.flange.segments import SegmentOutline, SplitOutline
from flangelayout.geometry.measure import Edge, Spine, spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Point, extent

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

Group = BoltCircle | HolePattern
"""Holes that belong together and share a letter: a bolt circle or another pattern."""


@dataclass(frozen=True, slots=True)
class SingleHole:
    """A hole outside any bolt circle: a vent, a drain, a lifting or a marking hole."""

    center: Point
    diameter: float
    name: str = ""
    kind: HoleKind = DRILLED
    credit: str = ""

    def __post_init__(self) -> None:
        """Refuse sizes that contradict each other."""
        check_kind(self.kind, self.diameter)


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening of the plate.

    Attributes:
        shape: Its edge.
        number: Of the job's openings, from 1; 0 for the one the plate's bore gives.
        called: What it is called: ``opening 2 (window)``.
        copy: Which copy it is, from 1, where it repeats; 0 where it stands once.
        sizes: What it was made from, in words and mm or degrees, for the sheet.
    """

    shape: Edge
    number: int
    called: str
    copy: int = 0
    sizes: tuple[tuple[str, float], ...] = ()

    @property
    def is_bore(self) -> bool:
        """Whether the plate's own bore makes it."""
        return self.number == 0

    @property
    def name(self) -> str:
        """What it is called, with its copy: ``opening 2 (window), copy 1``."""
        return f"{self.called}, copy {self.copy}" if self.copy else self.called


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Drilling tolerances, plus and minus in mm; ``None`` where none is stated."""

    bolt_circle: float | None = None
    chord: float | None = None


@dataclass(frozen=True, slots=True)
class Flange:
    """A plate with its holes; lengths in mm, the origin in the middle of the plate.

    Attributes:
        outline: The edge.
        bolt_circles: All about the origin.
        bore: Diameter of the center opening; ``None`` for a blind.
        thickness: Of the plate, raised face included.
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
        density: In kg per cubic meter, where the job states it.
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
    density: float | None = None

    def box(self) -> Box:
        """The least upright rectangle round the plate; its lower left corner is the corner datum."""
        return extent(self.outline.shape)

    @property
    def round_diameter(self) -> float | None:
        """Outside diameter in mm of a plate that is round from outside, whole or split; ``None`` for any other."""
        outline = self.outline
        return outline.outside_diameter if isinstance(outline, RoundOutline | SplitOutline) else None

    def pieces(self) -> tuple[Edge, ...]:
        """The closed lines round the metal: one, or one for each part of a plate made in parts."""
        return self.outline.pieces

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

    def group_letter(self, group: int) -> str:
        """Letter of a group on the outputs; empty where there is only one group of holes."""
        alone = len(self.bolt_circles) + len(self.patterns) + bool(self.single_holes) == 1
        return "" if alone else _letters(group)

    def group_name(self, group: int) -> str:
        """A group in words: ``bolt circle A (pump side)``."""
        what = self.groups()[group]
        kind, name = ("bolt circle", what.name) if isinstance(what, BoltCircle) else ("pattern", what.size.name)
        return " ".join(part for part in (kind, self.group_letter(group), f"({name})" if name else "") if part)

    def holes(self) -> tuple[Hole, ...]:
        """Every hole, bolt circle by bolt circle, then the patterns and the single ones, in order of number."""
        return (*self._circle_holes(), *self._pattern_holes(), *self._single_holes())

    def _circle_holes(self) -> list[Hole]:
        holes: list[Hole] = []
        for group, circle in enumerate(self.bolt_circles):
            centers, angles = circle.hole_centers().tolist(), circle.hole_angles().tolist()
            places = (
                (number, Point(x, y), angle)
                for number, (x, y), angle in zip(circle.hole_numbers(), centers, angles, strict=True)
            )
            holes += self._group_holes(group, places, circle.hole_diameter, circle.kind)
        return holes

    def _pattern_holes(self) -> list[Hole]:
        holes: list[Hole] = []
        for group, pattern in enumerate(self.patterns, len(self.bolt_circles)):
            centers = pattern.hole_centers()
            places = ((number, at, ORIGIN.direction_to(at) % 360.0) for number, at in enumerate(centers, 1))
            holes += self._group_holes(group, places, pattern.size.diameter, pattern.size.kind)
        return holes

    def _group_holes(
        self, group: int, places: Iterable[tuple[int, Point, float]], diameter: float, kind: HoleKind
    ) -> list[Hole]:
        letter, name = self.group_letter(group), self.group_name(group)
        return [
            Hole(f"{letter}{number}", group, number, center, diameter, angle, f"{name}, hole {number}", kind)
            for number, center, angle in places
        ]

    def _single_holes(self) -> list[Hole]:
        return [
            Hole(
                f"X{number}",
                -1,
                number,
                hole.center,
                hole.diameter,
                ORIGIN.direction_to(hole.center) % 360.0,
                f"hole X{number}" + (f" ({hole.name})" if hole.name else ""),
                hole.kind,
            )
            for number, hole in enumerate(self.single_holes, 1)
        ]


def _letters(index: int) -> str:
    """A, B, ... W, Y, Z, AA: column letters without X, which names single holes."""
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWYZ"
    more, last = divmod(index, len(alphabet))
    return (_letters(more - 1) if more else "") + alphabet[last]
