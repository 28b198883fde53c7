"""A file that a PDF carries along (ISO 32000-1, 7.11.4: embedded file streams)."""

from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

JOB_FILE = "flangelayout job file: what this sheet was drawn from"
"""What a viewer, and :mod:`flangelayout.files.recover`, are told that a job file is."""


class Attachment(Struct, frozen=True):
    """A file to carry along: its name, its bytes as they are, and what a viewer says it is."""

    name: str
    content: bytes
    description: str


def attach(canvas: "Canvas", attachment: Attachment) -> None:
    """Put a file into the catalog of a PDF, marked as the source the pages were made from.

    No time is stored with it, so that the same file gives the same bytes.
    """
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream, PDFString, PDFZCompress

    document = canvas._doc  # reportlab has no public way to add an object to the catalog
    stream = PDFStream(content=attachment.content, filters=[PDFZCompress])
    stream.dictionary.dict |= {
        "Type": PDFName("EmbeddedFile"),
        "Subtype": "/application#2Ftoml",
        "Params": PDFDictionary({"Size": len(attachment.content)}),
    }
    name = PDFString(attachment.name)
    specification = PDFDictionary(
        {
            "Type": PDFName("Filespec"),
            "F": name,
            "UF": name,
            "Desc": PDFString(attachment.description),
            "AFRelationship": PDFName("Source"),
            "EF": PDFDictionary({"F": document.Reference(stream, "attachedFile")}),
        }
    )
    reference = document.Reference(specification, "attachedFileSpecification")
    names = PDFDictionary({"Names": PDFArray([name, reference])})
    document.Catalog.Names = PDFDictionary({"EmbeddedFiles": names})
