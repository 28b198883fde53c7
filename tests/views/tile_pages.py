"""Which pages of a template are taped together."""

from flangelayout.drawing.model import Sheet, SheetSet


def tiles_of(sheets: SheetSet) -> tuple[Sheet, ...]:
    """Those after the cover, and after the page that the map of many tiles has for itself."""
    return tuple(sheet for sheet in sheets.sheets if sheet.name.startswith("row "))
