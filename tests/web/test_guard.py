"""What stands before every page: hosts, origins, forms, sessions, sizes, headers; and that it is before all of them."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).parent))

from web_house import HOST, ORIGIN, house_of, inside, outside

from seatplan.files.library import find
from seatplan.files.library_index import INDEX
from seatplan.web.doors import IDLE, MOST_SESSIONS, Doors
from seatplan.web.guard import COOKIE, COOKIE_TLS, MOST_BYTES
from seatplan.web.lock import FREE_TRIES, Secret
from seatplan.web.routes import ROUTES

#: what stands in the braces of a route
FILLED = {"trip": "trip-1", "car": "vehicle-1", "seat": "restraint-1", "n": "1", "number": "trip-1", "work": "1"}
#: what leads out of a folder where nobody looks
LEADING_OUT = ["..", "%2e%2e", "..%2f..%2fetc%2fpasswd", "%2fetc%2fpasswd", "....//....//etc/passwd", "%00",
               "trip-1%00.yaml", "..%5c..%5cwindows", "trip-1/../../x", "%c0%ae%c0%ae", "trip-1.yaml",
               ".trip-1.yaml.seatplan-undo",
               "~root", "-1", "999999999999999999999", "\u0661", "a" * 5000]
#: names as nobody is called
HOSTILE = [
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "'\"`;--",
    "</textarea></title><svg onload=alert(1)>", "x" * 10_000,
    "\u202egnirts\u202c", "\u05d0\u05d1\u05d2", "{{7*7}}${7*7}",
    "javascript:alert(1)", "%s%n%x", "Ω" * 60, "&lt;b&gt;", "]]><!--", "a\u0301\u0300", "\U0001f9d2"]


def _library(folder: Path, *names: str) -> Path:
    """One trip with its car as files, whose names (of two riders, and of trip and car) are what somebody typed."""
    wren, oslo, quoted = ("'" + name.replace("'", "''") + "'" for name in [*names, "Wren", "Oslo", "x"][:3])
    text = find("trip", "three-across-school-run").read_text()
    text = re.sub("Wren|Oslo", lambda found: {"Wren": wren, "Oslo": oslo}[found[0]], text)
    (folder / "trip-1.yaml").write_text(text.replace("trip: ", f"trip: {quoted} #", 1))
    (folder / "vehicle-1.yaml").write_text(
        re.sub(r"(?m)^vehicle: .*", lambda _: f"vehicle: {quoted}", find("vehicle", "skiff-two").read_text(), count=1))
    return folder


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return _library(tmp_path)


@pytest.fixture
def client(library: Path) -> Iterator[Any]:
    house = house_of(library)
    with inside(house) as client:
        yield client


def _pages(filled: dict[str, str] = FILLED) -> list[str]:
    """Every path that a browser can ask for."""
    return [re.sub(r"\{(\w+)\}", lambda found: filled.get(found[1], "1"), path)
            for path, _, *methods in ROUTES if not methods or "GET" in methods]


def _written(library: Path) -> dict[str, bytes]:
    """All that a library holds, but the index, which is made again by whoever lists it and decides nothing."""
    return {str(path.relative_to(library)): path.read_bytes() for path in library.rglob("*")
            if path.is_file() and not path.name.startswith(INDEX)}


def _form(page: str) -> str:
    found = re.search(r'name="form" value="([^"]+)"', page)
    assert found is not None
    return found[1]


# --- who may come in

@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost", f"{HOST}.evil.example", "",
                                  f"evil.example@{HOST}", "[::1]:8431", HOST.upper() + "x", "0.0.0.0:8431"])
def test_another_hosts_name_opens_nothing(host: str, client: Any) -> None:
    for path in ("/", "/static/web.css", "/api/files", "/open/x", "/enter"):
        assert client.get(path, headers={"host": host}).status_code == 421


def test_nothing_opens_without_a_session(library: Path) -> None:
    house = house_of(library)
    with outside(house) as client:
        for path in [*_pages(), "/api/files", "/api/openapi.json", "/nowhere"]:
            answer = client.get(path)
            assert answer.status_code == 403, path
            assert "Wren" not in answer.text
        for path, _, *methods in ROUTES:
            if "POST" in methods:
                assert client.post(path, data={"form": "x"}).status_code == 403


def test_a_link_opens_once(library: Path) -> None:
    house = house_of(library)
    token = house.doors.token()
    with outside(house) as first, outside(house) as second:
        assert first.get(f"/open/{token}", follow_redirects=False).status_code == 303
        assert second.get(f"/open/{token}", follow_redirects=False).status_code == 403
        assert first.get("/").status_code == 200
        assert second.get("/").status_code == 403
        for wrong in ("", "x", token[:-1], token + "x", "%ff", "..", "é", "a" * 5000):
            assert second.get(f"/open/{wrong}", follow_redirects=False).status_code in (403, 404)


def test_a_browser_never_brings_the_session_that_it_gets(library: Path) -> None:
    house = house_of(library)
    with outside(house) as client:
        client.cookies.set(COOKIE, "chosen-by-somebody-else")
        answer = client.get(f"/open/{house.doors.token()}", follow_redirects=False)
        told = answer.headers["set-cookie"]
        assert "chosen" not in told
        assert {part.strip().lower() for part in told.split(";")[1:]} == {"httponly", "path=/", "samesite=strict"}
        mine = told.partition("=")[2].partition(";")[0]
    # a second link in a browser that has a session gives another one
    with outside(house) as client:
        client.cookies.set(COOKIE, mine)
        again = client.get(f"/open/{house.doors.token()}", follow_redirects=False).headers["set-cookie"]
        assert mine not in again


def test_sessions_end_and_are_not_without_number() -> None:
    now = [0.0]
    doors = Doors(lambda: now[0])
    first = doors.let_in()
    now[0] = IDLE - 1
    assert doors.session(first.key) is first
    now[0] += IDLE + 1
    assert doors.session(first.key) is None
    kept = [doors.let_in() for _ in range(MOST_SESSIONS + 5)]
    assert sum(doors.session(one.key) is not None for one in kept) == MOST_SESSIONS


# --- where a post is from

@pytest.mark.parametrize("headers", [
    {"origin": "http://evil.example"}, {"origin": "null"}, {"origin": f"https://{HOST}"}, {"origin": ""},
    {"origin": f"http://{HOST}.evil.example"}, {"origin": "http://localhost:8431"}, {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"}, {"sec-fetch-site": "none"}, {}])
def test_a_post_of_another_page_changes_nothing(headers: dict[str, str], library: Path) -> None:
    house = house_of(library)
    before = _written(library)
    with inside(house, origin=None) as client:
        form = _form(client.get("/").text)
        for path, _, *methods in ROUTES:
            if "POST" in methods:
                filled = re.sub(r"\{(\w+)\}", lambda found: FILLED.get(found[1], "1"), path)
                assert client.post(filled, data={"form": form}, headers=headers).status_code == 403, path
        assert client.post("/manner", data={"form": form, "lang": "es", "units": "metric"}, headers=headers
                           ).status_code == 403
    assert _written(library) == before


def test_a_form_without_its_word_or_with_that_of_another_session_changes_nothing(library: Path) -> None:
    house = house_of(library)
    before = _written(library)
    with inside(house) as client, inside(house) as other:
        theirs = _form(other.get("/").text)
        assert theirs != _form(client.get("/").text)
        for path, _, *methods in ROUTES:
            if "POST" in methods:
                filled = re.sub(r"\{(\w+)\}", lambda found: FILLED.get(found[1], "1"), path)
                for data in ({}, {"form": ""}, {"form": "x"}, {"form": theirs}):
                    assert client.post(filled, data={**data, "children": "3", "layout": "2-3"}).status_code == 403, path
    assert _written(library) == before


# --- how much

def test_more_than_is_taken_is_told_so_however_it_comes(client: Any) -> None:
    big = b"x" * (MOST_BYTES + 1)
    form = {"content-type": "application/x-www-form-urlencoded"}
    for path, kind in (("/trips", form), ("/manner", form), ("/api/arrange", {"content-type": "application/json"}),
                       ("/trips/trip-1", {"content-type": "multipart/form-data; boundary=x"})):
        assert client.post(path, content=big, headers=kind).status_code == 413, path

        def pieces() -> Iterator[bytes]:
            for _ in range(MOST_BYTES // 60_000 + 2):
                yield b"x" * 60_000

        assert client.post(path, content=pieces(), headers=kind).status_code in (403, 413), path
        for told in ("-1", "1e9", "99999999999999999999", "0x10", "١"):
            if told.isascii():
                assert client.post(path, content=b"x", headers={**kind, "content-length": told}).status_code == 413


def test_forms_of_no_shape_are_refused(client: Any) -> None:
    form = _form(client.get("/").text)
    for body, kind in [
            (b"&".join(b"a%d=1" % n for n in range(3000)), "application/x-www-form-urlencoded"),
            (b"form=" + form.encode() + b"&t.trip=" + b"x" * 30_000, "application/x-www-form-urlencoded"),
            (b"--x\r\n" * 500, "multipart/form-data; boundary=x"), (b"", "multipart/form-data"),
            (b"%ff%fe=%00", "application/x-www-form-urlencoded"), (b"\xff\xfe", "text/plain"),
            (b"{}", "application/json"),
            (b"--x\r\nContent-Disposition: form-data; name=\"form\"\r\n\r\n" + form.encode(),
             "multipart/form-data; boundary=x")]:
        answer = client.post("/trips", content=body, headers={"content-type": kind})
        assert answer.status_code in (400, 403, 413, 422), body[:40]


# --- where a path leads

@pytest.mark.parametrize("word", LEADING_OUT)
def test_no_path_leads_out_of_the_library(word: str, client: Any, tmp_path: Path) -> None:
    secret = tmp_path.parent / "outside.yaml"
    secret.write_text("trip: OUTSIDE\nvehicle: skiff-two\n")
    for path in [*_pages(dict.fromkeys(FILLED, word)), f"/static/{word}", f"/open/{word}", f"/api/files/{word}",
                 f"/{word}"]:
        if path.rstrip("/") in {one.rstrip("/") for one in _pages()}:
            continue
        answer = client.get(path, follow_redirects=False)
        assert answer.status_code < 500, path
        assert "OUTSIDE" not in answer.text
        assert "root:" not in answer.text
        assert str(tmp_path) not in answer.text


# --- what a page brings along

class _Runs(HTMLParser):
    """What would run in a page: scripts and styles that stand in it, handlers, links that run or lead elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        drawing = tag == "img" and given.get("src", "").startswith("/trips/trip-1/drawing?")
        if tag in ("style", "iframe", "object", "embed", "base") or (tag == "img" and not drawing) or (
                tag == "script" and "src" not in given):
            self.found.append(tag)
        for name, value in given.items():
            leads = name in ("href", "src", "action", "formaction", "xlink:href")
            if name.startswith("on") or name == "style" or (leads and re.match(
                    r"\s*(javascript|data:text|https?|//|vbscript)", value, re.I)):
                self.found.append(f"{tag} {name}={value}")


