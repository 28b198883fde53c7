"""Parts laid out on stock plate: rings in the drops of larger ones, irregular outlines beside each other."""

from flangelayout.nest.nest import Left, Nest, nest_parts
from flangelayout.nest.parts import AS_MANY_AS_NEEDED, NestPart, PlacedPiece, Stock, moved_edge, moved_shape

__all__ = [
    "AS_MANY_AS_NEEDED",
    "Left",
    "Nest",
    "NestPart",
    "PlacedPiece",
    "Stock",
    "moved_edge",
    "moved_shape",
    "nest_parts",
]
