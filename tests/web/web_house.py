"""A server inside a test: its house, a browser that came in by the link, and one that did not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

from starlette.testclient import TestClient

from seatplan.web.apart import Apart
from seatplan.web.create import create_app
from seatplan.web.house import House

HOST = "127.0.0.1:8431"
ORIGIN = f"http://{HOST}"
#: names that are on no page of ours by themselves
FAMILY = ("Zebulon", "Quilla")
#: what works out long questions, in a process of its own that takes seconds to begin: one for all houses of tests
APART = Apart()


def house_of(folder: Path, **more: Any) -> House:
    """A house whose library is a folder of a test."""
    return House(folder, (HOST,), **{"apart": APART, **more})


def outside(house: House, origin: str | None = ORIGIN, **more: Any) -> TestClient:
    """A browser that has no session."""
    scheme = "https" if house.secure else "http"
    headers = {} if origin is None else {"origin": origin}
    return TestClient(create_app(house), f"{scheme}://{house.hosts[0]}", headers=headers, **more)


def inside(house: House, **more: Any) -> TestClient:
    """A browser that came in by a link."""
    client = outside(house, **more)
    came = client.get(f"/open/{house.doors.token()}", follow_redirects=False)
    assert came.status_code == 303
    return client
