"""A phone of the shop's own network is let in with a key that works once; anybody else gets nothing but a refusal.

The rules of addresses are those of RFC 1918 (private IPv4), of cookies those of RFC 6265bis (SameSite, HttpOnly).
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from ipaddress import IPv4Interface
from pathlib import Path
from urllib.parse import quote

import pytest

from flangelayout.web.serving.app import create_app
from flangelayout.web.serving.jobs_folder import JobsFolder
from flangelayout.web.serving.phones import Phones
from web.served import HOST, RING, Answer, Client, need, query

OWN = "192.168.7.5"
PHONE = "192.168.7.23"
LAN_HOST = f"{OWN}:8321"


@pytest.fixture
def phones() -> Phones:
    return Phones((IPv4Interface(f"{OWN}/24"),), 8321)


@pytest.fixture
def shop(phones: Phones, tmp_path: Path) -> "Iterator[dict[str, Client]]":
    (tmp_path / "SECRET-1-A.toml").write_text('[job]\nnumber = "SECRET-1"\n', encoding="utf-8")
    app = create_app((HOST,), JobsFolder(tmp_path), phones=phones)
    peers = {"here": "127.0.0.1", "phone": PHONE, "other": "192.168.7.99", "far": "192.168.8.23", "public": "8.8.8.8"}
    clients = {name: Client(app, peer) for name, peer in peers.items()}
    yield clients
    for each in clients.values():
        each.close()


def key_of(phones: Phones) -> str:
    return phones.address.partition("?key=")[2]


def entered(shop: dict[str, Client], phones: Phones, who: str = "phone") -> str:
    answer = shop[who].get(f"/?key={key_of(phones)}", host=LAN_HOST)
    assert answer.status == 303
    return answer.headers["set-cookie"].partition(";")[0]


def refused(answer: Answer) -> bool:
    return answer.status == 403 and b"SECRET" not in answer.content and "set-cookie" not in answer.headers


def test_a_phone_comes_in_with_the_key_of_the_moment_and_stays_in(shop: dict[str, Client], phones: Phones) -> None:
    answer = shop["phone"].get(f"/?key={key_of(phones)}", host=LAN_HOST)
    assert (answer.status, answer.headers["location"]) == (303, "/")
    told = answer.headers["set-cookie"]
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {part.strip() for part in told.split(";")}
    cookie = told.partition(";")[0]
    assert "SECRET-1" in shop["phone"].get("/", host=LAN_HOST, cookie=cookie).text
    taken = shop["phone"].get(f"/live?{query(RING)}", host=LAN_HOST, cookie=cookie)
    assert taken.status == 200


def test_without_a_key_there_is_nothing_but_refusals(shop: dict[str, Client], phones: Phones) -> None:
    key = key_of(phones)
    paths = ("/", "/live", "/static/page.css", "/packet.zip", "/jobs/SECRET-1-A.toml", "/open", "/nope", "/?key=")
    for who in ("phone", "other", "far", "public"):
        for path in paths:
            assert refused(shop[who].get(path, host=LAN_HOST))
            assert refused(shop[who].get(path))
    for guess in ("x", key[:-1], key + "x", key.swapcase(), "%00", quote("é" * 9), f"{key}&key={key}"):
        assert refused(shop["phone"].get(f"/?key={guess}", host=LAN_HOST))
    for odd in ("flangelayout=", "flangelayout=x", 'flangelayout="', "=", ";" * 5_000, f"flangelayout={key}"):
        assert refused(shop["phone"].get("/", host=LAN_HOST, cookie=odd))
    assert refused(shop["phone"].get(f"/live?key={key}", host=LAN_HOST))
    assert refused(shop["phone"].post(f"/?key={key}", b"", host=LAN_HOST))
    assert key_of(phones) == key


def test_a_key_works_once_and_a_cookie_only_where_it_was_given(shop: dict[str, Client], phones: Phones) -> None:
    key = key_of(phones)
    cookie = entered(shop, phones)
    assert key_of(phones) != key
    assert refused(shop["other"].get(f"/?key={key}", host=LAN_HOST))
    assert refused(shop["other"].get("/", host=LAN_HOST, cookie=cookie))
    for who in ("far", "public"):
        assert refused(shop[who].get(f"/?key={key_of(phones)}", host=LAN_HOST))
        assert refused(shop[who].get("/", host=LAN_HOST, cookie=cookie))


def test_host_and_origin_are_checked_for_phones_too(shop: dict[str, Client], phones: Phones) -> None:
    assert refused(shop["phone"].get(f"/?key={key_of(phones)}", host="evil.example"))
    cookie = entered(shop, phones)
    assert shop["phone"].get("/", host="evil.example", cookie=cookie).status == 421
    assert shop["phone"].get("/", cookie=cookie).status == 421  # 127.0.0.1 is not what a phone calls it
    foreign = {"host": LAN_HOST, "cookie": cookie, "origin": f"http://{HOST}"}
    assert shop["phone"].ask("POST", "/save", foreign, query(RING).encode()).status == 403
    cross = {"sec_fetch_site": "cross-site", "sec_fetch_mode": "no-cors"}
    assert shop["phone"].get("/", host=LAN_HOST, cookie=cookie, **cross).status == 403
    assert shop["here"].get("/", host=LAN_HOST).status == 421


def test_the_code_and_who_is_in_are_shown_at_this_computer_only(shop: dict[str, Client], phones: Phones) -> None:
    cookie = entered(shop, phones)
    here, there = shop["here"].get("/").text, shop["phone"].get("/", host=LAN_HOST, cookie=cookie).text
    assert key_of(phones) in here
    assert PHONE in here
    assert key_of(phones) not in there
    assert PHONE not in there
    own = {"origin": f"http://{LAN_HOST}", "host": LAN_HOST, "cookie": cookie}
    assert shop["phone"].ask("POST", "/phones/away/1", own).status == 404
    away = shop["here"].post("/phones/away/1", b"")
    assert "Nobody is let in" in away.text
    assert refused(shop["phone"].get("/", host=LAN_HOST, cookie=cookie))


def test_without_the_option_no_other_address_is_answered() -> None:
    for peer in (PHONE, "8.8.8.8", "", "testclient", "::ffff:192.168.7.23"):
        asking = Client(create_app((HOST,)), peer)
        assert asking.get("/").status == 403
        asking.close()


SCRIPT = """
import re, subprocess, sys, urllib.error, urllib.request
for command in ("link set lo up", "link add shop type bridge", "addr add 192.168.7.5/24 dev shop", "link set shop up"):
    subprocess.run(["ip", *command.split()], check=True)
