"""The working page: how the readings lead to the bolt circle, with the picture and the arithmetic."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    CenterMark,
    Drawing,
    Item,
    Label,
    LinearDimension,
    Sheet,
    SheetSet,
    Stamp,
    TextTable,
    View,
)
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Contour, Line, Point, polar
from flangelayout.survey import Kind, Reading, Survey
from flangelayout.survey.candidates import Candidate, Verdict
from flangelayout.survey.fitting.fit import Spacing
from flangelayout.survey.kinds import CHORD_KINDS, KINDS
from flangelayout.survey.readings import place_text
from flangelayout.survey.words.sentences import (
    BAND_WORDS,
    SCALE_UNCHECKED,
    doubts,
    next_reason,
    next_words,
    spacing_text,
    worth_naming,
)
from flangelayout.survey.words.slips import suspect_text
from flangelayout.survey.words.working import WorkingStep, step_text, working
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.value import replace
from flangelayout.views.page.tables import lay_table, table_items
from flangelayout.views.page.text import headed, identity_line, paragraph, text_item
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.words.call_outs import LAYOUT_AID
from flangelayout.views.words.origins import OFF_A_PICTURE

_MARGIN = 14.0
_GAP = 6.0
_TEXT = 2.5
_PICTURE = 92.0
_MOST_ROWS = 12
_MOST_CHORDS = 3
_OFFSETS = (6.5, 5.0, *(8.0 + 1.5 * step for step in range(8)), *(-5.0 - 1.5 * step for step in range(18)))
"""Printed mm from the chord of a reading to its line, away from the center: the first where its text is clear."""
_LINE_ROOM = 4.0
"""Printed mm that a dimension takes beyond its line."""


def working_sheets(survey: Survey, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str) -> SheetSet:
    """One upright page, or two where the working is long: picture, readings, steps, candidates, next reading."""
    page = paper(paper_name)
    room = Box(_MARGIN, _MARGIN, page.width - _MARGIN, page.height - _MARGIN)
    picture = _picture(survey, unit)
    head, top = headed("WORKING: FROM THE READINGS TO THE BOLT CIRCLE", identity_line(info, stamp), room)
    right = Box(room.left + _PICTURE + _GAP, room.bottom, room.right, top)
    beside, low = _answer(survey, unit, right)
    low = min(low, top - _PICTURE) - 4.0
    tables, low = _tables(survey, unit, Box(room.left, room.bottom, room.right, low))
    view = View(picture, 1.0, Point(room.left + _PICTURE / 2, top - _PICTURE / 2))
    steps = _with_steps(working(survey, unit), replace(room, top=top), low, [*beside, *tables])
    sheets = (
        Sheet(
            page,
            (view,) if number == 1 else (),
            (*head, *items, *_foot(number, len(steps), room)),
            f"working {number}",
        )
        for number, items in enumerate(steps, 1)
    )
    return SheetSet(tuple(sheets), stamp)


def _foot(number: int, count: int, room: Box) -> Iterator[Item]:
    yield text_item(Point(room.left, room.bottom), f"Page {number} of {count}. {LAYOUT_AID}", _TEXT)


def _with_steps(steps: tuple[WorkingStep, ...], room: Box, low: float, first: list[Item]) -> list[list[Item]]:
    """The items of every page: the steps under what is already on the first, those that do not fit on further ones."""
    pages = [[*first, text_item(Point(room.left, low - 4.0), "STEP BY STEP", 2.6)]]
    low -= 8.0
    for number, step in enumerate(steps, 1):
        lines, below = _step(number, step, room, low)
        if below < room.bottom + 6.0:
            pages.append([text_item(Point(room.left, room.top - 3.0), "STEP BY STEP, continued", 2.6)])
            lines, below = _step(number, step, room, room.top - 7.0)
        pages[-1] += lines
        low = below
    return pages


def _step(number: int, step: WorkingStep, room: Box, top: float) -> tuple[list[Item], float]:
    items, below = paragraph(room.left, top, room.width, (f"{number}. {step.title}",), _TEXT)
    if text := step_text(step):
        body, below = paragraph(room.left + 5.0, below, room.width - 5.0, (text,), _TEXT)
        items = items + body
    if step.rows:
        head, *rows = step.rows
        more = f", first {_MOST_ROWS} of {len(rows)}" if len(rows) > _MOST_ROWS else ""
        laid = lay_table(TextTable("", (head[0] + more, *head[1:]), tuple(rows[:_MOST_ROWS])), most=room.width - 5.0)
        untitled = laid.row_height - 1.5
        items += table_items(laid, room.left + 5.0, below + untitled)
        below -= laid.height - untitled + 1.5
    return items, below - 0.8


_VERDICTS = {
    Verdict.ONE: "one published drilling fits",
    Verdict.SEVERAL: "several published drillings fit and cannot be told apart by these readings",
    Verdict.NONE: "no published drilling fits",
    Verdict.OPEN: "none given, the readings disagree",
}


def _answer(survey: Survey, unit: Unit, room: Box) -> tuple[list[Item], float]:
    """The result with its band, the verdict and what to measure next, beside the picture."""
    band = survey.expanded_uncertainty
    plus_minus = "" if band is None else f" ± {decimal_text(band, unit)}"
    size = f"⌀{decimal_text(survey.diameter, unit)}{plus_minus} {unit.value}"
    count = f"{survey.hole_count} holes" + (" (found from the readings)" if survey.count_found else "")
    texts = [count, f"Verdict: {_VERDICTS[survey.verdict]}{_names(survey)}.", *doubts(survey, unit)]
    if band is not None:
        texts.append(BAND_WORDS)
    else:
        texts.append(
            "The readings do not agree with each other within what they are said to be good to: no plus or minus."
        )
    texts += [text for text in (spacing_text(survey),) if text]
    texts += [f"{OFF_A_PICTURE.capitalize()}."] * survey.off_a_picture + [SCALE_UNCHECKED] * survey.scale_unchecked
    texts += [suspect_text(survey, suspect, _reading_name) for suspect in survey.suspects[:2]]
    following = survey.next_reading
    if following is not None:
        reason = next_reason(survey, following, unit, _reading_name)
        texts.append(f"Measure next: {next_words(following)}. {reason}")
    items = [
        text_item(Point(room.left, room.top - 3.0), "BOLT CIRCLE", _TEXT),
        text_item(Point(room.left, room.top - 9.0), size, 4.0),
    ]
    lines, low = paragraph(room.left, room.top - 11.5, room.width, texts, _TEXT)
    return items + lines, low


def _names(survey: Survey) -> str:
    """That the one drilling is published under several names, where the table of candidates lists them."""
    listed = _listed(survey) if survey.verdict is Verdict.ONE else []
    names = sum(each.drilling == listed[0].drilling for each in listed)
    return f", published under {names} names whose chances add up" if names > 1 else ""


def _reading_name(index: int) -> str:
    return f"reading {index + 1}"


def _tables(survey: Survey, unit: Unit, room: Box) -> tuple[list[Item], float]:
    """Readings and candidates side by side, or one below the other where they are wide."""
    items: list[Item] = []
    x, top, low = room.left, room.top, room.top
    for table in (_readings_table(survey, unit), _candidates_table(survey, unit)):
        laid = lay_table(table, most=room.width)
        if not table.rows:
            continue
        if x > room.left and x + laid.width > room.right:
            x, top = room.left, low - 3.0
        items += table_items(laid, x, top)
        x, low = x + laid.width + _GAP, min(low, top - laid.height)
    return items, low - 2.0


def _readings_table(survey: Survey, unit: Unit) -> TextTable:
    shown = list(zip(survey.readings, survey.expected, survey.residuals, strict=True))[:_MOST_ROWS]
    rows = tuple(
        (
            str(number),
            " ".join(filter(None, (KINDS[reading.kind].words, place_text(reading)))),
            decimal_text(reading.value, unit),
            decimal_text(expected, unit),
            decimal_text(residual, unit),
            f"±{decimal_text(reading.within_its_group, unit)}",
        )
        for number, (reading, expected, residual) in enumerate(shown, 1)
    )
    left_out = len(survey.readings) - len(rows)
    more = f", first {len(rows)} of {len(survey.readings)}" if left_out else ""
    heads = ("NO.", "READING", "READ", "ON CIRCLE", "LEFT OVER", "GOOD TO")
    return TextTable(f"READINGS ({unit.value}{more})", heads, rows)


def _listed(survey: Survey) -> list[Candidate]:
    """The candidates that are worth a row."""
    return list(worth_naming(survey.candidates[:6]))


def _candidates_table(survey: Survey, unit: Unit) -> TextTable:
    rows = tuple(
        (
            candidate.pattern.designation,
            size_text(candidate.pattern.bolt_circle, candidate.pattern.unit),
            decimal_text(candidate.difference, unit),
            decimal_text(candidate.chord, unit) if candidate.chord is not None else "-",
            f"{100 * candidate.probability:.0f} %",
        )
        for candidate in _listed(survey)
    )
    return TextTable(f"CANDIDATES ({unit.value})", ("PUBLISHED DRILLING", "CIRCLE", "OFF BY", "CHORD", "CHANCE"), rows)


def _picture(survey: Survey, unit: Unit) -> Drawing:
    """The fitted circle, the polygon of its holes, the triangle of the working and the readings where they were taken.

    Drawn at paper size about the middle of its place, whatever the size of the circle.
    """
    radius = _PICTURE / 2 - 13.0
    centers = [polar(radius, angle) for angle in _picture_angles(survey)]
    hole = min(2.5, radius * 1.2 / survey.hole_count)
    items = [Item(Layer.CENTERLINE, Circle(ORIGIN, radius), Furniture("bolt circle"))]
    items += [*_polygon(centers), *_triangle(survey, centers)]
    items += [
        Item(Layer.OUTLINE, Circle(center, hole), Furniture(f"hole {number}"))
        for number, center in enumerate(centers, 1)
    ]
    items += _numbers(centers, radius)
    items.append(Item(Layer.CENTERLINE, CenterMark(ORIGIN, 2.0), Furniture("center")))
    return Drawing("working", (*items, *_reading_lines(survey, centers, hole, unit, items)))


def _picture_angles(survey: Survey) -> Iterator[float]:
    """Where the holes stand in the picture: as they were measured, where they are not equally spaced."""
    fit = survey.fit
    for number in range(1, survey.hole_count + 1):
        if fit.spacing is Spacing.EQUAL:
            yield survey_angle(survey.hole_count, number)
        else:
            yield survey_angle(survey.hole_count, 1) + fit.hole_angles[number - 1] - fit.hole_angles[0]


def survey_angle(hole_count: int, number: int) -> float:
    """Where the picture of a survey puts a hole: hole 1 at the top left of a straddled pattern, then on to the left."""
    return 90.0 + (number - 0.5) * 360.0 / hole_count


def _polygon(centers: list[Point]) -> Iterator[Item]:
    if len(centers) > 2:
        sides = tuple(Line(a, b) for a, b in pairwise((*centers, centers[0])))
        yield Item(Layer.HATCH, Contour(sides, closed=True), Furniture("polygon"))


def _triangle(survey: Survey, centers: list[Point]) -> Iterator[Item]:
    """Center, first and last hole of the first chord, with the line that halves the angle."""
    chord = next((reading for reading in survey.readings if reading.kind in CHORD_KINDS), None)
    if chord is None:
        return
    start, end = _ends(chord, centers)
    middle = Point((start.x + end.x) / 2, (start.y + end.y) / 2)
    yield Item(Layer.TEMPLATE_MARKS, Line(ORIGIN, start), Furniture("triangle"))
    yield Item(Layer.TEMPLATE_MARKS, Line(ORIGIN, end), Furniture("triangle"))
    yield Item(Layer.HIDDEN, Line(ORIGIN, middle), Furniture("half angle"))


def _numbers(centers: list[Point], radius: float) -> Iterator[Item]:
    step = max(1, -(-len(centers) // 24))
    for number, center in enumerate(centers, 1):
        if number % step == 1 or step == 1:
            at = center.scaled((radius + 11.0) / radius)
            yield Item(Layer.TEXT, Label(at, str(number), _TEXT, 0.0, Anchor.MIDDLE), Furniture(f"hole {number}"))


def _reading_lines(
    survey: Survey, centers: list[Point], hole: float, unit: Unit, items: Sequence[Item]
) -> Iterator[Item]:
    """The first few chords as dimensions from where the jaws stood, each pair of holes once, clear of the items."""
    ink = Ink(1.0)
    ink.add(items)
    shown: set[frozenset[Point]] = set()
    for number, reading in enumerate(survey.readings, 1):
        if reading.kind not in CHORD_KINDS or len(shown) == _MOST_CHORDS:
            continue
        ends = _ends(reading, centers)
        if frozenset(ends) in shown:
            continue
        text, source = f"{number}: {decimal_text(reading.value, unit)}", Furniture(f"reading {number}")
        ways = (Item(Layer.DIMENSION, size, source) for size in _jaw_dimensions(reading.kind, ends, hole, text))
        if item := next((way for way in ways if ink.takes([way])), None):
            shown.add(frozenset(ends))
            yield item


def _jaw_dimensions(kind: Kind, ends: tuple[Point, Point], hole: float, text: str) -> Iterator[LinearDimension]:
    """A reading between the edges its jaws touched, its line set off to either side, the one off the center first."""
    along = ends[0].direction_to(ends[1])
    shares = KINDS[kind].shares
    at_end = hole * max(-1.0, min(1.0, 2 * (shares.hole + shares.stud)))
    at_start = -at_end if abs(shares.hole + shares.stud) == 1 else 0.0
    if kind is Kind.SAME_EDGES:
        at_start = at_end = hole
    start, end = polar(at_start, along, ends[0]), polar(at_end, along, ends[1])
    middle = Point((start.x + end.x) / 2, (start.y + end.y) / 2)
    outward = polar(1.0, along + 90)
    side = 1 if middle.x * outward.x + middle.y * outward.y >= 0 else -1
    most = _PICTURE / 2 - _LINE_ROOM - middle.distance_to(ORIGIN)
    offsets = (offset for offset in _OFFSETS if offset <= most)
    for offset, (first, last) in product(offsets, ((start, end), (end, start))):
        yield LinearDimension(first, last, start + outward.scaled(side * offset), along, text)


def _ends(reading: Reading, centers: list[Point]) -> tuple[Point, Point]:
    """The hole centers a chord is between; a chord without a pair starts at hole 1."""
    count = len(centers)
    first = (reading.from_hole or 1) - 1
    return centers[first % count], centers[(first + reading.steps) % count]
