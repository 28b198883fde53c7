"""From the keys of a table of holes to what is made: kind, diameter drilled, and where the figures come from."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.errors import GeometryError, Problem
from flangelayout.flange import (
    DRILLED,
    Counterbored,
    Countersunk,
    Dowel,
    Drilling,
    HoleGrid,
    HoleKind,
    HolePattern,
    HoleRectangle,
    HoleRings,
    Jack,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
    counts_by_pitch,
)
from flangelayout.flange.bolting import Joint
from flangelayout.flange.hole import check_kind
from flangelayout.geometry.shapes import Point
from flangelayout.job.schema.holes import (
    KIND_KEYS,
    HoleGridTable,
    HoleKeys,
    HoleRectangleTable,
    HoleRingsTable,
    PatternKeys,
)
from flangelayout.job.schema.job_file import BoltCircleTable, HoleTable, JobFile
from flangelayout.standards import holes as published
from flangelayout.standards.bolts import parse_bolt
from flangelayout.standards.faults import StandardsError

_SEATED = ("countersunk", "counterbored", "spotfaced")


@dataclass(frozen=True, slots=True)
class Made:
    """What every hole of a table is: the diameter drilled in mm, its kind, where the figures come from."""

    diameter: float
    kind: HoleKind = DRILLED
    credit: str = ""

    def drilling(self, name: str, bolt: str, mates_with: str = "", joint: Joint = Joint(), *, key: str) -> Drilling:
        """These holes as one group of the flange; ``key`` is the table that asks for them."""
        return Drilling(self.diameter, self.kind, name, bolt, mates_with, self.credit, joint, key)


@dataclass(frozen=True, slots=True)
class _Asked:
    """The keys of one table, with the bolt and the diameter that its own keys or its standard give."""

    keys: HoleKeys
    where: str
    diameter_key: str
    written: float | None
    known: float | None
    bolt: str


def make_holes(
    keys: HoleKeys, where: str, diameter_key: str, written: float | None, known: float | None, bolt: str
) -> Made | tuple[Problem, ...]:
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
        made = _tapped(asked) if keys.kind in ("tapped", "jack") else _through(asked)
        check_kind(made.kind, made.diameter)
    except _AskedError as trouble:
        return (trouble.problem,)
    except GeometryError as mistake:
        return (Problem(f"{where}.kind", f"{mistake}; correct one of them"),)
    return made


class _AskedError(Exception):
    """A key that is missing or cannot be used."""

    def __init__(self, where: str, text: str) -> None:
        self.problem = Problem(where, text)
        super().__init__(text)


def _foreign_keys(asked: _Asked) -> Iterator[Problem]:
    right = set(KIND_KEYS[asked.keys.kind])
    for names in KIND_KEYS.values():
        for name in names:
            if name not in right and name in asked.keys.model_fields_set:
                right.add(name)
                owners = [other for other, own in KIND_KEYS.items() if name in own]
                text = f'belongs to kind = "{owners[0]}", not "{asked.keys.kind}"; leave it out or change the kind'
                yield Problem(f"{asked.where}.{name}", text)
    if asked.keys.kind in ("tapped", "jack") and asked.written is not None:
        text = "is the tap drill's for a thread; write thread, and tap_drill where the table's will not do"
        yield Problem(f"{asked.where}.{asked.diameter_key}", text)


def _unread_bolt(asked: _Asked) -> Iterator[Problem]:
    """A name that is no bolt, or may be two: whatever is worked out from it would be wrong."""
    try:
        if asked.bolt:
            parse_bolt(asked.bolt)
    except StandardsError as wrong:
        yield Problem(f"{asked.where}.bolt", str(wrong))


def _tapped(asked: _Asked) -> Made:
    keys = asked.keys
    name = keys.thread or asked.bolt
    if not name:
        raise _AskedError(f"{asked.where}.thread", 'is missing; write for example thread = "M16"')
    found = published.thread(name)
    if found is None:
        text = f'"{name}" is no thread of the tables; write for example "M16", "M16x1.5", "5/8-11 UNC" or "1/2 NPT"'
        raise _AskedError(f"{asked.where}.thread", text)
    drill, credit = (found.tap_drill, found.credit) if keys.tap_drill is None else (keys.tap_drill, "")
    if keys.kind == "jack":
        return Made(drill, Jack(found.name, found.major_diameter), credit)
    return Made(drill, Tapped(found.name, found.major_diameter, keys.depth), credit)


def _through(asked: _Asked) -> Made:
    keys = asked.keys
    dowel = keys.kind == "dowel"
    diameter, credit = _diameter(asked, None if dowel else keys.fit)
    if dowel:
        return Made(diameter, _dowel(asked, diameter), credit)
    if keys.kind in _SEATED:
        kind, seat_credit = _seat(asked)
        return Made(diameter, kind, "; ".join(filter(None, (credit, seat_credit))))
    if keys.kind == "slot":
        if keys.slot_length is None:
            raise _AskedError(
                f"{asked.where}.slot_length", "is missing; write the length over all, as in slot_length = 30"
            )
        return Made(diameter, Slot(keys.slot_length, SlotDirection(keys.slot_along or "circle")), credit)
    return Made(diameter, DRILLED, credit)


def _diameter(asked: _Asked, fit_word: str | None) -> tuple[float, str]:
    """The diameter as written, else by bolt and wanted fit, else from the standard, else by bolt and medium fit."""
    fit = published.Fit.of(fit_word) if fit_word else published.Fit.MEDIUM
    if fit is None:
        text = f'"{fit_word}" is no fit; use {", ".join(published.FIT_WORDS)}'
        raise _AskedError(f"{asked.where}.fit", text)
    if asked.written is not None:
        return asked.written, ""
    if asked.known is not None and fit_word is None:
        return asked.known, ""
    found = published.clearance_hole(asked.bolt, fit) if asked.bolt else None
    if found is not None:
        return found.value, found.credit
    if asked.known is not None and not asked.bolt:
        return asked.known, ""
    raise _AskedError(f"{asked.where}.{asked.diameter_key}", _missing_diameter(asked))


def _missing_diameter(asked: _Asked) -> str:
    if asked.bolt:
        return f'is missing, and the tables have no clearance hole for the bolt "{asked.bolt}"; write the diameter'
    example = f'{asked.diameter_key} = 22, or {asked.diameter_key} = "7/8 in", or bolt = "M20"'
    return f"is missing; write for example {example}"


def _dowel(asked: _Asked, diameter: float) -> Dowel:
    fit = asked.keys.fit or "H7"
    limits = published.dowel_limits(diameter, fit)
    if limits is None:
        known = ", ".join(published.dowel_fits())
        text = f'"{fit}" has no published limits at {diameter:g} mm; use {known}'
        raise _AskedError(f"{asked.where}.fit", text)
    return Dowel(fit, limits.lower, limits.upper)


def _seat(asked: _Asked) -> tuple[HoleKind, str]:
    keys = asked.keys
    if keys.kind == "spotfaced":
        seat, credit = _seat_size(asked, published.spotface(asked.bolt) if asked.bolt else None)
        return Spotfaced(seat), credit
    if keys.kind == "counterbored":
        found = published.counterbore(asked.bolt) if asked.bolt else None
        seat, credit = _seat_size(asked, found[0] if found else None)
        depth = keys.seat_depth or (found[1] if found else None)
        if depth is None:
            raise _AskedError(f"{asked.where}.seat_depth", "is missing; write for example seat_depth = 13")
        return Counterbored(seat, depth), credit
    found = published.countersink(asked.bolt) if asked.bolt else None
    seat, credit = _seat_size(asked, found[0] if found else None)
    return Countersunk(seat, keys.seat_angle or (found[1] if found else 90.0)), credit


def _seat_size(asked: _Asked, found: published.Figure | None) -> tuple[float, str]:
    """Diameter of a seat: as written, else from the tables."""
    if asked.keys.seat_diameter is not None:
        return asked.keys.seat_diameter, ""
    if found is None:
        bolt = f' for the bolt "{asked.bolt}"' if asked.bolt else ""
        text = f"is missing, and the tables have none{bolt}; write for example seat_diameter = 36"
        raise _AskedError(f"{asked.where}.seat_diameter", text)
    return found.value, found.credit


def build_patterns(written: JobFile, problems: list[Problem]) -> tuple[HolePattern, ...]:
    """Rectangles, then grids, then rings, in the order written; what is wrong is told ``problems``."""
    found: list[HolePattern] = []
    for where, table in hole_tables(written):
        if not isinstance(table, PatternKeys):
            continue
        made = make_holes(table, where, "hole_diameter", table.hole_diameter, None, table.bolt)
        if not isinstance(made, Made):
            problems += made
            continue
        try:
            size = made.drilling(table.name, table.bolt, table.mates_with, key=where)
            found.append(_pattern(table, size, where))
        except _AskedError as trouble:
            problems.append(trouble.problem)
        except GeometryError as mistake:
            problems.append(Problem(where, str(mistake)))
    return tuple(found)


def hole_tables(written: JobFile) -> Iterator[tuple[str, BoltCircleTable | PatternKeys | HoleTable]]:
    """Every table of the job that asks for holes, with its key: ``bolt_circle``, or ``bolt_circle[2]`` of several."""
    for name in ("bolt_circle", "hole_rectangle", "hole_grid", "hole_rings", "hole"):
        tables: list[BoltCircleTable | PatternKeys | HoleTable] = getattr(written, name)
        for number, table in enumerate(tables, 1):
            yield name if len(tables) == 1 else f"{name}[{number}]", table


def _pattern(table: PatternKeys, size: Drilling, where: str) -> HolePattern:
    match table:
        case HoleRectangleTable():
            at = Point(table.x, table.y)
            return HoleRectangle(size, table.width, table.height, table.columns, table.rows, at, table.angle)
        case HoleGridTable():
            return _grid(table, size, where)
        case HoleRingsTable():
            return _rings(table, size, where)
        case _:
            raise AssertionError(table)


def _grid(table: HoleGridTable, size: Drilling, where: str) -> HoleGrid:
    """A grid; staggered rows of one pitch stand 0.866 of it apart, so that all six neighbors are a pitch away."""
    staggered = table.layout == "staggered"
    pitch_x = table.pitch_x or table.pitch
    pitch_y = table.pitch_y or (table.pitch and table.pitch * (3**0.5 / 2 if staggered else 1.0))
    if pitch_x is None or pitch_y is None:
        raise _AskedError(f"{where}.pitch", "is missing; write pitch, or pitch_x and pitch_y")
    at = Point(table.x, table.y)
    limits = table.within_diameter, table.outside_diameter
    return HoleGrid(size, table.columns, table.rows, pitch_x, pitch_y, staggered, *limits, at)


def _rings(table: HoleRingsTable, size: Drilling, where: str) -> HoleRings:
    if table.hole_counts:
        if table.ring_count is not None and table.ring_count != len(table.hole_counts):
            text = f"is {table.ring_count}, but hole_counts has {len(table.hole_counts)}; leave one of them out"
            raise _AskedError(f"{where}.ring_count", text)
        return HoleRings(size, table.first_diameter, table.ring_pitch, tuple(table.hole_counts))
    if table.ring_count is None:
        raise _AskedError(f"{where}.ring_count", "is missing; write it, or hole_counts = [6, 12, 18]")
    pitch = table.hole_pitch or table.ring_pitch
    counts = counts_by_pitch(table.first_diameter, table.ring_pitch, table.ring_count, pitch)
    return HoleRings(size, table.first_diameter, table.ring_pitch, counts)
