"""What the readings may be, by bolt circle: rows that share one drilling stand together."""

from msgspec import Struct

from flangelayout.standards import Confidence
from flangelayout.survey import Survey
from flangelayout.survey.candidates import Candidate, Verdict
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.web.form.lengths import with_unit

_RULE = 390.0
_MOST_PINS = 6


class RowLine(Struct, frozen=True):
    """One row of a table: its name, its holes and outside, and what to look out for."""

    designation: str
    sizes: str
    usable: bool
    caution: str


class CircleGroup(Struct, frozen=True):
    """One drilling that the readings may be.

    Attributes:
        circle: Its diameter, without the unit.
        holes: How many, and how far apart neighbors are.
        rows: The tables that have it, the likeliest first.
        alike: Rows beside the first one, named.
        possible: Whether the verdict speaks of it.
    """

    circle: str
    holes: str
    rows: tuple[RowLine, ...]
    alike: str
    possible: bool


class Pin(Struct, frozen=True):
    """A published circle on the rule: where it stands, and how far a made one may be off to either side."""

    text: str
    x: float
    least: float
    most: float
    high: int


class BandRule(Struct, frozen=True):
    """A rule with the reading's band and the published circles; places are in picture units."""

    low: float
    high: float
    value: float
    pins: tuple[Pin, ...]
    ticks: tuple[tuple[str, float], ...]


def circle_groups(survey: Survey, unit: Unit) -> tuple[CircleGroup, ...]:
    """The drillings that the readings may be, those that the verdict speaks of first.

    Args:
        survey: What the readings say.
        unit: Of the sizes.
    """
    by_drilling: dict[int, list[Candidate]] = {}
    for candidate in survey.candidates:
        by_drilling.setdefault(candidate.drilling, []).append(candidate)
    leading = {candidate.drilling for candidate in survey.ties}
    order = sorted(by_drilling, key=lambda each: each not in leading)
    return tuple(_group(by_drilling[each], each in leading, unit) for each in order)


def possible_circles(survey: Survey) -> int:
    """How many drillings the verdict speaks of."""
    return len({candidate.drilling for candidate in survey.ties})


def is_settled(survey: Survey) -> bool:
    """Whether the readings are one published drilling."""
    return survey.verdict is Verdict.ONE


def rule_of(survey: Survey, unit: Unit) -> BandRule | None:
    """The readings' band beside the published circles; ``None`` where no band holds."""
    band = survey.expanded_uncertainty
    if band is None:
        return None
    seen: dict[str, Candidate] = {}
    for candidate in survey.ties:
        seen.setdefault(size_text(candidate.pattern.bolt_circle, unit), candidate)
    pins = list(seen.items())[:_MOST_PINS]
    offs = {text: 2 * each.spread for text, each in pins}
    ends = [survey.diameter - band, survey.diameter + band]
    ends += [each.pattern.bolt_circle + way * offs[text] for text, each in pins for way in (-1, 1)]
    low, high = min(ends), max(ends)
    low, high = low - 0.06 * (high - low), high + 0.06 * (high - low)

    def at(value: float) -> float:
        return round((value - low) / (high - low) * _RULE, 2)

    step = next(each for each in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 1e9) if (high - low) / each <= 9)
    first = int(low / step) + 1
    ticks = tuple((size_text(round(k * step, 3), unit), at(k * step)) for k in range(first, int(high / step) + 1))
    drawn = tuple(
        Pin(text, at(each.pattern.bolt_circle), at(each.pattern.bolt_circle - offs[text]),
            at(each.pattern.bolt_circle + offs[text]), index % 3)
        for index, (text, each) in enumerate(pins)
    )  # fmt: skip
    shown = ticks if unit is Unit.MM else ()
    return BandRule(at(survey.diameter - band), at(survey.diameter + band), at(survey.diameter), drawn, shown)


def _group(rows: list[Candidate], possible: bool, unit: Unit) -> CircleGroup:
    first = rows[0]
    apart = f", neighbors {decimal_text(first.chord, unit)}" if first.chord is not None else ""
    return CircleGroup(
        circle=size_text(first.pattern.bolt_circle, unit),
        holes=f"{first.pattern.hole_count} holes{apart}",
        rows=tuple(_row(each, unit) for each in rows),
        alike=", ".join(each.pattern.designation for each in rows[1:4]) + (" and more" if len(rows) > 4 else ""),
        possible=possible,
    )


def _row(candidate: Candidate, unit: Unit) -> RowLine:
    row = candidate.pattern
    hole = f"holes {with_unit(row.hole_diameter, unit)}" if row.hole_diameter else "no hole in the table"
    outside = f", outside {with_unit(row.outside_diameter, unit)}" if row.outside_diameter else ""
    caution = row.confidence.words if row.confidence is Confidence.MEMORY else ""
    return RowLine(row.designation, f"{hole}{outside}", row.equally_spaced, caution)
