"""The answers of the page: what it gives, what it refuses, and that it keeps nothing."""

import io
import tomllib
import zipfile
from pathlib import Path
from urllib.parse import unquote

import pytest

from flangelayout.files.records import RECORDS_FOLDER
from flangelayout.job.load import job_from_text
from flangelayout.job.shop import shop_from_text
from flangelayout.packet.job import Part, build_packet
from flangelayout.web.form.limits import UPLOAD_BYTES
from flangelayout.web.serving.guard import POLICY
from web.served import HOST, Client, client, query

JOB = b"""units = "mm"
[job]
number = "W-7"
[plate]
outside_diameter = 285
[[bolt_circle]]
standard = "EN 1092-1 PN16 DN150"
"""


def test_the_page_answers_with_the_job_of_its_address(asking: Client) -> None:
    answer = asking.get(f"/?{query()}")
    assert answer.status == 200
    assert 'value="H-114"' in answer.text
    assert 'data-do="edit:plate.outside_diameter"' in answer.text
    assert answer.headers["content-security-policy"] == POLICY
    assert answer.headers["cache-control"] == "no-store"


def test_nothing_in_the_page_is_run_or_styled_inline(asking: Client) -> None:
    text = asking.get(f"/?{query()}").text
    assert "style=" not in text
    assert "<style" not in text
    assert " onclick" not in text
    assert text.count("<script") == 3
    assert "//" not in text.replace("http://www.w3.org", "")


def test_a_button_works_without_a_script_too(asking: Client) -> None:
    answer = asking.get(f"/?{query({'survey.hole_count': '8', 'n.value': '91.7', 'do': 'add'})}")
    assert 'name="survey.reading.1.value" value="91.7"' in answer.text


def test_a_change_is_answered_with_the_parts_that_follow_it(asking: Client) -> None:
    answer = asking.get(f"/live?{query()}", hx_request="true")
    for part in ("strip", "steps", "view", "found", "mate", "bar", "notes"):
        assert f'id="{part}"' in answer.text
    assert "<form" not in answer.text


def test_a_button_is_answered_with_the_whole_form(asking: Client) -> None:
    answer = asking.get(f"/live?{query(do='more:bolt_circle')}", hx_request="true")
    assert answer.text.lstrip().startswith('<form id="job" hx-swap-oob="innerHTML">')
    assert 'name="bolt_circle.2.name"' in answer.text


@pytest.mark.slow
def test_every_file_can_be_taken_one_by_one_and_as_an_archive(asking: Client) -> None:
    archive = asking.get(f"/packet.zip?{query()}")
    assert archive.headers["content-disposition"].startswith('attachment; filename="H-114-A.zip"')
    with zipfile.ZipFile(io.BytesIO(archive.content)) as opened:
        files = {name: opened.read(name) for name in opened.namelist()}
    job = job_from_text(files.pop("H-114-A.toml").decode(), "H-114-A")
    assert files == build_packet(job)
    listed = asking.get(f"/files?{query()}").text
    assert all(name in listed for name in files)
    assert "H-114-A_sheet.pdf</a> <small>layout sheet, PDF" in listed
    name = "H-114-A_sheet.pdf"
    assert asking.get(f"/file/{name}?{query()}").content == files[name]


def test_an_unsound_job_has_its_job_file_and_no_packet(asking: Client) -> None:
    unsound = query({"plate.bore": "x", "job.number": "U"})
    assert asking.get(f"/packet.zip?{unsound}").status == 400
    assert asking.get(f"/files?{unsound}").status == 200
    assert tomllib.loads(asking.get(f"/job.toml?{unsound}").text)["plate"] == {"bore": "x"}


