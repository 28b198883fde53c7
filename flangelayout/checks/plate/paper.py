"""Whether a template of joined sheets of paper can hold the tolerance of the plate."""

import math
from collections.abc import Iterator

from flangelayout.checks.cut_facts import PaperCannotHold
from flangelayout.checks.finding import Finding, Place, noted
from flangelayout.checks.rule import Rule
from flangelayout.drawing.papers import paper
from flangelayout.flange import Flange, SegmentOutline
from flangelayout.flange.sector import alike_part, sector_problem, strip_problem
from flangelayout.standards import practice

_SCALE_BAR_STRIP = 10.0
"""Width in mm of the strip of a page that holds the upright scale bar."""


def check_paper(flange: Flange, paper_name: str, margin: float, overlap: float) -> Iterator[Finding]:
    """Something to notice where sheets joined across the plate cannot hold what it allows, before any is made.

    Args:
        flange: What is drilled.
        paper_name: One of ``papers.PAPER_NAMES``.
        margin: Free edge of a sheet in mm.
        overlap: What neighbors share, in mm.
    """
    size = max((circle.diameter for circle in flange.bolt_circles), default=0.0) * _share(flange)
    joints = _joints(size, paper_name, margin, overlap)
    tolerance = _tolerance(flange)
    error = paper_error(size, joints)
    if joints and error > tolerance:
        facts = PaperCannotHold(
            paper_name, joints, size, error, tolerance, sector_problem(flange) is None, strip_problem(flange) is None
        )
        yield noted(Rule.TEMPLATE_PAPER, Place("template.paper"), facts)


def paper_error(size: float, joints: int) -> float:
    """How far off in mm a length across joined sheets may be at best, once both bars and the joined paper are read.

    Joints and reading are independent, so their squares add. The scale of the print is known as well as the better of
    two readings tells it: a caliper's on the short bars, stretched to the length, or a rule's or tape's right across.

    Args:
        size: In mm.
        joints: Seams that the length crosses.
    """
    by_caliper = practice.CALIPER_READING * size / practice.CALIPER_REACH
    scale = min(by_caliper, _across(size))
    return math.hypot(scale, practice.PAPER_JOINT * math.sqrt(joints))


def _share(flange: Flange) -> float:
    """How much of a circle's diameter the template shows at most: all of it, or the chord of one part of a ring."""
    part = alike_part(flange)
    outline = part.flange.outline if part else flange.outline
    return math.sin(math.pi / outline.part_count) if isinstance(outline, SegmentOutline) else 1.0


def _across(size: float) -> float:
    """How near a length is known when it is read right across."""
    if size <= practice.LONGEST_RULE:
        return practice.RULE_READING
    off = practice.TAPE_ERROR + practice.TAPE_ERROR_PER_M * math.ceil(size / 1000.0)
    return math.hypot(off, practice.TAPE_READING)


def _joints(size: float, paper_name: str, margin: float, overlap: float) -> int:
    """Seams across a length, the sheets lying with their short sides along it."""
    shown = paper(paper_name).width - 2 * margin - _SCALE_BAR_STRIP
    return max(math.ceil((size - shown) / (shown - overlap)), 0) if shown > overlap else 0


def _tolerance(flange: Flange) -> float:
    """The least that the plate states between its holes, plus and minus; else the widest of the pipe tables."""
    return min(flange.tolerances.of_places, default=practice.USUAL_CIRCLE_TOLERANCE)
