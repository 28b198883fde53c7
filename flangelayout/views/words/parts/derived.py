"""What is said of a part that was derived from another."""

from collections.abc import Sequence
from typing import assert_never

from flangelayout.drawing.info import JobInfo
from flangelayout.flange.joints.derived import DerivedPart, Parent
from flangelayout.provenance import Confidence
from flangelayout.standards.joints.gaskets import GasketTolerance

_DIGITS = 10
_STAMP = "Stamp line size, thickness and BLIND on the handle."


def part_text(part: DerivedPart) -> str:
    """What a derived part is called."""
    match part:
        case DerivedPart.GASKET:
            return "ring gasket"
        case DerivedPart.FULL_FACE_GASKET:
            return "full-face gasket"
        case DerivedPart.BLIND:
            return "blind"
        case DerivedPart.SPACER:
            return "spacer ring"
        case DerivedPart.MATE:
            return "counter-flange"
        case DerivedPart.PADDLE:
            return "paddle blind"
        case _:
            assert_never(part)


def parent_text(parent: Parent) -> str:
    """Which part it was, as it was then: ``MB-101 rev B (7107dfec31)``."""
    revision = f" rev {parent.revision}" if parent.revision else ""
    return f"{parent.number}{revision} ({parent.digest[:_DIGITS]})"


def derived_text(parent: Parent) -> str:
    """That the part it was derived from is another now."""
    return f"{part_text(parent.part)} derived from {parent_text(parent)}, which has changed since"


def derived_title(part: DerivedPart, parent: JobInfo) -> str:
    """The title of a derived part: ``Ring gasket for intake ring flange``."""
    name = part_text(part)
    return f"{name[0].upper()}{name[1:]} for {parent.title or parent.number}"


def derived_notes(parent: Parent, tolerances: Sequence[GasketTolerance]) -> list[str]:
    """The notes of a derived part: what it goes with and, of a gasket, by what its limits are."""
    goes_with = f"{part_text(parent.part)} for {parent_text(parent)}."
    notes = [f"{goes_with[0].upper()}{goes_with[1:]}"]
    with_holes = parent.part is DerivedPart.FULL_FACE_GASKET
    if tolerances:
        made = "as the flange" if with_holes else "clear of the bolts and no wider than what it lies on"
        opening = "open as told or as the widest bore stated of the joint: hold it against both sides"
        notes += [f"Made {made}, {opening}; not to a gasket standard's sizes."]
        notes.append(_tolerances_note(tolerances, with_holes))
    return notes + ([_STAMP] if parent.part is DerivedPart.PADDLE else [])


def _tolerances_note(stated: Sequence[GasketTolerance], with_holes: bool) -> str:
    """By which tables a gasket's limits are, and who decides where one is not verified."""
    holes = ", any two holes as neighbors" if with_holes else ""
    decided = ""
    if any(each.confidence is Confidence.MEMORY for each in stated):
        decided = "; not verified, the supplier's drawing decides"
    return f"Limits by {' and '.join(each.standard for each in stated)}{holes}{decided}."


def face_text(parent: Parent) -> str:
    """What the face of a derived part is called, from which it is seen."""
    match parent.part:
        case DerivedPart.BLIND | DerivedPart.MATE:
            return f"face toward {parent.number}"
        case DerivedPart.GASKET | DerivedPart.FULL_FACE_GASKET | DerivedPart.SPACER | DerivedPart.PADDLE:
            return f"side away from {parent.number}"
        case _:
            assert_never(parent.part)
