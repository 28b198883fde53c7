"""Random jobs of a shop, each with what is so, worked out from the numbers alone.

A scenario names a published row or none, overrides some of its figures, adds bolts right and wrong, seats, a mate, or
readings that agree, contradict each other or belong to unequal holes. Its truth is filled in while it is made.
"""

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from truth.published import METRIC, SAME, Row, pipe_rows

THICKNESS = 25.0


@dataclass(slots=True)
class Scenario:
    """A job file and the truth about it; ``None`` where the numbers are too close to call."""

    plate: list[str]
    circle: list[str]
    survey: list[str] = field(default_factory=list)
    row: Row | None = None
    same_as_row: bool = False
    differences: list[tuple[float, float]] = field(default_factory=list)
    bolt: str = ""
    bolt_enters: bool | None = None
    hole_covered: bool | None = None
    in_plate: bool | None = None
    mate_passes: bool | None = None
    stops: bool | None = False
    wrong_reading: str = ""
    true_circle: float | None = None
    tied: tuple[Row, ...] = ()

    @property
    def text(self) -> str:
        """The job file."""
        head = ['units = "mm"', "[job]", 'number = "MB-900"', "[plate]", *self.plate, f"thickness = {THICKNESS:g}"]
        return "\n".join([*head, "[[bolt_circle]]", *self.circle, *self.survey]) + "\n"


def scenario(seed: int) -> Scenario:
    """The scenario of a seed, the same every time."""
    dice = random.Random(f"claims {seed}")
    made = dice.choices(_KINDS, weights=(5, 5, 3, 2, 2, 2))[0]
    return made(dice)


def tied_scenario(seed: int) -> Scenario:
    """Readings of a row, and every row that drills alike; others near by leave it open whether it can be drawn."""
    return _nearest(random.Random(f"ties {seed}"))


def _row(dice: random.Random, test: Callable[[Row], bool] = lambda row: True) -> Row:
    return dice.choice([row for row in pipe_rows() if row.outside < 900 and 4 <= row.count <= 24 and test(row)])


def _blind(row: Row, extra: float = 0.0) -> list[str]:
    return [f"outside_diameter = {row.outside + extra:.4f}"]


def _of_a_row(dice: random.Random) -> Scenario:
    """A row as it is, in a plate of its own size."""
    row = _row(dice)
    made = Scenario(_blind(row), [f'standard = "{row.designation}"'], row=row, same_as_row=True)
    if dice.random() < 0.3:
        made.circle.append(f"hole_count = {row.count}")
    if dice.random() < 0.3:
        made.circle.append(f"diameter = {row.circle:.6f}")
    _bolted(dice, made, row.hole)
    _mated(dice, made, row)
    return made


def _overridden(dice: random.Random) -> Scenario:
    """A row with one to three of its figures written otherwise."""
    row = _row(dice, lambda row: row.outside > 120)
    made = Scenario(_blind(row, extra=0.2 * row.circle), [f'standard = "{row.designation}"'], row=row)
    own = {"diameter": row.circle, "hole_count": float(row.count), "hole_diameter": row.hole}
    for key in dice.sample(sorted(own), dice.randint(1, 3)):
        own[key] = _other(dice, key, own[key])
        decimals = 0 if key == "hole_count" else 2
        made.circle.append(f"{key} = {own[key]:.{decimals}f}")
    published = {"diameter": row.circle, "hole_count": float(row.count), "hole_diameter": row.hole}
    made.differences = [(own[key], published[key]) for key in own if abs(own[key] - published[key]) > SAME]
    made.same_as_row = not made.differences
    _bolted(dice, made, own["hole_diameter"])
    return made


def _other(dice: random.Random, key: str, value: float) -> float:
    """A figure that a shop may write instead, near enough that the holes still stand apart on the plate."""
    if key == "hole_count":
        return float(max(3, int(value) + dice.choice((-2, -1, 1))))
    if key == "diameter":
        return round(value * dice.uniform(0.97, 1.03) + dice.choice((0.5, -0.5)), 2)
    return round(value * dice.uniform(0.7, 1.1) + 0.37, 2)


def _written(dice: random.Random) -> Scenario:
    """Plain numbers, perhaps those of a row, and no standard named; perhaps with seats."""
    row = _row(dice, lambda row: row.hole > 8)
    made = Scenario(_blind(row), [f"diameter = {row.circle:.4f}", f"hole_count = {row.count}"])
    if dice.random() < 0.5:
        made.circle.append(f"hole_diameter = {row.hole:.4f}")
        _bolted(dice, made, row.hole)
        return made
    depth = dice.choice((0.3, 0.4, 1.02, 1.5)) * THICKNESS
    made.circle += [f"hole_diameter = {row.hole / 2:.4f}", 'kind = "counterbored"']
    made.circle += [f"seat_diameter = {row.hole:.4f}", f"seat_depth = {depth:.3f}"]
    made.in_plate = depth < THICKNESS
    made.stops = None if not made.in_plate else False
    return made