def test_a_job_file_is_opened_and_a_wrong_one_refused_in_words(asking: Client) -> None:
    address = asking.post("/open", JOB).json["address"]
    assert 'value="W-7"' in asking.get(address).text
    for wrong, reason in (
        (b"plate = [", "close the bracket"),
        (b"\xff\xfe", "not UTF-8"),
        (b"number,outside_diameter\nA,285\n", "a list of jobs"),
        (b"PK\x03\x04...", "a list of jobs"),
        (b"\x89PNG...", "a picture holds no job"),
        (b"%PDF-1.6 ...", "damaged"),
        (b"[plate]\npoints = [[1, 2]]", "no use"),
        (b"x = " + b"[" * 5_000, "nested too deeply"),
        (b"[job]\ntitle = '" + b"x" * 30_000 + b"'", "address"),
    ):
        answer = asking.post("/open", wrong)
        assert answer.status == 422
        assert reason in answer.json["reason"]


def test_a_layout_sheet_is_opened_as_the_job_it_was_drawn_from(asking: Client) -> None:
    job = job_from_text(JOB.decode())
    sheet = next(content for name, content in build_packet(job, [Part.SHEET]).items() if name.endswith(".pdf"))
    assert asking.post("/open", sheet).json["address"] == asking.post("/open", JOB).json["address"]


def test_a_job_with_problems_is_opened_with_them(asking: Client) -> None:
    address = asking.post("/open", b"[plate]\noutside_diametre = 285\n[bolt]\nx = 1").json["address"]
    assert "did you mean outside_diameter?" in asking.get(address).text


def test_starter_jobs_can_be_begun_with(asking: Client) -> None:
    answer = asking.get("/start/ring-flange")
    assert answer.status == 303
    assert 'value="R-001"' in asking.get(answer.headers["location"]).text
    assert asking.get("/start/nothing").status == 404


def test_jobs_are_saved_listed_and_opened_only_in_the_folder_named_at_the_start(tmp_path: Path) -> None:
    folder = tmp_path / "jobs"
    folder.mkdir()
    (tmp_path / "secret.toml").write_text("[plate]\noutside_diameter = 1\n", encoding="utf-8")
    (folder / "link.toml").symlink_to(tmp_path / "secret.toml")
    with client(folder) as asking:
        saved = asking.post("/save", query().encode())
        assert "H-114-A.toml" in saved.text
        assert "H-114-A.toml" in asking.get("/").text
        assert 'value="H-114"' in asking.get(asking.get("/jobs/H-114-A.toml").headers["location"]).text
        for name in ("link.toml", "..%2Fsecret.toml", "%2e%2e/secret.toml", "/etc/passwd", "H-114-A.toml%00", "."):
            assert asking.get(f"/jobs/{name}").status in (400, 404)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["jobs", "secret.toml"]
    assert (folder / "H-114-A_sheet.pdf").exists()


def test_a_file_of_somebody_else_is_not_overwritten(tmp_path: Path) -> None:
    (tmp_path / "H-114-A.toml").write_text("mine", encoding="utf-8")
    with client(tmp_path) as asking:
        refused = asking.post("/save", query().encode())
    assert "H-114-A.toml: was not written by this program" in refused.text
    assert str(tmp_path) not in refused.text
    assert (tmp_path / "H-114-A.toml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("number", ["../../up", "..", "a/b\\c", "C:\\x", "\x00", "con", "." * 300, "魚" * 200])
def test_a_job_file_has_a_plain_name_whatever_the_job_number(asking: Client, number: str) -> None:
    named = asking.get(f"/job.toml?{query(job__number=number)}").headers["content-disposition"]
    name = unquote(named.partition("filename*=UTF-8''")[2])
    assert name.endswith(".toml")
    assert not set(name) & set("/\\:\x00")
    assert not name.startswith(".")
    assert len(name.encode()) < 200


def test_no_job_number_leads_out_of_the_folder(tmp_path: Path) -> None:
    folder = tmp_path / "jobs"
    folder.mkdir()
    with client(folder) as asking:
        assert asking.post("/save", query(job__number="../../up\\..\\x").encode()).status == 200
    assert [path.name for path in tmp_path.iterdir()] == ["jobs"]
    assert all(path.is_file() for path in folder.iterdir() if path.name != RECORDS_FOLDER)


def test_what_the_shop_always_writes_the_same_holds_on_the_page_too() -> None:
    shop = shop_from_text('units = "in"\n[template]\npaper = "Tabloid"')
    with client(shop=shop) as asking:
        assert 'name="units" value="in"' in asking.get("/").text
        assert 'name="units" value="mm"' in asking.get("/?units=mm").text
        taken = asking.get(f"/file/H-114-A_template_Tabloid.pdf?{query()}").content
        job = job_from_text(asking.get(f"/job.toml?{query()}").text, "H-114-A", shop=shop)
    assert taken == build_packet(job, [Part.TEMPLATE])["H-114-A_template_Tabloid.pdf"]


def test_without_a_folder_nothing_can_be_saved(asking: Client) -> None:
    assert asking.post("/save", query().encode()).status == 404
    assert asking.get("/jobs/H-114-A.toml").status == 404
    assert "Save in" not in asking.get(f"/?{query(step='take')}").text


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:80", f"{HOST}.evil.example", "", "[::1]:8321"]
)
def test_another_host_name_is_refused(asking: Client, host: str) -> None:
    assert asking.ask("GET", "/", {"host": host}).status == 421


