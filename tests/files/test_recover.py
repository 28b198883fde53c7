"""The job file out of a sheet: byte for byte, and a clear line for everything that is none."""

import zlib
from io import BytesIO
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import one_page, ring
from flangelayout.errors import InputError
from flangelayout.files.recover import MAX_JOB_BYTES, recover, safe_name
from flangelayout.job.load import load_job
from flangelayout.packet.job import Part, build_packet
from flangelayout.writers.pdf import PdfOptions, write_pdf
from flangelayout.writers.pdf_attachment import JOB_FILE, Attachment
from jobs import job_data, make_job, toml_text
from rows import every_row


def sheet(content: bytes = b"x = 1\n", name: str = "H-114.toml", description: str = JOB_FILE) -> bytes:
    """A page that carries a file."""
    return write_pdf(one_page(*ring()), PdfOptions(Attachment(name, content, description)))


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as wrong:
        recover(data, "sheet.pdf")
    (line,) = wrong.value.lines()
    assert line.startswith("sheet.pdf: ")
    assert len(line) < 300
    return line


@given(st.binary(max_size=3000))
def test_any_bytes_come_back_as_they_went_in(content: bytes) -> None:
    assert recover(sheet(content)).content == content


def test_another_reader_finds_the_same_file() -> None:
    """pypdfium2 (PDFium) had no part in writing or in recovering."""
    with pypdfium2.PdfDocument(sheet(b"\xef\xbb\xbfunits = 'mm'\r\n", "Größe 7.toml")) as document:
        assert document.count_attachments() == 1
        attachment = document.get_attachment(0)
        assert attachment.get_name() == "Größe 7.toml"
        assert bytes(attachment.get_data()) == b"\xef\xbb\xbfunits = 'mm'\r\n"


@pytest.mark.slow
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("number", ["H-114", None])
def test_a_sheet_gives_its_job_back_and_drawing_it_again_the_same_digest(
    tmp_path: Path, start: bytes, number: str | None
) -> None:
    data = job_data(job={"title": "Größe 7"} | ({"number": number} if number else {}))
    content = start + b"# kept with its comments\r\n" + toml_text(data).encode()
    path = tmp_path / "plate 7.toml"
    path.write_bytes(content)
    job = load_job(path)
    packet = build_packet(job, (Part.SHEET,))
    found = recover(next(file for name, file in packet.items() if name.endswith("_sheet.pdf")))
    assert found.content == content
    assert found.name == "plate 7.toml"
    assert found.digest == job.digest
    again = tmp_path / "again" / found.name
    again.parent.mkdir()
    again.write_bytes(found.content)
    assert load_job(again).digest == job.digest
    assert build_packet(load_job(again), (Part.SHEET,)) == packet


def test_a_job_from_no_file_has_no_attachment() -> None:
    packet = build_packet(make_job(), (Part.SHEET,))
    assert "carries no job file" in refused(next(file for name, file in packet.items() if name.endswith(".pdf")))


def test_files_that_are_no_sheet_are_refused_in_one_line() -> None:
    assert "is no PDF" in refused(b"")
    assert "is no PDF" in refused(b"units = 'mm'\n")
    assert "carries no job file" in refused(write_pdf(one_page(*ring())))
    assert "carries no job file" in refused(sheet(description="something else"))


@given(st.data())
def test_damaged_sheets_are_refused_or_still_give_the_file(data: st.DataObject) -> None:
    whole = sheet(b"number = 'H-114'\n" * 20)
    cut = data.draw(st.integers(0, len(whole)))
    damage = data.draw(st.binary(max_size=40))
    at = data.draw(st.integers(0, len(whole)))
    for broken in (whole[:cut], whole[:at] + damage + whole[at + len(damage) :]):
        assert outcome(broken) in ("refused in one line", "given back")


def outcome(data: bytes) -> str:
    try:
        recover(data, "sheet.pdf")
    except InputError as wrong:
        return "refused in one line" if len(wrong.lines()) == 1 else "refused in several"
    return "given back"


def test_a_protected_sheet_is_refused() -> None:
    writer = pypdf.PdfWriter(clone_from=BytesIO(sheet()))
    writer.encrypt("secret", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    assert "encrypted" in refused(out.getvalue())


def test_an_attachment_that_unpacks_beyond_a_job_file_is_refused() -> None:
    assert "at most" in refused(sheet(b"#" * (MAX_JOB_BYTES + 1)))
    bomb = zlib.compress(zlib.compress(b"\0" * 20_000_000, 9), 9)
    writer = pypdf.PdfWriter(clone_from=BytesIO(sheet(b"0123456789" * 5)))
    names = writer.root_object["/Names"]["/EmbeddedFiles"]["/Names"]  # type: ignore[index] # pypdf types every object alike
    stream = names[1].get_object()["/EF"]["/F"].get_object()
    stream._data = bomb
    name = pypdf.generic.NameObject
    stream[name("/Filter")] = pypdf.generic.ArrayObject([name("/FlateDecode"), name("/FlateDecode")])
    out = BytesIO()
    writer.write(out)
    assert refused(out.getvalue())


@every_row(
    ("written", "safe"),
    [
        ("H-114.toml", "H-114.toml"),
        ("../../etc/passwd", "passwd.toml"),
        ("C:\\jobs\\x.toml", "x.toml"),
        ("/", "job.toml"),
        ("", "job.toml"),
        ("..", "job.toml"),
        ("a\0b\n.toml", "a-b.toml"),
        ("Größe 7.toml", "Größe 7.toml"),
    ],
)
def test_the_name_on_a_sheet_leads_to_no_other_folder(written: str, safe: str) -> None:
    assert safe_name(written) == safe
