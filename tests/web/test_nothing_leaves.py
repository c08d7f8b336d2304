"""In a real browser: no page asks for anything of another machine, no policy is broken, and no hostile name runs."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("uvicorn")
sync_api = pytest.importorskip("playwright.sync_api")

sys.path.insert(0, str(Path(__file__).parent))

from running_server import Server, served

from seatplan.files.library import find

NAME = "<img src=x onerror=document.title='ran'>"
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    own = os.environ.get("SEATPLAN_CHROMIUM") or shutil.which("chromium")
    if own is None and os.environ.get("SEATPLAN_BROWSER") != "must":
        pytest.skip("no chromium here: see .ci/run")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=own, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    library = tmp_path / "library"
    library.mkdir(mode=0o700)
    text = find("trip", "two-children-one-tether").read_text()
    (library / "trip-1.yaml").write_text(text.replace("Odin", f'"{NAME}"').replace("trip: ", f'trip: "{NAME}" #', 1))
    shutil.copy(find("vehicle", "skiff-two"), library / "vehicle-1.yaml")
    with served(library, tmp_path / "log") as server:
        yield server


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_no_request_leaves_and_no_policy_is_broken(script: bool, server: Server, chromium: Any) -> None:
    context = chromium.new_context(java_script_enabled=script)
    asked: list[str] = []
    told: list[str] = []

    def passed(route: Any) -> None:
        asked.append(route.request.url)
        route.continue_() if route.request.url.startswith((server.address, "data:")) else route.abort()

    context.route("**/*", passed)
    page = context.new_page()
    page.on("console", lambda message: told.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("dialog", lambda dialog: told.append("a dialog"))
    page.goto(server.link)
    for path in ("/", "/trips/trip-1", "/cars", "/cars/vehicle-1", "/seats", "/day", "/day/trip-1"):
        page.goto(server.address + path)
        assert page.title() != "ran"
        assert page.locator("img").count() == 0
    # a form goes through, without script, too
    page.goto(server.address + "/trips/trip-1")
    page.locator("form.work button.save").last.click()
    page.wait_for_load_state()
    assert page.locator("main").count() == 1
    page.goto(server.address + "/")
    page.locator("form[action='/trips'] button").last.click()
    page.wait_for_url("**/trips/trip-2*")
    assert len(asked) > 10
    assert [url for url in asked if not url.startswith((server.address, "data:"))] == []
    assert told == []
    assert context.cookies()[0]["httpOnly"]
    context.close()
