"""What DXF files of a version have alike, written out once: half of what ezdxf does for a small file.

For R2000 and later: of a file of R12 that is no more than a short header.
"""

from collections.abc import Iterable
from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING, TextIO, cast

from msgspec import Struct

from flangelayout.writers.dxf.tags import WrittenEntity

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfentity import DXFEntity
    from ezdxf.entities.dxfobj import DXFObject
    from ezdxf.lldxf.tagwriter import AbstractTagWriter, TagWriter
    from ezdxf.sections.classes import ClassesSection
    from ezdxf.sections.header import HeaderSection, HeaderVar

_NEVER_CHANGED = {"MATERIAL", "MLEADERSTYLE", "MLINESTYLE"}
"""Kinds of objects that a new document has and no drawing touches."""
_BEFORE_PROPERTIES = "$LASTSAVEDBY"
"""The variable that a file's own properties follow."""


class WrittenSection(Struct, frozen=True, gc=False):
    """A section that is nothing but its text; the document writes it and asks no more of it than this."""

    text: str

    def add_required_classes(self, _version: str) -> None:
        """They are there."""

    def export_dxf(self, writer: "AbstractTagWriter") -> None:
        """Write it."""
        writer.write_str(self.text)


def writer_to(pieces: list[str], version: str, *, handles: bool = True) -> "TagWriter":
    """What writes parts of a document as pieces of text."""
    from ezdxf.lldxf.tagwriter import TagWriter

    return TagWriter(cast("TextIO", SimpleNamespace(write=pieces.append)), version, write_handles=handles)


def use_fixed_parts(document: "DxfDocument") -> None:
    """Put the classes of its version, and the objects that stay as they are, into a new document as their text."""
    classes, objects = _fixed_parts(document.dxfversion)
    document.classes = cast("ClassesSection", classes)
    space = document.objects.get_entity_space()
    space.entities = [cast("DXFObject", objects.get(each.dxf.handle, each)) for each in space.entities]


def write_out_header(document: "DxfDocument") -> None:
    """Put the header of a finished document into it as its text; most variables are those of every new document."""
    header, version, pieces = document.header, document.dxfversion, list[str]()
    for name, usual, text in _usual_variables(version):
        variable = header.hdrvars[name]
        pieces.append(text if variable.value is usual else _variable_text(name, variable, version))
        if name == _BEFORE_PROPERTIES:
            header.custom_vars.write(writer_to(pieces, version))
    document.header = cast("HeaderSection", _section("HEADER", pieces))


@cache
def _fixed_parts(version: str) -> tuple[WrittenSection, dict[str, WrittenEntity]]:
    """The section of classes, in an order of its own for ezdxf's differs by process, and the objects by handle."""
    from ezdxf.document import Drawing as DxfDocument

    document = DxfDocument.new(version)
    document.classes.add_required_classes(version)
    classes = [each for _, each in sorted(document.classes.classes.items())]
    objects = [each for each in document.objects if each.dxftype() in _NEVER_CHANGED]
    written = {each.dxf.handle: WrittenEntity(each.dxftype(), "".join(_pieces([each], version))) for each in objects}
    return _section("CLASSES", _pieces(classes, version)), written


@cache
def _usual_variables(version: str) -> tuple[tuple[str, object, str], ...]:
    """Name, value and text of each variable of a new header, in the order of the file."""
    from ezdxf.sections.header import HeaderSection, header_vars_by_priority

    variables = header_vars_by_priority(HeaderSection.new().hdrvars, version)
    return tuple((name, variable.value, _variable_text(name, variable, version)) for name, variable in variables)


def _variable_text(name: str, variable: "HeaderVar", version: str) -> str:
    """A variable as it stands in a file; nothing where it has no value."""
    from ezdxf.sections.header import HeaderVar
    from ezdxf.sections.headervars import version_specific_group_code

    if variable.value is None:
        return ""
    return f"  9\n{name}\n{HeaderVar((version_specific_group_code(name, version), variable.value))}"


def _section(name: str, pieces: Iterable[str]) -> WrittenSection:
    return WrittenSection(f"  0\nSECTION\n  2\n{name}\n{''.join(pieces)}  0\nENDSEC\n")


def _pieces(entities: Iterable["DXFEntity"], version: str) -> list[str]:
    pieces: list[str] = []
    writer = writer_to(pieces, version)
    for entity in entities:
        entity.export_dxf(writer)
    return pieces
