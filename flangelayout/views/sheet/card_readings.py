"""What is measured of each pattern of a plate, and how: what a check card lists."""

from collections.abc import Iterator, Sequence
from functools import partial

from msgspec import Struct

from flangelayout.checks.inspection.tolerances import Allowed, allowed_spans, drawing_limits
from flangelayout.checks.measuring import MeasuredSpan, spans
from flangelayout.checks.ties.chosen import Ties, ties_of
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Slot
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit
from flangelayout.views.words.bench.measuring import BETWEEN_SLOTS
from flangelayout.views.words.bench.tying import tied_by

_MOST_BESIDE = 12
"""Holes up to which a circle has one list; of more the neighbors stand in columns beside each other."""
_LEAST_SHOWN = 3
"""Holes of a pattern that has more than one reading, at the least."""


class Readings(Struct, frozen=True):
    """What is measured of a pattern.

    Attributes:
        group: Its index.
        labels: Its holes' numbers.
        widest: The one of them that is.
        found: The readings, those across first.
        allowed: What each is held to.
    """

    group: int
    labels: tuple[str, ...]
    widest: str
    found: tuple[MeasuredSpan, ...]
    allowed: tuple[Allowed | None, ...]

    def allowed_of(self, span: MeasuredSpan) -> Allowed | None:
        """What one of the readings is held to."""
        return self.allowed[self.found.index(span)]

    @property
    def across(self) -> tuple[MeasuredSpan, ...]:
        """Those across the pattern."""
        return tuple(span for span in self.found if span.is_across)

    @property
    def beside(self) -> tuple[MeasuredSpan, ...]:
        """Those between neighbors."""
        return tuple(span for span in self.found if not span.is_across)

    @property
    def is_few(self) -> bool:
        """Whether there is but one distance between its holes."""
        return len(self.labels) < _LEAST_SHOWN

    @property
    def is_long(self) -> bool:
        """Whether the neighbors stand in columns of their own."""
        return len(self.labels) > _MOST_BESIDE

    @property
    def is_even(self) -> bool:
        """Whether one distance holds for all readings across, and one for all neighbors."""
        return same_distance(self.across) is not None and same_distance(self.beside) is not None


class CardAsks(Struct, frozen=True):
    """All that a card asks for.

    Attributes:
        patterns: The readings of every pattern that has some.
        ties: Those that tie what is cut to the plate and to each other.
    """

    patterns: tuple[Readings, ...] = ()
    ties: Ties = Ties()


def readings_of(flange: Flange, unit: Unit) -> CardAsks:
    """What is measured of a plate, each reading with what is published in a unit."""
    found = (_of_group(flange, group, unit) for group in range(len(flange.groups())))
    patterns = tuple(each for each in found if each.found)
    return CardAsks(patterns, ties_of(flange))


def _of_group(flange: Flange, group: int, unit: Unit) -> Readings:
    pattern = flange.groups()[group]
    found = spans(pattern)
    labels = tuple(str(hole.number) for hole in flange.holes() if hole.group == group) if found else ()
    widest = max(labels, key=partial(text_width, height=1.0), default="")
    return Readings(group, labels, widest, found, allowed_spans(flange, group, found, unit))


def same_distance(found: Sequence[MeasuredSpan]) -> float | None:
    """The distance of all readings where it is one."""
    apart = {round(span.distance, 3): span.distance for span in found}
    return next(iter(apart.values())) if len(apart) == 1 else None


def how_to_measure(flange: Flange, asked: CardAsks) -> str:
    """How to measure: with the same edge of both holes, as far as they are round and alike; soft sheet by a rule."""
    slots = any(isinstance(group.drilling.kind, Slot) for group in flange.groups())
    edge = "Measure from a hole edge to the SAME edge of the other hole: that reading is the center distance."
    said = [BETWEEN_SLOTS] if slots else []
    if is_gasket_material(flange.material):
        said = ["Lay the gasket flat, unstretched, and use a rule, not the jaws of a caliper."]
    said.append(edge)
    if len(flange.pieces()) > 1:
        said.append("Lay the parts together at their gaps: what spans a joint is of the whole ring.")
    if any(shown.across for shown in asked.patterns):
        said.append("First the numbers in heavy circles; if one is out, stop and measure it again before going round.")
    if asked.ties.readings:
        said.append(tied_by(asked.ties, is_gasket_material(flange.material)))
    said += _left_to_inspection(flange)
    said.append("The rest by the drawing.")
    return " ".join(said)


def _left_to_inspection(flange: Flange) -> Iterator[str]:
    """What the drawing limits and no reading of a card shows by itself."""
    if flange.tolerances.position is not None:
        yield "Whether holes lie in the zones that the drawing states, an inspection of all readings tells."
    odd = [
        group
        for group, circle in enumerate(flange.bolt_circles)
        if len(circle.hole_angles()) >= _LEAST_SHOWN and not circle.spans_middle
    ]
    limits = drawing_limits(flange, Unit.MM) if odd else ()
    named = [flange.group_name(group) for group in odd if limits[group].bolt_circle is not None]
    if named:
        keep = "keeps its diameter" if len(named) == 1 else "keep their diameters"
        yield f"Whether {', '.join(named)} {keep}, an inspection of all readings tells: no two holes stand across."
