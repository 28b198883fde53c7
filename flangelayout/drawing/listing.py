"""A drawing as text, one line per item in the order of drawing: what tests compare and people read."""

from collections.abc import Iterator
from dataclasses import fields

from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.model import Drawing, Item, SheetSet
from flangelayout.geometry.shapes import Point


def list_drawing(drawing: Drawing) -> Iterator[str]:
    """The title, then one line per item: layer, kind, values rounded to 0.001, source; the usual style is not told."""
    yield f"drawing {drawing.title!r}: {len(drawing.items)} items"
    for item in drawing.items:
        yield "  " + _item_line(item)


def list_sheets(sheets: SheetSet) -> Iterator[str]:
    """Every sheet with its views and furniture; a drawing shown twice is listed once."""
    listed: set[int] = set()
    if sheets.stretch != (1.0, 1.0):
        yield f"stretched {sheets.stretch[0]:.6f} x {sheets.stretch[1]:.6f}"
    for number, sheet in enumerate(sheets.sheets, 1):
        yield f"sheet {number} {sheet.name!r} on {sheet.paper.name} {sheet.paper.width:.3f} x {sheet.paper.height:.3f}"
        for view in sheet.views:
            yield f" view of {view.drawing.title!r} scale {view.scale:.6g} at {_text(view.at_paper)}"
            if id(view.drawing) not in listed:
                listed.add(id(view.drawing))
                yield from (f" {line}" for line in list_drawing(view.drawing))
        yield from (f"  {_item_line(item)}" for item in sheet.furniture)


def _item_line(item: Item) -> str:
    told = ((field.name, getattr(item.what, field.name)) for field in fields(item.what))
    values = " ".join(f"{name}={_text(value)}" for name, value in told if value is not DimensionStyle.ALIGNED)
    source = f"  <{item.source}>" if item.source else ""
    return f"{item.layer.name} {type(item.what).__name__} {values}{source}"


def _text(value: object) -> str:
    match value:
        case bool():
            return str(value)
        case int() | float():
            return f"{value:.3f}".replace("-0.000", "0.000")
        case Point():
            return f"({_text(value.x)}, {_text(value.y)})"
        case tuple():
            return "[" + ", ".join(_text(part) for part in value) + "]"
        case _ if hasattr(value, "__dataclass_fields__"):
            parts = (f"{name}={_text(getattr(value, name))}" for name in value.__dataclass_fields__)
            return f"{type(value).__name__}({', '.join(parts)})"
        case _:
            return str(getattr(value, "name", None) or repr(value))
