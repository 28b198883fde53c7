"""What a flange is: bolt circles, single holes and the plate they are drilled in. No drawing, no files."""

from flangelayout.flange.bolt_circle import BoltCircle, Centerline, Placement, chord_across
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.groups import Group, SingleHole
from flangelayout.flange.hole import (
    DRILLED,
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Hole,
    HoleKind,
    Jack,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
    through_shape,
)
from flangelayout.flange.outline import (
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
)
from flangelayout.flange.paddles import FigureEightOutline, PaddleOutline
from flangelayout.flange.pattern import HoleGrid, HolePattern, HoleRectangle, HoleRings, counts_by_pitch
from flangelayout.flange.plate import Flange, Opening, Outline, Tolerances
from flangelayout.flange.segments import SegmentOutline, SplitOutline, joint_lines

__all__ = [
    "DRILLED",
    "BoltCircle",
    "Centerline",
    "Counterbored",
    "Countersunk",
    "Dowel",
    "Drilled",
    "Drilling",
    "FigureEightOutline",
    "Flange",
    "Group",
    "Hole",
    "HoleGrid",
    "HoleKind",
    "HolePattern",
    "HoleRectangle",
    "HoleRings",
    "Jack",
    "LozengeOutline",
    "LuggedOutline",
    "Opening",
    "Outline",
    "OvalOutline",
    "PaddleOutline",
    "PathOutline",
    "Placement",
    "RectangleOutline",
    "RoundOutline",
    "SegmentOutline",
    "SingleHole",
    "Slot",
    "SlotDirection",
    "SplitOutline",
    "Spotfaced",
    "Tapped",
    "Tolerances",
    "chord_across",
    "counts_by_pitch",
    "joint_lines",
    "through_shape",
]
