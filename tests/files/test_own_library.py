"""A library folder: files known by numbers, saved by version, removed with all that is known of them."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
from datetime import date
from pathlib import Path

import pytest

from seatplan.files import own_library
from seatplan.files.checkups import ELEMENT, HASH, PAGE_HASH, page_sealed, seal
from seatplan.files.errors import InputError, Unwritten
from seatplan.files.library import find
from seatplan.files.library_index import INDEX
from seatplan.files.load import load_trip
from seatplan.files.own_library import OwnLibrary
from seatplan.files.recording import record
from seatplan.files.setting import set_values, undo
from seatplan.files.versions import Changed, version_of

DAY = date(2026, 11, 25)
VEHICLE = "vehicle: Anna's car\nrows: [{row: 1, positions: [{position: 1L}]}, {row: 2, positions: [{position: 2L}]}]\n"
RESTRAINT = "restraint: Nook\nmodes: [{mode: rear-facing-harness, installations: [{by: lap-shoulder-belt}]}]\n"
TRIP = """\
trip: Anna's holiday   # ours
vehicle: vehicle-1.yaml
drives: 1L
riders: [{rider: Wren, age: 1y}]
restraints: [restraint-1.yaml, {use: restraint-1.yaml, as: Second}]
"""
TOLD = {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt", "moved": "38"}
RULES = "profile: stricter\nextends: us\nthresholds: {}\n"


@pytest.fixture
def library(tmp_path: Path) -> OwnLibrary:
    """A vehicle, a restraint and a trip that names both."""
    folder = tmp_path / "library"
    folder.mkdir()
    made = OwnLibrary(str(folder))
    assert [made.create("vehicle", VEHICLE).number, made.create("restraint", RESTRAINT).number,
            made.create("trip", TRIP).number] == ["vehicle-1", "restraint-1", "trip-1"]
    return made


def inside(library: OwnLibrary) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in library.folder.iterdir() if path.name != INDEX}


def checkup_page(trip: str = "Checked") -> str:
    data = {"kind": "checkup", "file": {"trip": trip}, "made": "2026-11-25", "state": "held", "grave_cautions": 0,
            "open": []}
    sealed = seal(data)
    page = (f'<html><script id="{ELEMENT}" type="application/json" {HASH}="{sealed.sha256}" '
            f'{PAGE_HASH}="{sealed.blank}">{sealed.text}</script></html>')
    return page_sealed(page, sealed)[0]


def test_files_are_listed_by_kind_and_number(library: OwnLibrary) -> None:
    library.create("rules", RULES)
    library.create("checkup", checkup_page())
    for n in range(11):
        library.create("trip", TRIP.replace("holiday", f"holiday {n}"))
    (library.folder / "my-car.yaml").write_text(VEHICLE)
    found = library.listing()
    assert [one.number for one in found.kept] == [
        "vehicle-1", "restraint-1", *(f"trip-{n}" for n in range(1, 13)), "rules-1", "checkup-1"]
    assert {one.state for one in found.kept} == {"reads"}
    assert [one.title for one in found.kept][:4] == ["Anna's car", "Nook", "Anna's holiday", "Anna's holiday 0"]
    assert [one.title for one in found.kept][-2:] == ["stricter", "Checked"]
    assert found.others == ("my-car.yaml",)
    for one in found.kept:
        assert one.version == version_of((library.folder / library.read(one.number).number).with_suffix(
            ".html" if one.kind == "checkup" else ".yaml").read_bytes())


def test_a_listing_of_one_kind_leaves_the_others_unopened_and_their_index_as_it_is(library: OwnLibrary) -> None:
    whole, known = library.listing(), library._index.known()
    library.create("rules", RULES)
    (library.folder / "trip-1.yaml").write_text("no trip any more")
    some = library.listing(("vehicle", "rules"))
    assert [one.number for one in some.kept] == ["vehicle-1", "rules-1"]
    assert some.kept[0] == whole.kept[0]
    now = library._index.known()
    assert {key: now[key] for key in known} == known
    assert {kind for kind, _ in now.keys() - known.keys()} == {"rules"}
    assert library.listing(()).kept == ()
    assert {one.number: one.state for one in library.listing().kept}["trip-1"] == "wrong"


def test_no_name_of_anybody_is_in_a_file_name_or_the_index(library: OwnLibrary) -> None:
    library.listing()
    assert sorted(os.listdir(library.folder)) == [INDEX, "restraint-1.yaml", "trip-1.yaml", "vehicle-1.yaml"]
    raw = (library.folder / INDEX).read_bytes()
    for word in (b"Anna", b"Wren", b"Nook", b"holiday"):
        assert word not in raw


def test_only_the_owner_may_read_what_is_made(library: OwnLibrary) -> None:
    library.listing()
    with pytest.raises(Changed):
        library.save("trip-1", TRIP + "# mine\n", version_of(b"before"), keep_conflict=True)
    library.save("trip-1", TRIP + "# mine\n", version_of(TRIP.encode()))
    modes = {name: stat.S_IMODE((library.folder / name).stat().st_mode) for name in os.listdir(library.folder)}
    assert len(modes) == 6
    assert set(modes.values()) == {0o600}


def test_the_commands_read_and_write_the_same_files(library: OwnLibrary) -> None:
    path = library.asked("trip-1")
    assert [one.restraint for one in load_trip(path).restraints] == ["Nook", "Second"]
    record(path, TOLD, DAY)
    with pytest.raises(Changed):                                     # the page still has what was there before
        library.save("trip-1", TRIP + "# mine\n", version_of(TRIP.encode()))
    after = library.read("trip-1")
    assert "moved: 38" in after.text
    library.save("trip-1", after.text + "# mine\n", after.version)
    assert library.read("trip-1").text == after.text + "# mine\n"
    undo(path, today=DAY)                                            # what the page wrote is taken back like the rest
    assert library.read("trip-1") == after
    undo(path, today=DAY)
    assert library.read("trip-1").text == TRIP


def test_the_loser_has_both_texts_and_keeps_a_copy_only_if_asked(library: OwnLibrary) -> None:
    first = library.read("trip-1")
    theirs, mine = TRIP.replace("1y", "2y"), TRIP.replace("1y", "3y")
    library.save("trip-1", theirs, first.version)
    before = inside(library)
    with pytest.raises(Changed) as lost:
        library.save("trip-1", mine, first.version)
    assert inside(library) == before
    assert (lost.value.wanted, lost.value.there, lost.value.kept) == (mine, theirs, None)
    assert (lost.value.expected, lost.value.found) == (first.version, version_of(theirs.encode()))
    short = version_of(mine.encode())[:8]
    for _ in range(2):                                               # twice the same text is one copy
        with pytest.raises(Changed) as lost:
            library.save("trip-1", mine, first.version, keep_conflict=True)
        assert lost.value.kept == f"trip-1.conflict-{short}.yaml"
    found = library.listing()
    assert next(one for one in found.kept if one.number == "trip-1").conflicts == (short,)
    assert found.others == ()
    assert library.conflict("trip-1", short).text == mine
    assert library.read("trip-1").text == theirs
    library.drop_conflict("trip-1", short)
    assert inside(library) == before


def test_conflict_copies_do_not_fill_the_disk(library: OwnLibrary, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own_library, "MOST_CONFLICTS", 2)
    for n in range(2):
        with pytest.raises(Changed):
            library.save("trip-1", f"{TRIP}# {n}\n", version_of(b"x"), keep_conflict=True)
    with pytest.raises(InputError, match="2 conflict copies of this file are kept already"):
        library.save("trip-1", f"{TRIP}# 3\n", version_of(b"x"), keep_conflict=True)


def test_line_ends_and_mark_of_the_file_stay(library: OwnLibrary) -> None:
    raw = b"\xef\xbb\xbf" + TRIP.replace("\n", "\r\n").encode()
    (library.folder / "trip-1.yaml").write_bytes(raw)
    found = library.read("trip-1")
    assert library.save("trip-1", found.text, found.version) == found.version
    assert library.save("trip-1", found.text.replace("\r\n", "\n"), found.version) == found.version
    assert (library.folder / "trip-1.yaml").read_bytes() == raw
    (library.folder / "trip-1.yaml").write_bytes(TRIP.encode())
    library.save("trip-1", TRIP.replace("1y", "2y").replace("\n", "\r\n"), version_of(TRIP.encode()))
    assert (library.folder / "trip-1.yaml").read_bytes() == TRIP.replace("1y", "2y").encode()


# --- removing

def test_nothing_is_left_of_what_is_removed(library: OwnLibrary) -> None:
    path = library.asked("trip-1")
    record(path, TOLD, DAY)
    set_values(path, ["Wren.mass=9 kg"], today=DAY)
    with pytest.raises(Changed):
        library.save("trip-1", TRIP.replace("Wren", "Wrennie"), version_of(b"x"), keep_conflict=True)
    (library.folder / ".trip-1.yaml.seatplan-new").write_text("Wren, cut off")
    (library.folder / "..trip-1.yaml.seatplan-undo.seatplan-new").write_text("Wren, cut off")
    library.listing()
    assert b"trip-1" in (library.folder / INDEX).read_bytes()
    library.remove("trip-1", library.read("trip-1").version)
    assert sorted(inside(library)) == [".seatplan-library.yaml", "restraint-1.yaml", "vehicle-1.yaml"]
    for raw in (*inside(library).values(), (library.folder / INDEX).read_bytes()):
        assert b"Wren" not in raw
        assert b"trip-1" not in raw
    assert [one.number for one in library.listing().kept] == ["vehicle-1", "restraint-1"]


def test_a_step_that_was_written_with_it_is_forgotten_in_the_other_file_too(library: OwnLibrary) -> None:
    path = library.asked("trip-1")
    set_values(path, ["2L.cushion.length=460", "Wren.mass=9 kg"], today=DAY)
    journal = library.folder / ".vehicle-1.yaml.seatplan-undo"
    assert "Wren" in journal.read_text()
    library.remove("trip-1", library.read("trip-1").version)
    assert not journal.exists()


def test_another_version_is_not_removed(library: OwnLibrary) -> None:
    before = inside(library)
    with pytest.raises(Changed):
        library.remove("trip-1", version_of(b"before"))
    assert inside(library) == before


def test_what_a_trip_names_is_not_removed(library: OwnLibrary) -> None:
    before = inside(library)
    for number in ("vehicle-1", "restraint-1"):
        with pytest.raises(InputError, match=r"trip-1\.yaml would lack it"):
            library.remove(number, library.read(number).version)
    assert inside(library) == before
    library.remove("trip-1", library.read("trip-1").version)
    library.remove("vehicle-1", library.read("vehicle-1").version)
    assert [one.number for one in library.listing().kept] == ["restraint-1"]


def test_a_name_that_is_written_with_escapes_is_a_name(library: OwnLibrary) -> None:
    library.create("vehicle", VEHICLE)
    library.create("trip", TRIP.replace("vehicle-1.yaml", '"\\x76ehicle-2.yaml"'))
    with pytest.raises(InputError, match=r"trip-2\.yaml would lack it"):
        library.remove("vehicle-2", version_of(VEHICLE.encode()))


def test_a_number_is_never_given_twice(library: OwnLibrary) -> None:
    assert library.create("trip", TRIP).number == "trip-2"
    for number in ("trip-2", "trip-1"):
        library.remove(number, version_of(TRIP.encode()))
    assert library.create("trip", TRIP).number == "trip-3"
    (library.folder / "trip-3.yaml").unlink()
    (library.folder / ".trip-9.yaml.seatplan-undo").write_text("[]")     # of a file that was removed by hand
    assert library.create("trip", TRIP).number == "trip-10"
    (library.folder / ".seatplan-library.yaml").write_text("trip: {no: number")
    assert library.create("trip", TRIP).number == "trip-11"


# --- what is refused

@pytest.mark.parametrize("number", [
    "trip-01", "trip-0", "trip-1\n", "trip--1", "TRIP-1", "trip-1.yaml", "../trip-1", "trip-1/../trip-1", "/etc/passwd",
    "trip-٣", "trip-1\0", "trip-9999999", ".trip-1", "", ".", "..", "x" * 5000, "trip-1/.", "C:\\trip-1", "%2e%2e",
    "family-1", "trip-1.conflict-00000000"])
def test_hostile_numbers_lead_nowhere(library: OwnLibrary, number: str) -> None:
    before = inside(library)
    for ask in (lambda: library.read(number), lambda: library.asked(number),
                lambda: library.save(number, TRIP, version_of(TRIP.encode())),
                lambda: library.remove(number, version_of(TRIP.encode())),
                lambda: library.conflict("trip-1", number), lambda: library.drop_conflict("trip-1", number),
                lambda: library.conflict(number, "00000000")):
        with pytest.raises(InputError):
            ask()
    assert inside(library) == before


def test_a_number_that_is_not_there_is_told(library: OwnLibrary) -> None:
    with pytest.raises(InputError, match=r"^trip-7\.yaml is not in this library$"):
        library.read("trip-7")


def test_bundled_names_are_read_and_not_written(library: OwnLibrary) -> None:
    found = library.read("nook-35")
    assert (found.kind, found.own) == ("restraint", False)
    assert found.text == find("restraint", "nook-35").read_text(encoding="utf-8")
    for ask in (lambda: library.save("nook-35", RESTRAINT, found.version),
                lambda: library.remove("nook-35", found.version)):
        with pytest.raises(InputError, match='"nook-35" is no library number'):
            ask()


@pytest.mark.parametrize(("kind", "text", "told"), [
    ("trip", TRIP.replace("vehicle-1.yaml", "../secret.yaml"), r"trip-2\.yaml:2:10: \.\./secret\.yaml is no file of"),
    ("trip", TRIP.replace("vehicle-1.yaml", "/etc/passwd"), "is no file of this library"),
    ("trip", TRIP.replace("vehicle-1.yaml", "./vehicle-1.yaml"), "is no file of this library"),
    ("trip", TRIP.replace("vehicle-1.yaml", "restraint-1.yaml"), "expected one such as vehicle-3.yaml"),
    ("trip", TRIP.replace("vehicle-1.yaml", "vehicle-8.yaml"), "vehicle-8.yaml is not in this library"),
    ("trip", TRIP.replace("vehicle-1.yaml", '"-"'), "is no file of this library"),
    ("trip", TRIP.replace("{use: restraint-1.yaml", "{use: ../r.yaml"), r"5:38: \.\./r\.yaml is no file of"),
    ("trip", TRIP + "rules: ../mine.yaml\n", "is no file of this library"),
    ("trip", TRIP + "notes: &a x\nwho: *a\n", r"7:6: `\*a` is not read here; write out what it stands for"),
    ("trip", TRIP + "notes: " + "[" * 50 + "]" * 50 + "\n", "deep"),
    ("trip", TRIP + "# " + "x" * 1_000_000, "bytes long; expected at most 1,000,000"),
    ("trip", TRIP + "# \ud800", "a character that is no text"),
    ("trip", VEHICLE, "this is no trip file"),
    ("vehicle", TRIP, "this is no vehicle file"),
    ("rules", TRIP, "this is no"),
    ("restraint", "root:x:0:0", "restraint"),
    ("restraint", "", "this file is empty"),
    ("checkup", "<html></html>", "this is no checkup of seatplan"),
    ("checkup", checkup_page().replace("held", "open"), "this checkup is damaged"),
])
def test_what_is_not_to_be_kept_is_refused(library: OwnLibrary, kind: str, text: str, told: str) -> None:
    before = inside(library)
    with pytest.raises(InputError, match=told):
        library.create(kind, text)                                  # type: ignore[arg-type]
    if kind == "trip":
        with pytest.raises(InputError, match=told.replace("trip-2", "trip-1")):
            library.save("trip-1", text, version_of(TRIP.encode()), keep_conflict=True)
    assert inside(library) == before


def test_a_trip_that_names_a_file_elsewhere_is_not_asked_about(library: OwnLibrary) -> None:
    (library.folder / "trip-2.yaml").write_text(TRIP.replace("vehicle-1.yaml", "../secret.yaml"))
    assert [one.state for one in library.listing().kept] == ["reads"] * 4
    with pytest.raises(InputError, match=r"\.\./secret\.yaml is no file of this library"):
        library.asked("trip-2")


def test_a_checkup_is_kept_and_never_written_over(library: OwnLibrary) -> None:
    page = checkup_page()
    made = library.create("checkup", page)
    assert library.read(made.number).text == page
    with pytest.raises(InputError, match="a checkup is never written over"):
        library.save(made.number, checkup_page("Other"), made.version)
    library.remove(made.number, made.version)
    assert "checkup-1.html" not in inside(library)


@pytest.mark.parametrize("target", ["outside.yaml", "library/vehicle-1.yaml", "nowhere.yaml"])
def test_no_link_is_followed(library: OwnLibrary, tmp_path: Path, target: str) -> None:
    (tmp_path / "outside.yaml").write_text(VEHICLE.replace("Anna", "Secret"))
    (library.folder / "vehicle-2.yaml").symlink_to(tmp_path / target)
    raw = (tmp_path / "outside.yaml").read_bytes()
    found = next(one for one in library.listing().kept if one.number == "vehicle-2")
    assert (found.state, found.title, found.version) == ("link", "", "")
    for ask in (lambda: library.read("vehicle-2"), lambda: library.asked("vehicle-2"),
                lambda: library.save("vehicle-2", VEHICLE, version_of(raw)),
                lambda: library.remove("vehicle-2", version_of(raw))):
        with pytest.raises(InputError, match="this is a link or no file; it is not read"):
            ask()
    with pytest.raises(InputError, match=r"vehicle-2\.yaml is no file; what it leads to is not read"):
        library.create("trip", TRIP.replace("vehicle-1", "vehicle-2"))
    assert (tmp_path / "outside.yaml").read_bytes() == raw
    assert (library.folder / "vehicle-2.yaml").is_symlink()
    assert library.create("vehicle", VEHICLE).number == "vehicle-3"


def test_a_pipe_or_a_folder_is_not_waited_for(library: OwnLibrary) -> None:
    os.mkfifo(library.folder / "trip-2.yaml")
    (library.folder / "trip-3.yaml").mkdir()
    (library.folder / "trip-4.yaml").write_bytes(b"x" * 1_000_001)
    (library.folder / "trip-5.yaml").write_bytes(b"\xff\xfe\x00")
    assert [one.state for one in library.listing().kept][3:] == ["link", "link", "unreadable", "wrong"]
    for number in ("trip-2", "trip-3", "trip-4", "trip-5"):
        with pytest.raises(InputError):
            library.read(number)


def test_no_folder_no_library(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for name in ("none", "file", "a\0b"):
        with pytest.raises(InputError, match=r"there is no such folder|this is no folder"):
            OwnLibrary(str(tmp_path / name))


def test_a_folder_that_may_only_be_read_is_listed_and_not_written(library: OwnLibrary) -> None:
    before = inside(library)
    library.folder.chmod(0o555)
    try:
        assert [one.state for one in library.listing().kept] == ["reads"] * 3
        for ask in (lambda: library.create("trip", TRIP),
                    lambda: library.save("trip-1", TRIP + "# x\n", version_of(TRIP.encode())),
                    lambda: library.remove("trip-1", version_of(TRIP.encode()))):
            with pytest.raises(Unwritten, match="the folder may only be read"):
                ask()
    finally:
        library.folder.chmod(0o755)
    assert inside(library) == before


# --- a full disk

@pytest.fixture
def small_disk(tmp_path: Path):
    """A folder on a disk of its own that holds 64 kB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    made = subprocess.run([mount or "mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)],
                          capture_output=True) if mount and os.geteuid() == 0 else None
    if made is None or made.returncode:
        pytest.skip("no disk of its own can be made here")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_on_a_full_disk_nothing_is_lost(small_disk: Path) -> None:
    library = OwnLibrary(str(small_disk))
    library.create("vehicle", VEHICLE)
    made = library.create("vehicle", VEHICLE)
    (small_disk / "filler").write_bytes(b"x" * 40_000)
    before = inside(library)
    much = VEHICLE + "# " + "x" * 30_000 + "\n"
    for ask in (lambda: library.save("vehicle-1", much, made.version), lambda: library.create("vehicle", much)):
        with pytest.raises(Unwritten, match="no space left on device"):
            ask()
    assert inside(library) == before
    with pytest.raises(Unwritten, match="no space left on device"):
        library.save("vehicle-1", much, version_of(b"x"), keep_conflict=True)
    assert inside(library) == before
    assert [one.state for one in library.listing().kept] == ["reads", "reads"]
    (small_disk / "filler").unlink()
    library.save("vehicle-1", much.replace("x" * 20_000, ""), made.version)


# --- the index decides nothing

def _damaged(path: Path) -> None:
    raw = bytearray(path.read_bytes())
    for k in range(100, len(raw), 7):
        raw[k] ^= 0x5A
    path.write_bytes(raw)


@pytest.mark.parametrize("how", ["deleted", "empty", "text", "damaged", "other table", "a link", "a folder", "lies"])
def test_without_its_index_a_library_answers_the_same(library: OwnLibrary, tmp_path: Path, how: str) -> None:
    (library.folder / "vehicle-2.yaml").write_text("vehicle: Wrong\nrows: 7\n")
    wanted = library.listing()
    assert [one.state for one in wanted.kept] == ["reads", "wrong", "reads", "reads"]
    path = library.folder / INDEX
    if how == "damaged":
        _damaged(path)
    elif how == "lies":
        with sqlite3.connect(path) as base:
            base.execute("UPDATE files SET hash = 'x', state = 'reads', kind = 'trip', mtime = 0")
        base.close()
    else:
        path.unlink()
    if how in ("empty", "text"):
        path.write_bytes(b"" if how == "empty" else b"no database\n" * 500)
    elif how == "other table":
        base = sqlite3.connect(path)
        base.execute("CREATE TABLE files (n INTEGER)")
        base.commit()
        base.close()
    elif how == "a link":
        (tmp_path / "elsewhere").write_bytes(b"")
        path.symlink_to(tmp_path / "elsewhere")
    elif how == "a folder":
        path.mkdir()
    for _ in range(3):
        assert library.listing() == wanted
        assert library.create("rules", RULES).number.startswith("rules-")
        number = library.listing().kept[-1]
        library.remove(number.number, number.version)
    assert library.listing() == wanted
    if how == "a link":
        assert (tmp_path / "elsewhere").read_bytes() == b""
    elif how != "a folder":
        base = sqlite3.connect(path)
        assert base.execute("SELECT count(*) FROM files").fetchone() == (4,)
        base.close()


def test_what_the_index_knows_is_not_read_through_again(library: OwnLibrary, monkeypatch: pytest.MonkeyPatch) -> None:
    wanted, asked, whole = library.listing(), [], own_library.state_of
    monkeypatch.setattr(own_library, "state_of", lambda kind, raw: asked.append(kind) or whole(kind, raw))
    assert library.listing() == wanted
    assert asked == []
    (library.folder / "vehicle-1.yaml").write_text("vehicle: Wrong\nrows: 7\n")
    os.utime(library.folder / "vehicle-1.yaml", (0, 0))
    assert [one.state for one in library.listing().kept] == ["wrong", "reads", "reads"]
    assert asked == ["vehicle"]


def test_an_index_that_somebody_writes_in_is_not_waited_for(library: OwnLibrary,
                                                            monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = library.listing()
    monkeypatch.setattr("seatplan.files.library_index._WAIT_S", 0.05)
    base = sqlite3.connect(library.folder / INDEX, isolation_level=None)
    base.execute("BEGIN EXCLUSIVE")
    assert library.listing() == wanted
    base.execute("ROLLBACK")
    assert base.execute("SELECT count(*) FROM files").fetchone() == (3,)
    base.close()
