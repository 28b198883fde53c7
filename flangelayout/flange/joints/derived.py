"""Parts that share their holes and sizes with a flange: what they are, and which flange it was."""

from enum import Enum

from msgspec import Struct


class DerivedPart(Enum):
    """What is derived from a flange."""

    GASKET = "gasket"
    FULL_FACE_GASKET = "full-face-gasket"
    BLIND = "blind"
    SPACER = "spacer"
    MATE = "mate"
    PADDLE = "paddle"


GASKET_PARTS = (DerivedPart.GASKET, DerivedPart.FULL_FACE_GASKET)


class Parent(Struct, frozen=True):
    """The job that a part was derived from, as it was then.

    Attributes:
        part: What the part is to it.
        number: Of the parent.
        revision: Of the parent.
        file: Its job file, as seen from the folder of the part's own.
        digest: Of its content, 64 hexadecimal digits.
    """

    part: DerivedPart
    number: str
    revision: str
    file: str
    digest: str
