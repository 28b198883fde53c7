"""The plate and everything drilled in it."""

from dataclasses import dataclass

from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.geometry.shapes import Box, Circle, Point, extent


@dataclass(frozen=True, slots=True)
class RoundOutline:
    """A round plate; ``outside_diameter`` in mm, > 0."""

    outside_diameter: float

    @property
    def shape(self) -> Circle:
        """Its edge, about the origin."""
        return Circle(Point(0.0, 0.0), self.outside_diameter / 2)


Outline = RoundOutline


@dataclass(frozen=True, slots=True)
class SingleHole:
    """A hole outside any bolt circle: a vent, a drain, a lifting or a marking hole."""

    center: Point
    diameter: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole as drilled.

    Attributes:
        label: Its name on every output: ``3``, or ``B3`` where the plate has several groups.
        group: Index of its bolt circle in the flange, or -1 for a single hole.
        number: Its number within the group, from 1.
        center: In mm from the middle of the plate.
        diameter: In mm.
        angle: Of its center in degrees, 0 to 360.
        source: Where it came from, for messages: ``bolt circle A, hole 3``.
    """

    label: str
    group: int
    number: int
    center: Point
    diameter: float
    angle: float
    source: str


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

    def box(self) -> Box:
        """The least upright rectangle round the plate; its lower left corner is the corner datum."""
        return extent(self.outline.shape)

    def group_letter(self, group: int) -> str:
        """Letter of a bolt circle on the outputs; empty where there is only one group of holes."""
        alone = len(self.bolt_circles) + bool(self.single_holes) == 1
        return "" if alone else _letters(group)

    def group_name(self, group: int) -> str:
        """A bolt circle in words: ``bolt circle A (pump side)``."""
        letter, name = self.group_letter(group), self.bolt_circles[group].name
        return " ".join(part for part in ("bolt circle", letter, f"({name})" if name else "") if part)

    def holes(self) -> tuple[Hole, ...]:
        """Every hole, bolt circle by bolt circle, then the single ones, each group in order of number."""
        return (*self._circle_holes(), *self._single_holes())

    def _circle_holes(self) -> list[Hole]:
        holes: list[Hole] = []
        for group, circle in enumerate(self.bolt_circles):
            letter, name = self.group_letter(group), self.group_name(group)
            centers, angles = circle.hole_centers().tolist(), circle.hole_angles().tolist()
            for number, (x, y), angle in zip(circle.hole_numbers(), centers, angles, strict=True):
                source = f"{name}, hole {number}"
                holes.append(Hole(f"{letter}{number}", group, number, Point(x, y), circle.hole_diameter, angle, source))
        return holes

    def _single_holes(self) -> list[Hole]:
        middle = Point(0.0, 0.0)
        return [
            Hole(
                f"X{number}",
                -1,
                number,
                hole.center,
                hole.diameter,
                middle.direction_to(hole.center) % 360.0,
                f"hole X{number}" + (f" ({hole.name})" if hole.name else ""),
            )
            for number, hole in enumerate(self.single_holes, 1)
        ]


def _letters(index: int) -> str:
    """A, B, ... W, Y, Z, AA: column letters without X, which names single holes."""
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWYZ"
    more, last = divmod(index, len(alphabet))
    return (_letters(more - 1) if more else "") + alphabet[last]
