"""The API: the same JSON as on the command line, the same errors, every example of its description."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).parent))

from jsonschema import Draft202012Validator
from running import seatplan
from web_house import HOST, house_of, inside, outside

from seatplan.files.library import find
from seatplan.views.schemas import ANSWERS, answer_schema
from seatplan.web.api.openapi import description
from seatplan.web.api.table import OPERATIONS

TRIP = "three-across-school-run"
#: some questions and the same on the command line
SAME = [
    ("arrange", {"trip": TRIP, "top": 2}, ["arrange", TRIP, "--top", "2"]),
    ("arrange", {"trip": "three-too-wide", "full": True, "strict": True},
     ["arrange", "three-too-wide", "--strict", "--full"]),
    ("arrange", {"trip": "third-child-on-the-way", "on": "2027-06-01"},
     ["arrange", "third-child-on-the-way", "--on", "2027-06-01"]),
    ("why", {"trip": TRIP, "rider": "wren", "position": "2C"}, ["why", TRIP, "--rider", "wren", "--position", "2C"]),
    ("why-not", {"trip": TRIP, "so": "Wren=2R"}, ["why", TRIP, "--not", "Wren=2R"]),
    ("against", {"trip": TRIP, "arrangement": 2}, ["why", TRIP, "--arrangement", "2"]),
    ("measure", {"trip": "half-measured-car"}, ["measure", "half-measured-car"]),
    ("compare", {"trip": "tall-driver", "vehicles": ["skiff-two"]},
     ["compare", "tall-driver", "--vehicle", "skiff-two"]),
    ("rules", {"profile": "un"}, ["rules", "--profile", "un"]),
    ("list", {}, ["list"]),
]
#: what cannot be asked, and the same on the command line
WRONG = [
    ("arrange", {"trip": "three-across-scool-run"}, None),
    ("why", {"trip": TRIP, "rider": "Nobody"}, ["why", TRIP, "--rider", "Nobody"]),
    ("why-not", {"trip": TRIP, "so": "Wren"}, ["why", TRIP, "--not", "Wren"]),
    ("against", {"trip": TRIP, "arrangement": 1}, ["why", TRIP, "--arrangement", "1"]),
    ("arrange", {"trip": TRIP, "on": "1999-02-30"}, ["arrange", TRIP, "--on", "1999-02-30"]),
    ("outlook", {"trip": TRIP, "until": "soon"}, ["outlook", TRIP, "--until", "soon"]),
    ("rules", {"rule": "child-too-hevy"}, ["rules", "child-too-hevy"]),
]


@pytest.fixture
def library(tmp_path: Path) -> Path:
    for number in ("trip-1", "trip-2"):
        shutil.copy(find("trip", TRIP), tmp_path / f"{number}.yaml")
    return tmp_path


@pytest.fixture
def client(library: Path) -> Iterator[Any]:
    house = house_of(library)
    with inside(house) as client:
        yield client


@pytest.mark.parametrize("one", OPERATIONS, ids=lambda one: one.path)
def test_each_example_of_the_description_is_answered_as_described(one: Any, client: Any) -> None:
    if one.path == "undo":
        client.post("/api/record", json=dict(next(op.example for op in OPERATIONS if op.path == "record")))
    told = description()["paths"][f"/api/{one.path}"]["post"]
    example = told["requestBody"]["content"]["application/json"]["example"]
    answer = client.post(f"/api/{one.path}", json=example)
    assert answer.status_code == 200, answer.text[:500]
    assert answer.headers["content-type"].partition(";")[0] == one.kind
    assert answer.headers["seatplan-verdict"]
    if one.schema:
        assert not list(Draft202012Validator(answer_schema(one.schema)).iter_errors(answer.json()))
    else:
        assert answer.headers["content-disposition"] == "attachment"


@pytest.mark.parametrize(("path", "body", "command"), SAME, ids=lambda one: str(one)[:40])
def test_the_same_json_as_on_the_command_line(path: str, body: dict[str, Any], command: list[str],
                                              client: Any) -> None:
    answer = client.post(f"/api/{path}", json=body)
    assert answer.status_code == 200, answer.text[:300]
    assert answer.json() == json.loads(seatplan(*command, "--json").out)


@pytest.mark.parametrize(("path", "body", "command"), WRONG, ids=lambda one: str(one)[:40])
def test_the_same_mistakes_as_on_the_command_line(path: str, body: dict[str, Any], command: list[str] | None,
                                                  client: Any) -> None:
    answer = client.post(f"/api/{path}", json=body)
    assert answer.status_code == 422
    assert not list(Draft202012Validator(answer_schema(path if path in ANSWERS else "plan")).iter_errors(answer.json()))
    if command is not None:
        here, there = answer.json()["errors"], json.loads(seatplan(*command, "--json").out)["errors"]
        assert [(one["found"], one["allowed"]) for one in here] == [(one["found"], one["allowed"]) for one in there]
        assert [one["text"].replace("--", "") for one in there] == [one["text"] for one in here]


def test_a_no_is_an_answer(client: Any) -> None:
    answer = client.post("/api/arrange", json={"trip": "three-too-wide"})
    assert (answer.status_code, answer.headers["seatplan-verdict"]) == (200, "rejected")
    assert client.post("/api/sheet", json={"trip": "three-too-wide"}).status_code == 422


@pytest.mark.parametrize("word", [
    "../trip-1", "trip-1.yaml", "/etc/passwd", "-", "", ".", "..", "..%2ftrip-1", "trip-1\x00", "C:\\trip", "~",
    "a" * 300, "seatplan/data/trips/tall-driver.yaml", "http://127.0.0.1/x"])
def test_no_path_names_anything(word: str, client: Any, library: Path) -> None:
    for body in ({"trip": word}, {"trip": TRIP, "vehicle": word}, {"trip": TRIP, "rules": word}):
        answer = client.post("/api/arrange", json=body)
        assert answer.status_code == 422
        assert str(library) not in answer.text
    assert client.post("/api/check", json={"files": [word]}).status_code == 422
    assert client.post("/api/new", json={"kind": "trip", "grown_from": word}).status_code == 422


def test_a_file_of_the_library_is_named_by_its_number_and_no_answer_tells_where_it_lies(
        client: Any, library: Path) -> None:
    for path, body in (("arrange", {"trip": "trip-1"}), ("sheet", {"trip": "trip-1"}), ("check", {"files": ["trip-1"]}),
                       ("record", {"trip": "trip-1", "rider": "Nobody", "failed": True}),
                       ("set", {"trip": "trip-1", "fields": ["Nobody.mass=3 kg"]}),
                       ("undo", {"trip": "trip-1"}), ("merge", {"first": "trip-1", "second": "trip-2"})):
        answer = client.post(f"/api/{path}", json=body)
        assert answer.status_code in (200, 422), path
        assert str(library) not in answer.text, path
        assert "/seatplan/data" not in answer.text, path


def test_the_data_of_a_trip_may_be_sent_and_names_what_the_library_holds(client: Any, library: Path) -> None:
    shutil.copy(find("vehicle", "skiff-two"), library / "vehicle-1.yaml")
    data: dict[str, Any] = {"trip": "sent", "vehicle": "vehicle-1", "rules": "us", "drives": "1L",
                            "riders": [{"rider": "Pelle", "age": "8y"}], "restraints": []}
    answer = client.post("/api/arrange", json={"trip": data})
    assert answer.status_code == 200, answer.text[:300]
    assert answer.json()["vehicle"] == client.post("/api/arrange", json={
        "trip": data | {"vehicle": "skiff-two"}}).json()["vehicle"]
    for other in ("/etc/passwd", "../vehicle-1.yaml", "vehicle-7", "trip-1"):
        for wrong in (data | {"vehicle": other}, data | {"restraints": [other]}, data | {"rules": other},
                      data | {"restraints": [{"use": other}]}):
            refused = client.post("/api/arrange", json={"trip": wrong})
            assert refused.status_code == 422, wrong
            assert str(library) not in refused.text
            assert "root:" not in refused.text


@pytest.mark.parametrize("raw", [
    b"", b"[]", b"3", b'"x"', b"{", b'{"trip": 1, "trip": 2}', b'{"trip": NaN}', b'{"trip": "\xff"}', b"\x00",
    b'{"trip": "\\ud800"}', b'{"a":' * 5000 + b"1" + b"}" * 5000, b"[" * 100_000, b'{"trip": ' + b"9" * 5000 + b"}"])
def test_what_is_no_question_is_bad_input(raw: bytes, client: Any) -> None:
    answer = client.post("/api/arrange", content=raw, headers={"content-type": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["kind"] == "failure"


def test_fields_are_held_to_their_types(client: Any) -> None:
    for body in ({}, {"trip": TRIP, "top": 0}, {"trip": TRIP, "top": True}, {"trip": TRIP, "top": None},
                 {"trip": TRIP, "strict": 1}, {"trip": TRIP, "on": 3}, {"trip": 3}, {"trip": TRIP, "other": 1},
                 {"trip": TRIP, "full": "yes"}, {"trip": [TRIP]}):
        answer = client.post("/api/arrange", json=body)
        assert answer.status_code == 422, body
    named = client.post("/api/arrange", json={"trip": TRIP, "on": "soon", "oder": 1}).json()["errors"]
    assert {one["field"] for one in named} == {"oder", "on"}
    # the command line alone says where files go
    assert client.post("/api/set", json={"trip": "trip-1", "copy_to": "/tmp", "fields": []}).status_code == 422
    assert client.post("/api/merge", json={"first": "trip-1", "second": "trip-2", "output": "/elsewhere/x.yaml"}
                       ).status_code == 422
    assert client.post("/api/checkups", json={"folder": "/"}).status_code == 422


def test_only_json_is_taken(client: Any) -> None:
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""):
        answer = client.post("/api/arrange", content=b'{"trip": "tall-driver"}', headers={"content-type": kind})
        assert answer.status_code == 415
    assert client.post("/api/files", content=b"{}", headers={"content-type": "text/yaml"}).status_code == 415


def test_nobody_asks_without_a_session_or_from_elsewhere(library: Path) -> None:
    house = house_of(library)
    body = {"trip": "tall-driver"}
    with outside(house) as client:
        answer = client.post("/api/arrange", json=body)
        assert (answer.status_code, answer.json()["kind"]) == (403, "failure")
        assert client.get("/api/openapi.json").status_code == 403
    with inside(house) as client:
        for origin in ("http://evil.example", "null", f"https://{HOST}", "http://127.0.0.1:1"):
            answer = client.post("/api/arrange", json=body, headers={"origin": origin})
            assert (answer.status_code, answer.json()["kind"]) == (403, "failure")
    with inside(house, origin=None) as client:
        assert client.post("/api/arrange", json=body).status_code == 403


def test_files_are_listed_without_titles_read_written_over_the_version_that_was_seen_and_deleted(
        client: Any, library: Path) -> None:
    made = client.post("/api/files", json=description()["paths"]["/api/files"]["post"]["requestBody"]["content"][
        "application/json"]["example"])
    assert made.status_code == 201, made.text
    number = made.json()["number"]
    assert made.headers["location"] == f"/api/files/{number}"
    listed = client.get("/api/files").json()["files"]
    assert {one["number"] for one in listed} == {"trip-1", "trip-2", number}
    assert "lake" not in json.dumps(listed)
    held = client.get(f"/api/files/{number}")
    assert held.headers["etag"] == f'"{held.json()["version"]}"'
    text = held.json()["text"]
    assert "Beck" in text
    new = text.replace("4y", "5y")
    assert client.put(f"/api/files/{number}", json={"text": new}).status_code == 428
    old = {"if-match": held.headers["etag"]}
    put = client.put(f"/api/files/{number}", json={"text": new}, headers=old)
    assert (put.status_code, put.json()["text"]) == (200, new)
    late = client.put(f"/api/files/{number}", json={"text": text}, headers=old)
    assert (late.status_code, late.headers["etag"]) == (409, put.headers["etag"])
    assert client.get(f"/api/files/{number}").json()["text"] == new
    assert (library / f"{number}.yaml").read_text() == new


@pytest.mark.parametrize("text", [
    "", "trip: x", "vehicle: x\n", "a: &a [*a]", "{" * 300, "- 1", "\x00", "a: b: c",
    "trip: x\nvehicle: /etc/passwd\nriders: []\nrestraints: []\n",
    "trip: x\nvehicle: ../v.yaml\nriders:\n  - {rider: A, age: 4y}\nrestraints: []\nrules: us\n",
    "trip: x\nvehicle: skiff-two\nriders:\n  - {rider: A, age: 4y}\nrestraints: [{use: ../../x.yaml}]\nrules: us\n"])
def test_what_is_no_right_file_is_never_written(text: str, client: Any, library: Path) -> None:
    before = {path.name: path.read_bytes() for path in library.iterdir()}
    assert client.post("/api/files", json={"kind": "trip", "text": text}).status_code == 422
    seen = client.get("/api/files/trip-1").headers["etag"]
    assert client.put("/api/files/trip-1", json={"text": text}, headers={"if-match": seen}).status_code == 422
    assert {path.name: path.read_bytes() for path in library.iterdir()} == before


@pytest.mark.parametrize("number", ["trip-9", "..", "%2e%2e%2fx", "trip-1.yaml", "..%2f..%2fetc%2fpasswd", "%00", "é"])
def test_no_other_number_leads_anywhere(number: str, client: Any) -> None:
    seen = {"if-match": '"x"'}
    for answer in (client.get(f"/api/files/{number}"), client.delete(f"/api/files/{number}", headers=seen),
                   client.put(f"/api/files/{number}", json={"text": "x"}, headers=seen)):
        assert answer.status_code in (404, 405, 422), number
        assert "root:" not in answer.text


def test_the_description_is_openapi_and_follows_the_requests(client: Any) -> None:
    told = client.get("/api/openapi.json").json()
    assert told["openapi"] == "3.1.0"
    properties = told["paths"]["/api/arrange"]["post"]["requestBody"]["content"]["application/json"]["schema"]
    assert properties["required"] == ["trip"]
    assert {"trip", "vehicle", "rules", "on", "strict", "worst_case", "top", "full"} == set(properties["properties"])
    assert properties["properties"]["top"] == {"type": "integer", "minimum": 1, "maximum": 10_000, "default": 3}
    assert not any("{" in path for path in told["paths"] if "files" not in path)

    def refs(value: Any) -> Iterator[str]:
        if isinstance(value, dict):
            yield from ([value["$ref"]] if "$ref" in value else [])
            value = list(value.values())
        for one in value if isinstance(value, list) else ():
            yield from refs(one)

    for ref in set(refs(told)):
        at_ = told
        for step in ref.removeprefix("#/").split("/"):
            at_ = at_[step]


def test_every_question_of_the_app_is_asked() -> None:
    import pkgutil
    from dataclasses import is_dataclass
    from importlib import import_module

    import seatplan.app
    from seatplan.app.question import Question
    from seatplan.app.request import Request
    from seatplan.app.slide import Slide

    known = {value for found in pkgutil.iter_modules(seatplan.app.__path__)
             for value in vars(import_module(f"seatplan.app.{found.name}")).values()
             if isinstance(value, type) and issubclass(value, Question) and is_dataclass(value)}
    # where the seat ahead stands is asked of a drawing: it has no JSON, neither here nor on the command line
    assert known - {Question, Request, Slide} == {one.request for one in OPERATIONS}


