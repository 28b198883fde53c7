"""A list on the page: the same jobs, files and refusals as the command line makes of it."""

import io
import random
import re
import zipfile
from pathlib import Path

import pytest

from flangelayout.cli import run
from web.served import Answer, Client, client

LIST = """# Marrow Beck Hatchery
number,units,title,quantity,designation,outside_diameter,bore,thickness,bolt_circle.diameter,bolt_circle.hole_count,bolt_circle.hole_diameter
MB-201,mm,Settling tank ring,2,EN 1092-1 PN16 DN300,,325,20,,,
MB-202,mm,Screen pipe ring,4,EN 1092-1 PN16 DN150,,170.5,20,,,
MB-204,mm,Gauge port blind,5,EN 1092-1 PN16 DN45,,,20,,,
MB-206,mm,Hand hole cover,3,,260,,20,250,8,14
"""
SPOILS = (b"", b",", b"\n", b'"', b"\x00", b"\xff", b"9" * 30, b"=")
BARE = "number,OD,bore,PCD,holes,hole\nMB-1,285,170.5,240,8,22\n"


def sent(content: bytes, name: str = "week.csv", **fields: str) -> tuple[bytes, str]:
    """Body and type of a form with a list in it, as RFC 7578 has it."""
    parts = [f'name="{key}"\r\n\r\n{text}'.encode() for key, text in fields.items()]
    parts.append(f'name="file"; filename="{name}"\r\n\r\n'.encode() + content)
    body = b"".join(b"--edge\r\nContent-Disposition: form-data; " + part + b"\r\n" for part in parts)
    return body + b"--edge--\r\n", "multipart/form-data; boundary=edge"


def ask(asking: Client, path: str, content: str | bytes, name: str = "week.csv", **fields: str) -> Answer:
    body, kind = sent(content.encode() if isinstance(content, str) else content, name, **fields)
    return asking.post(path, body, content_type=kind)


def unzipped(answer: Answer) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def words(answer: Answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_a_list_shows_every_row_and_what_stands_in_its_way(asking: Client) -> None:
    answer = ask(asking, "/list", LIST)
    said = words(answer)
    assert answer.status == 200
    assert "2 failed" in said
    assert "2 can be made" in said
    assert "Row 5, MB-204:" in said
    assert said.count("&#34;EN 1092-1 PN16 DN45&#34; is in no table") == 1
    assert "Row 6, MB-206:" in said
    assert "runs 2.00 mm over the edge" in said  # (250 + 14 - 260) / 2
    assert "6 parts, without rows 5 and 6" in said
    rows = re.findall(r'<a class="quiet" href="/\?([^"]+)"', answer.text)
    assert len(rows) == 4
    opened = asking.get(f"/?{rows[0].replace('&amp;', '&')}").text
    assert "MB-201" in opened
    assert "EN 1092-1 PN16 DN300" in opened


@pytest.mark.slow
def test_the_packets_of_a_list_are_those_of_the_command_line(tmp_path: Path) -> None:
    (tmp_path / "week.csv").write_text(LIST, encoding="utf-8")
    assert run(["draw", str(tmp_path / "week.csv"), "--into", str(tmp_path / "drawn")]) == 2
    drawn = {path.name: path.read_bytes() for path in (tmp_path / "drawn").iterdir() if path.is_file()}
    with client() as asking:
        assert unzipped(ask(asking, "/list/packets.zip", LIST)) == drawn
    assert {name[:6] for name in drawn} == {"MB-201", "MB-202"}


@pytest.mark.slow
def test_a_nest_of_a_list_is_that_of_the_command_line(tmp_path: Path) -> None:
    good = "\n".join(LIST.splitlines()[:4])
    (tmp_path / "week.csv").write_text(good, encoding="utf-8")
    asked = ["--plate", "1500x1000", "--spacing", "8", "--plates", "as-needed", "--into", str(tmp_path / "drawn")]
    assert run(["nest", str(tmp_path / "week.csv"), *asked]) == 0
    drawn = {path.name: path.read_bytes() for path in (tmp_path / "drawn").iterdir() if path.is_file()}
    plate = {"length": "1000", "width": "1500", "margin": "10", "spacing": "8"}
    with client() as asking:
        assert unzipped(ask(asking, "/list/nest.zip", good, **plate)) == drawn
        shown = ask(asking, "/list", good, do="nest", **plate)
    assert "6 parts on 1 plate" in words(shown)
    assert "REMNANT" in shown.text


def test_what_is_no_list_or_leaves_something_open_is_told_in_words(asking: Client) -> None:
    bare = ask(asking, "/list", BARE)
    assert "What are its bare lengths in?" in words(bare)
    assert "can be made" not in words(bare)
    assert "no rows read yet" in words(bare)
    assert "--units" not in words(bare)
    said = words(ask(asking, "/list", "number,OD (mm),PCD (mm),holes\nA,285,240,8x22\n"))
    assert "1 row" in said
    assert "Row 2: holes: &#34;8x22&#34; is no number of holes" in said
    assert "1 can be made" in words(ask(asking, "/list", BARE, units="mm"))
    assert "flangelayout draw LIST" in words(ask(asking, "/list", "number,OD (mm)\n" + "x,285\n" * 201))
    assert ask(asking, "/list/packets.zip", BARE).status == 400
    for content, name in ((b"", "x.csv"), (b"PK\x03\x04spoiled", "x.xlsx"), (b"\x00\x01", "x.csv"), (b"a", "..\\x")):
        answer = ask(asking, "/list", content, name)
        assert answer.status in (200, 400)
        assert "can be made" not in words(answer)
    assert asking.post("/list", b"", content_type="text/plain").status == 400
    assert asking.get("/list").status == 200


def test_a_plate_that_cannot_be_is_told_and_the_rows_stay(asking: Client) -> None:
    good = "\n".join(LIST.splitlines()[:4])
    for field, text, said in (
        ("length", "abc", "not a length"),
        ("length", "0", "no size of a plate"),
        ("margin", "900", "leaves nothing of the plate"),
    ):
        answer = words(ask(asking, "/list", good, do="nest", **{field: text}))
        assert said in answer
        assert "MB-202" in answer


def test_two_rows_with_the_same_files_fail_together(asking: Client) -> None:
    twice = LIST.splitlines()
    said = words(ask(asking, "/list", "\n".join([*twice[:4], twice[3]])))
    assert "2 failed" in said
    assert "makes the same files as week.csv row 5" in said


@pytest.mark.property_deep
def test_spoiled_lists_end_in_words_and_name_no_path_of_the_machine(asking: Client) -> None:
    chance = random.Random(16)
    good = LIST.encode()
    for _ in range(150):
        spoiled = bytearray(good)
        for _ in range(chance.randint(1, 12)):
            at = chance.randrange(len(spoiled))
            spoiled[at : at + chance.randint(0, 4)] = chance.choice(SPOILS)
        name = chance.choice(("week.csv", "../../etc/passwd.csv", "week.xlsx", "a\x00b.csv", "<b>.csv"))
        answer = ask(asking, "/list", bytes(spoiled), name, do=chance.choice(("nest", "rows", "x")))
        assert answer.status in (200, 400), bytes(spoiled)
        assert "/etc/" not in answer.text
        assert str(Path.cwd()) not in answer.text
        assert "<b>.csv" not in answer.text
