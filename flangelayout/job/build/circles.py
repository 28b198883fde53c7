"""From a ``[[bolt_circle]]`` to a bolt circle: what it writes, what its standard fills, what the readings say."""

from collections.abc import Iterator

from msgspec import Struct

from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.flange import BoltCircle, Centerline, Outline, Placement, SegmentOutline
from flangelayout.flange.bolt_circle import can_pair
from flangelayout.flange.drilling import Joint
from flangelayout.flange.origin import WRITTEN, FromRow, Measured, NearestOf, Origin
from flangelayout.flange.sector import places_beyond
from flangelayout.job.build.hole_kinds import MadeHole, make_holes
from flangelayout.job.build.tightening import tightening_of, tightening_problems
from flangelayout.job.schema.job_file import BoltCircleTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards import Pattern, PublishedTable, find, published_row
from flangelayout.value import replace

Found = Measured | NearestOf
"""Where a bolt circle that is taken from readings comes from."""

OwnTables = tuple[PublishedTable, ...]
"""A shop's own patterns, which are looked up like the published rows."""

_EXAMPLES: dict[str, tuple[int | str, ...]] = {
    "diameter": (240,),
    "hole_count": (8,),
    "hole_diameter": (22, "7/8 in"),
}
"""What each size of a bolt circle may be, for those who are told that it is missing."""


class _Figures(Struct, frozen=True):
    """What a table, its standard and the readings give together; lengths in mm, ``None`` where nothing does.

    Attributes:
        diameter: Of the circle.
        hole_count: Places on it.
        known_hole: The hole that the standard or the drilling found has.
        bolt: The bolt that goes through, as written or from the standard.
        sizing_bolt: The bolt that a hole or thread may be made for; empty where the standard's hole is taken.
    """

    diameter: float | None
    hole_count: int | None
    known_hole: float | None
    bolt: str
    sizing_bolt: str


def build_circle(
    table: BoltCircleTable, where: str, found: Found | None, own: OwnTables, problems: list[Problem]
) -> BoltCircle | None:
    """The bolt circle of a table, or ``None`` after telling ``problems`` why there is none.

    Args:
        table: What is written; its diameter is missing or a number.
        where: The table's key.
        found: What the readings say, where the diameter was taken from them.
        own: A shop's own patterns.
        problems: Where what is wrong is told.
    """
    before = len(problems)
    row = named_row(table.standard, f"{where}.standard", own, problems) if table.standard else None
    figures = _figures(table, row, found)
    if len(problems) == before and (row is None or row.equally_spaced):
        problems += _missing(table, where, figures)
    problems += _contradictions(table, where, row, found)
    problems += tightening_problems(table, where, figures.bolt)
    if len(problems) > before:
        return None
    bolt = figures.sizing_bolt
    made = make_holes(table, where, "hole_diameter", table.hole_diameter, figures.known_hole, bolt)
    if not isinstance(made, MadeHole):
        problems += made
        return None
    try:
        return _circle(table, where, figures, made, _origin(table, row, found))
    except GeometryError as wrong:
        problems += _wrong_circle(table, where, figures, wrong)
        return None


def named_row(designation: str, where: str, own: OwnTables, problems: list[Problem]) -> Pattern | None:
    """The row with that designation, published or the shop's own; ``None`` after telling ``problems``."""
    try:
        return find(designation, own=own)
    except InputError as unknown:
        problems += unknown.placed(where)
        return None


def within_segment(circle: BoltCircle, outline: Outline) -> BoltCircle:
    """On a plate that is one segment of a ring, the circle without the places beyond its two joints."""
    if not isinstance(outline, SegmentOutline):
        return circle
    beyond = places_beyond(circle, outline)
    if len(beyond) == len(circle.hole_numbers()):
        raise InputError.of(JobProblem.NO_HOLE_ON_SEGMENT, "plate.first_joint_angle")
    return replace(circle, skipped=(*circle.skipped, *beyond), elsewhere=beyond)


def _figures(table: BoltCircleTable, row: Pattern | None, found: Found | None) -> _Figures:
    published = published_row(row) if row else found.rows[0] if isinstance(found, NearestOf) else None
    written = table.diameter if isinstance(table.diameter, float) else None
    row_bolt = row.bolt if row and row.bolt else ""
    return _Figures(
        diameter=written or (published.circle if published else None),
        hole_count=table.hole_count or len(table.angles) or (published.hole_count if published else None),
        known_hole=_known_hole(row, found),
        bolt=table.bolt or row_bolt,
        sizing_bolt=table.bolt or (row_bolt if table.fit or table.kind != "drilled" else ""),
    )


