"""Leaders that say what each pattern of holes is, placed so that they cross no text."""

from collections.abc import Iterable, Iterator

from flangelayout.drawing.explode import LINE_PITCH, SHELF, TEXT_HEIGHT, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Leader
from flangelayout.drawing.references import GroupRef, HoleRef, Ref
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Hole
from flangelayout.geometry.pieces import meet
from flangelayout.geometry.shapes import Line, Point
from flangelayout.views.page.text_clearance import Ink, corners_of
from flangelayout.views.sheet.face import hole_rim
from flangelayout.views.sheet.look import Look, placed
from flangelayout.views.sheet.sizes.features import alike_single_holes, hole_size, single_hole_lines
from flangelayout.views.sheet.sizes.placing import place_sizes
from flangelayout.views.words.call_outs import group_call_out, is_dimensioned

MAX_CALL_OUTS = 4
_FIRST, _STEP, _TRIES, _STRICT_TRIES = 11.0, 2.0, 24, 12
_BETWEEN = 2.0
_WIDEST, _MOST_LINES = 92.0, 7
_FAR_AWAY = 75.0
_LEADER_ANGLES = (68.0, 34.0, 18.0, 110.0)
_ONE_LEADER_ANGLE = (60.0,)
_MOST_TIPS = 12
_LONGEST = 60.0
"""Printed mm of a leader from hole to landing; where it would be longer another hole is led to."""


def call_out_items(look: Look, ink: Ink, holes: tuple[Hole, ...], right: float) -> tuple[list[Item], list[int]]:
    """Leaders above the plate, the last pattern lowest.

    Args:
        look: What is drawn.
        ink: What stands there already.
        holes: Of the plate.
        right: How far the view reaches to the right anyway, in mm: texts stay within it where they can.

    Returns:
        The leaders, and the patterns that found no place for one: they are told in the notes.
    """
    groups = range(len(look.flange.groups()))
    shown, left_out = list(groups[:MAX_CALL_OUTS]), list(groups[MAX_CALL_OUTS:])
    angles = _LEADER_ANGLES if len(shown) > 1 else _ONE_LEADER_ANGLE
    stack = _Stack(look, holes, right)
    for group in reversed(shown):
        own = _near([hole for hole in holes if hole.group == group], angles[group])
        text = call_out_lines(look, group)
        leader = stack.add(ink, own, text, GroupRef(group)) if own and len(text) <= _MOST_LINES else None
        if own and not leader:
            beside = place_sizes(look, ink, [hole_size(tuple(own), text, GroupRef(group))])
            stack.items += beside
            left_out += [] if beside else [group]
    for alike in alike_single_holes(look.flange):
        text, source = single_hole_lines(look, alike), HoleRef(alike[0].label)
        if not stack.add(ink, _near(list(alike), _LEADER_ANGLES[0]), text, source):
            stack.items += place_sizes(look, ink, [hole_size(alike, text, source)])
    return stack.items, sorted(left_out)


def call_out_lines(look: Look, group: int) -> tuple[str, ...]:
    """A pattern's call-out, led by its letter."""
    flange, lengths = look.flange, look.lengths
    first, *rest = group_call_out(flange, group, lengths, is_dimensioned=is_dimensioned(flange, group))
    letter = flange.group_letter(group)
    lines = (f"{letter}: {first}" if letter else first, *rest)
    return tuple(part for line in lines for part in wrapped(line, _WIDEST, TEXT_HEIGHT))


def _near(holes: list[Hole], angle: float) -> list[Hole]:
    """Holes in the order of how near they are to a direction; those far from it only where there is no other."""

    def away(hole: Hole) -> float:
        return abs((hole.angle - angle + 180.0) % 360.0 - 180.0)

    in_order = sorted(holes, key=away)[:_MOST_TIPS]
    return [hole for hole in in_order if away(hole) <= _FAR_AWAY] or in_order


def _is_on_axis(hole: Hole) -> bool:
    """Whether a hole lies on a centerline: then no ray of an angle leads to it."""
    return abs((hole.angle + 45.0) % 90.0 - 45.0) < 0.05


