"""What a check found, as values: the rule, the place, the numbers, the limit and who sets it, the cure."""

from enum import Enum
from typing import assert_never

from msgspec import Struct

from flangelayout.checks.facts import Facts
from flangelayout.checks.limits import Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange, Hole

TOLERANCE = 1e-6
"""In mm: what breaks a limit by less is as good as at it."""


class Result(Enum):
    """How a check came out. ``NOTED`` is no check but something to notice; it never fails."""

    PASSED = "passed"
    FAILED = "failed"
    NOT_RUN = "not run"
    NOTED = "note"


class Bound(Enum):
    """Which way a value breaks its limit."""

    AT_LEAST = "at least"
    MORE_THAN = "more than"
    AT_MOST = "at most"
    EQUAL = "equal"


class Reason(Enum):
    """Why a check was not run: a key of the job that it needs, or what no table has."""

    LEFT_OUT = "left out"
    HUB_DIAMETER = "hub_diameter"
    THICKNESS = "thickness"
    BOLT = "bolt"
    NUT_TABLE = "nut table"
    WRENCH_TABLE = "wrench table"
    HOLE_TABLE = "hole table"
    THREAD_TABLE = "thread table"
    GASKET = "gasket"
    MATE = "mate"
    MATE_HOLES = "mate holes"
    MATE_THICKNESS = "mate thickness"
    MATE_OF_PATTERN = "mate of pattern"
    MATE_BORE = "mate bore"
    BORE = "bore"
    CONTRADICTION = "contradiction"
    READINGS = "readings"
    PARENT = "parent"


class Remedy(Enum):
    """What would put it right."""

    SMALLER_BORE = "smaller bore"
    SMALLER_FACE = "smaller face"
    LARGER_FACE = "larger face"
    FACE_OR_SPOTFACE = "smaller face or spotface"
    FACE_CLEAR = "face clear of holes"
    TURNED_SMALLER = "smaller diameter or larger plate"
    TURNED_SHALLOWER = "less depth or height or thicker plate"
    WALL_ASIDE = "wall or holes moved"
    LARGER_PLATE_OR_SMALLER_CIRCLE = "larger plate or smaller circle"
    FEWER_OR_SMALLER_HOLES = "fewer or smaller holes"
    LARGER_PLATE_OR_HOLE_IN = "larger plate or hole farther in"
    SMALLER_OPENING_OR_HOLE_OUT = "smaller opening or hole farther out"
    MOVE_OPENING = "smaller opening, moved"
    MOVE_ONE_OPENING = "one opening smaller, moved"
    TURN_MOVE_OR_SMALLER = "turned, moved or smaller holes"
    SHALLOWER = "less deep or thicker plate"
    SMALLER_HEAD = "smaller screw or thicker plate"
    APART_OR_SMALLER = "farther apart or smaller recess"
    RECESS_IN = "moved in or smaller recess"
    FEWER_HOLES_OR_LARGER_CIRCLE = "fewer or smaller holes or larger circle"
    TURN_OR_TAP = "turned, moved or tapped"
    MORE_EDGE = "larger plate, smaller circle or holes"
    MORE_BESIDE_OPENING = "smaller opening, larger circle or smaller holes"
    SMALLER_BOLT_OR_LARGER_PLATE = "smaller bolt or larger plate"
    SMALLER_OPENING_OR_LARGER_CIRCLE = "smaller opening or larger circle"
    LARGER_CIRCLE_OR_SMALLER_HUB = "larger circle, smaller hub or weld, spotface"
    MOVE_TURN_OR_TAP = "moved, turned, tapped or smaller bolt"
    FEWER_BOLTS = "fewer or smaller bolts or larger circle"
    SOCKET = "fewer or smaller bolts or a socket"
    LARGER_CIRCLE_OR_SOCKET = "larger circle, smaller bolts or a socket"
    MORE_BOLTS = "more or larger bolts, thicker plate or softer gasket"
    TAP_DEEPER = "deeper tap, thicker plate, smaller thread or through bolts"
    PIPE_DEEPER = "deeper tap, thicker plate, smaller thread or a boss"
    TAP_SHALLOWER = "less deep tap, right through or thicker plate"
    CLOCK = "turn of the second circle"
    TAP_ONE_SIDE = "one side tapped, studs or thicker plate"
    TWO_RINGS = "one side tapped, studs or two rings"
    KNOWN_BOLT = "bolt of a table"
    SMALLER_BOLT_OR_LARGER_HOLE = "smaller bolt or larger hole"
    LARGER_BOLT_OR_SMALLER_HOLE = "larger bolt or smaller hole"
    FIGURE_OF_STANDARD = "figure of the standard or no standard"
    MATCH_MATE = "drilling of the mate or the right mate"
    CLEAR_OF_MATE = "sunk heads, studs or a smaller bolt"
    BORE_FOR_SPIGOT = "bore or recess for the spigot"
    DEEPER_FOR_SPIGOT = "deeper recess for the spigot"
    SPIGOT_FOR_MATE = "smaller spigot or larger bore of the mate"
    MATES_APART = "thicker plate or shorter spigots"
    SEAT_ON_MATE = "smaller bolt or other mate"
    DEEPER_COUNTERBORE = "deeper counterbore"
    SEAT_BESIDE_WALL = "smaller bolt or wall moved"
    OTHER_SCREW = "screw cut to length, or stud"
    OTHER_FACE = "worked from the other face"
    RIGHT_UNIT = "right unit"
    LESS_DEPTH = "less depth"
    WIDER_GAP = "wider gap or parts apart"
    DRILL_SMALL_HOLES = "undersize or center marks"
    FINER_CUT = "finer cut"
    LETTERS_WITH_SIGNS = "letters with signs"
    LETTERS_WITH_STROKES = "letters with strokes"
    DERIVE_AGAIN = "derived again"
    READ_ACROSS = "readings across the circle or none"
    READ_OR_WRITE = "readings or written size"