def test_posts_of_other_sites_are_refused() -> None:
    with client() as asking:
        for origin in ("http://evil.example", "null", "", f"https://{HOST}", f"http://{HOST}.evil.example"):
            assert asking.ask("POST", "/open", {"origin": origin}, JOB).status == 403
        assert asking.ask("POST", "/open", {}, JOB).status == 403
        assert asking.ask("DELETE", "/", {}).status == 403


def test_other_sites_can_lead_here_but_not_use_the_page_as_a_picture(asking: Client) -> None:
    cross = {"sec-fetch-site": "cross-site"}
    assert asking.ask("GET", "/", {**cross, "sec-fetch-mode": "no-cors"}).status == 403
    assert asking.ask("GET", "/", {**cross, "sec-fetch-mode": "navigate"}).status == 200


def test_what_is_too_large_is_refused(asking: Client) -> None:
    assert asking.post("/open", b"#" * (UPLOAD_BYTES + 1)).status == 413
    assert asking.get("/?plate.bore=" + "1" * 60_000).status == 414
    assert asking.get("/?plate.bore=" + "1" * 30_000).status == 400
    assert "that an address can carry" in asking.get("/live?plate.bore=" + "1" * 30_000, hx_request="true").text


def test_only_the_files_of_the_page_are_served(asking: Client) -> None:
    assert asking.get("/static/htmx.min.js").status == 200
    for name in ("../app.py", "..%2fapp.py", "htmx-LICENSE.txt", "%00", "page.css/"):
        assert asking.get(f"/static/{name}").status == 404


def test_every_text_is_escaped(asking: Client) -> None:
    nasty = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    keys = [
        "job.number",
        "job.title",
        "job.notes",
        "plate.material",
        "plate.face",
        "bolt_circle.1.name",
        "find",
        "plate.bore",
    ]
    keys += [
        "bolt_circle.1.standard",
        "n.value",
        "n.from",
        "n.kind",
        "show",
        "view",
        "zz",
        "plate.zz",
        "survey.hole_count",
    ]
    for step in ("name", "measure", "decide", "flange", "check", "take", "drilled"):
        for group in ("job", "") if step == "take" else ("",):
            fields = query({**dict.fromkeys(keys, nasty), "step": step, "set": group})
            for path in ("/", "/live", "/files"):
                text = asking.get(f"{path}?{fields}").text
                assert "alert" in text or path == "/files"
                assert "<script>alert" not in text
                assert "<img" not in text


def test_a_keystroke_sends_little_whatever_is_looked_at(asking: Client) -> None:
    for view in ("flange", "sheet", "template", "cut", "machine"):
        answer = asking.get(f"/live?{query(view=view)}", hx_request="true", accept_encoding="gzip")
        assert answer.headers["content-encoding"] == "gzip"
        assert len(answer.content) < 30_000