class _Stack:
    """Leaders one above the other, from the lowest."""

    def __init__(self, look: Look, holes: tuple[Hole, ...], right: float) -> None:
        """Begin above the plate."""
        self.look, self.holes, self.right = look, holes, right
        self.items: list[Item] = []
        self.lines: list[Line] = []
        self.floor = look.box.top + look.real(_FIRST)

    def add(self, ink: Ink, tips: list[Hole], text: tuple[str, ...], source: Ref) -> Leader | None:
        """A leader to one of the holes, taken into the ink; ``None`` where there is no place for it."""
        for leader in self._leaders(ink, tips, text):
            item = Item(Layer.DIMENSION, leader, source)
            if placed(ink, [(item,)]):
                self.items.append(item)
                self.lines.append(Line(leader.tip, leader.elbow))
                if leader.to_right:
                    self.floor = leader.elbow.y + self.look.real(len(text) * TEXT_HEIGHT * LINE_PITCH / 2 + _BETWEEN)
                return leader
        return None

    def _leaders(self, ink: Ink, tips: list[Hole], text: tuple[str, ...]) -> Iterator[Leader]:
        """Leaders to try: low ones first, to the right, then to the left; clear of holes and leaders, then not."""
        look, box = self.look, self.look.box
        width = look.real(SHELF + 1.0 + max(text_width(line, TEXT_HEIGHT) for line in text))
        half = look.real(len(text) * TEXT_HEIGHT * LINE_PITCH / 2)
        inward = max(min(box.right * 0.42, self.right - width), box.left * 0.2)
        places = (inward, *(box.right * share for share in (0.75, 0.25, 0.55)))
        rights, lefts = tuple((x, True) for x in places), ((box.left * 0.42, False), (box.left * 0.2, False))
        above = [hole for hole in tips if hole.center.y > box.center.y - box.height / 100] or tips
        plain = [hole for hole in above if hole.number > 1 or _is_on_axis(hole)] or above
        tries = ((rights, plain, True), (lefts, plain, True), ((*rights, *lefts), above, False), (rights, tips, False))
        for sides, ends, strict in tries:
            for step in range(_STRICT_TRIES if strict else _TRIES):
                low = self.floor if sides is not lefts else box.top + look.real(_FIRST)
                y = low + look.real(_STEP * step) + half
                for x, to_right in sides:
                    elbow = Point(x, y)
                    leaders = [Leader(hole_rim(hole, elbow), elbow, text, to_right) for hole in ends]
                    if not _text_meets(leaders[0], ink):
                        pairs = zip(leaders, ends, strict=True)
                        yield from (leader for leader, hole in pairs if self._is_fit(leader, hole, strict))

    def _is_fit(self, leader: Leader, hole: Hole, strict: bool) -> bool:
        """Whether a leader is short and keeps off its own text and, if ``strict``, off other holes and leaders."""
        side = 1 if leader.to_right else -1
        if (leader.tip.x - leader.elbow.x) * side > self.look.real(SHELF):
            return False
        line = Line(leader.tip, leader.elbow)
        if leader.tip.distance_to(leader.elbow) > self.look.real(_LONGEST):
            return False
        return not strict or not (_crosses(line, self.holes, hole) or any(meet(line, other) for other in self.lines))


def _text_meets(leader: Leader, ink: Ink) -> bool:
    labels = (part for part in explode(leader, ink.scale) if isinstance(part, Label))
    return any(ink.meets(corners_of(label, ink.scale)) for label in labels)


def _crosses(line: Line, holes: Iterable[Hole], own: Hole) -> bool:
    """Whether a leader runs over a hole other than its own."""
    step, length = line.end - line.start, line.start.distance_to(line.end)
    if length == 0:
        return False
    for hole in holes:
        away = hole.center - line.start
        along = (away.x * step.x + away.y * step.y) / length
        off = abs(away.x * step.y - away.y * step.x) / length
        if hole is not own and 0 < along < length and off < hole.face_diameter / 2:
            return True
    return False
