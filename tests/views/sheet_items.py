"""What stands on sheets, wherever it stands: beside the views, then in them."""

from collections.abc import Iterator

from flangelayout.drawing.explode import exploded
from flangelayout.drawing.model import Item, Label, Sheet


def items_of(*sheets: Sheet) -> Iterator[Item]:
    """Every item, sheet by sheet."""
    for sheet in sheets:
        yield from sheet.furniture
        for view in sheet.views:
            yield from view.drawing.items


def texts_of(*sheets: Sheet) -> list[str]:
    """Every text, those of sizes and leaders too."""
    return [part.text for _, part in exploded(items_of(*sheets), 1.0) if isinstance(part, Label)]
