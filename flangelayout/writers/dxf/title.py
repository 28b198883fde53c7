"""The title block of a page as one insert: a block of lines and captions, and an attribute for each field."""

import hashlib
import re
from collections.abc import Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label
from flangelayout.drawing.references import FieldRef, TitleBlockRef
from flangelayout.writers.dxf.items import Space, add_items, text_groups
from flangelayout.writers.dxf.tags import Group, Owner, at
from flangelayout.writers.dxf.text import text_string

_BLOCK = "TITLE_BLOCK"
_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
Field = tuple[str, Layer, Label]
"""Tag, layer and what is written."""


def is_of_title(item: Item) -> bool:
    """Whether an item goes into the title block."""
    return isinstance(item.source, TitleBlockRef) or (
        isinstance(item.source, FieldRef) and isinstance(item.what, Label)
    )


def add_title(page: Space, items: Sequence[Item]) -> None:
    """Put the title block of a page into it.

    Args:
        page: The page.
        items: What :func:`is_of_title` picks; pages whose lines, captions and fields are alike share one block.
    """
    if not items:
        return
    fixed = [item for item in items if isinstance(item.source, TitleBlockRef)]
    fields = _fields(items)
    name = _block(page, fixed, fields)
    entity = page.owner.add("INSERT", {8: "0"}, _insert(name))
    held = Owner(page.document, page.layout, held_by=entity)
    for tag, layer, label in fields:
        string = text_string(label.text, page.placing.version)
        own = (*_text(page, label, string), (100, "AcDbAttribute"), (2, tag), (70, 0), (74, _upright(label)))
        held.add("ATTRIB", page.shared(layer), own)
    held.add("SEQEND", {8: "0"}, ())


def _fields(items: Sequence[Item]) -> list[Field]:
    """Every field; the further lines of one are numbered."""
    fields: list[Field] = []
    counts: dict[str, int] = {}
    for item in items:
        if isinstance(item.source, FieldRef) and isinstance(item.what, Label):
            name = item.source.name.upper().replace(" ", "_")
            counts[name] = counts.get(name, 0) + 1
            tag = name if counts[name] == 1 else f"{name}_{counts[name]}"
            fields.append((tag, item.layer, item.what))
    return fields


def _block(page: Space, fixed: Sequence[Item], fields: Sequence[Field]) -> str:
    """The name of the block of these lines and fields, made where there is none yet."""
    content = repr(([(item.layer.name, item.what) for item in fixed], [tag for tag, _, _ in fields]))
    name = f"{_BLOCK}_{hashlib.sha256(_rounded(content).encode()).hexdigest()[:8].upper()}"
    if name not in page.document.blocks:
        block = page.block(page.document.blocks.new(name))
        add_items(block, fixed)
        for tag, layer, label in fields:
            prompt = tag.replace("_", " ").capitalize()
            told = ((3, prompt), (2, tag), (70, 0), (74, _upright(label)))
            block.owner.add(
                "ATTDEF", page.shared(layer), (*_text(page, label, ""), (100, "AcDbAttributeDefinition"), *told)
            )
    return name


def _rounded(content: str) -> str:
    """The content with numbers as they are written: the last digits of a sum differ from one Python to the next."""
    return _NUMBER.sub(lambda number: f"{float(number[0]):.4f}".replace("-0.0000", "0.0000"), content)


def _text(page: Space, label: Label, string: str) -> tuple[Group, ...]:
    return ((100, "AcDbText"), *text_groups(page, label, string))


def _insert(name: str) -> tuple[Group, ...]:
    return ((100, "AcDbBlockReference"), (66, 1), (2, name), *at(10, (0.0, 0.0)))


def _upright(label: Label) -> int:
    return 2 if label.anchor.on_middle else 0
