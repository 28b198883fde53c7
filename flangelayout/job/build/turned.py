"""From ``[[turned]]`` to what is turned on the faces of the plate."""

from collections.abc import Iterator, Sequence

from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.facts import Length
from flangelayout.flange.turning import Fitted, Turned, TurnedKind, plate_profile, raised_face
from flangelayout.job.build.hole_kinds import keyed
from flangelayout.job.schema.joint import TurnedTable
from flangelayout.job.schema.plate import PlateTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards.tolerances.fits import fit_limits, is_hole_class


def build_turned(tables: Sequence[TurnedTable], plate: PlateTable, problems: list[Problem]) -> tuple[Turned, ...]:
    """Everything that is turned on the faces beside the plate's raised face; what is wrong is told ``problems``."""
    found: list[Turned] = []
    for where, table in keyed("turned", tables):
        wrong = tuple(_contradictions(table, where))
        problems += wrong
        if wrong:
            continue
        try:
            found.append(_turned(table, where))
        except InputError as unknown:
            problems += unknown.problems
        except GeometryError as mistake:
            problems += mistake.placed(where)
    try:
        plate_profile([*raised_face(plate.raised_face_diameter, plate.raised_face_height), *found])
    except GeometryError as crossing:
        problems += crossing.placed("turned")
    return tuple(found)


def _contradictions(table: TurnedTable, where: str) -> Iterator[Problem]:
    """Keys that are missing, and those that belong to another kind."""
    own, other = ("depth", "height") if table.kind.is_sunk else ("height", "depth")
    if getattr(table, other) is not None:
        yield Problem(f"{where}.{other}", JobProblem.TURNED_SIZE_OF_OTHER_KIND, what=table.kind.value, own=own)
    elif getattr(table, own) is None:
        yield Problem(f"{where}.{own}", SchemaProblem.MISSING, cure=Cure.WRITE_FOR_EXAMPLE, key=own, examples=(4,))
    if table.kind is TurnedKind.GROOVE and (table.inner_diameter is None) == (table.width is None):
        yield Problem(f"{where}.width", JobProblem.GROOVE_WIDTH)
    elif table.kind is not TurnedKind.GROOVE and table.width is not None:
        yield Problem(f"{where}.width", JobProblem.WIDTH_OF_A_GROOVE, what=table.kind.value)
    if table.kind is TurnedKind.REGISTER and table.fit is None:
        yield Problem(
            f"{where}.fit", SchemaProblem.MISSING, cure=Cure.WRITE_FOR_EXAMPLE, key="fit", examples=("H7", "H8")
        )


def _turned(table: TurnedTable, where: str) -> Turned:
    inner = table.inner_diameter or 0.0
    if table.width is not None:
        inner = max(table.diameter - 2 * table.width, 0.0)
    return Turned(
        kind=table.kind,
        face=table.face,
        diameter=table.diameter,
        size=table.depth or table.height or 0.0,
        inner_diameter=inner,
        fit=fitted(table.fit, table.diameter, table.kind, f"{where}.fit") if table.fit else None,
        name=table.name,
        key=where,
    )


def fitted(written: str, diameter: float, kind: TurnedKind, where: str) -> Fitted:
    """The limits of a class on a diameter: a hole's for what goes in, a shaft's for what stands out.

    Raises:
        InputError: If no table has such a class for it; ``where`` is its key.
    """
    limits = fit_limits(diameter, written)
    if limits is None or is_hole_class(written) is not kind.is_sunk:
        known = ("H7", "H8", "H9") if kind.is_sunk else ("h6", "h8", "g6", "f7", "j6")
        size, none = Length(diameter), JobProblem.NO_TURNED_FIT
        raise InputError.of(none, where, fit=written, diameter=size, what=kind.value, choices=known)
    return Fitted(written, limits.lower, limits.upper, limits.confidence)
