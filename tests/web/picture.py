"""Make the README's picture: a trip with its answer beside it, as the browser shows it.

    python tests/web/picture.py tests/web/pictures/trip.png

It serves a bundled trip, which is invented, from a folder of its own and photographs the page. Needs the extras `web`
and `browser`, and a Chromium on this machine.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from running_server import served

from seatplan.files.library import find

TRIP, CAR = "first-answer-roomy", "broadmere-tall"
#: of the window, in CSS pixels
WINDOW = {"width": 1120, "height": 620}
#: bytes, so that who looks at the README does not wait
MOST = 150_000


def take(path: Path) -> None:
    """Write the picture. Raises SystemExit where it is too large to be shown."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder:
        library = Path(folder) / "library"
        library.mkdir()
        text = find("trip", TRIP).read_text(encoding="utf-8")
        (library / "trip-1.yaml").write_text(text.replace(f"vehicle: {CAR}", "vehicle: vehicle-1.yaml"))
        shutil.copy(find("vehicle", CAR), library / "vehicle-1.yaml")
        with served(library, Path(folder) / "log") as server, sync_playwright() as running:
            browser = running.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport=WINDOW, color_scheme="light", locale="en-US", reduced_motion="reduce")
            page.goto(server.link)
            page.goto(f"{server.address}/trips/trip-1")
            page.locator("#row-1").evaluate("it => it.scrollIntoView({block: 'start'})")
            page.screenshot(path=path)
            browser.close()
    if path.stat().st_size > MOST:
        raise SystemExit(f"{path.name} has {path.stat().st_size} bytes; expected at most {MOST}")


if __name__ == "__main__":
    take(Path(sys.argv[1]))
