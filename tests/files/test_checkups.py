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
from hashlib import sha256
from pathlib import Path

import pytest

from seatplan.files import writer
from seatplan.files.checkups import Altered, Damaged, Foreign, opened, page_sealed, read_back, seal, trip_text
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


@pytest.mark.parametrize(("before", "after"), [
    ("Wren", "Wrem"), ("2R", "2L"), ("Caution: ", "No caution: "), ("As it left: ", "As it left : "),
    ("</main>", "<p>All of it holds.</p></main>"), ("<meta charset", "<meta  charset"), ("--ink: #000", "--ink: #fff"),
    ("<body>", "<body hidden>"), ("</html>", "</html>x"), (" lang=", " x-lang="), ("data-trip=\"", "data-trip=\"0"),
    ("without the hash itself: ", "without the hash itself: 0"), ("data-page-sha256=\"", "data-page-sha256=\"0"),
    ("data-page-sha256", "data-page-sha255")])
def test_a_page_that_shows_something_else_was_altered(page: Path, before: str, after: str) -> None:
    text = page.read_text(encoding="utf-8")
    assert before in text
    page.write_text(text.replace(before, after, 1), encoding="utf-8")
    with pytest.raises(Altered, match="the page was altered since it was written"):
        opened(str(page))
    said = seatplan("new", "trip", "--from", str(page))
    assert (said.code, said.out) == (2, "")
    assert f"{page}: the page was altered" in " ".join(said.err.split())
    said = seatplan("list", "checkups", str(page.parent))
    assert (said.code, "page altered" in said.out, "the page was altered" in said.err) == (2, True, True)


def test_the_hash_that_people_read_is_the_one_that_is_checked(page: Path) -> None:
    digest = opened(str(page))[1]
    text = page.read_text(encoding="utf-8")
    for other in ("0" * 64, digest[:-1], digest * 2, ""):
        page.write_text(text.replace(digest, other, 1), encoding="utf-8")
        with pytest.raises(Altered):
            opened(str(page))


def test_every_letter_of_the_page_is_in_its_hash(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for at in range(0, len(text), 997):
        page.write_text(text[:at] + ("x" if text[at] != "x" else "y") + text[at + 1:], encoding="utf-8")
        with pytest.raises((Altered, Damaged, Foreign)):
            opened(str(page))


def test_lines_that_end_otherwise_are_the_same_page(page: Path) -> None:
    data = opened(str(page))
    page.write_bytes(page.read_bytes().replace(b"\n", b"\r\n"))
    assert opened(str(page)) == data


def test_a_page_of_another_version_goes_by_its_hash(tmp_path: Path) -> None:
    data = {"kind": "checkup", "program": "9", "made": "2031-01-01", "state": "held", "grave_cautions": 0, "open": [],
            "file": {}}
    sealed = seal(data)
    whole, digest = page_sealed(
        f'<p>{sealed.blank} of later</p><script type="application/json" id="seatplan-checkup" data-sha256='
        f'"{sealed.sha256}" data-page-sha256="{sealed.blank}">{sealed.text}</script>', sealed)
    (tmp_path / "x.html").write_text(whole, encoding="utf-8")
    assert opened(str(tmp_path / "x.html")) == (data, digest)
    (tmp_path / "x.html").write_text(whole.replace("later", "earlier"), encoding="utf-8")
    with pytest.raises(Altered):
        opened(str(tmp_path / "x.html"))


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


def test_nobody_is_drawn_in_who_is_not_installed(page: Path) -> None:
    trip = shutil.copyfile(find("trip", TRIP), page.with_name("trip.yaml"))
    assert seatplan("record", str(trip), "--go-on-with", "1").code in (0, 3)
    assert seatplan("record", str(trip), "--rider", "Oslo", "--restraint", "Lattice", "--position", "2L", "--by",
                    "lower-anchors", "--failed").code in (0, 3)
    assert "Oslo" not in load_trip(str(trip), today=DAY).installed
    assert seatplan("checkup", str(trip), "-o", str(page.with_name("b.html"))).code == 3
    assert "<svg" not in page.with_name("b.html").read_text(encoding="utf-8")


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
    assert page.count(digest) == 2, "where it is read by people and by the program"


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
                 *(r.restraint for r in trip.restraints), "b.html", "a.html", "foreign", "damaged.html"):
        assert name not in said.out + said.err
    assert [line.split()[0] for line in said.out.splitlines() if line[:1].isdigit()][:4] == ["1", "2", "3", "4"]
    told = " ".join(said.err.split())
    for number, file, wrong in ((1, "a.html", "this checkup is damaged"), (4, "foreign.htm", "this is no checkup")):
        short = sha256((folder / file).read_bytes()).hexdigest()[:8]
        assert f"error: page {number}, in the order of file names, SHA-256 of its file {short}...: {wrong}" in told
    found = json.loads(seatplan("list", "checkups", str(folder), "--json").out)
    assert [one["state"] for one in found["checkups"]] == ["damaged", "open", "open", "foreign"]
    assert [one["path"] for one in found["unusable"]] == [None, None]
    assert [one["file_sha256"] for one in found["checkups"]] == [
        sha256((folder / name).read_bytes()).hexdigest() for name in ("a.html", "b.html", page.name, "foreign.htm")]


