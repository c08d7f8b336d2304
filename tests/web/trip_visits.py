"""A browser without script on a trip of a library: what it gets, what it posts, and which files there are."""

from __future__ import annotations

import warnings
from html.parser import HTMLParser
from pathlib import Path

from seatplan.app.shelf import shelf
from seatplan.files.library import find

with warnings.catch_warnings():
    warnings.simplefilter("ignore")                     # which client the test client is built on is not ours to say
    from starlette.testclient import TestClient

from web_house import APART

from seatplan.web.create import create_app
from seatplan.web.house import House

HOST = "127.0.0.1:8431"


class Browser:
    """One browser that came in by a link."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.client = TestClient(create_app(house), base_url=f"http://{HOST}", headers={"origin": f"http://{HOST}"})
        self.client.get(f"/open/{house.doors.token()}")
        #: what every form of this session brings back; the front page has it, which costs no solve
        self.form = form_key(self.get("/").text)

    def get(self, path: str, **more):
        return self.client.get(path, **more)

    def post(self, path: str, fields: dict[str, str], at: str = "", **more):
        """A form sent as a page sends it, with what shows that it is ours; ``at``: the page that it must stand on."""
        form = form_key(self.get(at).text) if at else self.form
        return self.client.post(path, data={"form": form, **fields}, follow_redirects=False, **more)


def house_of(folder: Path) -> House:
    return House(folder, (HOST,), apart=APART)


def trip_in(folder: Path, name: str) -> str:
    """A bundled trip as one of the library's, in a car of the library's own; the number of the trip."""
    library = shelf(folder)
    text = find("trip", name).read_text(encoding="utf-8")
    car = next(line.partition(":")[2].strip() for line in text.splitlines() if line.startswith("vehicle:"))
    made = library.create("vehicle", find("vehicle", car).read_text(encoding="utf-8"))
    return library.create("trip", text.replace(f"vehicle: {car}", f"vehicle: {library.reference(made.number)}")).number


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Every file of a library whose text somebody writes."""
    return {str(one.relative_to(folder)): one.read_bytes() for one in sorted(folder.rglob("*.yaml"))}


def form_key(page: str) -> str:
    return field_of(page, "form")


def field_of(page: str, name: str) -> str:
    """The value of the first field of a name."""
    return next(dict(attrs).get("value") or "" for tag, attrs, _ in Tags(page).found
                if tag == "input" and dict(attrs).get("name") == name)


class Tags(HTMLParser):
    """Every element of a page: tag, attributes, and the text that stands right in it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, list[tuple[str, str | None]], str]] = []
        self._open: list[int] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, attrs, ""))
        if tag not in ("input", "meta", "link", "br", "img", "hr"):
            self._open.append(len(self.found) - 1)

    def handle_endtag(self, tag):
        while self._open:
            if self.found[self._open.pop()][0] == tag:
                return

    def handle_data(self, data):
        if self._open:
            tag, attrs, text = self.found[self._open[-1]]
            self.found[self._open[-1]] = tag, attrs, text + data

    def hrefs(self) -> list[str]:
        return [value for _, attrs, _ in self.found for name, value in attrs
                if name in ("href", "src", "action") and value]
