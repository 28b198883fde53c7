"""The head and foot of a further sheet: what it is, of which job, and everything that tells a stale print."""

from msgspec import Struct

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.views.page.text import LINE_PITCH, text_item

_HEADING = 5.0
_PAD = 2.5
_UNDER = 2.6
"""Printed mm from the heading down to the line under it, which its letters reach into."""


class PageHeading(Struct, frozen=True):
    """What stands above and below a further sheet.

    Attributes:
        info: Of the job.
        stamp: Its identity.
        about: Which face is seen and in what unit.
        number: Of the sheet.
        count: How many sheets there are.
    """

    info: JobInfo
    stamp: Stamp
    about: str
    number: int
    count: int


def room_between(frame: Box, heading: PageHeading, convention: Convention) -> Box:
    """What head and foot leave of a frame."""
    letter = convention.letter_height
    pitch = letter * LINE_PITCH
    top = frame.top - 2 * _PAD - _HEADING - _UNDER - pitch * len(_lines(frame, heading, letter))
    foot = _PAD + pitch * len(wrapped(_foot(heading), frame.width - 2 * _PAD, letter))
    return Box(frame.left + _PAD, frame.bottom + foot + 1.0, frame.right - _PAD, top - 1.5)


def heading_items(frame: Box, heading: PageHeading, title: str, convention: Convention) -> tuple[Item, ...]:
    """Title and number large, title of the job, face, revision and sheet under them; a rule; the foot."""
    letter = convention.letter_height
    pitch = letter * LINE_PITCH
    left, right, base = frame.left + _PAD, frame.right - _PAD, frame.top - _PAD - _HEADING
    items = [
        text_item(Point(left, base), title, _HEADING),
        text_item(Point(right, base), heading.info.number, _number_height(frame, heading, title), Anchor.RIGHT),
        text_item(Point(right, base - _UNDER - letter), _sheet(heading), letter, Anchor.RIGHT),
    ]
    lines = _lines(frame, heading, letter)
    items += (text_item(Point(left, base - _UNDER - letter - n * pitch), line, letter) for n, line in enumerate(lines))
    rule = base - _UNDER - pitch * len(lines) - _PAD / 2
    items.append(Item(Layer.OUTLINE, Line(Point(left, rule), Point(right, rule)), Furniture("heading")))
    foot = wrapped(_foot(heading), frame.width - 2 * _PAD, letter)
    for row, line in enumerate(reversed(foot)):
        items.append(text_item(Point(left, frame.bottom + _PAD + row * pitch), line, letter))
    return tuple(items)


def _number_height(frame: Box, heading: PageHeading, title: str) -> float:
    """Large, or the next step where it would run into the title."""
    room = frame.width - 2 * _PAD - text_width(title, _HEADING) - 6.0
    return next((size for size in (_HEADING, 3.5) if text_width(heading.info.number, size) <= room), 2.5)


def _sheet(heading: PageHeading) -> str:
    return f"REV {heading.info.revision} · {heading.number} / {heading.count}"


def _lines(frame: Box, heading: PageHeading, letter: float) -> tuple[str, ...]:
    text = " · ".join(part for part in (heading.info.title, heading.about) if part)
    return wrapped(text, frame.width - 2 * _PAD - text_width(_sheet(heading), letter) - 6.0, letter)


def _foot(heading: PageHeading) -> str:
    info = heading.info
    said = (info.owner, info.status, info.date, f"digest {heading.stamp.digest[:10]}")
    return " · ".join((*filter(None, said), f"flangelayout {heading.stamp.version}"))
