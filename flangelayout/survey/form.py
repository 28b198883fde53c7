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


def read_boxes(text: str, boxes: Sequence[FormBox], unit: Unit, where: str) -> tuple[Reading, ...]:
    """The readings that stand in the boxes of a form, written ``1=68.8 2=162.1``; empty boxes are left out.

    Without any number of a box they are those of the boxes in order, and ``-`` stands for an empty one.

    Args:
        text: Box numbers and lengths, with spaces, commas or semicolons between.
        boxes: Those of the form.
        unit: Unit of a plain number.
        where: The option, for messages.

    Raises:
        InputError: With one problem per box that cannot be read.
    """
    text = _in_order(text)
    starts = list(re.finditer(r"(\d+)\s*=", text))
    problems: list[Problem] = []
    if not starts or text[: starts[0].start()].strip(" ,;"):
        problems.append(Problem(where, SurveyProblem.NO_BOXES, written=text))
    readings: dict[int, Reading] = {}
    ends = [each.start() for each in starts[1:]] + [len(text)]
    for start, end in zip(starts, ends, strict=False):
        number, written = int(start[1]), text[start.end() : end].strip(" ,;\n\t")
        if not 1 <= number <= len(boxes):
            problems.append(Problem(where, SurveyProblem.NO_SUCH_BOX, number=number, count=len(boxes)))
            continue
        if number in readings:
            problems.append(Problem(where, SurveyProblem.BOX_TWICE, number=number))
            continue
        box, place = boxes[number - 1], f"{where} {number}={written}"
        try:
            value = parse_length(written, unit)
            readings[number] = Reading(box.kind, value, box.from_hole, box.to_hole, unit=unit, where=place)
        except FlangeLayoutError as wrong:
            problems += wrong.placed(place)
    if problems:
        raise InputError(*problems)
    return tuple(readings[number] for number in sorted(readings))


def _in_order(text: str) -> str:
    """Lengths one behind the other, each led by the number of its box; any other text as it is."""
    if not _LENGTHS.fullmatch(text):
        return text
    written = [found[0].strip() for found in _LENGTH.finditer(text)]
    return " ".join(f"{number}={each}" for number, each in enumerate(written, 1) if each != "-")
