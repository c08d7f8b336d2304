"""Only a file of the same kind of document is written over, and no name that says another format is taken."""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.library import find
from seatplan.views.document import PRODUCT, Made, made
from seatplan.views.markup import MADE_BY, el, html_file, svg_file

TRIP = "two-seater-airbag-off"
COMMANDS = {"drawing": ("draw", TRIP), "sheet": ("sheet", TRIP), "report": ("report", TRIP),
            "calendar": ("outlook", TRIP, "--until", "1 month")}
HOLDS = {"drawing": "arrangement 1", "sheet": "arrangement 1, 1 restraint", "report": "2 arrangements",
         "calendar": "0 days"}
HINT = "hint: another name, or `--force` to write over it\n"


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """One of each kind, written under a name without an ending."""
    folder = tmp_path_factory.mktemp("documents")
    for kind, command in COMMANDS.items():
        assert seatplan(*command, "-o", str(folder / kind)).code == 0
    return {kind: (folder / kind).read_bytes().decode() for kind in COMMANDS}


@pytest.mark.parametrize("kind", COMMANDS)
@pytest.mark.parametrize("there", COMMANDS)
def test_only_the_same_kind_is_written_over(documents: dict[str, str], tmp_path: Path, kind: str, there: str):
    file = tmp_path / "plan"
    file.write_bytes(documents[there].encode())
    said = seatplan(*COMMANDS[kind], "-o", str(file))
    if kind == there:
        size = len(file.read_bytes())
        told = f"{size} bytes" if size < 1000 else f"{round(size / 1000)} kB"
        assert (said.code, said.err) == (0, f"wrote {file} ({HOLDS[kind]}, {told})\n")
    else:
        assert said.code == 2
        assert said.err.startswith(f"error: `{file}` is there already and holds a {there}\n")
        assert file.read_bytes().decode() == documents[there]
        assert said.err.endswith(HINT)


@pytest.mark.parametrize("kind", COMMANDS)
def test_force_writes_over_another_kind(documents: dict[str, str], tmp_path: Path, kind: str):
    file = tmp_path / "plan"
    file.write_bytes(documents["calendar" if kind == "drawing" else "drawing"].encode())
    assert seatplan(*COMMANDS[kind], "-o", str(file), "--force").code == 0
    assert file.read_bytes().decode() == documents[kind]


@pytest.mark.parametrize("kind", COMMANDS)
@pytest.mark.parametrize("changed", [
    ("trip: Two-seater, airbag off", "trip: Another day"), ("rider: Pip", "rider: Zoe")])
def test_a_document_of_another_trip_is_kept(documents: dict[str, str], tmp_path: Path, kind: str,
                                            changed: tuple[str, str]):
    text = find("trip", TRIP).read_text(encoding="utf-8")
    (tmp_path / "other.yaml").write_text(text.replace(*changed), encoding="utf-8")
    assert (tmp_path / "other.yaml").read_text(encoding="utf-8") != text
    file = tmp_path / "plan"
    file.write_bytes(documents[kind].encode())
    command, _, *options = COMMANDS[kind]
    said = seatplan(command, str(tmp_path / "other.yaml"), *options, "-o", str(file))
    assert (said.code, said.err) == (2, f"error: `{file}` is there already and holds a {kind} of another trip\n{HINT}")
    assert file.read_bytes().decode() == documents[kind]
    assert seatplan(command, str(tmp_path / "other.yaml"), *options, "-o", str(file), "--force").code == 0
    assert file.read_bytes().decode() != documents[kind]


@pytest.mark.parametrize("kind", COMMANDS)
def test_another_order_of_riders_or_another_car_is_the_same_trip(documents: dict[str, str], tmp_path: Path, kind: str):
    file = tmp_path / "plan"
    file.write_bytes(documents[kind].encode())
    command, trip, *options = COMMANDS[kind]
    said = seatplan(command, trip, *options, "--vehicle", "harrow-estate", "-o", str(file))
    assert (said.code in (0, 3), "is there already" in said.err) == (True, False)


@pytest.mark.parametrize(("kind", "may"), [("drawing", {"drawing"}), ("sheet", {"sheet", "report"}),
                                           ("report", {"sheet", "report"})])
