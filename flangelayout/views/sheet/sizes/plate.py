"""Every size of a plate beside its bolt circles and its section."""

from collections.abc import Callable, Iterable

from flangelayout.drawing.model import Item
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.sizes.features import opening_sizes
from flangelayout.views.sheet.sizes.outlines import outline_sizes
from flangelayout.views.sheet.sizes.places import hole_places
from flangelayout.views.sheet.sizes.placing import place_at_arrows, place_sizes
from flangelayout.views.sheet.sizes.wishes import Wish


def plate_sizes(
    look: Look, ink: Ink, *, at_rim: bool = False, between: Callable[[], Iterable[Item]] = tuple
) -> tuple[list[Item], bool]:
    """Outline, places of single holes, openings, each where it crosses no text; whether all find a place.

    Args:
        look: What is drawn.
        ink: What stands there already; what is placed is added to it.
        at_rim: Whether the diameter of a round plate is told at its rim, not below it.
        between: What is to be placed before sizes at arrows, as in :func:`place_sizes`.
    """
    return place_sizes(look, ink, _wishes(look, at_rim=at_rim), between)


def sizes_at_arrows(look: Look, ink: Ink, rows: Iterable[Item]) -> list[Item]:
    """Those of the sizes that stand at arrows, placed beside the others, which are there already."""
    return place_at_arrows(look, ink, _wishes(look), rows)[0]


def _wishes(look: Look, *, at_rim: bool = False) -> tuple[Wish, ...]:
    return (*outline_sizes(look, at_rim=at_rim), *hole_places(look), *opening_sizes(look))