def _inline(page: str) -> list[str]:
    runs = _Runs()
    runs.feed(page)
    return runs.found


def test_every_page_has_the_headers_and_nothing_that_runs_in_it(client: Any) -> None:
    for path in [*_pages(), "/nowhere", "/enter", "/open/x", "/static/web.css"]:
        answer = client.get(path, follow_redirects=False)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy, path
        # a printed sheet has one width as an attribute, allowed by its own hash and no other
        assert "unsafe" not in policy.replace("style-src-attr 'unsafe-hashes' 'sha256-", ""), path
        assert "frame-ancestors 'none'" in policy, path
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == ("no-store" if not path.startswith("/static/") else
                                                   "public, max-age=31536000, immutable")
        if answer.headers.get("content-type", "").startswith("text/html") and "sha256-" not in policy:
            assert not _inline(answer.text), path


def test_the_test_of_what_runs_sees_it() -> None:
    for page in ("<script>x</script>", "<style>x</style>", '<p onclick="x">', '<p style="x">',
                 '<a href="javascript:x">', '<img src="https://x/y">', '<script src="//x/y">',
                 "<style media='print'>"):
        assert _inline(page), page
    assert not _inline('<script src="/static/web.js" defer=""></script><p title="on=x > style=y">')


@pytest.mark.parametrize("names", [
    HOSTILE[:3], HOSTILE[3:4] + HOSTILE[6:8], HOSTILE[4:5], HOSTILE[5:6],
    *(pytest.param(HOSTILE[n:n + 3], marks=pytest.mark.whole) for n in range(8, len(HOSTILE), 3))],
    ids=lambda names: ascii(names[0][:12]))