def _known_hole(row: Pattern | None, found: Found | None) -> float | None:
    """The hole of the standard, or of the drilling found where all its rows have the same."""
    if row is not None or not isinstance(found, NearestOf):
        return row.hole_diameter if row else None
    holes = {each.hole_diameter for each in found.rows}
    return holes.pop() if len(holes) == 1 else None


def _missing(table: BoltCircleTable, where: str, figures: _Figures) -> Iterator[Problem]:
    sizes: dict[str, float | None] = {"diameter": figures.diameter, "hole_count": figures.hole_count}
    threaded = table.kind in ("tapped", "jack") or (table.kind == "lifting" and table.thread)
    if not threaded and not figures.sizing_bolt:
        sizes["hole_diameter"] = table.hole_diameter or figures.known_hole
    lacking = (key for key, size in sizes.items() if not size)
    return (missing(where, key, table.standard or "", _EXAMPLES[key]) for key in lacking)


def missing(table: str, key: str, standard: str, examples: tuple[int | str, ...]) -> Problem:
    """That a key is missing; ``standard`` is the designation that does not give it, if one is named."""
    where = f"{table}.{key}"
    if standard:
        return Problem(where, JobProblem.MISSING_AND_NOT_IN_STANDARD, standard=standard)
    cure = Cure.WRITE_FOR_EXAMPLE_OR_STANDARD if key in _EXAMPLES else Cure.WRITE_FOR_EXAMPLE
    return Problem(where, SchemaProblem.MISSING, cure=cure, key=key, examples=examples)


def _contradictions(table: BoltCircleTable, where: str, row: Pattern | None, found: Found | None) -> Iterator[Problem]:
    if row and not row.equally_spaced:
        unfit = JobProblem.STANDARD_NO_CIRCLE
        yield Problem(f"{where}.standard", unfit, standard=row.designation, note=row.note)
    if table.angles and (table.placement != "straddle" or table.centerline != "vertical"):
        yield Problem(f"{where}.angles", JobProblem.ANGLES_FIX_EVERY_HOLE)
    if table.angles and table.pair_angle:
        yield Problem(f"{where}.pair_angle", JobProblem.PAIR_ANGLE_BESIDE_ANGLES)
    if table.spacing != "as written":
        if not isinstance(found, Measured):
            yield Problem(f"{where}.spacing", JobProblem.SPACING_WITHOUT_MEASURED)
        elif table.pair_angle:
            yield Problem(f"{where}.pair_angle", JobProblem.PAIR_ANGLE_BESIDE_ANGLES)
    if table.differs and not (table.standard or isinstance(found, NearestOf)):
        yield Problem(f"{where}.differs", JobProblem.DIFFERS_FROM_NOTHING)


def _origin(table: BoltCircleTable, row: Pattern | None, found: Found | None) -> Origin:
    meant = frozenset(table.differs)
    if row is not None:
        return FromRow(published_row(row), meant, found.measured if isinstance(found, NearestOf) else found)
    return replace(found, meant=meant) if isinstance(found, NearestOf) else found or WRITTEN


def _circle(table: BoltCircleTable, where: str, figures: _Figures, made: MadeHole, origin: Origin) -> BoltCircle:
    joint = Joint(
        mate_thickness=table.mate_thickness,
        gasket_thickness=table.gasket_thickness,
        fastener=table.fastener,
        washers=table.washers,
        bolts_with=table.bolts_with,
        tightening=tightening_of(table, figures.bolt),
    )
    return BoltCircle(
        diameter=figures.diameter or 0.0,
        hole_count=figures.hole_count or 0,
        placement=Placement(table.placement),
        centerline=Centerline(table.centerline),
        start_angle=table.start_angle,
        skipped=tuple(table.skip),
        angles=tuple(table.angles),
        pair_angle=table.pair_angle or 0.0,
        origin=origin,
        drilling=made.drilling(table.name, figures.bolt, table.mates_with, joint, key=where),
    )


def _wrong_circle(table: BoltCircleTable, where: str, figures: _Figures, wrong: GeometryError) -> tuple[Problem, ...]:
    count = figures.hole_count or 0
    if table.pair_angle and not can_pair(count, table.pair_angle):
        return wrong.placed(f"{where}.pair_angle")
    key = "angles" if table.angles and len(table.angles) != count else "skip"
    return wrong.placed(f"{where}.{key}", Cure.CORRECT_THE_LIST)
