"""What a job can choose of the files it gets; the values are the words of the job file."""

from enum import StrEnum


class DxfVersion(StrEnum):
    """The file versions offered; the value is the release that introduced them."""

    R12 = "R12"
    R2000 = "R2000"
    R2010 = "R2010"

    @property
    def is_unicode(self) -> bool:
        """Whether its text is UTF-8; the older ones hold Windows code page 1252 and escapes."""
        return self is DxfVersion.R2010


class TemplateStyle(StrEnum):
    """How a template larger than its paper is printed."""

    TILES = "tiles"
    SECTOR = "sector"
    STRIPS = "strips"


class SheetPart(StrEnum):
    """What the layout sheets hold beside the first one."""

    CHECK_CARD = "check card"
    ALL_HOLES = "all holes"
    STEP_OFF = "step-off plan"
    BILL = "bill"
    BOLT_LENGTHS = "bolt lengths"
    SEQUENCES = "sequences"
    SOURCES = "sources"


USUAL_PARTS = (SheetPart.CHECK_CARD,)
"""Of a job that names none."""
