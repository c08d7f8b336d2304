"""A server without a socket, and a visitor who reads its pages and sends their forms as a page sends them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from seatplan.web.create import create_app
from seatplan.web.house import House

HOST = "127.0.0.1:1"


class _Reader(HTMLParser):
    """The fields of the forms of a page, each with what it would send."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, dict[str, str]]] = []
        self._select, self._first = "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((has.get("action", ""), {}))
        elif self.forms and tag == "input" and has.get("name"):
            if has.get("type") != "radio" or "checked" in has:
                self.forms[-1][1][has["name"]] = has.get("value", "")
        elif self.forms and tag == "select":
            self._select, self._first = has.get("name", ""), ""
        elif self.forms and tag == "option" and self._select:
            sent = self.forms[-1][1]
            if "selected" in has or self._select not in sent:
                sent[self._select] = has.get("value", "")


def fields_of(page: str, action: str = "") -> dict[str, str]:
    """What the first form of a page with that action would send."""
    reader = _Reader()
    reader.feed(page)
    return next(sent for where, sent in reader.forms if action in ("", where))


@dataclass
class Browser:
    """One visitor of a library's folder."""

    client: Any
    folder: Path
    headers: dict[str, str] = field(default_factory=lambda: {"sec-fetch-site": "same-origin"})

    def get(self, path: str) -> Any:
        return self.client.get(path, headers=self.headers)

    def post(self, path: str, sent: dict[str, str], live: bool = False) -> Any:
        more = {"x-part": "live"} if live else {}
        return self.client.post(path, data=sent, headers=self.headers | more, follow_redirects=not live)

    def change(self, path: str, live: bool = False, page: str = "", **typed: str) -> Any:
        """Open a page (or have it open: ``page``), type into it, send its form. A dot in a name is ``__`` here."""
        sent = fields_of(page or self.get(path).text, path)
        return self.post(path, sent | {name.replace("__", "."): value for name, value in typed.items()}, live)

    def begun(self, **chosen: str) -> str:
        """A new trip; its path."""
        sent = fields_of(self.get("/").text, "/trips") | chosen
        return str(self.post("/trips", sent).url.path)

    def text(self, name: str) -> str:
        return (self.folder / name).read_text(encoding="utf-8")


def opened(folder: Path) -> Browser:
    """A visitor who came in by the link."""
    from starlette.testclient import TestClient

    house = House(folder, (HOST,))
    client = TestClient(create_app(house), base_url=f"http://{HOST}", follow_redirects=True)
    browser = Browser(client, folder)
    assert browser.get(f"/open/{house.doors.token()}").status_code == 200
    return browser
