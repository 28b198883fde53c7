"""What a leader runs over in a view, and what that costs: so that of all ways to lead to holes the best is found."""

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import filterfalse, product

from msgspec import Struct

from flangelayout.drawing.explode import SHELF, items_box, without_extensions
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import DiameterDimension, Item, Leader, RadiusDimension
from flangelayout.drawing.references import Furniture, OutlineRef
from flangelayout.flange import Hole
from flangelayout.geometry.measure import is_inside, pieces
from flangelayout.geometry.pieces import meetings, nearest_on
from flangelayout.geometry.shapes import Box, Line, Point, polar
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.face import CUTTING_PLANE, edge_items, hole_rim
from flangelayout.views.sheet.leaders.lines import crosses, text_meets
from flangelayout.views.sheet.look import Look

LONGEST, LONGEST_APART = 70.0, 90.0
"""Printed mm of a leader from hole to landing; where it would be longer another hole is led to; at most, off sizes."""
_OF_SIZES = (Layer.DIMENSION, Layer.CUTTING_PLANE)
_PLANE, _MEASURE, _EXTENSION, _FEATURE, _METAL, _ACROSS = 60.0, 40.0, 15.0, 20.0, 30.0, 15.0
"""Printed mm that a leader may be longer rather than run over the section's plane, what measures, what leads to that,
the edge of anything but the plate, have its words on the metal, or cross the upright centerline."""
_RAY, _PAST_OTHER, _HIGHER = 10.0, 1.5, 0.5
"""The same for a hole to which an angle's ray leads; for every mm that another one is nearer, that a view is higher."""
_GRAZES = 1.0
"""Printed mm from a leader to a hole that it does not speak of, that cost as much as the edge of something else."""
_ROUNDABOUT = 2.0
"""Times the distance from a hole to the edge that a leader may run over the metal."""
_BY_ARROW = 3.0
"""Printed mm from a leader to where another size's arrow ends, that cost as much as an extension line."""
_LITTLE = 1e-6
_AS_NEAR = 3.0
"""Printed mm that another hole may be nearer to the words than the one that is led to."""
_TURNS = tuple(7.5 + 15.0 * turn for turn in range(24))
_TAILS = (*map(float, range(7, 67, 4)), *map(float, range(67, 100, 5)))
_MOST_HOLES = 16


class LeaderWay(Struct, frozen=True):
    """A leader to a hole that has room for its words.

    Attributes:
        length: Printed mm.
        astray: What it costs that nearer holes are passed by or the centerline is crossed, in printed mm.
        cost: What all but what it runs over costs.
        leader: It.
        hole: Its.
        box: What it takes up, in mm.
    """

    length: float
    astray: float
    cost: float
    leader: Leader
    hole: Hole
    box: Box


