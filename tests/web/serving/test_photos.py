"""Photos on the page: the form, what it refuses, and the job it leads to."""

from urllib.parse import parse_qs

import numpy as np
import pypdfium2
import pytest

from flangelayout.packet import photo
from flangelayout.views.photo.words import NOT_TRIED
from flangelayout.vision.asked import AskedHoles, PressedHole
from flangelayout.vision.finds import Finds, HoleFound, Overlay
from flangelayout.web.serving import app
from flangelayout.web.serving.multipart import FormPart, form_parts
from vision.rendered import jpeg
from web.served import Client, query

FLAT = jpeg(np.full((900, 1200), 90, dtype=np.uint8))
FORM = "multipart/form-data; boundary=xx--yy"


Fields = list[tuple[str, str, bytes]]


def body(fields: Fields) -> bytes:
    parts = b""
    for name, file, content in fields:
        named = f'; filename="{file}"' if file else ""
        parts += (
            f'--xx--yy\r\nContent-Disposition: form-data; name="{name}"{named}\r\n\r\n'.encode() + content + b"\r\n"
        )
    return parts + b"--xx--yy--\r\n"


def sent(asking: Client, fields: Fields) -> str:
    answer = asking.post("/photos", body(fields), content_type=FORM, hx_request="true")
    assert answer.status == 200
    return answer.text


def asked(*more: tuple[str, str, bytes], holes: bytes = b"4", diameter: bytes = b"18.2") -> Fields:
    job = query({"survey.reading.1.kind": "outside-diameter", "survey.reading.1.value": "285"}).encode()
    return [("job", "", job), ("holes", "", holes), ("diameter", "", diameter), *more]


PHOTO = ("photos", "P1.jpg", FLAT)


def test_parts_of_a_form_are_told_apart_whatever_a_file_holds() -> None:
    odd = b"\r\n--xx\r\n\r\n--xx--y\x00\xff\r\n"
    parts = form_parts(FORM, body([("holes", "", b"8"), ("photos", "a b.jpg", odd)]))
    assert parts == (FormPart("holes", "", b"8"), FormPart("photos", "a b.jpg", odd))
    assert form_parts("text/plain", b"x") == ()
    assert form_parts(FORM, b"no form at all") == ()


def test_the_form_knows_the_job_and_leads_to_the_cards(asking: Client) -> None:
    text = asking.get(f"/photos?{query({'survey.hole_count': '8'})}").text
    assert 'name="holes" inputmode="numeric" value="8"' in text
    assert NOT_TRIED in text
    answer = asking.get("/photo-cards.pdf")
    assert len(pypdfium2.PdfDocument(answer.content)) == 2
    assert f"/photos?{query()[:8]}&amp;" in asking.get(f"/?{query(step='measure')}").text


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        (asked(), "choose three"),
        (asked(PHOTO, holes=b"two"), "make no ring"),
        (asked(PHOTO, diameter=b""), "measure one hole with the caliper"),
        (asked(PHOTO, diameter=b"wide"), "wide"),
        (asked(PHOTO), "no card that can be read"),
        (asked(("photos", "P.heic", b"\0\0\0\x18ftypheic" + b"\0" * 40)), "HEIC"),
        (asked(PHOTO, ("bar_x", "", b"150"), ("bar_y", "", b"200")), "fit to page"),
        (asked(PHOTO, ("bar_x", "", b"200"), ("bar_y", "", b"")), "bar Y: is missing"),
        (asked(PHOTO, ("circle", "", b"round")), "round"),
        (asked(PHOTO, ("photos", "P2.jpg", b"")), "it is empty"),
        (asked(*[PHOTO] * 7), "7 were chosen, 6 are the most"),
    ],
    ids=[
        *("no photo", "count", "no diameter", "no length", "no card", "heic", "bars"),
        *("one bar", "circle", "empty", "many"),
    ],
)
def test_refusals_are_said_on_the_page(asking: Client, fields: Fields, told: str) -> None:
    text = sent(asking, fields)
    assert told in text
    assert "Go on with" not in text
    assert ("Strike out" in text) == ("<img" in text)  # nothing to strike out where nothing was drawn
    assert "--" not in text.replace("<!--", "")  # no option of the command line is named


def test_photos_too_large_to_take_are_told_where_holes_are_looked_for(
    asking: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "PHOTO_BYTES", 1000)
    answer = asking.post("/photos", body(asked(PHOTO)), content_type=FORM, hx_request="true")
    assert (answer.status, answer.text.count("0.001 MB this page takes")) == (413, 1)
    assert "swap-oob" not in answer.text  # there is no such place on the page of photos


def test_found_holes_are_shown_and_go_on_to_the_readings(asking: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    places = ((100.0, 0.0), (0.0, 100.1), (-100.0, 0.0), (0.0, -100.1))
    holes = tuple(HoleFound(number, x, y, 18.3, 3) for number, (x, y) in enumerate(places, 1))
    ring = np.array([(300.0, 200.0), (400.0, 300.0)])
    overlay = Overlay((), ((1, ring),), ((1, np.array([350.0, 250.0])),), ring, np.zeros((0, 2)))
    found = Finds(holes, np.eye(8) * 1e-3, (-0.2, 0.1), 0.03, (1.0,), (), (overlay,))
    told: list[AskedHoles] = []

    def finds(_photos: object, wanted: AskedHoles) -> Finds:
        told.append(wanted)
        return found

    monkeypatch.setattr(photo, "photo_finds", finds)
    press = ("added", "", b"0 0.25000 0.50000"), ("added", "", b"7 0.25000 0.50000"), ("added", "", b"<b>")
    text = sent(asking, asked(PHOTO, ("without", "", b"3"), *press, ("bar_x", "", b"199.8"), ("bar_y", "", b"140")))
    assert told[0].without == {3}
    assert told[0].added == (PressedHole(0, 299.5, 449.5),)  # shares of 1200 x 900; there is no eighth photo
    assert 'value="0 0.25000 0.50000" checked> photo 1, 25 % across, 50 % down' in text
    assert "<b>" not in text.split("<fieldset", 1)[1]
    assert told[0].stretch == pytest.approx((0.999, 1.0))
    assert 'src="data:image/jpeg;base64,' in text
    assert 'value="3" checked' in text
    assert NOT_TRIED in text
    address = text.split('class="main" href="')[1].split('"')[0].replace("&amp;", "&")
    data = {key: value[0] for key, value in parse_qs(address.partition("?")[2]).items()}
    assert data["survey.reading.1.kind"] == "outside-diameter"
    assert data["survey.reading.2.kind"] == "hole-diameter"
    assert (data["survey.reading.3.kind"], data["survey.reading.3.scale"]) == ("x", "photos")
    assert float(data["survey.scale_within"]) == pytest.approx(0.057)
    page = asking.get(address).text
    assert "200.1" in page
    again = sent(asking, [("job", "", address.partition("?")[2].encode()), *asked(PHOTO)[1:]])
    assert "survey.reading.10.kind" in again
    assert "survey.reading.11.kind" not in again  # those of the photos before are replaced
