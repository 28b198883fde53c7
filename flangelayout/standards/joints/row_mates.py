"""The part that a row of a published table describes, as the mate of a circle."""

from flangelayout.errors import GeometryError
from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.hole import DRILLED
from flangelayout.flange.joints import Mate, MateSource, Spigot
from flangelayout.flange.turning import PlateFace
from flangelayout.provenance import Family
from flangelayout.standards.holes import thread
from flangelayout.standards.pattern import Pattern, Register

_THICK = frozenset({Family.PIPE_FLANGE, Family.TANK_TRUCK_FLANGE})
"""Families whose published thickness is that of the part through its holes."""


def mate_of_row(row: Pattern, group: int, face: PlateFace, key: str, is_face_said: bool) -> Mate:
    """The part of a row, lying on a face of the plate."""
    spigot = Spigot(row.bore) if row.bore is not None and row.register is Register.SPIGOT else None
    return Mate(
        group=group,
        face=face,
        called=row.designation,
        source=MateSource.ROW,
        key=key,
        is_face_said=is_face_said,
        circle=_circle(row),
        outside_diameter=row.outside_diameter,
        thickness=row.thickness if row.family in _THICK else None,
        bore=row.bore if row.register is Register.RECESS else None,
        raised_face_diameter=row.raised_face_diameter,
        spigot=spigot,
    )


def _circle(row: Pattern) -> BoltCircle | None:
    """The holes of the row; ``None`` where they stand at unequal angles or no table has them."""
    if not row.equally_spaced:
        return None
    bolt = row.bolt or ""
    if row.tapped:
        found = thread(bolt)
        if found is None:
            return None
        kind = found.tapped()
        return BoltCircle(row.bolt_circle, row.hole_count, found.tap_drill, kind=kind, bolt=bolt)
    if row.hole_diameter is None:
        return None
    try:
        return BoltCircle(row.bolt_circle, row.hole_count, row.hole_diameter, kind=DRILLED, bolt=bolt)
    except GeometryError:
        return None
