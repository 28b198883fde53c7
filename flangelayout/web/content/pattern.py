"""The picture of the bolt pattern on which a reading is taken: places from the flange model, in picture units."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from flangelayout.flange import BoltCircle
from flangelayout.survey import Survey
from flangelayout.survey.kinds import CHORD_KINDS, Kind
from flangelayout.survey.readings import Reading
from flangelayout.writers.numbers import fixed

HALF = 120.0
"""Half the side of the square picture."""
_CIRCLE = 82.0
_RIM, _BORE = 112.0, 46.0
_LARGEST_HOLE, _LARGEST_TOUCH = 14.0, 24.0
MOST_TOUCHED = 60
_NUMBERED = 24
_USUAL_COUNT = 8


@dataclass(frozen=True, slots=True)
class Spot:
    """A hole of the picture: its number, where it is, how large it is drawn and how large it can be touched."""

    number: int
    x: str
    y: str
    label_x: str
    label_y: str
    numbered: bool
    picked: bool


@dataclass(frozen=True, slots=True)
class PatternMark:
    """A reading drawn on the picture: from one place to another, or round a circle of radius ``r``."""

    css: str
    text: str
    x1: str = "0"
    y1: str = "0"
    x2: str = "0"
    y2: str = "0"
    r: str = ""
    at_x: str = "0"
    at_y: str = "0"


@dataclass(frozen=True, slots=True)
class PatternPicture:
    """Everything the template needs to draw the pattern."""

    spots: tuple[Spot, ...]
    marks: tuple[PatternMark, ...]
    hole_radius: str
    touch_radius: str
    touchable: bool
    circle: str = fixed(_CIRCLE)
    rim: str = fixed(_RIM)
    bore: str = fixed(_BORE)
    half: str = fixed(HALF)


def pattern_picture(
    hole_count: int | None, survey: Survey | None, picked: tuple[int | None, int | None], taken: int, drafted: bool
) -> PatternPicture:
    """The pattern with its readings, the pair being read and the reading asked for next.

    Args:
        hole_count: Holes on the circle; ``None`` draws the usual eight until it is known.
        survey: What the readings say.
        picked: Numbers of the holes chosen for the reading being taken.
        taken: How many readings are taken down.
        drafted: Whether the one being taken is in the survey too.
    """
    count = survey.hole_count if survey else (hole_count or _USUAL_COUNT)
    circle = BoltCircle(2 * _CIRCLE, max(1, min(count, 400)), 1.0)
    places = [(at.x, -at.y) for at in circle.hole_centers()]
    pitch = circle.chord if circle.hole_count > 1 else 2 * _CIRCLE
    spots = tuple(_spot(number, place, count, picked) for number, place in enumerate(places, 1))
    return PatternPicture(
        spots=spots,
        marks=tuple(_marks(survey, places, picked, taken, drafted)),
        hole_radius=fixed(min(_LARGEST_HOLE, 0.32 * pitch)),
        touch_radius=fixed(min(_LARGEST_TOUCH, 0.5 * pitch)),
        touchable=1 < count <= MOST_TOUCHED,
    )


def _spot(number: int, place: tuple[float, float], count: int, picked: tuple[int | None, int | None]) -> Spot:
    x, y = place
    numbered = count <= _NUMBERED or number == 1 or number % 5 == 0
    return Spot(number, fixed(x), fixed(y), fixed(x * 1.27), fixed(y * 1.27), numbered, number in picked)


def _marks(
    survey: Survey | None,
    places: Sequence[tuple[float, float]],
    picked: tuple[int | None, int | None],
    taken: int,
    drafted: bool,
) -> list[PatternMark]:
    marks: list[PatternMark] = []
    readings = survey.readings if survey else ()
    for index, reading in enumerate(readings[: taken + drafted]):
        suspect = survey is not None and bool(survey.suspicions(index))
        css = "suspect" if suspect else "draft" if index >= taken else "taken"
        marks += _mark(reading, css, str(index + 1), places, index)
    first, second = picked
    if first and second and not any(mark.css == "draft" for mark in marks):
        marks += _between(first, second, "draft", "", places)
    following = survey.next_reading if survey else None
    if following is not None:
        again = following.repeats
        asked = readings[again] if again is not None else Reading(following.kind, 1.0, pitches=following.pitches)
        marks += _mark(asked, "next", "next", places, again or 0)
    return marks


def _mark(
    reading: Reading, css: str, text: str, places: Sequence[tuple[float, float]], index: int
) -> list[PatternMark]:
    """How one reading is drawn; a pair that is not named stands at the hole of its own number."""
    if reading.kind in CHORD_KINDS:
        first = reading.from_hole or index % len(places) + 1
        return _between(first, reading.to_hole or first + reading.steps, css, text, places)
    if reading.kind is Kind.OUTSIDE_DIAMETER:
        return [PatternMark(css, text, r=fixed(_RIM), at_x="0", at_y=fixed(_RIM - 12))]
    if reading.kind is Kind.BORE:
        return [PatternMark(css, text, r=fixed(_BORE), at_x="0", at_y=fixed(_BORE - 12))]
    hole = (reading.from_hole or 1) - 1
    x, y = places[hole % len(places)]
    ends = {Kind.HOLE_TO_BORE: _BORE / _CIRCLE, Kind.HOLE_TO_RIM: _RIM / _CIRCLE}
    reach = ends.get(reading.kind, 1.0)
    middle = (1 + reach) / 2
    ring = fixed(_LARGEST_HOLE + 3) if reach == 1.0 else ""
    return [
        PatternMark(
            css,
            text,
            fixed(x),
            fixed(y),
            fixed(x * reach),
            fixed(y * reach),
            ring,
            fixed(x * middle if reach != 1.0 else x * 0.72),
            fixed(y * middle if reach != 1.0 else y * 0.72),
        )
    ]


def _between(first: int, second: int, css: str, text: str, places: Sequence[tuple[float, float]]) -> list[PatternMark]:
    """A line from hole to hole, its number a little off the middle so that crossing lines do not hide it."""
    (x1, y1), (x2, y2) = places[(first - 1) % len(places)], places[(second - 1) % len(places)]
    if math.hypot(x2 - x1, y2 - y1) < 1e-6:
        return []
    at_x, at_y = x1 + 0.42 * (x2 - x1), y1 + 0.42 * (y2 - y1)
    return [PatternMark(css, text, fixed(x1), fixed(y1), fixed(x2), fixed(y2), "", fixed(at_x), fixed(at_y))]
