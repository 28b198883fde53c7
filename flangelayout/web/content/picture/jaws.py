"""Readings drawn on the flange where the jaws sat: those taken, the one being written, chords of a finished part."""

import math

from msgspec import Struct, field

from flangelayout.survey import Survey
from flangelayout.survey.kinds import CHORD_KINDS, Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, size_text
from flangelayout.web.content.picture.labels import Stroke, Tag, across, leader
from flangelayout.web.content.picture.scene import DrawnHole, Scene, on_rim, unit_text

_INWARD = 33.0
"""How far inside its holes a chord is written."""
_FURTHER = 19.0
_BELOW = 25.0
_HOLE_AT = (134.0, -118.0)
_BESIDE = {Kind.STUD_DIAMETER: "stud", Kind.X: "X", Kind.Y: "Y"}
Drawn = tuple[list[Tag], list[Stroke]]
Place = tuple[float, float]
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)
"""How far along its line a reading is written: the first place that is free, else the freest."""
_WIDE, _HIGH = 90.0, 46.0
"""What a label takes of the picture where a phone draws it small."""


def readings_drawn(scene: Scene, survey: Survey | None, taken: int, draft: Reading | None, unit: Unit) -> Drawn:
    """The readings on the picture.

    Args:
        scene: The flange as drawn.
        survey: What the readings say.
        taken: How many are added; those after them are the one being written.
        draft: The reading being written, its value 0 where nothing is written yet.
        unit: Of the numbers.
    """
    hand = _Hand(scene, unit)
    readings = survey.readings[:taken] if survey else ()
    for index, reading in enumerate(readings):
        wrong = survey is not None and bool(survey.suspicions(index))
        hand.draw(reading, index, "look" if wrong else "yours", f"redo:{index + 1}")
    if draft is not None:
        hand.draw(draft, taken, "reading", "")
    return hand.tags, hand.lines


def chord_drawn(scene: Scene, reading: Reading, out: bool, unit: Unit) -> Drawn:
    """A chord read on the finished part, from hole to hole; ``out`` where it is outside its limit."""
    holes = [hole for hole in scene.holes if hole.circle == 1]
    ends = [holes[(number or 1) - 1] for number in (reading.from_hole, reading.to_hole) if (number or 1) <= len(holes)]
    if len(ends) < 2:
        return [], []
    one, other = ends
    css = "look" if out else "yours"
    tag = Tag((one.x + other.x) / 2, (one.y + other.y) / 2, ((size_text(reading.value, unit), ""),), css)
    return [tag], [Stroke(_straight((one.x, one.y), (other.x, other.y)), f"dim {css}")]


