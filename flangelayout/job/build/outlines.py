"""From the keys of ``[plate]`` and ``[[opening]]`` to outlines and openings."""

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from flangelayout.errors import GeometryError, Problem
from flangelayout.facts import Length
from flangelayout.flange import (
    BoltCircle,
    FigureEightOutline,
    LozengeOutline,
    LuggedOutline,
    Opening,
    Outline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    SplitOutline,
)
from flangelayout.flange.path import PathCorner, closed_path
from flangelayout.flange.plate import OpeningForm, RectangleForm, RoundForm, SlotForm, WindowForm
from flangelayout.geometry.contours import moved, rounded_polygon, slot, turned, turned_point, window
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.job.build.hole_kinds import keyed
from flangelayout.job.schema.job_file import HoleTable
from flangelayout.job.schema.plate import OPENING_KEYS, OUTLINE_KEYS, OpeningTable, PlateTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.flange import FlangeProblem
from flangelayout.problems.job import JobProblem

_T = TypeVar("_T", int, float)
EXAMPLES = {
    "outside_diameter": 285,
    "width": 300,
    "height": 200,
    "length": 260,
    "end_radius": 30,
    "middle_diameter": 150,
    "lug_radius": 18,
    "hub_diameter": 80,
    "arm_end_radius": 9,
    "handle_length": 220,
    "handle_width": 50,
    "center_distance": 240,
    "web_width": 60,
    "inside_diameter": 170,
    "part_count": 2,
    "diameter": 40,
    "inner_diameter": 90,
    "outer_diameter": 150,
    "sweep": 40,
}


def build_outline(plate: PlateTable, circles: Sequence[BoltCircle], problems: list[Problem]) -> Outline | None:
    """The outline of a plate that is not round, or ``None`` after telling ``problems`` why there is none.

    Args:
        plate: The written keys.
        circles: The bolt circles that could be read; lugs and joints take their places from the first.
        problems: Where what is wrong is told.
    """
    needed = OUTLINE_KEYS[plate.outline][0]
    before = len(problems)
    problems += _wrong_keys(plate, OUTLINE_KEYS, plate.outline, "plate", "outline")
    problems += _missing_keys(plate, needed, "plate", "outline", plate.outline)
    if plate.bore and plate.outline in ("segment", "split"):
        problems.append(Problem("plate.bore", JobProblem.BORE_OF_RING_IN_PARTS))
    if len(problems) > before:
        return None
    try:
        return _MAKERS[plate.outline](plate, circles)
    except GeometryError as wrong:
        problems += wrong.placed("plate.outline")
        return None


def build_openings(tables: Sequence[OpeningTable], problems: list[Problem]) -> tuple[Opening, ...]:
    """Every opening beside the bore, those that repeat one by one; what is wrong is told ``problems``."""
    found: list[Opening] = []
    for number, (where, table) in enumerate(keyed("opening", tables), 1):
        wrong = [
            *_wrong_keys(table, OPENING_KEYS, table.shape, where, "shape"),
            *_missing_keys(table, OPENING_KEYS[table.shape][0], where, "shape", table.shape),
        ]
        problems += wrong
        if not wrong:
            try:
                found += _copies(table, number, len(tables))
            except GeometryError as mistake:
                problems += mistake.placed(where)
    return tuple(found)


def ring_opening(plate: PlateTable) -> Opening | None:
    """The opening of a figure-8's ring side, which ``bore`` gives."""
    if plate.outline != "figure-8" or plate.bore_size is None or plate.center_distance is None:
        return None
    return Opening(
        Circle(Point(plate.center_distance / 2, 0.0), plate.bore_size / 2),
        0,
        "ring opening",
        form=RoundForm(plate.bore_size),
        middle=Point(plate.center_distance / 2, 0.0),
    )


Written = PlateTable | OpeningTable


def _wrong_keys(
    table: Written, keys: dict[str, tuple[tuple[str, ...], tuple[str, ...]]], name: str, where: str, chosen_by: str
) -> Iterator[Problem]:
    """Keys that are written but belong to another shape."""
    right = {*keys[name][0], *keys[name][1]}
    others = {key for needed, possible in keys.values() for key in (*needed, *possible)} - right
    for key in type(table).model_fields:
        if key in others and key in table.model_fields_set:
            owners = [other for other, sets in keys.items() if key in (*sets[0], *sets[1])]
            other = JobProblem.KEY_OF_OTHER_SHAPE
            yield Problem(f"{where}.{key}", other, chosen_by=chosen_by, name=name, owners=tuple(owners[:4]))