def test_a_page_that_cannot_be_read_is_told_without_its_name(tmp_path: Path) -> None:
    (tmp_path / "Wren.html").symlink_to(tmp_path / "Tamsin.html")
    said = seatplan("list", "checkups", str(tmp_path))
    assert (said.code, "cannot be read" in said.out) == (2, True)
    assert "error: page 1, in the order of file names: this file cannot be read" in " ".join(said.err.split())
    assert "Wren" not in said.out + said.err
    assert "Tamsin" not in said.out + said.err


@pytest.mark.parametrize("given", [("checkups",), ("checkups", "no-such-folder"), ("trips", "folder")])
def test_a_list_that_cannot_be_made(given: tuple[str, ...]) -> None:
    said = seatplan("list", *given)
    assert (said.code, said.out) == (2, "")
    assert "FOLDER" in said.err or "folder" in said.err


def test_a_checkup_holds_the_rules_it_was_judged_by(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Years later the file of rules may be gone or say something else."""
    monkeypatch.chdir(tmp_path)
    rules = ("profile: Ours \u00e9\nextends: us\nthresholds: {movement_at_belt_path: 15}   # </script>\n"
             "must: [belt-too-short]\n")
    Path("ours.yaml").write_text(rules, encoding="utf-8")
    text = find("trip", TRIP).read_text(encoding="utf-8").replace("rules: us", "rules: ./ours.yaml")
    Path("t.yaml").write_text(text, encoding="utf-8")
    assert seatplan("checkup", "t.yaml", "-o", "c.html").code in (0, 3)
    Path("ours.yaml").write_text("profile: Ours \u00e9\nextends: us\n", encoding="utf-8")
    data, _ = opened("c.html")
    digest = sha256(rules.encode()).hexdigest()
    assert data["rules_file"] == {"name": "ours.yaml", "text": rules, "sha256": digest}
    limits = {limit["name"]: limit for limit in data["limits"]}
    assert limits["movement_at_belt_path"] == {"name": "movement_at_belt_path", "value": 15, "unit": "mm",
                                               "source": "ours.yaml"}
    assert limits["belts_overlap"]["source"] != "ours.yaml"
    assert data["musts"] == ["belt-too-short"]
    page = " ".join(Path("c.html").read_text(encoding="utf-8").split("<script")[0].split())
    assert f"the text of ours.yaml, the local file of rules. SHA-256 of that text: {digest}." in page


def test_bundled_rules_are_held_by_their_limits(page: Path) -> None:
    data, _ = opened(str(page))
    assert data["rules_file"] is None
    assert {limit["name"]: limit["value"] for limit in data["limits"]}["movement_at_belt_path"] == 25
    assert "So are the limits of the rules." in page.read_text(encoding="utf-8")


#: run in a process of its own: a whole command, killed at the step of the system that is given
COMMAND_KILLED = """\
import os, signal, sys

step, place, *words = sys.argv[1:]
name = step.removeprefix("after ")
whole = getattr(os, name)
def killed(*args, **options):
    # what the command reads, locks and prints is let through: only what it writes beside the new file counts
    ours = name != "write" and name != "fsync" or ".seatplan-new" in os.readlink(f"/proc/self/fd/{args[0]}")
    done = whole(*args, **options) if not ours or step != name else None
    if ours:
        os.kill(os.getpid(), signal.SIGKILL)
    return done
setattr(os, name, killed)
from seatplan.cli.main import run
run([*words, "-o", place])
"""


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="tells files apart by /proc")
@pytest.mark.parametrize("step", ["write", "after write", "fsync", "link", "after link"])
@pytest.mark.parametrize(("command", "name"), [("checkup", "checkup.html"), ("merge", "both.yaml")])
def test_a_command_killed_at_any_step_leaves_one_file_whole_or_none(command: str, name: str, step: str,
                                                                    tmp_path: Path) -> None:
    copies = [shutil.copyfile(find("trip", TRIP), tmp_path / copy) for copy in ("a.yaml", "b.yaml")]
    before = copies[0].read_bytes()
    words = [command, str(copies[0]), *([str(copies[1])] if command == "merge" else [])]
    file = tmp_path / name
    done = subprocess.run([sys.executable, "-c", COMMAND_KILLED, step, str(file), *words], check=False,
                          capture_output=True)
    assert done.returncode == -signal.SIGKILL, done.stderr.decode()
    assert file.exists() == (step == "after link")
    assert [copy.read_bytes() for copy in copies] == [before, before]
    if not file.exists():
        assert seatplan(*words, "-o", str(file)).code in (0, 1, 3)
        assert sorted(one.name for one in tmp_path.iterdir()) == sorted(["a.yaml", "b.yaml", name])
    if command == "checkup":
        opened(str(file))
    else:
        assert load_trip(str(file), today=DAY) == load_trip(str(copies[0]), today=DAY)


def test_rules_that_are_gone_or_changed_are_told_when_a_trip_is_read_back(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    rules = "profile: Ours\nextends: us\nthresholds: {movement_at_belt_path: 15}\n"
    Path("ours.yaml").write_text(rules, encoding="utf-8")
    text = find("trip", TRIP).read_text(encoding="utf-8").replace("rules: us", "rules: ./ours.yaml")
    Path("t.yaml").write_text(text, encoding="utf-8")
    assert seatplan("checkup", "t.yaml", "-o", "c.html").code in (0, 3)
    as_it_was = seatplan("new", "trip", "--from", "c.html", "again.yaml")
    assert (as_it_was.code, "warning" in as_it_was.err) == (0, False)
    Path("ours.yaml").write_text("profile: Ours\nextends: us\n", encoding="utf-8")
    changed = seatplan("new", "trip", "--from", "c.html", "changed.yaml")
    assert changed.code == 0
    assert "ours.yaml, which say something else now than at the checkup" in " ".join(changed.err.split())
    Path("ours.yaml").unlink()
    gone = seatplan("new", "trip", "--from", "c.html")
    assert gone.code == 0
    assert "ours.yaml, which cannot be read; what they said is in the page of the checkup, as `rules_file`" in (
        " ".join(gone.err.split()))
    assert "warning" not in gone.out


def test_bundled_rules_are_no_notice(page: Path) -> None:
    said = seatplan("new", "trip", "--from", str(page))
    assert (said.code, said.err) == (0, "")
