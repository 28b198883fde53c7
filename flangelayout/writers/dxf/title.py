"""The title block of a page as one insert: a block of lines and captions, and an attribute for each field."""

import hashlib
from collections.abc import Sequence

from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label
from flangelayout.drawing.references import FieldRef, TitleBlockRef
from flangelayout.writers.dxf.items import Space, entities, text_groups, upright
from flangelayout.writers.dxf.tags import Owner, insert_tags
from flangelayout.writers.dxf.text import text_string

_BLOCK = "TITLE_BLOCK"
_LAYER = "8\n0\n"
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
    entity = page.owner.add(_LAYER, insert_tags(_block(page, fixed, fields), with_attributes=True))
    held = Owner(page.document, page.layout, held_by=entity)
    for tag, layer, label in fields:
        text = text_groups(page, label, text_string(label.text, page.placing.version))
        told = f"100\nAcDbAttribute\n2\n{tag}\n70\n0\n74\n{upright(label)}\n"
        held.add(page.shared(layer), ("ATTRIB", text + told))
    held.add(_LAYER, ("SEQEND", ""))


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
    content = [
        (item.layer, entity) for item in fixed for what in explode(item.what, 1.0) for entity in entities(page, what)
    ]
    for tag, layer, label in fields:
        told = f"3\n{tag.replace('_', ' ').capitalize()}\n2\n{tag}\n70\n0\n74\n{upright(label)}\n"
        text = text_groups(page, label, "")
        content.append((layer, ("ATTDEF", f"{text}100\nAcDbAttributeDefinition\n{told}")))
    written = "".join([f"{layer.name}{kind}{own}" for layer, (kind, own) in content])
    name = f"{_BLOCK}_{hashlib.sha256(written.encode()).hexdigest()[:8].upper()}"
    if name not in page.document.blocks:
        block = page.block(page.document.blocks.new(name))
        for layer, entity in content:
            block.add(layer, entity)
    return name
