"""What is to be noticed about a cut file: holes too small for the process, holes not cut to size, kerf and leads."""

from collections.abc import Iterator

from flangelayout.checks.finding import Finding, Severity
from flangelayout.checks.plate.drilling import circle_key
from flangelayout.drawing.strokes import unmarkable
from flangelayout.flange import Flange, Hole, through_shape
from flangelayout.flange.cutting import CutOptions, HoleCut, Mark, hole_cut, is_small
from flangelayout.units import Unit, size_text


def check_cutting(flange: Flange, options: CutOptions, number: str, unit: Unit = Unit.MM) -> tuple[Finding, ...]:
    """Findings about how a plate is cut, none of them an error; nothing where the job asks for nothing.

    Args:
        flange: What is made.
        options: How it is cut.
        number: Part number, for the marks.
        unit: Unit of the numbers in the findings.
    """
    return (
        *_holes(flange, options, unit),
        *_unknown_thickness(flange, options),
        *_file(options, unit),
        *_letters(options, number),
    )


def _size(length: float, unit: Unit) -> str:
    return f"{size_text(length, unit)} {unit.value}"


def _holes(flange: Flange, options: CutOptions, unit: Unit) -> Iterator[Finding]:
    """One finding for the holes of a group that share size and fate."""
    if options.is_nominal and options.smallest is None:
        return
    alike: dict[tuple[int, float, HoleCut], list[Hole]] = {}
    for hole in flange.holes():
        if through_shape(hole) is None:
            continue
        choice = hole_cut(hole, options, flange.thickness)
        if choice is not HoleCut.AS_DRAWN or is_small(hole, options, flange.thickness):
            alike.setdefault((hole.group, hole.diameter, choice), []).append(hole)
    for (group, diameter, choice), holes in alike.items():
        what = f"{flange.group_name(group) if group >= 0 else holes[0].source}: {len(holes)} x {_size(diameter, unit)}"
        where = f"{circle_key(flange, group)}.cut"
        match choice:
            case HoleCut.AS_DRAWN:
                yield _too_small(flange, options, what, unit)
            case HoleCut.UNDERSIZE:
                cut_at = _size(diameter - options.undersize, unit)
                yield Finding("cut-undersize", Severity.NOTE, where, f"{what} cut undersize at {cut_at}; drill to size")
            case HoleCut.CENTER_MARK:
                yield Finding("cut-center-mark", Severity.NOTE, where, f"{what} not cut, centers marked; drill them")


def _too_small(flange: Flange, options: CutOptions, what: str, unit: Unit) -> Finding:
    limit = options.smallest
    assert limit is not None
    least = limit.diameter(flange.thickness)
    assert least is not None
    process = options.process.value if options.process else "the process"
    rule = f"{limit.per_thickness:g} x thickness = " if limit.per_thickness and least > limit.at_least else ""
    text = (
        f"{what} is smaller than {process} cuts well ({rule}{_size(least, unit)}; {limit.origin}); "
        'cut them undersize for drilling, or mark the center only (cut.small_holes = "center mark only")'
    )
    return Finding("smallest-cut-hole", Severity.WARNING, "cut.process", text, limit.origin)


def _unknown_thickness(flange: Flange, options: CutOptions) -> Iterator[Finding]:
    limit = options.smallest
    if limit is not None and limit.diameter(flange.thickness) is None:
        text = "the smallest hole that cuts well hangs on the thickness, which is not stated; write plate.thickness"
        yield Finding("smallest-cut-hole", Severity.WARNING, "plate.thickness", text, limit.origin)


def _file(options: CutOptions, unit: Unit) -> Iterator[Finding]:
    """What the operator must know before the file runs: that the controller must not do it again."""
    if options.kerf > 0:
        text = (
            f"cut file: a kerf of {_size(options.kerf, unit)} is taken up, {_size(options.kerf / 2, unit)} outward on "
            "the outline and inward on holes; switch kerf compensation off at the controller"
        )
        yield Finding("cut-kerf", Severity.NOTE, "cut.kerf", text)
    if options.lead_in > 0:
        out = f", lead-outs of {_size(options.lead_out, unit)}" if options.lead_out > 0 else ""
        text = (
            f"cut file: lead-ins of {_size(options.lead_in, unit)}{out} with pierces in the scrap are drawn; "
            "switch lead-ins off at the controller"
        )
        yield Finding("cut-leads", Severity.NOTE, "cut.lead_in", text)


def _letters(options: CutOptions, number: str) -> Iterator[Finding]:
    missing = unmarkable(number) if Mark.NUMBER in options.marks else ""
    if missing:
        text = f'there are no single-stroke letters for "{missing}"; a box is marked in its place'
        yield Finding("mark-letters", Severity.WARNING, "job.number", text)
