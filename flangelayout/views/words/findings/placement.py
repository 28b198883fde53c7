"""How a bolt circle stands to the centerlines, in words."""

from flangelayout.flange import BoltCircle, Centerline, Flange, Placement
from flangelayout.flange.claims import may_be_pipe_flange


def placement_sentence(flange: Flange, circle: BoltCircle) -> str:
    """What the placement of an equally spaced circle asks one to notice."""
    count = circle.hole_count
    vertical = circle.centerline is Centerline.VERTICAL
    named, other, end = ("vertical", "horizontal", "top") if vertical else ("horizontal", "vertical", "right")
    if circle.start_angle:
        return f"the pattern is turned {circle.start_angle:g}° from its place; the mate must be turned the same way"
    if circle.placement is Placement.ON_CENTERLINE:
        lies = f"hole 1 lies on the {named} centerline ({end} end)"
        if may_be_pipe_flange(flange.groups()):
            return f"{lies}; pipe flanges usually straddle it: see how the mate stands"
        return f"{lies}; see that the mate's holes do so, too"
    if count % 2:
        return f"{count} holes straddle the {named} centerline at its {end} end only; at the other a hole lies on it"
    return f"{count} holes straddle the {named} centerline and lie on the {other} one"
