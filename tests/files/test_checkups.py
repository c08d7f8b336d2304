"""A checkup keeps its data as it was, says when it is damaged, and is never written over."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from seatplan.files import writer
from seatplan.files.checkups import Damaged, Foreign, opened, read_back, seal, trip_text
from seatplan.files.library import find, names
from seatplan.files.load import load_trip
from seatplan.files.writer import Unwritten, place_of, write

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

DAY = date(2026, 11, 25)
TRIP = "three-across-school-run"
#: run in a process of its own: the program is killed at one step of writing a new file
KILLED = """\
import os, signal, sys
from seatplan.files.writer import place_of, write

step = sys.argv[2]
def killed(*args, **options):
    os.kill(os.getpid(), signal.SIGKILL)
whole = getattr(os, step.removeprefix("after "))
def after(*args, **options):
    whole(*args, **options)
    killed()
setattr(os, step.removeprefix("after "), after if step.startswith("after ") else killed)
write(place_of(sys.argv[1]), "whole", new=True)
"""


@pytest.fixture
def page(tmp_path: Path) -> Path:
    file = tmp_path / "checkup.html"
    assert seatplan("checkup", TRIP, "-o", str(file)).code in (0, 3)
    return file


@pytest.mark.parametrize("name", names("trip"))
def test_every_trip_is_read_back_the_same(name: str, tmp_path: Path) -> None:
    trip = load_trip(name, today=DAY)
    (tmp_path / "again.yaml").write_text(trip_text({"file": trip.data()}), encoding="utf-8")
    again = load_trip(str(tmp_path / "again.yaml"), today=DAY)
    assert again.model_copy(update={"rules": trip.rules}) == trip
    assert Path(again.rules).name == Path(trip.rules).name


def test_a_page_is_read_back_into_its_trip(page: Path, tmp_path: Path) -> None:
    assert seatplan("new", "trip", "--from", str(page), str(tmp_path / "again.yaml")).code == 0
    assert load_trip(str(tmp_path / "again.yaml"), today=DAY) == load_trip(TRIP, today=DAY)


@pytest.mark.parametrize(("before", "after"), [
    ("8.9 kg", "9.9 kg"), ('"held"', '"open"'), ('"position":"2R"', '"position":"2L"'), ("\\u0026", "+"),
    ('data-sha256="', 'data-sha256="0')])
def test_a_page_that_was_changed_says_so(page: Path, before: str, after: str) -> None:
    text = page.read_text(encoding="utf-8")
    at = text.index("<script")
    if before not in text[at:]:
        before, after = '"trip":"', '"trip":"x'
    page.write_text(text[:at] + text[at:].replace(before, after, 1), encoding="utf-8")
    with pytest.raises(Damaged, match="damaged, or was changed since it was written"):
        opened(str(page))
    said = seatplan("new", "trip", "--from", str(page))
    assert (said.code, said.out) == (2, "")
    assert str(page) in said.err


def test_a_second_set_of_data_is_not_taken_for_the_first(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    element = re.search(r"<script.*?</script>", text, re.DOTALL)
    assert element
    page.write_text(text.replace(element[0], element[0] * 2), encoding="utf-8")
    with pytest.raises(Damaged):
        opened(str(page))


@pytest.mark.parametrize("data", [[], {}, {"kind": "checkup"}, {"kind": "plan", "file": {}}])
def test_data_that_is_no_checkup_is_damaged(data: object, tmp_path: Path) -> None:
    sealed = seal(data)                                                  # type: ignore[arg-type]  # so it is tried
    (tmp_path / "x.html").write_text(
        f'<script type="application/json" id="seatplan-checkup" data-sha256="{sealed.sha256}">{sealed.text}</script>',
        encoding="utf-8")
    with pytest.raises(Damaged):
        opened(str(tmp_path / "x.html"))


@pytest.mark.parametrize("text", ["", "<html>", "trip: x", "<script id='seatplan-other'>{}</script>", "\0\udcff" * 3])
def test_what_is_no_checkup_is_foreign(text: str, tmp_path: Path) -> None:
    (tmp_path / "x.html").write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(Foreign, match="this is no checkup"):
        opened(str(tmp_path / "x.html"))


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.html")
    with pytest.raises(Foreign, match="this is no file"):
        read_back(str(tmp_path / "pipe.html"), DAY)


def test_no_name_ends_the_element_or_runs(tmp_path: Path) -> None:
    name = "</script><script>alert(1)</script>&amp;<!--"
    text = find("trip", TRIP).read_text(encoding="utf-8").replace("Wren", "<b>Wren")
    text = text.replace("trip: Three across, school run", f"trip: {json.dumps(name)}")
    (tmp_path / "t.yaml").write_text(text, encoding="utf-8")
    assert seatplan("checkup", str(tmp_path / "t.yaml"), "--who", name, "-o", str(tmp_path / "c.html")).code in (0, 3)
    page = (tmp_path / "c.html").read_text(encoding="utf-8")
    assert page.count("<script") == page.count("</script") == 1
    assert "<b>" not in page
    data, digest = opened(str(tmp_path / "c.html"))
    assert data["trip"] == name
    assert digest == seal(data).sha256


@pytest.mark.parametrize("command", [("checkup",), ("report", "--force"), ("sheet", "--force"), ("report",)])
def test_it_is_never_written_over(page: Path, command: tuple[str, ...]) -> None:
    before = page.read_bytes()
    said = seatplan(command[0], TRIP, "-o", str(page), *command[1:])
    assert (said.code, said.out) == (2, "")
    assert "holds a checkup, which is never written over" in said.err
    assert page.read_bytes() == before


def test_what_comes_there_meanwhile_is_kept(tmp_path: Path) -> None:
    file = tmp_path / "checkup.html"
    place = place_of(str(file))
    with pytest.raises(Unwritten, match="file exists; nothing was written"):
        write(place, "new", lambda: file.write_text("somebody else's", encoding="utf-8"), new=True)
    assert file.read_text(encoding="utf-8") == "somebody else's"
    assert [one.name for one in tmp_path.iterdir()] == ["checkup.html"]


def test_where_no_file_has_two_names_it_is_new_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*args: object) -> None:
        raise PermissionError(1, "not permitted")

    monkeypatch.setattr(writer.os, "link", no_links)
    file = tmp_path / "checkup.html"
    write(place_of(str(file)), "whole", new=True)
    assert file.read_text(encoding="utf-8") == "whole"
    with pytest.raises(Unwritten, match="file exists"):
        write(place_of(str(file)), "other", new=True)
    assert file.read_text(encoding="utf-8") == "whole"


@pytest.mark.parametrize("step", ["write", "after write", "fsync", "link", "after link"])
def test_killed_at_any_step_it_is_there_as_a_whole_or_not_at_all(step: str, tmp_path: Path) -> None:
    file = tmp_path / "checkup.html"
    done = subprocess.run([sys.executable, "-c", KILLED, str(file), step], check=False, capture_output=True)
    assert done.returncode == -signal.SIGKILL, done.stderr.decode()
    assert file.exists() == (step == "after link")
    if not file.exists():
        write(place_of(str(file)), "whole", new=True)
    assert file.read_text(encoding="utf-8") == "whole"


def test_a_day_names_no_family_and_what_is_no_checkup(page: Path) -> None:
    folder = page.parent
    shutil.copyfile(page, folder / "b.html")
    damaged = folder / "a.html"
    damaged.write_text(page.read_text(encoding="utf-8").replace('"kind":"checkup"', '"kind":"Checkup"'),
                       encoding="utf-8")
    (folder / "foreign.htm").write_text("<html>Wren</html>", encoding="utf-8")
    (folder / "notes.txt").write_text("not looked at", encoding="utf-8")
    said = seatplan("list", "checkups", str(folder))
    assert said.code == 2
    trip = load_trip(TRIP, today=DAY)
    for name in (trip.trip, trip.vehicle.vehicle, *(r.rider for r in trip.riders),
                 *(r.restraint for r in trip.restraints), "b.html"):
        assert name not in said.out
    assert [line.split()[0] for line in said.out.splitlines() if line[:1].isdigit()][:4] == ["1", "2", "3", "4"]
    assert "a.html: this checkup is damaged" in said.err
    assert "foreign.htm: this is no checkup" in said.err
    found = json.loads(seatplan("list", "checkups", str(folder), "--json").out)
    assert [one["state"] for one in found["checkups"]] == ["damaged", "open", "open", "foreign"]
    assert [Path(one["path"]).name for one in found["unusable"]] == ["a.html", "foreign.htm"]


@pytest.mark.parametrize("given", [("checkups",), ("checkups", "no-such-folder"), ("trips", "folder")])
def test_a_list_that_cannot_be_made(given: tuple[str, ...]) -> None:
    said = seatplan("list", *given)
    assert (said.code, said.out) == (2, "")
    assert "FOLDER" in said.err or "folder" in said.err
