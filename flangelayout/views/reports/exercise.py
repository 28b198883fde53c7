"""Exercise sheets with room to work, and the key that goes with them."""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Paper, Sheet, SheetSet, Stamp, TextTable
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Arc, Box, Circle, Line, Point, polar, rectangle
from flangelayout.lessons import Exercise, ReadingFault, SolutionStep, solution
from flangelayout.lessons.solution import Task
from flangelayout.survey import Kind
from flangelayout.views.page.tables import lay_table, table_items
from flangelayout.views.page.text import paragraph, text_item

_MARGIN = 15.0
_A_PAGE = 3
_HEAD = 34.0
_FOOT = 9.0
_READING_ROOM, _LINE = 18.0, 3.5
_TEXT = 2.6
_SOURCE = Furniture("exercise")
_ASKED = {
    ReadingFault.NONE: "Bolt circle? Which standard size?",
    ReadingFault.MISREAD: "One reading is wrong. Which? Bolt circle? Size?",
}
_HELD = {
    Kind.SAME_EDGES: "same edge to same edge",
    Kind.NEAR_EDGES: "GAP between neighbors",
}


class ExerciseSet(Struct, frozen=True):
    """Exercises that belong together; ``name`` stands on the sheet and on its key."""

    name: str
    exercises: tuple[Exercise, ...]


def exercise_sheets(given: ExerciseSet, paper_name: str, stamp: Stamp) -> SheetSet:
    """The sheets to hand out: readings, and a line for every step.

    Args:
        given: The exercises.
        paper_name: One of ``papers.PAPER_NAMES``.
        stamp: Carries the program's version; no job.
    """
    page = paper(paper_name)
    points = sum(len(solution(each)) for each in given.exercises)
    parts = _parts(given.exercises)
    sheets = []
    for number, (first, part) in enumerate(parts, 1):
        items = (*_top(page, given, points), *_boxes(page, part, first), *_foot(page, number, len(parts)))
        sheets.append(Sheet(page, (), items, f"exercise {number}"))
    return SheetSet(tuple(sheets), stamp)


def key_sheets(given: ExerciseSet, paper_name: str, stamp: Stamp) -> SheetSet:
    """The key for the teacher: what was put wrong, the working of every step, and the answers that count."""
    page = paper(paper_name)
    parts = _parts(given.exercises)
    sheets = []
    for number, (first, part) in enumerate(parts, 1):
        items = (*_key_top(page, given), *_key_boxes(page, part, first), *_foot(page, number, len(parts)))
        sheets.append(Sheet(page, (), items, f"key {number}"))
    return SheetSet(tuple(sheets), stamp)


def _parts(exercises: Sequence[Exercise]) -> list[tuple[int, Sequence[Exercise]]]:
    """The exercises of each page with the number of its first."""
    return [(first + 1, exercises[first : first + _A_PAGE]) for first in range(0, len(exercises), _A_PAGE)]


def _title(page: Paper, title: str, name: str) -> Iterator[Item]:
    top, right = page.height - _MARGIN, page.width - _MARGIN
    yield text_item(Point(_MARGIN, top - 6.0), title, 5.0)
    yield text_item(Point(right, top - 6.0), name, 3.5, Anchor.RIGHT)
    yield Item(Layer.BORDER, Line(Point(_MARGIN, top - 10.0), Point(right, top - 10.0)), _SOURCE)


def _top(page: Paper, given: ExerciseSet, points: int) -> Iterator[Item]:
    yield from _title(page, "FIND THE BOLT CIRCLE", given.name)
    low, right = page.height - _MARGIN - 19.0, page.width - _MARGIN
    for text, start, end in (("name", 0.0, 96.0), ("date", 102.0, 140.0)):
        yield text_item(Point(_MARGIN + start, low), text, _TEXT)
        begin = Point(_MARGIN + start + 10.0, low - 1.0)
        yield Item(Layer.TABLE, Line(begin, Point(_MARGIN + end, low - 1.0)), _SOURCE)
    yield text_item(Point(right - 15.0, low), f"out of {points}", _TEXT, Anchor.RIGHT)
    yield Item(Layer.BORDER, rectangle(Box(right - 13.0, low - 3.0, right, low + 5.0)), _SOURCE)


def _key_top(page: Paper, given: ExerciseSet) -> Iterator[Item]:
    yield from _title(page, "ANSWERS: FIND THE BOLT CIRCLE", given.name)
    told = "For the teacher. A point for each step; a slip carried through costs one point."
    yield text_item(Point(_MARGIN, page.height - _MARGIN - 18.0), told, _TEXT)


def _foot(page: Paper, number: int, count: int) -> Iterator[Item]:
    told = "Numbers in the holes are hole numbers; a reading stands between its two holes. Invented flanges."
    yield text_item(Point(_MARGIN, _MARGIN), told, 2.5)
    yield text_item(Point(page.width - _MARGIN, _MARGIN), f"page {number} of {count}", 2.5, Anchor.RIGHT)


def _room(page: Paper, index: int) -> Box:
    """The box of an exercise on its page."""
    top, low = page.height - _MARGIN - _HEAD + 8.0, _MARGIN + _FOOT
    each = (top - low) / _A_PAGE
    return Box(_MARGIN, top - each * (index + 1) + 2.5, page.width - _MARGIN, top - each * index)