class HoleIndex(Struct, frozen=True):
    """A hole by its group in the flange, -1 for a single one, and its number there."""

    group: int
    number: int


def ref(hole: Hole) -> HoleIndex:
    """The reference to a hole."""
    return HoleIndex(hole.group, hole.number)


class Place(Struct, frozen=True):
    """Where on the plate and in the job a check looked.

    Attributes:
        key: The job key to change: ``bolt_circle[2].diameter``.
        group: Index of the group of holes; -1 for single holes, ``None`` where it is none's.
        holes: The holes themselves, where it is about some.
        opening: Index among the plate's cutouts.
    """

    key: str
    group: int | None = None
    holes: tuple[HoleIndex, ...] = ()
    opening: int | None = None


def hole_key(flange: Flange, hole: Hole) -> str:
    """The job key that places a hole: its circle's diameter, its pattern's or its own table."""
    on_circle = 0 <= hole.group < len(flange.bolt_circles)
    return f"{hole.key}.diameter" if on_circle else hole.key


def circle_place(flange: Flange, group: int, key: str) -> Place:
    """A key of a circle's table."""
    return Place(f"{flange.group_key(group)}.{key}", group)


def hole_place(flange: Flange, hole: Hole, opening: int | None = None) -> Place:
    """Where a hole stands."""
    return Place(hole_key(flange, hole), hole.group, (ref(hole),), opening)


class Finding(Struct, frozen=True):
    """One check and how it came out.

    Attributes:
        rule: What was looked at.
        result: How it came out.
        place: Where.
        facts: What the sentence needs to know; ``None`` for a check that was not run.
        value: What was found: mm, or a count.
        limit: What it is held against, and who sets it.
        bound: Which way it would break the limit.
        cure: What would put it right, for a check that failed.
        reason: Why it was not run.
    """

    rule: Rule
    result: Result
    place: Place
    facts: Facts | None = None
    value: float | None = None
    limit: Limit | None = None
    bound: Bound = Bound.AT_LEAST
    cure: Remedy | None = None
    reason: Reason | None = None

    @property
    def failed(self) -> bool:
        """Whether a check fails by it."""
        return self.result is Result.FAILED

    @property
    def stops(self) -> bool:
        """Whether the job contradicts itself and cannot be drawn."""
        return self.failed and self.rule.stops

    @property
    def is_remark(self) -> bool:
        """Whether a sheet and a draw tell it: a check that failed, or something to notice."""
        return self.result in (Result.FAILED, Result.NOTED)


def judged(
    rule: Rule,
    place: Place,
    facts: Facts,
    value: float,
    limit: Limit,
    cure: Remedy,
    bound: Bound = Bound.AT_LEAST,
) -> Finding:
    """A value against its limit: passed, or failed with its cure. What stops a job is held to the last digit."""
    slack = 0.0 if rule.stops else TOLERANCE
    match bound:
        case Bound.AT_LEAST:
            sound = value >= limit.value - slack
        case Bound.MORE_THAN:
            sound = value > limit.value
        case Bound.AT_MOST:
            sound = value <= limit.value + slack
        case Bound.EQUAL:
            sound = abs(value - limit.value) <= slack
        case _:
            assert_never(bound)
    result = Result.PASSED if sound else Result.FAILED
    return Finding(rule, result, place, facts, value, limit, bound, None if sound else cure)


def noted(rule: Rule, place: Place, facts: Facts) -> Finding:
    """Something to notice."""
    return Finding(rule, Result.NOTED, place, facts)


def not_run(rule: Rule, place: Place, reason: Reason) -> Finding:
    """A check that was not run, and why."""
    return Finding(rule, Result.NOT_RUN, place, reason=reason)


class Tally(Struct, frozen=True):
    """How many checks there were and how they came out; notes are no checks."""

    passed: int
    failed: int
    not_run: int

    @property
    def checks(self) -> int:
        """All of them."""
        return self.passed + self.failed + self.not_run


def tally(findings: tuple[Finding, ...]) -> Tally:
    """The count of each result."""
    results = [finding.result for finding in findings]
    return Tally(results.count(Result.PASSED), results.count(Result.FAILED), results.count(Result.NOT_RUN))