serving = subprocess.Popen([sys.executable, "-m", "flangelayout", "serve", "--lan", "--no-browser", "--port", "8399"],
                           stdout=subprocess.PIPE, text=True)
try:
    told = ""
    while "who is in" not in told:
        told += serving.stdout.readline()
    key = re.search(r"http://192\\.168\\.7\\.5:8399/\\?key=(\\S+)", told)[1]
    def status(path):
        try:
            return urllib.request.urlopen(f"http://192.168.7.5:8399{path}", timeout=10).status
        except urllib.error.HTTPError as refused:
            return refused.code
    print(status("/"), status("/?key=wrong"), status(f"/live?key={key}"))
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    page = opener.open(f"http://192.168.7.5:8399/?key={key}", timeout=10)
    print(page.status, "What do you know about the flange" in page.read().decode(), status(f"/?key={key}"))
finally:
    serving.terminate()
    serving.wait(10)
"""


@pytest.mark.slow
def test_in_a_network_of_its_own_a_phone_is_let_in_once() -> None:
    """The whole program in a network namespace that holds nothing but one private address of its own."""
    alone = ["unshare", "--user", "--map-root-user", "--net"]
    able = (
        shutil.which("unshare") and shutil.which("ip") and subprocess.run([*alone, "true"], check=False).returncode == 0
    )
    need(able, "a network namespace (unshare and ip)")
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    script = SCRIPT.replace("\\\\", "\\")
    ran = subprocess.run(
        [*alone, sys.executable, "-c", script], capture_output=True, text=True, env=environment, timeout=60, check=False
    )
    assert re.sub(r"\s+", " ", ran.stdout).strip() == "403 403 403 200 True 403", ran.stderr
