"""Standard scales of pictures."""

SCALES = (10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100, 1 / 200, 1 / 500)
"""The scales of ISO 5455 that a flange can need, printed mm for a real mm, from the largest."""
DRAWING_SCALES = (
    10.0,
    5.0,
    2.5,
    2.0,
    1.0,
    1 / 2,
    1 / 2.5,
    1 / 5,
    1 / 10,
    1 / 20,
    1 / 25,
    1 / 50,
    1 / 100,
    1 / 200,
    1 / 250,
    1 / 500,
)
"""Those, and 1:2.5 and its like between them, which ISO 5455 lets a drawing choose where the listed scales do not
serve (clause from memory)."""
_LARGER = (50.0, 20.0)


def fitting_scale(length: float, room_paper: float) -> float:
    """The largest scale of ISO 5455 at which ``length`` mm takes no more than ``room_paper`` printed mm."""
    return next((scale for scale in (*_LARGER, *SCALES) if length * scale <= room_paper), SCALES[-1])


def scale_text(scale: float) -> str:
    """A scale as ISO 5455 writes it: ``1:5``, ``1:1``, ``2:1``."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{round(1 / scale, 6):g}"
