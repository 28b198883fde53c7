"""Sheet sizes: ISO 216 (A4, A3) and ASME Y14.1 sizes A and B under their office names."""

from flangelayout.drawing.model import Paper
from flangelayout.units import Unit, to_mm

_SHORT_AND_LONG = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (to_mm(8.5, Unit.IN), to_mm(11.0, Unit.IN)),
    "Tabloid": (to_mm(11.0, Unit.IN), to_mm(17.0, Unit.IN)),
}
PAPER_NAMES = tuple(_SHORT_AND_LONG)


def paper(name: str, landscape: bool = False) -> Paper:
    """The sheet of that name, upright unless ``landscape``.

    Raises:
        KeyError: If the name is none of ``PAPER_NAMES``.
    """
    short, long = _SHORT_AND_LONG[name]
    return Paper(name, long, short) if landscape else Paper(name, short, long)
