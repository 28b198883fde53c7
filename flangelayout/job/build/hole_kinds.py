"""From the keys of a table of holes to what is made: kind, diameter drilled, and where the figures come from."""

from collections.abc import Iterator, Sequence
from typing import TypeVar

from msgspec import Struct

from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.facts import Length
from flangelayout.flange import (
    DRILLED,
    Counterbored,
    Countersunk,
    Dowel,
    Drilling,
    HoleKind,
    HolePattern,
    Jack,
    Slot,
    SlotDirection,
    Spotfaced,
)
from flangelayout.flange.drilling import Joint
from flangelayout.flange.hole import check_kind
from flangelayout.flange.origin import LookedUp
from flangelayout.flange.turning import PlateFace
from flangelayout.job.schema.holes import KIND_KEYS, HoleKeys
from flangelayout.job.schema.job_file import BoltCircleTable, HoleTable, JobFile, PatternTable, pattern_tables
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards import holes as published
from flangelayout.standards.bolts import parse_bolt
from flangelayout.standards.faults import StandardsError
from flangelayout.value import replace

_Table = TypeVar("_Table")
_SEATED = ("countersunk", "counterbored", "spotfaced")


class MadeHole(Struct, frozen=True):
    """What every hole of a table is: the diameter drilled in mm, its kind, where the figures come from."""

    diameter: float
    kind: HoleKind = DRILLED
    looked_up: tuple[LookedUp, ...] = ()
    worked_from: PlateFace = PlateFace.FACE
    is_lifting: bool = False

    def drilling(self, name: str, bolt: str, mates_with: str = "", joint: Joint = Joint(), *, key: str) -> Drilling:
        """These holes as one group of the flange; ``key`` is the table that asks for them."""
        return Drilling(
            self.diameter,
            self.kind,
            name,
            bolt,
            mates_with,
            self.looked_up,
            joint,
            key,
            self.worked_from,
            self.is_lifting,
        )


class _Asked(Struct, frozen=True):
    """The keys of one table, with the bolt and the diameter that its own keys or its standard give."""

    keys: HoleKeys
    where: str
    diameter_key: str
    written: float | None
    known: float | None
    bolt: str


def make_holes(
    keys: HoleKeys, where: str, diameter_key: str, written: float | None, known: float | None, bolt: str
) -> MadeHole | tuple[Problem, ...]:
    """What a table of holes asks for, or everything that is wrong with it.

    Args:
        keys: The table.
        where: Its name in messages.
        diameter_key: What its key for the diameter is called.
        written: The diameter that stands there, which wins over everything.
        known: The diameter that a standard or a survey gives.
        bolt: The bolt that goes through, as written or from the standard.
    """
    asked = _Asked(keys, where, diameter_key, written, known, bolt)
    wrong = (*_foreign_keys(asked), *_unread_bolt(asked))
    if wrong:
        return wrong
    try:
        made = _tapped(asked) if _is_threaded(keys) else _through(asked)
        check_kind(made.kind, made.diameter)
    except InputError as trouble:
        return trouble.problems
    except GeometryError as mistake:
        return mistake.placed(f"{where}.kind", Cure.CORRECT_ONE_OF_THEM)
    return replace(made, worked_from=keys.worked_from, is_lifting=keys.kind == "lifting")


def _is_threaded(keys: HoleKeys) -> bool:
    """Whether a table asks for a thread; a lifting hole has one where it names one."""
    return keys.kind in ("tapped", "jack") or (keys.kind == "lifting" and keys.thread is not None)


_Sized = tuple[float, tuple[LookedUp, ...]]
"""A size in mm, and where it was looked up if it was."""


def _foreign_keys(asked: _Asked) -> Iterator[Problem]:
    right = set(KIND_KEYS[asked.keys.kind])
    for names in KIND_KEYS.values():
        for name in names:
            if name not in right and name in asked.keys.model_fields_set:
                right.add(name)
                owners = [other for other, own in KIND_KEYS.items() if name in own]
                yield Problem(
                    f"{asked.where}.{name}", JobProblem.KEY_OF_OTHER_KIND, owner=owners[0], written=asked.keys.kind
                )
    if _is_threaded(asked.keys) and asked.written is not None:
        yield Problem(f"{asked.where}.{asked.diameter_key}", JobProblem.TAP_DRILL_OF_A_THREAD)


def _unread_bolt(asked: _Asked) -> Iterator[Problem]:
    """A name that is no bolt, or may be two: whatever is worked out from it would be wrong."""
    try:
        if asked.bolt:
            parse_bolt(asked.bolt)
    except StandardsError as wrong:
        yield from wrong.placed(f"{asked.where}.bolt")


def _tapped(asked: _Asked) -> MadeHole:
    keys = asked.keys
    name = keys.thread or asked.bolt
    if not name:
        raise _missing(f"{asked.where}.thread", "thread", "M16")
    found = published.thread(name)
    if found is None:
        raise InputError.of(JobProblem.NO_SUCH_THREAD, f"{asked.where}.thread", written=name)
    drill, looked_up = (found.tap_drill, (found.drill,)) if keys.tap_drill is None else (keys.tap_drill, ())
    if keys.kind == "jack":
        return MadeHole(drill, Jack(found.name, found.major_diameter), looked_up)
    return MadeHole(drill, found.tapped(keys.depth), looked_up)