def _bolted(dice: random.Random, made: Scenario, hole: float) -> None:
    """A bolt, most often one that goes with the hole."""
    if dice.random() < 0.2:
        return
    right = [name for name, (shank, _, _, coarse) in METRIC.items() if shank < hole <= coarse]
    name = dice.choice(right) if right and dice.random() < 0.6 else dice.choice(sorted(METRIC))
    shank, flats, _, coarse = METRIC[name]
    made.bolt = name
    made.circle.append(f'bolt = "{dice.choice((name, name.lower(), f"{name}-8.8", f"{name} x 80"))}"')
    made.bolt_enters = None if abs(shank - hole) < 0.01 else shank < hole
    made.hole_covered = True if shank < hole <= coarse else False if hole > flats else None


def _mated(dice: random.Random, made: Scenario, row: Row) -> None:
    """A mate named by its designation: the same row or another of about the size, whose holes meet or do not.

    Two equally spaced circles of as many holes lie best center on center: every hole is half the difference of the
    circles off, and a bolt has (own hole - bolt) / 2 + (mate's hole - bolt) / 2 less that left.
    """
    if not made.bolt or dice.random() < 0.4:
        return
    near = [
        each for each in pipe_rows() if abs(each.circle - row.circle) < 12 and each.count in (row.count, row.count + 4)
    ]
    mate = row if dice.random() < 0.4 else dice.choice(near)
    made.circle.append(f'mates_with = "{mate.designation}"')
    shank = METRIC[made.bolt][0]
    rooms = [(row.hole - shank) / 2, (mate.hole - shank) / 2]
    room = min(sum(rooms) - abs(mate.circle - row.circle) / 2, *rooms, math.inf)
    if mate.count != row.count:
        made.mate_passes = False
    elif abs(room) > 0.02:
        made.mate_passes = room > 0


def _chord(diameter: float, degrees: float) -> float:
    return diameter * math.sin(math.radians(degrees) / 2)


def _reading(value: float, start: int, end: int) -> list[str]:
    return ["[[survey.reading]]", 'kind = "centers"', f"value = {value:.2f}", f"from = {start}", f"to = {end}"]


def _surveyed(dice: random.Random, row: Row, asked: str, wrong: float = 0.0) -> Scenario:
    """Every neighbor chord and half of the opposite ones, within 0.1 mm, one of them misread by ``wrong``."""
    made = Scenario(
        _blind(row), [f'diameter = "{asked}"', f"hole_count = {row.count}", f"hole_diameter = {row.hole:.4f}"]
    )
    made.true_circle = row.circle
    pairs = [(n, n % row.count + 1, 1) for n in range(1, row.count + 1)]
    if row.count % 2 == 0:
        pairs += [(n, n + row.count // 2, row.count // 2) for n in range(1, row.count // 2 + 1, 2)]
    misread = dice.randrange(row.count)
    made.survey = ["[survey]", f"hole_count = {row.count}"]
    for index, (start, end, span) in enumerate(pairs):
        value = _chord(row.circle, span * 360 / row.count) + dice.uniform(-0.1, 0.1)
        if wrong and index == misread:
            value += wrong
            made.wrong_reading = f"{value:.2f}"
        made.survey += _reading(value, start, end)
    return made


def _measured(dice: random.Random) -> Scenario:
    return _surveyed(dice, _row(dice, lambda row: row.circle < 500 and row.count <= 12), "measured")


def _contradicting(dice: random.Random) -> Scenario:
    row = _row(dice, lambda row: 100 < row.circle < 500 and 6 <= row.count <= 12)
    made = _surveyed(
        dice, row, dice.choice(("measured", "nearest standard")), wrong=dice.choice((-1, 1)) * dice.uniform(5, 9)
    )
    made.stops = True
    return made


def _unequal(dice: random.Random) -> Scenario:
    """One hole of six to eight 5 to 9 degrees off its place; every pair of holes up to three apart is read."""
    row = _row(dice, lambda row: 120 < row.circle < 500 and row.count == 8)
    made = Scenario(
        _blind(row), ['diameter = "measured"', f"hole_count = {row.count}", f"hole_diameter = {row.hole:.4f}"]
    )
    made.survey = ["[survey]", f"hole_count = {row.count}"]
    angles = [n * 360 / row.count for n in range(row.count)]
    angles[dice.randrange(1, row.count)] += dice.choice((-1, 1)) * dice.uniform(5, 9)
    for span in (1, 2, 3):
        for n in range(row.count):
            other = (n + span) % row.count
            value = _chord(row.circle, abs(angles[other] - angles[n])) + dice.uniform(-0.05, 0.05)
            made.survey += _reading(value, n + 1, other + 1)
    made.stops = True
    return made


def _nearest(dice: random.Random) -> Scenario:
    """Readings of a row; the rows that drill alike tie, and others near by leave it open whether it can be drawn."""
    row = _row(dice, lambda row: 100 < row.circle < 400 and row.count <= 12)
    made = _surveyed(dice, row, "nearest standard")
    made.tied = tuple(each for each in pipe_rows() if each.drills_as(row))
    made.stops = None
    return made


_KINDS = (_of_a_row, _overridden, _written, _measured, _contradicting, _unequal)
