"""Where an item of a drawing comes from, as a value: what decides by it compares it, what says it makes the words."""

from enum import Enum

from msgspec import Struct


class Feature(Enum):
    """What of a plate has a size of its own, beside its holes."""

    OUTSIDE = "outside"
    THICKNESS = "thickness"
    BORE = "bore"
    BORE_CHAMFER = "bore chamfer"
    RAISED_FACE = "raised face"
    RAISED_FACE_HEIGHT = "raised face height"
    FIRST_HOLE_ANGLE = "first hole angle"
    INSIDE = "inside"
    WIDTH = "width"
    HEIGHT = "height"
    LENGTH = "length"
    OVERALL_WIDTH = "width over all"
    OVERALL_HEIGHT = "height over all"
    CORNER_RADIUS = "corner radius"
    END_RADIUS = "end radius"
    SIDE_RADIUS = "side radius"
    ROOT_RADIUS = "root radius"
    ARC_RADIUS = "arc radius"
    MIDDLE = "middle"
    BODY = "body"
    LUG_PLACES = "places of lugs"
    TAPER = "taper"
    HANDLE_LENGTH = "handle length"
    HANDLE_WIDTH = "handle width"
    HANDLE_ANGLE = "handle angle"
    CENTER_DISTANCE = "center distance"
    WEB_WIDTH = "web width"
    JOINT_PLACE = "place of a joint"
    JOINT_SPAN = "angle of a part"
    JOINT_GAP = "gap at a joint"
    CORNER_PLACE = "place of corners"
    HOLE_PLACE = "place of a hole"


class HoleRef(Struct, frozen=True, gc=False):
    """A hole, by the label that names it on every output of its plate."""

    label: str


class GroupRef(Struct, frozen=True, gc=False):
    """A group of holes, by its index in the flange."""

    group: int


class OpeningRef(Struct, frozen=True, gc=False):
    """An opening: 0 for the bore, else its number in the job; ``copy`` from 1 where it repeats, else 0."""

    number: int
    copy: int = 0


class OutlineRef(Struct, frozen=True, gc=False):
    """The edge of the plate: of part ``part`` from 1 where it is made in parts, else 0."""

    part: int = 0


class FeatureRef(Struct, frozen=True, gc=False):
    """A line or dimension that shows a feature of the plate."""

    feature: Feature


class TurnedRef(Struct, frozen=True, gc=False):
    """What is turned on a face, by its number among all that is, from 1."""

    number: int


class MarkRef(Struct, frozen=True, gc=False):
    """A text scribed on the plate."""

    text: str


class JointRef(Struct, frozen=True, gc=False):
    """The cut or line between two parts of a ring, numbered from 1."""

    joint: int


Cut = HoleRef | OpeningRef | OutlineRef | JointRef


class TitleBlockRef(Struct, frozen=True, gc=False):
    """What the title block has on every sheet: its lines, captions and signs; the name is for people."""

    name: str


class FieldRef(Struct, frozen=True, gc=False):
    """What stands in a field of the title block; the name says what it is, for whoever edits it elsewhere."""

    name: str


class Furniture(Struct, frozen=True, gc=False):
    """What belongs to the page or the view and not to the plate; the name is for people who read a drawing."""

    name: str


class PlacedRef(Struct, frozen=True, gc=False):
    """What comes from one piece of a nest, named by the piece's mark."""

    piece: str
    of: "Ref | None"


_OfPage = TitleBlockRef | FieldRef | Furniture
Ref = Cut | GroupRef | FeatureRef | TurnedRef | MarkRef | _OfPage | PlacedRef