def test_a_hostile_name_is_a_name_on_every_page(names: list[str], tmp_path: Path) -> None:
    house = house_of(_library(tmp_path, *names))
    tags: dict[str, int] = {}
    with inside(house) as client:
        for path in dict.fromkeys(_pages()):
            answer = client.get(path)
            assert answer.status_code < 500, path
            if answer.headers["content-type"].startswith("text/html") and "sha256-" not in answer.headers[
                    "content-security-policy"]:
                assert not _inline(answer.text), path
            tags[path] = answer.status_code
    assert tags["/trips/trip-1"] in (200, 422)


# --- the passphrase

def _network(library: Path, word: str = "correct horse battery", **more: Any) -> Any:
    from seatplan.web.house import House

    return House(library, (HOST,), secure=True, secret=Secret(word, **more))


def test_over_the_network_the_passphrase_opens_and_the_cookie_is_for_tls(library: Path) -> None:
    house = _network(library)
    with outside(house, f"https://{HOST}") as client:
        assert "Passphrase" in client.get("/").text
        assert client.post("/enter", data={"word": "wrong"}).status_code == 403
        answer = client.post("/enter", data={"word": "correct horse battery"}, follow_redirects=False)
        assert answer.status_code == 303
        told = answer.headers["set-cookie"]
        assert told.startswith(COOKIE_TLS)
        assert {"secure", "httponly", "samesite=strict", "path=/"} == {
            part.strip().lower() for part in told.split(";")[1:]}
        assert client.get("/").status_code == 200
    with outside(house, "https://evil.example") as client:
        assert client.post("/enter", data={"word": "correct horse battery"}).status_code == 403


