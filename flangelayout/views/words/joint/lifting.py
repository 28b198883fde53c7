"""Lifting: which holes are for it, and that somebody competent judges them before anything hangs on them."""

from collections.abc import Iterator

from flangelayout.flange import Flange
from flangelayout.flange.mass import plate_solid
from flangelayout.views.words.bill import gravity_text, mass_words
from flangelayout.views.words.lengths import Lengths

_CAUTION = (
    "nothing is lifted by {them} before a competent person has judged hole, thread, plate, fitting and angle of pull; "
    "local rules for lifting apply"
)


def lifting_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """The lifting holes by their labels, with mass, center of gravity and caution; nothing where there are none."""
    labels = [hole.label for hole in flange.lifting_holes()]
    if labels:
        named = ", ".join(labels) if len(labels) <= 6 else f"{labels[0]} to {labels[-1]}"
        several, them = ("s", "them") if len(labels) > 1 else ("", "it")
        yield f"Lifting hole{several} {named}: {_CAUTION.format(them=them)}."
        solid, mass = plate_solid(flange), mass_words(flange, lengths.unit)
        if solid:
            weighs = mass or "mass not known, state material or density"
            yield f"To be lifted: {weighs}, {gravity_text(solid, lengths)}."
