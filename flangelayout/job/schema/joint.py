"""The keys of ``[[turned]]`` and ``[[mate]]``: what is turned on the faces of the plate, and what lies on them."""

from typing import Literal

from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.job.schema.values import Name, NotNegative, SchemaTable, Size, Text


class TurnedTable(SchemaTable):
    """``[[turned]]``: a recess, register, spigot, groove or raised face, round the middle of the plate."""

    kind: TurnedKind
    name: Text = ""
    face: PlateFace = PlateFace.FACE
    diameter: Size
    depth: Size | None = None
    height: Size | None = None
    inner_diameter: Size | None = None
    width: Size | None = None
    fit: Name | None = None


class MateTable(SchemaTable):
    """``[[mate]]``: what bolts to a circle, by a designation, a job file or sizes; sizes win over both."""

    name: Text = ""
    circle: Text = ""
    face: PlateFace | None = None
    standard: Name | None = None
    job: Name | None = None
    outside_diameter: Size | None = None
    thickness: Size | None = None
    bore: Size | None = None
    hub_diameter: Size | None = None
    raised_face_diameter: Size | None = None
    spigot_diameter: Size | None = None
    spigot_height: Size | None = None
    spigot_fit: Name | None = None
    hole_diameter: Size | None = None
    thread: Name | None = None
    thread_depth: Size | None = None
    gasket_thickness: NotNegative | None = None
    clocking: Literal["as drawn", "most metal"] = "as drawn"
