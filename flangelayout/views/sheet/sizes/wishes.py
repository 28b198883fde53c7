"""What is to be dimensioned, before anybody knows where there is room for it."""

from enum import Enum

from msgspec import Struct

from flangelayout.drawing.model import MeasuredText
from flangelayout.drawing.references import FeatureRef, GroupRef, HoleRef, OpeningRef
from flangelayout.geometry.shapes import Arc, Point

SizeRef = FeatureRef | GroupRef | HoleRef | OpeningRef


class WishSide(Enum):
    """Where straight sizes stand in rows: those along x below the plate, those along y to the left of it."""

    BELOW = "below"
    LEFT = "left"


class SideSize(Struct, frozen=True):
    """A distance along x or y, shown outside of the plate."""

    side: WishSide
    start: Point
    end: Point
    said: MeasuredText
    source: FeatureRef

    @property
    def length(self) -> float:
        """What is measured, in mm."""
        step = self.end - self.start
        return abs(step.x if self.side is WishSide.BELOW else step.y)


class SlantSize(Struct, frozen=True):
    """A distance in a direction that is neither x nor y, ``aside`` mm or more to the left of the line it measures."""

    start: Point
    end: Point
    aside: float
    said: MeasuredText
    source: FeatureRef


class AcrossSize(Struct, frozen=True):
    """A width shown on the part itself with its text beyond one side: the first of several places that is free."""

    places: tuple[tuple[Point, Point], ...]
    said: MeasuredText
    source: FeatureRef


class RimSize(Struct, frozen=True):
    """The radius, or with ``is_diameter`` the diameter, of any one of some like arcs, at an arrow to its rim."""

    arcs: tuple[Arc, ...]
    said: MeasuredText
    source: FeatureRef
    is_diameter: bool = False


class AngleSize(Struct, frozen=True):
    """An angle round the middle of the plate between two directions.

    Its arc stands outside of ``rim`` mm from the middle; within ``hollow`` mm of it, where nothing is there.
    """

    start_deg: float
    sweep_deg: float
    rim: float
    said: MeasuredText
    source: FeatureRef
    hollow: float = 0.0


class SaidSize(Struct, frozen=True):
    """Sizes in words at a leader to the first of several tips that is free, each with the direction it comes from.

    The ``last`` ones are for want of others.
    """

    tips: tuple[tuple[Point, float], ...]
    lines: tuple[str, ...]
    source: SizeRef
    last: tuple[tuple[Point, float], ...] = ()


Wish = SideSize | SlantSize | AcrossSize | RimSize | AngleSize | SaidSize