def test_who_tries_too_often_waits_and_the_page_says_how_long(library: Path) -> None:
    now = [0.0]
    house = _network(library, clock=lambda: now[0])
    with outside(house, f"https://{HOST}") as client:
        for _ in range(FREE_TRIES):
            answer = client.post("/enter", data={"word": "wrong"})
        assert (answer.status_code, "wait 5 seconds" in answer.text) == (429, True)
        right = {"word": "correct horse battery"}
        assert client.post("/enter", data=right).status_code == 429
        with outside(house, f"https://{HOST}") as other:        # another browser waits, too
            assert other.post("/enter", data=right).status_code == 429
        now[0] += 6
        assert client.post("/enter", data={"word": "wrong"}).status_code == 429
        assert "wait 10 seconds" in client.get("/enter").text
        now[0] += 11
        assert client.post("/enter", data=right, follow_redirects=False).status_code == 303


def test_on_this_machine_no_word_opens_without_the_link(library: Path) -> None:
    house = house_of(library, secret=Secret("1234"))
    with outside(house) as client:
        answer = client.post("/enter", data={"word": "1234"}, follow_redirects=False)
        assert (answer.status_code, "set-cookie" in answer.headers) == (403, False)


def test_a_large_file_of_a_form_is_no_server_error(client: Any) -> None:
    form = _form(client.get("/").text)
    deep = b"trip: " + b"[" * 5000
    bomb = b"a: &a [x]\n" + b"".join(b"b%d: &b%d [*a, *a, *a]\n" % (n, n) for n in range(50))
    for path, _, *methods in ROUTES:
        if "POST" not in methods:
            continue
        filled = re.sub(r"\{(\w+)\}", lambda found: FILLED.get(found[1], "1"), path)
        for raw in (deep, bomb, b"\x00\xff" * 500, b"trip: x\n" * 100_000, b""):
            answer = client.post(filled, data={"form": form}, files={"file": ("../../x.yaml", raw, "text/yaml")})
            assert answer.status_code < 500, (path, raw[:20])


def test_origin_is_the_one_of_the_page(client: Any) -> None:
    assert client.post("/manner", data={"form": _form(client.get("/").text), "lang": "es", "units": "metric"},
                       headers={"origin": ORIGIN}, follow_redirects=False).status_code == 303


def test_where_the_page_leads_back_is_here(client: Any) -> None:
    form = _form(client.get("/").text)
    for back in ("//evil.example", "https://evil.example", "/\\evil.example", "\\\\evil.example", "javascript:alert(1)",
                 "/ok\r\nset-cookie: x=y", "http:evil"):
        answer = client.post("/manner", data={"form": form, "lang": "en", "units": "metric", "back": back},
                             follow_redirects=False)
        assert "evil" not in answer.headers["location"] or answer.headers["location"].startswith("/%5C"), back
        assert "x" not in answer.cookies


