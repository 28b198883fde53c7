"""The keys of ``[plate]`` and of openings: which outline takes which sizes."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StrictBool

from flangelayout.job.schema.values import (
    Angle,
    BoreSize,
    Length,
    Name,
    NotNegative,
    SchemaTable,
    Size,
    Text,
    whole_number,
)

OutlineName = Literal[
    "round",
    "rectangle",
    "square",
    "oval",
    "lozenge",
    "lugged",
    "spider",
    "path",
    "paddle",
    "figure-8",
    "segment",
    "split",
]
Count = Annotated[int, BeforeValidator(whole_number), Field(ge=2, le=200)]
Copies = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=1000)]

OUTLINE_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "round": (("outside_diameter",), ("standard",)),
    "rectangle": (("width", "height"), ("corner_radius",)),
    "square": (("width",), ("corner_radius",)),
    "oval": (("length", "width"), ("end_radius",)),
    "lozenge": (("length", "middle_diameter", "end_radius"), ()),
    "lugged": (
        ("outside_diameter", "lug_radius"),
        ("lug_count", "lug_circle", "lug_width_at_middle", "first_lug_angle", "root_radius"),
    ),
    "spider": (
        ("hub_diameter", "arm_end_radius"),
        ("arm_count", "arm_circle", "arm_width_at_middle", "first_arm_angle", "root_radius"),
    ),
    "path": (("path",), ()),
    "paddle": (
        ("outside_diameter", "handle_length", "handle_width"),
        ("handle_angle", "end_radius", "root_radius"),
    ),
    "figure-8": (("outside_diameter", "center_distance", "web_width"), ("root_radius",)),
    "segment": (("outside_diameter", "inside_diameter", "part_count"), ("first_joint_angle", "gap", "joint")),
    "split": (("outside_diameter", "inside_diameter", "part_count"), ("first_joint_angle", "gap", "joint")),
}
"""For each outline the sizes it needs and those it may have."""


class PathCornerTable(SchemaTable):
    """``[[plate.path]]``: a corner of an outline, reached from the one before by a line or an arc."""

    x: Length
    y: Length
    corner_radius: NotNegative = 0.0
    arc_radius: Size | None = None
    turn: Literal["left", "right"] | None = None
    long_way: bool = False


class PlateTable(SchemaTable):
    """``[plate]``: what is drilled."""

    outline: OutlineName = "round"
    standard: Name | None = None
    outside_diameter: Size | None = None
    bore: BoreSize | None = None
    thickness: Size | None = None
    raised_face_diameter: Size | None = None
    raised_face_height: Size | None = None
    bore_chamfer: Size | None = None
    bore_cut: StrictBool = False
    material: Text = ""
    density: Annotated[float, Field(ge=100, le=25_000, strict=True)] | None = None
    face: Name | None = None
    width: Size | None = None
    height: Size | None = None
    length: Size | None = None
    corner_radius: NotNegative | None = None
    end_radius: NotNegative | None = None
    root_radius: NotNegative | None = None
    middle_diameter: Size | None = None
    lug_count: Count | None = None
    lug_circle: Size | None = None
    lug_radius: Size | None = None
    lug_width_at_middle: Size | None = None
    first_lug_angle: Angle | None = None
    hub_diameter: Size | None = None
    arm_count: Count | None = None
    arm_circle: Size | None = None
    arm_end_radius: Size | None = None
    arm_width_at_middle: Size | None = None
    first_arm_angle: Angle | None = None
    handle_length: Size | None = None
    handle_width: Size | None = None
    handle_angle: Angle | None = None
    center_distance: Size | None = None
    web_width: Size | None = None
    inside_diameter: Size | None = None
    part_count: Count | None = None
    first_joint_angle: Angle | None = None
    gap: NotNegative | None = None
    joint: Text | None = None
    path: Annotated[list[PathCornerTable], Field(min_length=2, max_length=200)] | None = None

    @property
    def bore_size(self) -> float | None:
        """The bore in mm; ``None`` where there is none, or where it is still the pipe it is for."""
        return self.bore if isinstance(self.bore, float) else None


OPENING_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "circle": (("diameter",), ("x", "y", "radius", "angle")),
    "rectangle": (("width", "height"), ("corner_radius", "x", "y", "radius", "angle")),
    "slot": (("length", "width"), ("x", "y", "radius", "angle")),
    "window": (("inner_diameter", "outer_diameter", "sweep"), ("angle", "corner_radius")),
}
"""For each shape of opening the keys it needs and those it may have; all take ``count``."""


class OpeningTable(SchemaTable):
    """``[[opening]]``: an opening beside the bore, repeated ``count`` times round the middle of the plate."""

    name: Text = ""
    shape: Literal["circle", "rectangle", "slot", "window"] = "circle"
    count: Copies = 1
    diameter: Size | None = None
    width: Size | None = None
    height: Size | None = None
    length: Size | None = None
    corner_radius: NotNegative | None = None
    inner_diameter: Size | None = None
    outer_diameter: Size | None = None
    sweep: Angle | None = None
    x: Length | None = None
    y: Length | None = None
    radius: NotNegative | None = None
    angle: Angle | None = None
