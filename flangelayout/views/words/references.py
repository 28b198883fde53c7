"""What an item of a drawing is called in a message."""

from typing import assert_never

from flangelayout.drawing.references import (
    Cut,
    FeatureRef,
    FieldRef,
    Furniture,
    GroupRef,
    HoleRef,
    JointRef,
    MarkRef,
    OpeningRef,
    OutlineRef,
    PlacedRef,
    Ref,
    TitleBlockRef,
    TurnedRef,
)


def ref_words(ref: Ref | None) -> str:
    """Where an item comes from in a few words: ``hole B3``, ``lead-in of outline of part 2``."""
    if isinstance(ref, Cut):
        return _cut_words(ref)
    return "an item" if ref is None else _other_words(ref)


def _cut_words(ref: Cut) -> str:
    match ref:
        case HoleRef():
            return f"hole {ref.label}"
        case OpeningRef():
            name = f"opening {ref.number}" if ref.number else "bore"
            return f"{name}, copy {ref.copy}" if ref.copy else name
        case OutlineRef():
            return f"outline of part {ref.part}" if ref.part else "outline"
        case JointRef():
            return f"joint {ref.joint}"
        case _:
            assert_never(ref)


def _other_words(
    ref: GroupRef | FeatureRef | TurnedRef | MarkRef | TitleBlockRef | FieldRef | Furniture | PlacedRef,
) -> str:
    match ref:
        case GroupRef():
            text = f"hole pattern {ref.group + 1}"
        case FeatureRef():
            text = ref.feature.value
        case TurnedRef():
            text = f"turned face {ref.number}"
        case MarkRef():
            text = f'mark "{ref.text}"'
        case TitleBlockRef() | FieldRef() | Furniture():
            text = ref.name
        case PlacedRef():
            text = f"{ref.piece}: {ref_words(ref.of)}"
        case _:
            assert_never(ref)
    return text
