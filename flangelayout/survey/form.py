"""Forms to fill in at the part: numbered boxes for readings, and the numbers typed back."""

import re
from collections.abc import Sequence

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, parse_length

_MOST_NEIGHBORS = 12
_LENGTH = re.compile(r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d*\.?\d+|-)(?:\s*(?:mm|in|\"))?(?=[\s;]|$)")
_START = re.compile(r"(?<![\w/.])(?:([A-Za-z]*\d+)-([A-Za-z]*\d+)|(\d+))\s*=")
"""What a reading follows: two holes by their labels, or the number of a box."""
_LENGTHS = re.compile(rf"\s*(?:{_LENGTH.pattern}[\s;]*)+")


class FormBox(Struct, frozen=True):
    """A box for one reading.

    Attributes:
        kind: What to set the caliper to.
        from_hole: First hole, counted from 1; ``None`` for what names none.
        to_hole: Second hole.
    """

    kind: Kind
    from_hole: int | None = None
    to_hole: int | None = None


def survey_boxes(hole_count: int) -> tuple[FormBox, ...]:
    """What to read on a flange of which nothing is known but the number of its holes, in order.

    The longest chords come first: an error in one passes into the circle undiminished, that of a shorter one
    grows by 1 / sin(pi pitches / holes). Two of them check each other. Then the sizes that tell standards apart,
    then the neighbors, which show a hole out of place or miscounted.
    """
    half = hole_count // 2
    across = [FormBox(Kind.SAME_EDGES, first, first + half) for first in (1, 2) if first + half <= hole_count]
    neighbors = [FormBox(Kind.SAME_EDGES, first, first % hole_count + 1) for first in range(1, hole_count + 1)]
    sizes = [FormBox(Kind.HOLE_DIAMETER), FormBox(Kind.OUTSIDE_DIAMETER), FormBox(Kind.BORE)]
    used = {frozenset((each.from_hole, each.to_hole)) for each in across}
    rest = [each for each in neighbors if frozenset((each.from_hole, each.to_hole)) not in used]
    return (*across, *sizes, *rest[:_MOST_NEIGHBORS])


def read_boxes(
    text: str, boxes: Sequence[FormBox], unit: Unit, where: str, labels: Sequence[str]
) -> tuple[Reading, ...]:
    """The readings that stand in the boxes of a form, written ``1=68.8 2=162.1``; empty boxes are left out.

    Two holes that have no box are named themselves: ``5-8=251.7``, from one edge to the same edge of the other.
    Without any number of a box the lengths are those of the boxes in order, and ``-`` stands for an empty one.

    Args:
        text: Box numbers and lengths, with spaces, commas or semicolons between.
        boxes: Those of the form.
        unit: Unit of a plain number.
        where: The option, for messages.
        labels: Of the holes, in their order.

    Raises:
        InputError: With one problem per box that cannot be read.
    """
    text = _in_order(text)
    starts = list(_START.finditer(text))
    problems: list[Problem] = []
    if not starts or text[: starts[0].start()].strip(" ,;"):
        problems.append(Problem(where, SurveyProblem.NO_BOXES, written=text))
    readings: dict[int, Reading] = {}
    further: list[Reading] = []
    ends = [each.start() for each in starts[1:]] + [len(text)]
    for start, end in zip(starts, ends, strict=False):
        named, written = start[0].rstrip(" ="), text[start.end() : end].strip(" ,;\n\t")
        number = int(start[3] or 0)
        if number in readings:
            problems.append(Problem(where, SurveyProblem.BOX_TWICE, number=number))
            continue
        try:
            box = _pair((start[1], start[2]), labels) if start[1] else _box(number, boxes)
            found = _reading(box, written, unit, f"{where} {named}={written}")
        except InputError as wrong:
            problems += (each if each.where else each.placed(where) for each in wrong.problems)
            continue
        readings |= {number: found} if number else {}
        further += [] if number else [found]
    if problems:
        raise InputError(*problems)
    return (*(readings[number] for number in sorted(readings)), *further)


def _reading(box: FormBox, written: str, unit: Unit, place: str) -> Reading:
    try:
        value = parse_length(written, unit)
        return Reading(box.kind, value, box.from_hole, box.to_hole, unit=unit, where=place)
    except FlangeLayoutError as wrong:
        raise InputError(*wrong.placed(place)) from None


def _box(number: int, boxes: Sequence[FormBox]) -> FormBox:
    if not 1 <= number <= len(boxes):
        raise InputError.of(SurveyProblem.NO_SUCH_BOX, "", number=number, count=len(boxes))
    return boxes[number - 1]


def _pair(named: tuple[str, str], labels: Sequence[str]) -> FormBox:
    """Two holes by their labels, read from one edge to the same edge of the other."""
    for label in named:
        if label not in labels:
            raise InputError.of(SurveyProblem.NO_SUCH_LABEL, "", column="hole", written=label, known=tuple(labels))
    return FormBox(Kind.SAME_EDGES, *(labels.index(label) + 1 for label in named))


def _in_order(text: str) -> str:
    """Lengths one behind the other, each led by the number of its box; any other text as it is."""
    if not _LENGTHS.fullmatch(text):
        return text
    written = [found[0].strip() for found in _LENGTH.finditer(text)]
    return " ".join(f"{number}={each}" for number, each in enumerate(written, 1) if each != "-")
