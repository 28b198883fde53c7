"""Scales for pictures on report pages."""

from flangelayout.views.sheet.sheet import SCALES

_LARGER = (50.0, 20.0)


def fitting_scale(length: float, room_paper: float) -> float:
    """The largest scale of ISO 5455 at which ``length`` mm takes no more than ``room_paper`` printed mm."""
    return next((scale for scale in (*_LARGER, *SCALES) if length * scale <= room_paper), SCALES[-1])