def _through(asked: _Asked) -> MadeHole:
    keys = asked.keys
    dowel = keys.kind == "dowel"
    diameter, looked_up = _diameter(asked, None if dowel else keys.fit)
    if dowel:
        return MadeHole(diameter, _dowel(asked, diameter), looked_up)
    if keys.kind in _SEATED:
        kind, seat = _seat(asked)
        return MadeHole(diameter, kind, (*looked_up, *seat))
    if keys.kind == "slot":
        if keys.slot_length is None:
            where, example = f"{asked.where}.slot_length", Cure.WRITE_FOR_EXAMPLE
            raise InputError.of(JobProblem.SLOT_LENGTH_MISSING, where, example, key="slot_length", examples=(30,))
        return MadeHole(diameter, Slot(keys.slot_length, SlotDirection(keys.slot_along or "circle")), looked_up)
    return MadeHole(diameter, DRILLED, looked_up)


def _diameter(asked: _Asked, fit_word: str | None) -> _Sized:
    """The diameter as written, else by bolt and wanted fit, else from the standard, else by bolt and medium fit."""
    fit = published.HoleFit.of(fit_word) if fit_word else published.HoleFit.MEDIUM
    if fit is None:
        choices = tuple(published.FIT_WORDS)
        raise InputError.of(JobProblem.NO_SUCH_FIT, f"{asked.where}.fit", written=str(fit_word), choices=choices)
    if asked.written is not None:
        return asked.written, ()
    if asked.known is not None and fit_word is None:
        return asked.known, ()
    found = published.clearance_hole(asked.bolt, fit) if asked.bolt else None
    if found is not None:
        return found.value, (found,)
    if asked.known is not None and not asked.bolt:
        return asked.known, ()
    raise InputError(_missing_diameter(asked, f"{asked.where}.{asked.diameter_key}"))


def _missing_diameter(asked: _Asked, where: str) -> Problem:
    if asked.bolt:
        return Problem(where, JobProblem.NO_CLEARANCE_HOLE, bolt=asked.bolt)
    examples = (22, "7/8 in")
    write = Cure.WRITE_FOR_EXAMPLE_OR_BOLT
    return Problem(where, SchemaProblem.MISSING, cure=write, key=asked.diameter_key, examples=examples)


def _missing(where: str, key: str, example: str | int) -> InputError:
    return InputError.of(SchemaProblem.MISSING, where, Cure.WRITE_FOR_EXAMPLE, key=key, examples=(example,))


def _dowel(asked: _Asked, diameter: float) -> Dowel:
    fit = asked.keys.fit or "H7"
    limits = published.dowel_limits(diameter, fit)
    if limits is None:
        where, choices = f"{asked.where}.fit", tuple(published.dowel_fits())
        raise InputError.of(JobProblem.NO_DOWEL_LIMITS, where, fit=fit, diameter=Length(diameter), choices=choices)
    return Dowel(fit, limits.lower, limits.upper)


def _seat(asked: _Asked) -> tuple[HoleKind, tuple[LookedUp, ...]]:
    keys = asked.keys
    if keys.kind == "spotfaced":
        seat, looked_up = _seat_size(asked, published.spotface(asked.bolt) if asked.bolt else None)
        return Spotfaced(seat), looked_up
    if keys.kind == "counterbored":
        found = published.counterbore(asked.bolt) if asked.bolt else None
        seat, looked_up = _seat_size(asked, found[0] if found else None)
        depth = keys.seat_depth or (found[1] if found else None)
        if depth is None:
            raise _missing(f"{asked.where}.seat_depth", "seat_depth", 13)
        return Counterbored(seat, depth), looked_up
    found = published.countersink(asked.bolt) if asked.bolt else None
    seat, looked_up = _seat_size(asked, found[0] if found else None)
    return Countersunk(seat, keys.seat_angle or (found[1] if found else 90.0)), looked_up


def _seat_size(asked: _Asked, found: LookedUp | None) -> _Sized:
    """Diameter of a seat: as written, else from the tables."""
    if asked.keys.seat_diameter is not None:
        return asked.keys.seat_diameter, ()
    if found is None:
        none = JobProblem.SEAT_MISSING_FOR_BOLT if asked.bolt else JobProblem.SEAT_MISSING
        where, example = f"{asked.where}.seat_diameter", Cure.WRITE_FOR_EXAMPLE
        raise InputError.of(none, where, example, bolt=asked.bolt, key="seat_diameter", examples=(36,))
    return found.value, (found,)


def build_patterns(written: JobFile, problems: list[Problem]) -> tuple[HolePattern, ...]:
    """The patterns beside bolt circles, table by table as written; what is wrong is told ``problems``."""
    found: list[HolePattern] = []
    for where, table in hole_tables(written):
        if isinstance(table, BoltCircleTable | HoleTable):
            continue
        made = make_holes(table, where, "hole_diameter", table.hole_diameter, None, table.bolt)
        if not isinstance(made, MadeHole):
            problems += made
            continue
        try:
            size = made.drilling(table.name, table.bolt, table.mates_with, key=where)
            found.append(table.pattern(size, where))
        except InputError as trouble:
            problems += trouble.problems
        except GeometryError as mistake:
            problems += mistake.placed(where)
    return tuple(found)


def hole_tables(written: JobFile) -> Iterator[tuple[str, BoltCircleTable | PatternTable | HoleTable]]:
    """Every table of the job that asks for holes, with its key: ``bolt_circle``, or ``bolt_circle[2]`` of several."""
    for name in ("bolt_circle", *pattern_tables(), "hole"):
        yield from keyed(name, getattr(written, name))


def keyed(name: str, tables: Sequence[_Table]) -> Iterator[tuple[str, _Table]]:
    """The tables of a list, each with its key: ``hole``, or ``hole[2]`` of several."""
    for number, table in enumerate(tables, 1):
        yield (name if len(tables) == 1 else f"{name}[{number}]"), table