def _boxes(page: Paper, exercises: Sequence[Exercise], first: int) -> Iterator[Item]:
    for index, exercise in enumerate(exercises):
        room = _room(page, index)
        steps = solution(exercise)
        yield from _question(room, exercise, first + index, f"{len(steps)} points")
        blanks = Box(room.left + _beside(room), room.bottom, room.right - 4.0, room.top - 16.0)
        yield from _blanks(blanks, exercise, steps)


def _key_boxes(page: Paper, exercises: Sequence[Exercise], first: int) -> Iterator[Item]:
    for index, exercise in enumerate(exercises):
        room = _room(page, index)
        yield from _question(room, exercise, first + index, _put_wrong(exercise))
        rows = tuple((step.task.value, step.working, step.answer) for step in solution(exercise)[:-1])
        left = room.left + _beside(room)
        laid = lay_table(TextTable("", ("step", "working", "answer"), rows), most=room.right - left - 4.0)
        yield from table_items(laid, left, room.top - 9.0)
        last = solution(exercise)[-1]
        words = f"{last.working}: {last.answer}" + ("; any of them counts" if len(exercise.answers) > 1 else "")
        items, _ = paragraph(left, room.top - 12.0 - laid.height, room.right - left - 4.0, (words,), 2.5)
        yield from items


def _put_wrong(exercise: Exercise) -> str:
    if exercise.fault is ReadingFault.NONE:
        return "nothing is wrong"
    return f"wrong: {exercise.texts[exercise.wrong or 0]}"


def _question(room: Box, exercise: Exercise, number: int, corner: str) -> Iterator[Item]:
    """Frame, heading and picture of an exercise."""
    yield Item(Layer.BORDER, rectangle(room), _SOURCE)
    yield text_item(Point(room.left + 4.0, room.top - 7.0), f"{number}  {exercise.name}", 3.5)
    told = f"{_HELD[exercise.kind]}, {exercise.unit.value}"
    yield text_item(Point(room.left + 4.0, room.top - 12.5), told, _TEXT)
    yield text_item(Point(room.right - 4.0, room.top - 6.0), corner, 2.5, Anchor.RIGHT)
    radius = _radius(room)
    yield from _picture(Point(room.left + _beside(room) / 2 - 1.0, room.bottom + radius + 9.0), radius, exercise)


def _radius(room: Box) -> float:
    """Of the picture of an exercise in its box."""
    return (room.top - room.bottom - 20.0) / 2 - 6.0


def _beside(room: Box) -> float:
    """How far from the left of the box the words stand, clear of the picture and its readings."""
    return max(82.0, 2 * (_radius(room) + _READING_ROOM))


def _picture(center: Point, radius: float, exercise: Exercise) -> Iterator[Item]:
    """The flange with its numbered holes, TOP up, and every reading outside, between its two holes."""
    count = exercise.hole_count
    circle, pitch = radius * 0.8, 360.0 / count
    hole = min(2.8, circle * math.sin(math.pi / count) * 0.92)
    beside = 2 * math.degrees(math.asin(hole / 2 / circle))
    apart = 2 * (radius + 3.0) * math.sin(math.pi / count)
    crowded = max(text_width(text, 2.5) for text in exercise.texts) + 1.0 >= apart
    yield Item(Layer.OUTLINE, Circle(center, radius), _SOURCE)
    yield Item(Layer.OUTLINE, Circle(center, radius * 0.38), _SOURCE)
    yield text_item(center, "TOP", 2.5, Anchor.MIDDLE)
    for number in range(1, count + 1):
        turn = 90.0 + pitch * (number - 0.5)
        place = polar(circle, turn, center)
        yield Item(Layer.OUTLINE, Circle(place, hole), _SOURCE)
        yield Item(Layer.CENTERLINE, Arc(center, circle, turn + beside, pitch - 2 * beside), _SOURCE)
        yield text_item(place, str(number), 2.5, Anchor.MIDDLE)
        out = radius + (_LINE if crowded and number % 2 else 0.0)
        yield _reading(center, out, turn + pitch / 2, exercise.texts[number - 1], 2.5)


def _reading(center: Point, radius: float, turn: float, text: str, height: float) -> Item:
    """A reading outside the rim, its box clear of it."""
    width = text_width(text, height)
    way = polar(1.0, turn)
    reach = abs(way.x) * width / 2 + abs(way.y) * height / 2
    return text_item(polar(radius + 1.6 + reach, turn, center), text, height, Anchor.MIDDLE)


def _blanks(room: Box, exercise: Exercise, steps: Sequence[SolutionStep]) -> Iterator[Item]:
    """What is asked, and a line for each step."""
    holes = ", ".join(exercise.hole_texts)
    yield text_item(Point(room.left, room.top + 4.0), f"holes read: {holes} {exercise.unit.value}", _TEXT)
    yield text_item(Point(room.left, room.top - 2.0), _ASKED[exercise.fault], 3.0)
    pitch = (room.top - 5.0 - room.bottom - 4.0) / len(steps)
    for number, step in enumerate(steps, 1):
        y = room.top - 5.0 - pitch * number
        name = f"{step.task.value} for {exercise.hole_count} holes" if step.task is Task.FACTOR else step.task.value
        yield text_item(Point(room.left, y + 1.0), name, _TEXT)
        yield Item(Layer.TABLE, Line(Point(room.left + 52.0, y), Point(room.right, y)), _SOURCE)
