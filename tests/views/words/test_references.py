"""What items are called in messages: every kind of reference has words, and no two cuts of a plate share them."""

from flangelayout.drawing.references import (
    Feature,
    FeatureRef,
    Furniture,
    GroupRef,
    HoleRef,
    JointRef,
    MarkRef,
    OpeningRef,
    OutlineRef,
    PlacedRef,
    Ref,
)
from flangelayout.views.words.references import ref_words


def test_every_reference_has_words_of_its_own() -> None:
    told: dict[Ref, str] = {
        HoleRef("B3"): "hole B3",
        GroupRef(1): "hole pattern 2",
        OpeningRef(0): "bore",
        OpeningRef(2): "opening 2",
        OpeningRef(2, 3): "opening 2, copy 3",
        OutlineRef(): "outline",
        OutlineRef(4): "outline of part 4",
        JointRef(2): "joint 2",
        FeatureRef(Feature.RAISED_FACE): "raised face",
        MarkRef("TOP"): 'mark "TOP"',
        Furniture("scale bar"): "scale bar",
        PlacedRef("A1", OpeningRef(0)): "A1: bore",
        PlacedRef("A2", None): "A2: an item",
    }
    assert {ref: ref_words(ref) for ref in told} == told
