"""What stands on a plate, as findings call it."""

from flangelayout.checks.finding import Finding, HoleIndex
from flangelayout.flange import Flange, RoundOutline
from flangelayout.units import Unit, counted, size_text


def length_text(length: float, unit: Unit) -> str:
    """A size with its unit: ``285 mm``."""
    return f"{size_text(length, unit)} {unit.value}"


def hole_text(flange: Flange, hole: HoleIndex) -> str:
    """``bolt circle A (pump side), hole 3`` or ``hole X1 (vent)``."""
    if hole.group >= 0:
        return f"{flange.group_name(hole.group)}, hole {hole.number}"
    name = flange.single_holes[hole.number - 1].drilling.name
    return f"hole X{hole.number}" + (f" ({name})" if name else "")


def opening_text(flange: Flange, finding: Finding) -> str:
    """The opening a finding is about: ``bore``, ``opening 2 (window)``; empty for none."""
    opening = finding.place.opening
    return "" if opening is None else flange.cutouts()[opening].name


def subject_text(flange: Flange, finding: Finding) -> str:
    """What a finding is about: its hole, else its group of holes; empty for the plate itself."""
    place = finding.place
    if place.holes:
        return hole_text(flange, place.holes[0])
    if place.group is not None and place.group >= 0:
        return flange.group_name(place.group)
    return ""


def more_alike(count: int, thing: str) -> str:
    """How many others there are beside the one told: `` (and 2 more holes alike)``; empty where it is the only one."""
    return f" (and {counted(count - 1, f'more {thing}')} alike)" if count > 1 else ""


def plate_text(flange: Flange, unit: Unit) -> str:
    """What the plate is called in a sentence: ``plate of 285 mm``."""
    if isinstance(flange.outline, RoundOutline):
        return f"plate of {length_text(flange.outline.outside_diameter, unit)}"
    box = flange.box()
    return f"plate of {size_text(box.width, unit)} × {size_text(box.height, unit)} {unit.value}"