class _Hand(Struct):
    """Writes one reading after another; what lies between the same two holes is written side by side."""

    scene: Scene
    unit: Unit
    tags: list[Tag] = field(default_factory=list)
    lines: list[Stroke] = field(default_factory=list)
    _between: dict[tuple[int, int], int] = field(default_factory=dict)

    def draw(self, reading: Reading, index: int, css: str, does: str) -> None:
        """One reading, its place by its kind."""
        text = size_text(reading.value, self.unit) if reading.value else "?"
        said = f"Redo reading {index + 1}: {text}" if does else ""
        holes = [hole for hole in self.scene.holes if hole.circle == 1]
        if reading.kind in CHORD_KINDS and len(holes) > 1:
            place = self._chord(reading, index, holes, css)
        elif reading.kind is Kind.OUTSIDE_DIAMETER:
            place, text = self._outside(css), f"outside {text}"
        elif reading.kind is Kind.BORE:
            place, text = self._bore(css), f"bore {text}"
        elif reading.kind in (Kind.HOLE_TO_BORE, Kind.HOLE_TO_RIM) and holes:
            place = self._to_edge(reading, holes, css)
        elif holes:
            place, text = self._beside(reading, holes, css), f"{_BESIDE.get(reading.kind, 'hole')} {text}"
        else:
            place = None
        if place is not None:
            self.tags.append(Tag(*place, ((text, ""),), css, does, said))

    def _chord(self, reading: Reading, index: int, holes: list[DrawnHole], css: str) -> Place | None:
        """Two jaws and the line between them, written a little toward the middle; ``None`` from a hole to itself."""
        first = (reading.from_hole or index % len(holes) + 1) - 1
        second = (reading.to_hole or first + 1 + reading.steps) - 1
        one, other = holes[first % len(holes)], holes[second % len(holes)]
        if one is other:
            return None
        pair = min(one.number, other.number), max(one.number, other.number)
        depth = self._between[pair] = self._between.get(pair, -1) + 1
        mid = (one.x + other.x) / 2, (one.y + other.y) / 2
        away = math.hypot(*mid)
        inward = _INWARD + _FURTHER * depth if away > _INWARD else 0.0
        dx, dy = (-mid[0] / away * inward, -mid[1] / away * inward) if away > 1 else (0.0, 0.0)
        a, b = (one.x + dx, one.y + dy), (other.x + dx, other.y + dy)
        if inward:
            self.lines.append(Stroke(_straight((one.x, one.y), a) + _straight((other.x, other.y), b), f"jaw {css}"))
        self.lines.append(Stroke(_straight(a, b), f"dim {css}"))
        shares = _SHARES if away > _INWARD else _SHARES[1:]
        places = [(a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share) for share in shares]
        return max(places, key=self._room_at)

    def _room_at(self, place: Place) -> float:
        """How far a label there stands off the nearest other one, in labels, 1 where it lies on none."""
        away = (max(abs(tag.x - place[0]) / _WIDE, abs(tag.y - place[1]) / _HIGH) for tag in self.tags)
        return min(1.0, min(away, default=1.0))

    def _outside(self, css: str) -> Place:
        wide, y = self.scene.half_width, self.scene.half_height + _BELOW
        self.lines.append(Stroke(across(-wide, wide, y, 0.0, 7.0), f"dim {css}"))
        return 0.0, y

    def _bore(self, css: str) -> Place:
        y = 0.55 * self.scene.bore
        reach = math.sqrt(max(self.scene.bore**2 - y * y, 1.0))
        self.lines.append(Stroke(across(-reach, reach, y), f"dim {css}"))
        return 0.0, y

    def _to_edge(self, reading: Reading, holes: list[DrawnHole], css: str) -> Place:
        """The metal from a hole to the bore or to the rim."""
        hole = holes[((reading.from_hole or len(holes)) - 1) % len(holes)]
        angle, reach = math.degrees(math.atan2(-hole.y, hole.x)), math.hypot(hole.x, hole.y)
        inward = reading.kind is Kind.HOLE_TO_BORE
        start = on_rim(angle, reach - hole.r if inward else reach + hole.r)
        end = on_rim(angle, self.scene.bore if inward else self.scene.half_width)
        self.lines.append(Stroke(_straight(start, end), f"jaw {css}"))
        return on_rim(angle, self.scene.bore - 24 if inward else self.scene.half_width + 24)

    def _beside(self, reading: Reading, holes: list[DrawnHole], css: str) -> Place:
        """The size or the place of one hole, at the corner that is nearest to it."""
        hole = holes[((reading.from_hole or len(holes)) - 1) % len(holes)]
        at = _HOLE_AT[0] if hole.x >= 0 else -_HOLE_AT[0], _HOLE_AT[1] if hole.y <= 0 else -_HOLE_AT[1]
        away = math.hypot(at[0] - hole.x, at[1] - hole.y) or 1.0
        edge = hole.x + (at[0] - hole.x) / away * hole.r, hole.y + (at[1] - hole.y) / away * hole.r
        self.lines.append(Stroke(leader(at, edge), f"dim {css}"))
        return at


def _straight(a: Place, b: Place) -> str:
    return f"M{unit_text(a[0])} {unit_text(a[1])}L{unit_text(b[0])} {unit_text(b[1])}"
