"""The keys of ``[[turned]]``: what is turned on the faces of the plate."""

from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.job.schema.values import Name, SchemaTable, Size, Text


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
