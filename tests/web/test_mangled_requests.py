"""Forms, files and questions that nobody would send: none is a server error, and none is a bug."""

from __future__ import annotations

import json
import logging
import random
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).parent))

from test_guard import FILLED, HOSTILE
from web_house import house_of, inside

from seatplan.files.library import find, names
from seatplan.web.api.table import OPERATIONS
from seatplan.web.routes import ROUTES

TRIP = "two-children-one-tether"
#: values that a person never types, and some that one does
ODD = [*HOSTILE, "", " ", "\x00", "\x85", "-1", "0", "1e400", "nan", "inf", "9" * 400, "1/0", "[", "]", "{", "}",
       "{a: b}", "- x", "*a", "&a", "!!python/object:os.system", "!x", "# x", "a: b: c", "|", ">", "'", '"', "%", "@",
       "`", "---", "...", "null", "~", "yes", "no", "true", "2C", "12 mm", "12 kg", "4y", "0.0000001 mm", "-5 kg",
       "2023-06-02", "0000-00-00", "9999-12-31", "\n", "\r\n", "\t", "x\ny: z", "x" * 19_000, "\ud83d", "\ufeff",
       "\u2028", "١٢", "½", "0x10", "1_000", "1,5", "1 1/2 in"]


class _Fields(HTMLParser):
    """The names of a page's fields, and the values that its buttons and choices have."""

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, list[str]] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag in ("input", "select", "button", "textarea") and given.get("name"):
            self.fields.setdefault(str(given["name"]), []).append(given.get("value") or "")


def _text(random_: random.Random, text: str) -> str:
    """A text with some letters, lines or pieces of it changed."""
    for _ in range(random_.randint(1, 4)):
        at, to = sorted(random_.randrange(len(text) + 1) for _ in range(2))
        way = random_.randrange(5)
        if way == 0:
            text = text[:at] + text[min(to, at + 40):]
        elif way == 1:
            text = text[:at] + random_.choice(ODD) + text[at:]
        elif way == 2:
            text = text[:at] + text[at:to][:200] + text[at:]
        elif way == 3:
            text = text[:at] + chr(random_.randrange(1, 0xD7FF)) + text[at + 1:]
        else:
            lines = text.split("\n")
            random_.shuffle(lines)
            text = "\n".join(lines)
    return text


def _value(random_: random.Random, value: Any) -> Any:
    """A JSON value with something in it changed."""
    if isinstance(value, dict) and value and random_.random() < 0.8:
        key = random_.choice(list(value))
        return {**value, key: _value(random_, value[key])}
    if isinstance(value, list) and value and random_.random() < 0.8:
        return [_value(random_, value[0]), *value[1:]]
    if isinstance(value, str) and value and random_.random() < 0.5:
        return _text(random_, value)[:25_000]
    return random_.choice([None, True, 0, -1, 1.5, 10**40, [], {}, [[]], [value] * 3, {"a": value},
                           random_.choice(ODD)])


def _form(random_: random.Random, client: Any) -> Callable[[], Any]:
    path = re.sub(r"\{(\w+)\}", lambda found: FILLED.get(found[1], "1"), random_.choice(
        [path for path, _, *methods in ROUTES if "POST" in methods]))
    read = _Fields()
    read.feed(client.get(path if path not in ("/trips",) else "/").text)
    known = list(read.fields)
    data = {name: values[0] for name, values in read.fields.items() if random_.random() < 0.7}
    for name in random_.sample(known, min(len(known), random_.randint(1, 5))):
        data[name] = random_.choice([*ODD, *read.fields[name]])
    data["form"] = client.word
    data = {name: value.encode("utf-8", "replace").decode() for name, value in data.items()}
    if random_.random() < 0.25:
        raw = _text(random_, find("trip", random_.choice(names("trip"))).read_text()).encode("utf-8", "replace")
        if random_.random() < 0.2:
            raw = bytes(random_.randrange(256) for _ in range(300))
        return lambda: client.post(path, data=data, files={random_.choice(["file", "x"]): (
            random_.choice(["a.yaml", "../x", "", "x" * 300]), raw)})
    headers = {"x-part": "live"} if random_.random() < 0.3 else {}
    return lambda: client.post(path, data=data, headers=headers)


def _question(random_: random.Random, client: Any) -> Callable[[], Any]:
    one = random_.choice([one for one in OPERATIONS if not one.long])
    body: Any = {**one.example, **({"trip": TRIP} if one.example.get("trip") == "three-across-school-run" else {})}
    if random_.random() < 0.3 and "trip" in body and not one.writes:
        body["trip"] = {"trip": "x", "vehicle": "skiff-two", "drives": "1L", "rules": "us",
                        "restraints": ["snug-three"], "riders": [{"rider": "Beck", "age": "4y", "mass": "15 kg"}]}
    for _ in range(random_.randint(1, 3)):
        body = _value(random_, body)
    raw = json.dumps(body)
    if random_.random() < 0.2:
        raw = _text(random_, raw)
    sent = raw.encode("utf-8", "replace")
    return lambda: client.post(f"/api/{one.path}", content=sent, headers={"content-type": "application/json"})


def _file(random_: random.Random, client: Any) -> Callable[[], Any]:
    kind = random_.choice(["trip", "vehicle", "restraint"])
    text = _text(random_, find(kind, random_.choice(names(kind))).read_text())  # type: ignore[arg-type]
    text = text.encode("utf-8", "replace").decode()
    return lambda: client.post("/api/files", json={"kind": random_.choice([kind, "trip"]), "text": text})


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Any]:
    shutil.copy(find("trip", TRIP), tmp_path / "trip-1.yaml")
    shutil.copy(find("trip", TRIP), tmp_path / "trip-2.yaml")
    shutil.copy(find("vehicle", "skiff-two"), tmp_path / "vehicle-1.yaml")
    house = house_of(tmp_path)
    with inside(house) as client:
        found = re.search(r'name="form" value="([^"]+)"', client.get("/").text)
        assert found is not None
        client.word = found[1]
        yield client


def _none_is_a_bug(client: Any, seeds: range, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.WARNING)
    for seed in seeds:
        random_ = random.Random(seed)
        if seed % 25 == 0:
            for path in tmp_path.iterdir():         # what was made of the last ones makes pages slow
                if path.name.endswith(("conflict", ".yaml")) and path.stem not in ("trip-1", "trip-2", "vehicle-1"):
                    path.unlink()
            shutil.copy(find("trip", TRIP), tmp_path / "trip-1.yaml")
        answer = random_.choice([_form, _form, _question, _file])(random_, client)()
        assert answer.status_code < 500, (seed, str(answer.request.url))
        assert "Traceback" not in answer.text, seed
        assert not caplog.records, (seed, [one.getMessage() for one in caplog.records])


def test_some_mangled_forms_files_and_questions(client: Any, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    _none_is_a_bug(client, range(80), tmp_path, caplog)


@pytest.mark.whole
@pytest.mark.parametrize("part", range(20))
def test_ten_thousand_of_them(part: int, client: Any, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    _none_is_a_bug(client, range(1000 + part * 500, 1500 + part * 500), tmp_path, caplog)
