"""`seatplan measure --set`, `--undo` and `--blank` as a person uses them."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.library import find


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trip and a car of one's own, in the current folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-car.yaml").write_bytes(find("vehicle", "half-measured-hatch").read_bytes())
    text = find("trip", "half-measured-car").read_text(encoding="utf-8")
    file = tmp_path / "my-trip.yaml"
    file.write_text(text.replace("half-measured-hatch", "my-car.yaml"), encoding="utf-8")
    return file


def test_a_value_is_set_and_asked_again_and_taken_back(trip: Path) -> None:
    before = trip.read_bytes()
    said = seatplan("measure", "my-trip.yaml", "--set", "Beck.mass=19.6 kg")
    assert said.code == 0
    assert "- Beck.mass is 19.6 kg, in my-trip.yaml, line 10" in said.out
    assert "Before: not all measured, 12 readings to take. Now: not all measured, 11 readings to take." in said.out
    assert "No longer asked for: mass of Beck." in said.out
    assert "mass: 19.6 kg}      # not weighed yet" in trip.read_text(encoding="utf-8")
    undone = seatplan("measure", "my-trip.yaml", "--undo")
    assert "Taken back: Beck.mass." in undone.out
    assert "Asked for now: mass of Beck." in undone.out
    assert trip.read_bytes() == before
    assert sorted(path.name for path in trip.parent.iterdir()) == ["my-car.yaml", "my-trip.yaml"]


def test_typing_all_that_would_do_makes_it_what_was_promised(trip: Path) -> None:
    """Each in the file, as JSON names it, until nothing is asked for any more."""
    found = json.loads(seatplan("measure", "my-trip.yaml", "--json").out)["best"]
    promised, given = found["then"], []
    for one in found["readings"]:
        value = one["would_do"]
        given += ["--set", f"{one['set']}={value if isinstance(value, str) else json.dumps(value)}"]
    said = json.loads(seatplan("measure", "my-trip.yaml", "--json", *given).out)
    assert said["before"]["verdict"] == "unmeasured"
    assert (said["verdict"], said["best"]["now"], said["best"]["readings"]) == (promised, promised, [])
    assert seatplan("arrange", "my-trip.yaml").code == 0
    assert seatplan("measure", "my-trip.yaml", "--undo").code == 0
    assert seatplan("arrange", "my-trip.yaml").code == 3


@pytest.mark.parametrize(("given", "told"), [
    (("--set", "Beck.mass=88 kg"), "unlikely for 7 years"),
    (("--set", "2C.belt.length=24 m"), "my-car.yaml:26:"),
    (("--set", "Perch.mass=4 kg"), "perch-slim is a bundled restraint"),
    (("--undo",), "nothing to take back"),
    (("--undo", "--sure"), "--undo takes back"),
    (("--dry-run",), "nothing is set"),
    (("-o", "form.html"), "-o is where a blank form goes"),
])
def test_what_cannot_be_set_leaves_with_2_and_all_as_it_was(trip: Path, given: tuple[str, ...], told: str) -> None:
    before = {path: path.read_bytes() for path in trip.parent.iterdir()}
    said = seatplan("measure", "my-trip.yaml", *given)
    assert said.code == 2
    assert told in said.err
    assert {path: path.read_bytes() for path in trip.parent.iterdir()} == before


def test_a_copy_of_a_bundled_vehicle_is_told_how_to_be_used(trip: Path) -> None:
    said = seatplan("measure", "half-measured-car", "--set", "2C.belt.length=2400", "--copy-to", "copy.yaml")
    assert "`seatplan arrange half-measured-car --vehicle copy.yaml`" in " ".join(said.out.split())
    assert "length: 2400" in Path("copy.yaml").read_text(encoding="utf-8")


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)


@pytest.mark.parametrize("kind", ["vehicle", "restraint", "rider"])
def test_a_form_is_a_page_with_room_to_write(tmp_path: Path, kind: str) -> None:
    file = tmp_path / "form.html"
    assert seatplan("measure", "--blank", kind, "-o", str(file)).code == 0
    text = file.read_text(encoding="utf-8")
    page = _Page()
    page.feed(text)
    printed = seatplan("measure", "--blank", kind).out
    assert page.tags.count("input") == printed.count("______________________") > 8
    assert "This is a planning aid" in text
    assert "@page" in text
    assert seatplan("measure", "--blank", kind, "-o", str(file)).code == 0          # its own may be written anew
    other = "rider" if kind == "vehicle" else "vehicle"
    assert seatplan("measure", "--blank", other, "-o", str(file)).code == 2


def test_report_and_sheet_have_the_list(trip: Path) -> None:
    assert seatplan("report", "my-trip.yaml", "-o", "plan.html").code == 3
    assert seatplan("sheet", "my-trip.yaml", "-o", "sheet.html").code == 3
    for name, told in (("plan.html", "These 12 readings settle the best arrangement"),
                       ("sheet.html", "With 12 readings it is sure")):
        text = Path(name).read_text(encoding="utf-8")
        assert told in text
        assert "2L.belt.inflatable" in text