class LeaderGround:
    """A view before any leader to a pattern stands in it."""

    def __init__(self, look: Look, holes: Sequence[Hole], others: Sequence[Item], reach: Box) -> None:
        """Take in what leaders run over.

        Args:
            look: What is drawn.
            holes: Of the plate.
            others: The items that stand there.
            reach: Their box, in mm.
        """
        self.look, self.holes, self.reach = look, holes, reach
        self.of_sizes = [each for each in others if each.layer in _OF_SIZES and not isinstance(each.what, Leader)]
        self.sizes, self._plane = Ink(look.scale), Ink(look.scale)
        self.sizes.add(self.of_sizes)
        self._plane.add(each for each in others if each.source == CUTTING_PLANE)

    def is_over_sizes(self, leader: Leader) -> bool:
        """Whether a leader's line meets a line, an arc or an arrow of a size or of the section's plane."""
        return self.sizes.is_near(_line(leader))

    def is_over_plane(self, leader: Leader) -> bool:
        """Whether a leader's line meets or nearly meets an arrow, a letter or an end of the section's plane."""
        return self._plane.is_near(_line(leader), 0.0)

    def is_over_measures(self, leader: Leader) -> bool:
        """As :meth:`is_over_sizes`, extension lines aside."""
        return self._measures.is_near(_line(leader))

    def is_over_features(self, leader: Leader) -> bool:
        """Whether a leader's line meets the edge of an opening or of what is turned, or leaves the metal on its way."""
        return self._features.is_near(_line(leader)) or len(self._exits(leader)) > 1

    def _exits(self, leader: Leader) -> list[float]:
        """Where a leader's line crosses the outer edge, as shares of it from its hole."""
        edges = (piece for shape in self.look.flange.pieces() for piece in pieces(shape))
        return [share for piece in edges for share, _ in meetings(_line(leader), piece)]

    def is_roundabout(self, leader: Leader, own: Hole) -> bool:
        """Whether a leader runs over much more of a plate that is not round than the way out of it takes."""
        if self.look.flange.round_diameter is not None:
            return False
        run = min(self._exits(leader), default=0.0) * leader.tip.distance_to(leader.elbow)
        return run > _ROUNDABOUT * self.look.flange.edge_distance(own.center)

    def is_by_arrow(self, leader: Leader) -> bool:
        """Whether a leader's line comes so near to the arrow of a radius or a diameter that it reads as led to it."""
        line, most = _line(leader), self.look.real(_BY_ARROW)
        return any(nearest_on(line, tip).distance_to(tip) < most for tip in self._tips)

    @cached_property
    def _tips(self) -> tuple[Point, ...]:
        """Where radii and diameters are measured at rims."""
        sizes = (each.what for each in self.of_sizes)
        rims = (each for each in sizes if isinstance(each, RadiusDimension | DiameterDimension))
        return tuple(polar(each.radius, each.angle_deg, each.center) for each in rims)

    @cached_property
    def _measures(self) -> Ink:
        """What measures, of the sizes and the section's plane: asked for only where a leader runs over one of them."""
        measures = Ink(self.look.scale)
        measures.add(map(without_extensions, filterfalse(_is_extension, self.of_sizes)))
        return measures

    @cached_property
    def _features(self) -> Ink:
        features = Ink(self.look.scale)
        features.add(each for each in edge_items(self.look.flange) if not isinstance(each.source, OutlineRef))
        return features

    def fault(self, leader: Leader, alike: Sequence[Hole]) -> float:
        """What a leader to one of some holes costs but for its length: by what it passes, runs over and stands on."""
        own = own_hole(leader, alike)
        cost = _METAL if self.is_on_metal(leader.elbow) else 0.0
        cost += _FEATURE if self.grazes(leader, own) else 0.0
        cost += _EXTENSION if self.is_roundabout(leader, own) else 0.0
        return cost + self._astray(leader, own, alike) + self.cost_over(leader)

    def grazes(self, leader: Leader, own: Hole, by: float = _GRAZES) -> bool:
        """Whether a leader comes so near, in printed mm, to a hole that its call-out leaves out."""
        unlike = (each for each in self.holes if (each.group, each.diameter) != (own.group, own.diameter))
        return crosses(_line(leader), unlike, self.look.real(by))

    def is_on_metal(self, at: Point) -> bool:
        """Whether a place lies within the outer edge of the plate or of a part of it."""
        box, radius = self.look.box, self.look.flange.round_diameter
        if radius is not None:
            return at.x**2 + at.y**2 < radius**2 / 4
        is_near = box.left < at.x < box.right and box.bottom < at.y < box.top
        return is_near and any(is_inside(shape, at) for shape in self.look.flange.pieces())

    def cost(self, leader: Leader, alike: Sequence[Hole]) -> float:
        """What a leader to one of some holes costs, in printed mm."""
        return self._length_cost(leader, own_hole(leader, alike)) + self.fault(leader, alike)

    def cost_over(self, leader: Leader) -> float:
        """What it costs that a leader runs over things, in printed mm."""
        cost = _FEATURE if self.is_over_features(leader) else 0.0
        cost += _EXTENSION if self.is_by_arrow(leader) else 0.0
        if self.is_over_sizes(leader):
            cost += _MEASURE if self.is_over_measures(leader) else _EXTENSION
            cost += _PLANE if self.is_over_plane(leader) else 0.0
        return cost

    def ways(self, ink: Ink, alike: Sequence[Hole], text: tuple[str, ...]) -> Iterator[LeaderWay]:
        """Leaders to any of some holes from all round it whose words have room beside the plate; short ones first.

        Args:
            ink: What stands there.
            alike: The holes.
            text: The words.
        """
        look = self.look
        some = alike[:: 1 + (len(alike) - 1) // _MOST_HOLES]
        for tail, hole, turn, words in product(_TAILS, some, _TURNS, _broken(text)):
            elbow = polar(hole.face_diameter / 2 + look.real(tail), turn, hole.center)
            leader = Leader(hole_rim(hole, elbow), elbow, words, elbow.x > hole.center.x, look.style)
            if self._has_room(leader, ink):
                box = items_box([Item(Layer.DIMENSION, leader)], look.scale)
                astray = self._astray(leader, hole, alike)
                yield LeaderWay(tail, astray, self._length_cost(leader, hole) + astray, leader, hole, box)

    def _has_room(self, leader: Leader, ink: Ink) -> bool:
        """Whether the words of a leader stand beside the plate and meet nothing."""
        past = Point(leader.elbow.x + self.look.real(2 * SHELF if leader.to_right else -2 * SHELF), leader.elbow.y)
        if self.is_on_metal(leader.elbow) or self.is_on_metal(past):
            return False
        return not text_meets(leader, ink)

    def _length_cost(self, leader: Leader, hole: Hole) -> float:
        """What a leader costs by its length, the ray at its hole and its height."""
        scale = self.look.scale
        higher = max(leader.elbow.y - self.reach.top, 0.0) * scale * _HIGHER
        return leader.tip.distance_to(leader.elbow) * scale + higher + (_RAY if _has_ray(hole) else 0.0)

    def _astray(self, leader: Leader, hole: Hole, alike: Sequence[Hole]) -> float:
        """What it costs that another of some holes is nearer to the words, or the one that is led to across."""
        nearest = min(leader.elbow.distance_to(each.center) for each in alike if each is hole or not _has_ray(each))
        passed = (leader.elbow.distance_to(hole.center) - nearest) * self.look.scale
        across = _ACROSS if leader.elbow.x * hole.center.x < -_LITTLE else 0.0
        return _PAST_OTHER * max(passed - _AS_NEAR, 0.0) + across


def _broken(text: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """Words as they are, and those of one line broken behind its commas too."""
    name, colon, rest = text[0].rpartition(": ") if len(text) == 1 else ("", "", "")
    first, *parts = rest.split(", ")
    return (text, (*(f"{part}," for part in (f"{name}{colon}{first}", *parts[:-1])), parts[-1])) if parts else (text,)


def is_on_axis(hole: Hole) -> bool:
    """Whether a hole lies on a centerline: then no ray of an angle leads to it."""
    return abs((hole.angle + 45.0) % 90.0 - 45.0) < 0.05


def _has_ray(hole: Hole) -> bool:
    """Whether the angle of a pattern's first hole is likely to be shown at it."""
    return hole.number == 1 and hole.group >= 0 and not is_on_axis(hole)


def own_hole(leader: Leader, alike: Sequence[Hole]) -> Hole:
    """The hole that a leader leads to."""
    return min(alike, key=lambda hole: abs(hole.center.distance_to(leader.tip) - hole.face_diameter / 2))


def _line(leader: Leader) -> Line:
    return Line(leader.tip, leader.elbow)


def _is_extension(item: Item) -> bool:
    """Whether an item of a size measures nothing and leads to what does: a ray of an angle."""
    return isinstance(item.what, Line) and not isinstance(item.source, Furniture)
