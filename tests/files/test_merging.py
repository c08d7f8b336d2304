"""Two copies of a trip come to one, whichever is given first; what cannot be told is an error with both places."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from seatplan.files.library import find
from seatplan.files.load import load_trip
from seatplan.model import Trip

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes")
ON = ("--on", "2026-11-24")
LATER = ("--on", "2026-11-25")
WREN = ("--rider", "Wren", "--restraint", "Nook", "--position", "2C", "--by", "lap-shoulder-belt", "--mode",
        "rear-facing-harness")
OSLO = ("--rider", "Oslo", "--restraint", "Lattice", "--position", "2L", "--by", "lower-anchors")


@pytest.fixture
def copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    shutil.copyfile(find("trip", "three-across-school-run"), "a.yaml")
    assert seatplan("record", "a.yaml", "--go-on-with", "1").code == 0
    shutil.copyfile("a.yaml", "b.yaml")
    return tmp_path


def record(name: str, *words: str) -> None:
    said = seatplan("record", name, *words)
    assert said.code in (0, 1, 3), said.err


def joined(first: str = "a.yaml", second: str = "b.yaml", into: str = "c.yaml") -> Trip:
    said = seatplan("merge", first, second, "-o", into)
    assert said.code == 0, said.err
    return load_trip(into)


def facts(trip: Trip) -> tuple[object, ...]:
    """What a trip says, but for the order of tries of different ways."""
    ways: dict[object, list[str]] = {}
    for tried in trip.tried:
        ways.setdefault((tried.restraint, tried.position, tried.by, tried.on), []).append(str(tried))
    return ways, trip.installed, trip.arrived, trip.under_way


def both_ways() -> Trip:
    """What the copies come to, whichever is given first, and given again."""
    found = joined()
    assert facts(joined("b.yaml", "a.yaml", "d.yaml")) == facts(found)
    for k, (first, second) in enumerate((("c", "a"), ("b", "d"))):
        assert facts(joined(f"{first}.yaml", f"{second}.yaml", f"again-{k}.yaml")) == facts(found), (first, second)
    for name in ("a.yaml", "b.yaml"):
        there = [str(tried) for tried in found.tried]
        for tried in load_trip(name).tried:
            there.remove(str(tried))
    return found


def refused(*told: str) -> None:
    for first, second in (("a.yaml", "b.yaml"), ("b.yaml", "a.yaml")):
        said = seatplan("merge", first, second, "-o", "c.yaml")
        assert (said.code, said.out, Path("c.yaml").exists()) == (2, "", False)
        for words in (*told, f"{first}:", f"{second}:"):
            assert words in said.err


def test_what_was_tried_in_either_is_in_both(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *OSLO, *HELD, *ON)
    mine, theirs = load_trip("a.yaml"), load_trip("b.yaml")
    both, other = joined(), joined("b.yaml", "a.yaml", "d.yaml")
    assert both.tried == [*mine.tried, *theirs.tried]
    assert sorted(map(str, other.tried)) == sorted(map(str, both.tried))
    assert both.installed == other.installed
    assert both.installed["Wren"] == mine.installed["Wren"]
    assert both.installed["Oslo"] == theirs.installed["Oslo"]
    assert both.arrived == mine.arrived
    assert both.under_way == mine.under_way


def test_twice_is_as_once(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    assert joined() == load_trip("a.yaml")
    assert joined("c.yaml", "a.yaml", "d.yaml") == load_trip("a.yaml")
    assert Path("c.yaml").read_bytes() == Path("a.yaml").read_bytes()


def test_what_is_installed_later_counts(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--sideways", "3", "--forwards", "4", "--level", "yes", *LATER)
    for into, names in (("c.yaml", ("a.yaml", "b.yaml")), ("d.yaml", ("b.yaml", "a.yaml"))):
        assert joined(*names, into).installed["Wren"] == load_trip("b.yaml").installed["Wren"]


def test_two_tries_of_one_way_on_one_day_are_told_with_both_places(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--sideways", "40", *ON)
    refused("Nook at 2C was tried in both copies on one day")


def test_another_way_held_on_the_same_day_is_told_with_both_places(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", "--rider", "Wren", "--restraint", "Slim", "--position", "2C", "--by", "lap-shoulder-belt",
           "--mode", "rear-facing-harness", *HELD, *ON)
    refused("what is installed for Wren differs, and both are of one day")


def test_what_was_taken_out_of_a_seat_later_is_out(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    shutil.copyfile("a.yaml", "b.yaml")
    record("b.yaml", *WREN, "--sideways", "40", *LATER)
    assert "Wren" not in load_trip("b.yaml").installed
    both = both_ways()
    assert "Wren" not in both.installed
    assert both.under_way == load_trip("b.yaml").under_way != {}


@pytest.mark.parametrize(("before", "after"), [
    ("mass: 9.6 kg", "mass: 9.8 kg"), ("rules: us", "rules: un"), ("drives: 1L", "drives: 1R"),
    ("on: 2026-11-30", "on: 2026-12-01")])
def test_what_else_differs_is_told_with_both_places(copies: Path, before: str, after: str) -> None:
    text = Path("b.yaml").read_text(encoding="utf-8")
    if before not in text:
        pytest.fail(f"{before} is not in the trip")
    Path("b.yaml").write_text(text.replace(before, after, 1), encoding="utf-8")
    said = seatplan("merge", "a.yaml", "b.yaml", "-o", "c.yaml")
    assert said.code == 2
    assert not Path("c.yaml").exists()
    assert "the copies differ here; in b.yaml:" in said.err or "b.yaml:" in said.err


def test_the_new_file_takes_the_place_of_nothing(copies: Path) -> None:
    said = seatplan("merge", "a.yaml", "b.yaml", "-o", "b.yaml")
    assert (said.code, "`b.yaml` is there already" in said.err) == (2, True)


def test_what_failed_held_and_failed_again_has_failed(copies: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        record(name, *WREN, "--failed", *ON)
    record("b.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--failed", *ON)
    theirs = load_trip("b.yaml")
    assert len(theirs.tried) == 3
    assert joined() == theirs
    assert joined("b.yaml", "a.yaml", "d.yaml") == theirs


def test_the_order_of_one_day_is_not_guessed(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *WREN, "--failed", *ON)
    record("b.yaml", *WREN, *HELD, *ON)
    refused("Nook at 2C was tried in both copies on one day")


SLIM = ("--rider", "Wren", "--restraint", "Slim", "--position", "2C", "--by", "lap-shoulder-belt", "--mode",
        "rear-facing-harness")
#: what is noted of each rider, as in the first arrangement, and when it goes wrong
OF_WREN = {"held": (*WREN, *HELD, *ON), "failed": (*WREN, "--failed", *ON), "moved too far": (*WREN, "--sideways", "40",
           *ON), "another held": (*SLIM, *HELD, *ON), "later": (*WREN, *HELD, *LATER),
           "as found": ("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2C", *ON)}
OF_OSLO = {"held": (*OSLO, *HELD, *ON), "failed": (*OSLO, "--failed", *ON), "failed later": (*OSLO, "--failed", *LATER),
           "as found": ("--as-found", "--rider", "Oslo", "--restraint", "Lattice", "--position", "2L", *ON)}


#: each of Wren with two of Oslo, so that each of Oslo comes with three of Wren
PAIRS = [(wren, oslo) for k, wren in enumerate(OF_WREN) for n, oslo in enumerate(OF_OSLO) if (k + n) % 2 == 0]


@pytest.mark.parametrize(("wren", "oslo"), PAIRS)
def test_two_tablets_that_note_different_riders_always_merge(copies: Path, wren: str, oslo: str) -> None:
    record("a.yaml", *OF_WREN[wren])
    record("b.yaml", *OF_OSLO[oslo])
    both, mine, theirs = both_ways(), load_trip("a.yaml"), load_trip("b.yaml")
    assert both.installed.get("Wren") == mine.installed.get("Wren")
    assert both.installed.get("Oslo") == theirs.installed.get("Oslo")
    assert len(both.tried) == len(mine.tried) + len(theirs.tried)
    assert both.under_way, "not all of it is in yet"
    one = seatplan("arrange", "c.yaml")
    assert "It cannot be like that any more" not in " ".join(one.out.split())


def test_a_failure_and_a_hold_name_both_and_keep_what_holds(copies: Path) -> None:
    record("a.yaml", *OSLO, "--failed", *ON)
    record("b.yaml", *WREN, *HELD, *ON)
    said = seatplan("merge", "a.yaml", "b.yaml", "-o", "c.yaml")
    told = " ".join(said.out.split())
    assert "Under way in the first copy: " in told
    assert "Oslo in Lattice on 2L" in told[told.index("In the second: "):]
    both = load_trip("c.yaml")
    aim, here = both.under_way["Wren"], both.installed["Wren"]
    assert (aim.restraint, aim.position) == (here.restraint, here.position) == ("Nook", "2C")
    assert (both.under_way["Oslo"].restraint, both.under_way["Oslo"].position) != ("Lattice", "2L")


def test_what_is_done_in_one_copy_is_done(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    shutil.copyfile("a.yaml", "b.yaml")
    record("a.yaml", *OSLO, *HELD, *ON)
    record("a.yaml", "--rider", "Tamsin", "--belt-fits", "yes", *ON)
    assert load_trip("a.yaml").under_way == {} != load_trip("b.yaml").under_way
    assert both_ways().under_way == {}
    told = " ".join(seatplan("merge", "a.yaml", "b.yaml", "-o", "e.yaml").out.split())
    assert "All of it is in and holds, so nothing is under way any more." in told


def test_what_is_done_by_both_together_is_done(copies: Path) -> None:
    record("a.yaml", *WREN, *HELD, *ON)
    record("b.yaml", *OSLO, *HELD, *ON)
    record("b.yaml", "--rider", "Tamsin", "--belt-fits", "yes", *ON)
    assert both_ways().under_way == {}


@pytest.mark.parametrize("noted", [(), (*OSLO, *HELD, *ON)], ids=["nothing", "held"])
def test_what_is_given_up_in_one_copy_is_given_up(copies: Path, noted: tuple[str, ...]) -> None:
    if noted:
        record("a.yaml", *noted)
    record("b.yaml", "--give-up")
    mine, theirs = load_trip("a.yaml").under_way, load_trip("b.yaml").under_way
    assert {} != mine != theirs != {}
    found = both_ways().under_way
    assert found != mine
    if not noted:
        assert found == theirs


def test_what_one_copy_alone_has_under_way_is_named_and_not_gone_on_with(copies: Path) -> None:
    text = Path("b.yaml").read_text(encoding="utf-8")
    Path("b.yaml").write_text(text[:text.index("under_way:")], encoding="utf-8")
    assert load_trip("b.yaml").under_way == {}
    assert both_ways().under_way == {}
    told = " ".join(seatplan("merge", "a.yaml", "b.yaml", "-o", "e.yaml").out.split())
    assert "Under way in the first copy: Wren in Nook on 2C, " in told
    assert "In the second: nothing." in told
    assert "cannot be told from the two copies: nothing is under way now" in told


def test_two_that_both_go_are_named_and_neither_is_guessed(copies: Path) -> None:
    record("b.yaml", "--go-on-with", "3")
    assert both_ways().under_way == {}


def test_one_moved_what_the_other_still_shows(copies: Path) -> None:
    found = ("--as-found", "--rider", "Wren", "--restraint", "Nook", "--position", "2R", "--by", "lap-shoulder-belt",
             *ON)
    record("a.yaml", *found)
    shutil.copyfile("a.yaml", "b.yaml")
    record("a.yaml", *SLIM, *HELD, *ON)
    record("b.yaml", *OSLO, "--failed", *ON)
    both = both_ways()
    assert both.installed["Wren"] == load_trip("a.yaml").installed["Wren"]
    assert "Oslo" not in both.installed
    assert both.arrived is not None
    assert both.arrived["Wren"].position == "2R"


def test_a_seat_that_both_gave_away_on_one_day_is_told_with_both_places(copies: Path) -> None:
    record("a.yaml", *SLIM, *HELD, *ON)
    record("b.yaml", "--as-found", "--rider", "Oslo", "--restraint", "Lattice", "--position", "2C", *ON)
    refused("2C is installed for ")


def test_a_seat_that_was_given_away_later_is_that_of_the_later_day(copies: Path) -> None:
    record("a.yaml", *SLIM, *HELD, *ON)
    record("b.yaml", "--as-found", "--rider", "Oslo", "--restraint", "Lattice", "--position", "2C", *LATER)
    both = both_ways()
    assert "Wren" not in both.installed
    assert both.installed["Oslo"].position == "2C"


def test_the_same_try_in_the_same_words_in_both_is_one(copies: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        record(name, *WREN, *HELD, *ON)
    both = both_ways()
    assert both.tried == load_trip("a.yaml").tried == load_trip("b.yaml").tried
    assert len(both.tried) == 1
    record("b.yaml", *WREN, *HELD, *ON)                 # and once more in one of them is another one
    assert len(joined(into="once-more.yaml").tried) == 2
    told = " ".join(seatplan("merge", "--help").out.split())
    assert "The same try in the same words on one day in both copies is one try." in told
