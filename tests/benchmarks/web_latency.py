"""How long an edit takes on a trip's page: python tests/benchmarks/web_latency.py [REPEATS]

Prints the server's CPU from an edit to the answer repainted beside what a warm re-solve of the same trip takes, and the
95th percentile of 20 people who each edit a copy of their own once in 5 s, alone and while one of them asks for an
outlook. The server is a real one in a process of its own; nothing here needs a browser.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import sys
import tempfile
import threading
import time
from html.parser import HTMLParser
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "web"))

from running_server import Browser, served

from seatplan.app.arrange import Arrange, answered
from seatplan.files.library import find

PEOPLE, EVERY, ROUNDS = 20, 5.0, 4
TRIP = "three-across-school-run"
#: what is edited: the mass of a child, by another value each time
FIELD = "t.riders.1.mass"


class _Fields(HTMLParser):
    """What the form of a trip's page would send."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.sent: dict[str, str] = {}
        self._inside, self._select = False, ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._inside = has.get("action", "").startswith("/trips/trip-")
        elif self._inside and tag == "input" and has.get("name"):
            if has.get("type") != "radio" or "checked" in has:
                self.sent[has["name"]] = has.get("value", "")
        elif self._inside and tag == "select":
            self._select = has.get("name", "")
        elif self._inside and tag == "option" and ("selected" in has or self._select not in self.sent):
            self.sent[self._select] = has.get("value", "")


def filled_library(folder: Path, copies: int) -> None:
    """So many changed copies of the trip, each in a car of its own."""
    text = find("trip", TRIP).read_text(encoding="utf-8")
    car = re.search(r"(?m)^vehicle: (\S+)", text)
    assert car is not None
    for n in range(1, copies + 1):
        shutil.copy(find("vehicle", car[1]), folder / f"vehicle-{n}.yaml")
        own = text.replace(f"vehicle: {car[1]}", f"vehicle: vehicle-{n}.yaml")
        (folder / f"trip-{n}.yaml").write_text(re.sub(r"mass: ([\d.]+) kg", rf"mass: \g<1>{n % 10} kg", own, count=1),
                                               encoding="utf-8")


class Editor:
    """Somebody with the page of a trip open."""

    def __init__(self, browser: Browser, n: int) -> None:
        self.browser, self.path, self.turn = browser, f"/trips/trip-{n}", n
        self.sent = _Fields(browser.get(self.path).text).sent

    def edit(self) -> float:
        """Change one field; seconds until the repainted page is there."""
        self.turn += 1
        self.sent[FIELD] = f"{13 + self.turn % 97 / 100:.2f} kg"
        began = time.perf_counter()
        answer = self.browser.post(self.path, data=self.sent, headers={"x-part": "live"})
        took = time.perf_counter() - began
        assert answer.status_code == 200, answer.text
        self.sent |= _Fields(answer.text).sent
        return took


def cpu(pid: int) -> float:
    """Seconds of processor time that a process has had (proc(5))."""
    words = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")


def warm_solve(folder: Path, repeats: int) -> float:
    """Seconds of CPU that reading and solving the trip again takes where one number changed."""
    path = folder / "trip-1.yaml"
    text = path.read_text(encoding="utf-8")
    took = []
    for n in range(repeats + 3):
        path.write_text(re.sub(r"(Oslo.*?mass: )[\d.]+ kg", rf"\g<1>{13 + n / 100:.2f} kg", text, count=1, flags=re.S))
        began = time.process_time()
        answered(Arrange(trip=str(path)))
        took.append(time.process_time() - began)
    path.write_text(text, encoding="utf-8")
    return statistics.median(took[3:])


def people(editors: list[Editor], outlook: bool) -> list[float]:
    """Seconds of each edit of all people, who come evenly through the five seconds of a round."""
    for editor in editors:
        editor.edit()
    took: list[float] = []

    def edits(editor: Editor, n: int) -> None:
        began = time.perf_counter()
        for turn in range(ROUNDS):
            time.sleep(max(0.0, began + turn * EVERY + n * EVERY / PEOPLE - time.perf_counter()))
            took.append(editor.edit())

    threads = [threading.Thread(target=edits, args=(editor, n)) for n, editor in enumerate(editors)]
    for thread in threads:
        thread.start()
    if outlook:
        asking = editors[0].browser
        begun = asking.post("/trips/trip-1/later", data={"form": editors[0].sent["form"], "what": "outlook",
                                                         "until": "3y"})
        assert begun.status_code == 303, begun.text
    for thread in threads:
        thread.join()
    return took


def percentile(took: list[float], part: float) -> float:
    return sorted(took)[min(len(took) - 1, int(len(took) * part))]


def main(repeats: int) -> None:
    with tempfile.TemporaryDirectory() as made:
        library = Path(made) / "library"
        library.mkdir(mode=0o700)
        filled_library(library, PEOPLE)
        warm = warm_solve(library, repeats)
        with served(library, Path(made) / "log") as server:
            editor = Editor(server.browser(), 1)
            for _ in range(3):
                editor.edit()
            before = cpu(server.process.pid)
            for _ in range(repeats):
                editor.edit()
            edit = (cpu(server.process.pid) - before) / repeats
            print(f"warm re-solve {warm * 1000:.0f} ms of CPU; edit to repainted answer {edit * 1000:.0f} ms, "
                  f"{(edit - warm) * 1000:.0f} ms more")
            editors = [Editor(editor.browser, n) for n in range(1, PEOPLE + 1)]
            for told, outlook in (("alone", False), ("while one asks for an outlook", True)):
                took = people(editors, outlook)
                print(f"{PEOPLE} people, each once in {EVERY:g} s, {told}: "
                      f"median {percentile(took, .5) * 1000:.0f} ms, "
                      f"95 % within {percentile(took, .95) * 1000:.0f} ms, all within {max(took) * 1000:.0f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 30)