def test_files_of_earlier_versions_are_known_by_their_root(documents: dict[str, str], tmp_path: Path, kind: str,
                                                           may: set[str]):
    old = re.sub(' data-trip="[0-9a-f]{32}"', "", documents[kind], count=1)
    assert old != documents[kind]
    old = old.replace(f"{MADE_BY}: {kind}", MADE_BY, 1)
    for command in ("drawing", "sheet", "report"):
        file = tmp_path / f"old-{command}"
        file.write_bytes(old.encode())
        said = seatplan(*COMMANDS[command], "-o", str(file))
        holds = "a drawing" if kind == "drawing" else "a sheet or a report"
        which = " that does not say of which trip it is" if command in may else ""
        assert said.code == 2
        assert said.err == f"error: `{file}` is there already and holds {holds}{which}\n{HINT}"
        assert file.read_bytes().decode() == old


@pytest.mark.parametrize(("kind", "name", "expected"), [
    ("drawing", "plan.pdf", ".svg"), ("drawing", "plan.PNG", ".svg"), ("drawing", "plan.html", ".svg"),
    ("sheet", "plan.svg", ".html or .htm"), ("report", "plan.svg", ".html or .htm"),
    ("report", "plan.docx", ".html or .htm"), ("calendar", "plan.csv", ".ics"), ("calendar", "-", ".ics")])
def test_the_ending_of_another_format_is_refused(tmp_path: Path, kind: str, name: str, expected: str):
    file = name if name == "-" else str(tmp_path / name)
    for force in [(), ("--force",)]:
        said = seatplan(*COMMANDS[kind], "-o", file, *force)
        assert (said.out, said.code) == ("", 2)
        assert said.err == f'error: -o is "{file}"\nhint: expected a file that ends in {expected}\n'
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("kind", "name"), [
    ("drawing", "plan.SVG"), ("drawing", "plan of 2026-11-30"), ("drawing", "plan.2026-11-30"), ("drawing", "Nr. 3"),
    ("sheet", "plan.htm"), ("report", "plan.HTML"), ("calendar", "plan.ICS")])
def test_usual_endings_and_none_are_taken(tmp_path: Path, kind: str, name: str):
    assert seatplan(*COMMANDS[kind], "-o", str(tmp_path / name)).code == 0
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_page_that_only_speaks_of_us_is_not_ours():
    assert made(f"<!doctype html>\n<html><body>{MADE_BY} <!-- {MADE_BY} --></body></html>") is None
    assert made(f"<p>a drawing: <svg><!-- {MADE_BY}: drawing --></svg></p>") is None
    assert made(f"<svg>words<!-- {MADE_BY}: drawing --></svg>") is None
    assert made(f"<svg><!-- {MADE_BY}: sheet --></svg>") is None
    assert made(f"<svg><!-- somebody --><!-- {MADE_BY}: drawing --></svg>") is None
    assert made("<![somebody[ <!-- else") is None
    assert made(svg_file(el("svg", el("title", "a > b"), aria_label="a > b"))) == Made(("drawing",), None)
    assert made(html_file(el("html", lang="es", data_trip="a"), "sheet")) == Made(("sheet",), "a")
    calendar = f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:{PRODUCT}\r\n"
    assert made(calendar) == Made(("calendar",), None)
    event = f"BEGIN:VEVENT\r\nPRODID:{PRODUCT}\r\nX-SEATPLAN-TRIP:b\r\n"
    assert made(f"{calendar}X-SEATPLAN-TRIP:a\r\n{event}") == Made(("calendar",), "a")
    assert made(f"BEGIN:VCALENDAR\r\nPRODID:-//somebody//EN\r\n{event}") is None


def test_what_is_written_anew_keeps_its_permissions_and_what_is_new_has_the_usual_ones(tmp_path: Path):
    file = tmp_path / "plan.svg"
    before = os.umask(0o027)
    try:
        assert seatplan(*COMMANDS["drawing"], "-o", str(file)).code == 0
    finally:
        os.umask(before)
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    file.chmod(0o600)
    assert seatplan(*COMMANDS["drawing"], "-o", str(file)).code == 0
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_a_full_disk_leaves_the_old_drawing(documents: dict[str, str], tmp_path: Path,
                                            monkeypatch: pytest.MonkeyPatch):
    file = tmp_path / "plan.svg"
    file.write_bytes(documents["drawing"].encode())

    def full(handle: int, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    said = seatplan(*COMMANDS["drawing"], "-o", str(file))
    monkeypatch.undo()
    assert said.code == 74
    assert "no space left on device" in said.err
    assert file.read_bytes().decode() == documents["drawing"]
    assert [path.name for path in tmp_path.iterdir()] == ["plan.svg"]