def _missing_keys(table: Written, needed: tuple[str, ...], where: str, chosen_by: str, name: str) -> Iterator[Problem]:
    missing = JobProblem.MISSING_FOR_SHAPE
    for key in needed:
        place, example = f"{where}.{key}", EXAMPLES.get(key)
        if getattr(table, key) is None and example is None:
            header = f"[[{place}]]"
            yield Problem(place, missing, cure=Cure.WRITE_TABLES, chosen_by=chosen_by, name=name, header=header)
        elif getattr(table, key) is None:
            write, examples = Cure.WRITE_FOR_EXAMPLE, (example or 0,)
            yield Problem(place, missing, cure=write, chosen_by=chosen_by, name=name, key=key, examples=examples)


def _size(value: float | None) -> float:
    return value or 0.0


def _rectangle(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    width = _size(plate.width)
    height = width if plate.outline == "square" else _size(plate.height)
    return RectangleOutline(width, height, _size(plate.corner_radius))


def _oval(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    width = _size(plate.width)
    end = width / 2 if plate.end_radius is None else plate.end_radius
    return OvalOutline(_size(plate.length), width, end)


def _lozenge(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    return LozengeOutline(_size(plate.length), _size(plate.middle_diameter), _size(plate.end_radius))


def _lugged(plate: PlateTable, circles: Sequence[BoltCircle]) -> Outline:
    return LuggedOutline(
        body_diameter=_size(plate.outside_diameter),
        lug_count=_from_circle(plate.lug_count, circles, lambda circle: circle.hole_count, "lug_count"),
        lug_circle=_from_circle(plate.lug_circle, circles, lambda circle: circle.diameter, "lug_circle"),
        lug_radius=_size(plate.lug_radius),
        first_lug_angle=_from_circle(
            plate.first_lug_angle, circles, lambda circle: circle.first_hole_angle, "first_lug_angle"
        ),
        width_at_middle=plate.lug_width_at_middle,
        root_radius=_size(plate.root_radius),
    )


def _spider(plate: PlateTable, circles: Sequence[BoltCircle]) -> Outline:
    return LuggedOutline(
        body_diameter=_size(plate.hub_diameter),
        lug_count=_from_circle(plate.arm_count, circles, lambda circle: circle.hole_count, "arm_count"),
        lug_circle=_from_circle(plate.arm_circle, circles, lambda circle: circle.diameter, "arm_circle"),
        lug_radius=_size(plate.arm_end_radius),
        first_lug_angle=_from_circle(
            plate.first_arm_angle, circles, lambda circle: circle.first_hole_angle, "first_arm_angle"
        ),
        width_at_middle=plate.arm_width_at_middle,
        root_radius=_size(plate.root_radius),
    )


def _from_circle(written: _T | None, circles: Sequence[BoltCircle], of: Callable[[BoltCircle], _T], key: str) -> _T:
    """A value as written, or what the first bolt circle gives."""
    if written is not None:
        return written
    if not circles:
        raise GeometryError.of(JobProblem.NO_CIRCLE_TO_TAKE_FROM, key=key)
    return of(circles[0])


def _path(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    corners = [
        PathCorner(
            Point(corner.x, corner.y), corner.corner_radius, corner.arc_radius, corner.turn != "right", corner.long_way
        )
        for corner in plate.path or ()
    ]
    return PathOutline(closed_path(corners))


def _paddle(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    return PaddleOutline(
        outside_diameter=_size(plate.outside_diameter),
        handle_length=_size(plate.handle_length),
        handle_width=_size(plate.handle_width),
        handle_angle=90.0 if plate.handle_angle is None else plate.handle_angle,
        end_radius=_size(plate.end_radius),
        root_radius=_size(plate.root_radius),
    )


def _figure_eight(plate: PlateTable, _circles: Sequence[BoltCircle]) -> Outline:
    return FigureEightOutline(
        _size(plate.outside_diameter), _size(plate.center_distance), _size(plate.web_width), _size(plate.root_radius)
    )


def _in_parts(plate: PlateTable, circles: Sequence[BoltCircle]) -> Outline:
    outside, inside = _size(plate.outside_diameter), _size(plate.inside_diameter)
    count = plate.part_count or 2
    angle = plate.first_joint_angle
    kind = SegmentOutline if plate.outline == "segment" else SplitOutline
    first = joint_angle(circles, count) if angle is None else angle
    return kind(outside, inside, count, first, _size(plate.gap), plate.joint or "")


def joint_angle(circles: Sequence[BoltCircle], part_count: int) -> float:
    """Where the first joint stands so that every joint is midway between two holes of the first bolt circle.

    Raises:
        GeometryError: If the holes cannot be shared equally by the parts.
    """
    if not circles:
        return 90.0
    circle = circles[0]
    if not circle.equally_spaced:
        raise GeometryError.of(JobProblem.NO_JOINT_BETWEEN_UNEVEN)
    if circle.hole_count % part_count:
        raise GeometryError.of(JobProblem.JOINTS_DO_NOT_DIVIDE, hole_count=circle.hole_count, part_count=part_count)
    return (circle.first_hole_angle - circle.pitch_angle / 2) % 360.0


_MAKERS: dict[str, Callable[[PlateTable, Sequence[BoltCircle]], Outline]] = {
    "round": lambda plate, _circles: RoundOutline(_size(plate.outside_diameter)),
    "rectangle": _rectangle,
    "square": _rectangle,
    "oval": _oval,
    "lozenge": _lozenge,
    "lugged": _lugged,
    "spider": _spider,
    "path": _path,
    "paddle": _paddle,
    "figure-8": _figure_eight,
    "segment": _in_parts,
    "split": _in_parts,
}


def _copies(table: OpeningTable, number: int, tables: int) -> Iterator[Opening]:
    """An opening as often as it repeats round the middle of the plate, each with a name of its own."""
    shape, form, middle, turned_by = _opening(table)
    called = " ".join(
        filter(None, ("opening", str(number) if tables > 1 else "", f"({table.name})" if table.name else ""))
    )
    for copy in range(table.count):
        turn = 360.0 * copy / table.count
        number_of_copy = copy + 1 if table.count > 1 else 0
        edge, place = (turned(shape, turn), turned_point(middle, turn)) if copy else (shape, middle)
        yield Opening(edge, number, called, number_of_copy, form, place, (turned_by + turn) % 360.0)


def _opening(table: OpeningTable) -> tuple[Edge, OpeningForm, Point, float]:
    """Edge, form, middle and turn of an opening."""
    corner = _size(table.corner_radius)
    if table.shape == "window":
        inner, outer = _size(table.inner_diameter), _size(table.outer_diameter)
        if inner >= outer:
            raise GeometryError.of(JobProblem.WINDOW_INSIDE_OUT, inner=Length(inner), outer=Length(outer))
        middle, sweep = 90.0 if table.angle is None else table.angle, _size(table.sweep)
        edge = window(inner / 2, outer / 2, middle, sweep, corner)
        return edge, WindowForm(inner, outer, sweep, corner), ORIGIN, middle
    place, turn = place_of(table)
    if table.shape == "circle":
        diameter = _size(table.diameter)
        return Circle(place, diameter / 2), RoundForm(diameter), place, turn
    width = _size(table.width)
    if table.shape == "slot":
        length = _size(table.length)
        half = (length - width) / 2
        if half <= 0:
            raise GeometryError.of(FlangeProblem.SLOT_NOT_LONGER, length=Length(length), width=Length(width))
        edge = slot(Line(Point(-half, 0.0), Point(half, 0.0)), width / 2)
        return moved(turned(edge, turn), place), SlotForm(width, length), place, turn
    height = _size(table.height)
    x, y = width / 2, height / 2
    corners = (Point(-x, -y), Point(x, -y), Point(x, y), Point(-x, y))
    edge = rounded_polygon([(each, corner) for each in corners])
    return moved(turned(edge, turn), place), RectangleForm(width, height, corner), place, turn


def place_of(table: OpeningTable | HoleTable) -> tuple[Point, float]:
    """Where a middle is, and how it is turned: by ``radius`` and ``angle`` it points outward.

    Raises:
        GeometryError: If neither pair is written, or both.
    """
    square, round_ = (table.x, table.y), (table.radius, table.angle)
    if None not in square and round_ == (None, None):
        return Point(_size(table.x), _size(table.y)), 0.0
    if None not in round_ and square == (None, None):
        return polar(_size(table.radius), _size(table.angle)), _size(table.angle)
    raise GeometryError.of(JobProblem.PLACE_MISSING)
