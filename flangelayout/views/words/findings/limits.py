"""The limits of checks in words: how large, of what, and who sets them."""

from typing import assert_never

from flangelayout.checks.limits import Base, Ground, Limit, Published, Source
from flangelayout.units import Unit, decimal_text


def gap_text(length: float, unit: Unit) -> str:
    """A length with its unit, as findings write it."""
    return f"{decimal_text(length, unit)} {unit.value}"


def limit_text(limit: Limit, unit: Unit) -> str:
    """A length limit with who sets it: ``11.00 mm (0.5 × hole, common practice)``."""
    return f"{gap_text(limit.value, unit)} ({standing_text(limit)})"


def standing_text(limit: Limit) -> str:
    """What a limit is a share of, where it is one, and who sets it."""
    share = f"{limit.share:g} × {_base(limit.base)}, " if limit.share is not None and limit.base is not None else ""
    return f"{share}{source_text(limit.source)}"


def source_text(source: Source) -> str:
    """Who sets a limit, as it is cited; what stands on memory says so."""
    return source.citation if isinstance(source, Published) else GROUNDS[source]


def _base(base: Base) -> str:
    match base:
        case Base.HOLE:
            return "hole"
        case Base.DIAMETER:
            return "diameter"
        case Base.THICKNESS:
            return "thickness"
        case _:
            assert_never(base)


GROUNDS: dict[Ground, str] = {
    Ground.GEOMETRY: "plain geometry",
    Ground.STATED: "stated by the job or the shop file",
    Ground.BOLT_HOLES: "common practice; published pipe flanges leave 0.75 or more",
    Ground.TUBE_HOLES: "common practice, after the TEMA tube pitch of 1.25 × tube, not verified: compare",
    Ground.EDGE: "common practice; published pipe flanges leave 0.32 or more",
    Ground.ENGAGEMENT: "common practice for steel; cast iron and aluminum want 1.5",
    Ground.PIPE_THREAD: "effective thread of ASME B1.20.1, ISO 7-1 or DIN 3852-2, from memory: check it",
    Ground.METAL_BELOW: "common practice",
    Ground.HEAD_FLOOR: "common practice, no source",
    Ground.PLATE_STOCK: "common practice, no source",
    Ground.HOLE_ROOM: "ISO 273 coarse or ASME B18.2.8 loose, and 0.5 mm that published pipe flanges go beyond it",
    Ground.BOLT_RANGE: "common practice; ISO 273 ends with a hole of 165 mm for M150",
    Ground.BREAKTHROUGH: "thickness, drill point and 10 mm, common practice, no source",
    Ground.FACE_TABLES: "ASME B16.5 and EN 1092-1 dimension tables: raised face < bolt circle - hole",
    Ground.READINGS: "the readings of the job",
}
"""What a limit stands on where no table has it; a test holds them against the list of grounds."""
