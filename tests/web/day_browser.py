"""A browser in the process: keeps cookies, sends the fields of a form with what is typed, reads pages as trees."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from seatplan.web.create import create_app
from seatplan.web.house import House

HOST = "127.0.0.1:8431"
TRIPS = Path(__file__).resolve().parents[2] / "seatplan" / "data" / "trips"


class _Forms(HTMLParser):
    """Forms of a page by their action: the fields that they hold already, and the buttons."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, dict[str, str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((found.get("action", ""), {}))
        elif tag == "input" and self.forms and found.get("type") == "hidden":
            self.forms[-1][1][found["name"]] = found["value"]


class Browser:
    def __init__(self, house: House) -> None:
        self.house = house
        self.client = TestClient(create_app(house), base_url=f"http://{HOST}", follow_redirects=True,
                                 headers={"origin": f"http://{HOST}", "accept-language": "en"})
        self.client.get(f"/open/{house.doors.token()}")
        self.page = ""
        self.status = 0
        self.url = ""

    def get(self, path: str) -> str:
        return self._took(self.client.get(path))

    def post(self, path: str, **typed: Any) -> str:
        """Send the form of the page that goes to a path, with what is typed."""
        hidden = next((fields for action, fields in _forms(self.page) if action == path), {"form": self.form})
        return self.raw(path, {**hidden, **{name.replace("__", "."): value for name, value in typed.items()}})

    def raw(self, path: str, fields: dict[str, str]) -> str:
        return self._took(self.client.post(path, data=fields))

    @property
    def form(self) -> str:
        return next((fields["form"] for _, fields in _forms(self.page) if "form" in fields), "")

    def _took(self, answer: Any) -> str:
        self.page, self.status, self.url = answer.text, answer.status_code, answer.url.path
        self.headers = answer.headers
        return self.page


def _forms(page: str) -> list[tuple[str, dict[str, str]]]:
    reader = _Forms()
    reader.feed(page)
    return reader.forms


def house(folder: Path) -> House:
    return House(folder, (HOST,))


def begun(folder: Path, kept: str = "7", stays: str = "no") -> Browser:
    """A browser on a day that was begun with the PIN 2468."""
    made = Browser(house(folder))
    made.get("/day")
    made.post("/day/begin", pin="2468", again="2468", kept=kept, stays=stays)
    return made


def with_trip(folder: Path, name: str = "three-across-school-run", kept: str = "7", stays: str = "no") -> Browser:
    """The same with a bundled trip as a family of the library that is on the list, ``trip-1``."""
    (folder / "trip-1.yaml").write_text((TRIPS / f"{name}.yaml").read_text())
    made = begun(folder, kept, stays)
    made.post("/day/new", how="known", number="1", layout="")
    return made


def screen_of(browser: Browser, rider: str) -> str:
    """The path of a rider's screen."""
    page = browser.get("/day/trip-1")
    return re.search(rf'href="(/day/trip-1/at/\d+)"><span class="seat">\w+</span> {rider}', page)[1]
