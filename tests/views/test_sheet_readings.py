"""Whatever the sheet asks to be read has a key, can be noted, and is all that is needed before it is noted that it
holds; and the steps that a way of riding has of its own."""

from __future__ import annotations

import re
import shlex
import shutil
import sys
from functools import cache
from pathlib import Path
from textwrap import dedent

import pytest
from drawn import pictured
from pages import Page
from planned import DAY, FITTING, planned

from seatplan.cli.record import command
from seatplan.files.library import find
from seatplan.files.load import load_trip, trip_in
from seatplan.files.steps import stages
from seatplan.model import Tried, Trip
from seatplan.readings import READINGS
from seatplan.rules.load import load_profile
from seatplan.rules.tries import lacks_readings
from seatplan.solver.installing import Card, cards
from seatplan.solver.picture import picture
from seatplan.solver.plan import plan
from seatplan.solver.plan import planned as solved_of
from seatplan.solver.results import Plan
from seatplan.views.sheet.sheet import sheet_html

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan as run

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)
ARGUED = Path(__file__).parent.parent / "solver" / "order"
#: what is typed in place of what stands for a reading in a command
READ = {"LENGTH": "12", "DEGREES": "40", "TEXT": "blue"}


@cache
def carded(name: str) -> tuple[Card, ...]:
    solved = planned(name)
    return cards(solved, solved.arrangements[0], pictured(name))


def first_cards(solved: Plan) -> dict[str, Card]:
    best = solved.arrangements[0]
    return {card.placement.rider.rider: card for card in cards(solved, best, picture(solved, best))}


def steps_of(card: Card) -> list[str]:
    return [step.step for stage in card.stages for step in stage.steps]


def lacking(card: Card) -> set[str]:
    """The readings without which nobody may note that it holds."""
    p = card.placement
    assert p.restraint is not None
    assert p.mode is not None
    nothing = Tried.model_validate({"restraint": p.restraint.restraint, "position": p.position.position, "by": p.by})
    return set(lacks_readings(nothing, p.mode))


def test_every_box_names_a_reading_that_is_an_option_of_record() -> None:
    named = {box.reading for stage in stages() for step in stage.steps for box in step.boxes}
    options = {param.name for param in command.params}
    assert named <= READINGS.keys()
    assert named <= options
    assert READINGS.keys() - named == {"moved"}                # the larger of two that have boxes of their own


@EVERY_TRIP
def test_the_sheet_asks_for_all_that_is_needed_before_it_holds(name: str) -> None:
    for card in carded(name):
        if card.placement.restraint is None:
            assert card.readings == ("belt_fits",)
        else:
            assert lacking(card) <= set(card.readings), card.placement.rider.rider


@EVERY_TRIP
def test_each_box_of_a_page_stands_in_the_command_that_notes_it(name: str) -> None:
    solved = planned(name)
    text = sheet_html(solved, solved.arrangements[0], pictured(name), carded(name), "a4", note="mine.yaml")
    for card, page in zip(carded(name), Page(text).sections[1:], strict=False):
        told = page[page.index("note it: seatplan "):]
        told = told[:told.index("do not travel like that")]
        if card.placement.restraint is None:
            assert f"{card.placement.rider.rider}.belt_fit.passed=yes" in told.replace("'", "")
            assert "--restraint none" in told
            assert "--belt-fits yes" in told
        else:
            assert set(re.findall(r"--([a-z-]+)", told)) - {"rider", "restraint", "position", "by", "mode"} == {
                key.replace("_", "-") for key in card.readings}


def commands_of(text: str, title: str) -> list[str]:
    return [re.sub("<[^>]*>", "", found).replace("&#x27;", "'").replace("&quot;", '"').replace("&amp;", "&")
            for found in re.findall(rf"<strong>{title},</strong> note it: <code>(.*?)</code>", text)]


@pytest.mark.parametrize("name", ["three-across-school-run", "i-size-family", "boosters-by-the-handbook",
                                  "school-run-second-car", "grandparents-old-car"])
def test_the_commands_of_the_pages_bring_the_arrangement_in(name: str, tmp_path: Path,
                                                           monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copyfile(find("trip", name), "my-trip.yaml")
    first = run("sheet", "my-trip.yaml", "-o", "-").out
    begin = re.search(r"<code>(seatplan record my-trip.yaml --go-on-with 1)</code>", first)
    assert begin is not None
    assert run(*shlex.split(begin.group(1))[1:]).code == 0
    text = run("sheet", "my-trip.yaml", "-o", "-").out
    assert "--go-on-with" not in text
    assert "Under way: " in text
    held = commands_of(text, "If it holds") + commands_of(text, "If the belt fits")
    assert len(held) == len(Page(text).sections) - 1
    for told in held:
        words = [READ.get(word, word) for word in shlex.split(told)[1:]]
        if words[0] == "record":
            assert words[2] == "--rider", "what is under way needs no more"
            words += ["--on", "2026-11-24"]
        said = run(*words)
        assert said.code == 0, said.err
    trip = load_trip("my-trip.yaml")
    assert trip.under_way == {}
    assert {rider for rider, here in trip.installed.items() if here.readings} == {
        card.placement.rider.rider for card in carded(name)}
    assert "Noted: it is in on " in run("sheet", "my-trip.yaml", "-o", "-").out


def test_after_a_failure_record_goes_on_with_what_the_page_named(tmp_path: Path,
                                                                monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml")
    assert run("record", "my-trip.yaml", "--go-on-with", "1").code == 0
    text = run("sheet", "my-trip.yaml", "-o", "-").out
    assert run("record", "my-trip.yaml", "--rider", "Wren", "--sideways", "9", "--forwards", "9", "--level", "yes",
               "--on", "2026-11-24").code == 0
    own = next(page for page in Page(text).sections[1:] if "2L Oslo in Lattice" in page)
    named = re.search(r"Next to try without it, arrangement \d+ \(\w+\): (.*?)\. seatplan sheet", own)
    assert named is not None
    assert run("record", "my-trip.yaml", "--rider", "Oslo", "--failed", "--on", "2026-11-24").code == 0
    under_way = load_trip("my-trip.yaml").under_way
    assert {f"{who} {aim.position}" for who, aim in under_way.items()} <= {
        " ".join(part.split()[:2]) for part in named.group(1).split(", ")}
    assert "Oslo 2L in Slim forward-facing" in named.group(1)
    assert (under_way["Oslo"].restraint, under_way["Oslo"].mode) == ("Slim", "forward-facing-harness")
    assert under_way["Wren"].restraint == "Nook"


def test_the_tether_is_hooked_before_the_last_tightening_and_tightened_after() -> None:
    seen = 0
    for name in FITTING:
        for card in carded(name):
            steps = steps_of(card)
            if "tether" in steps:
                seen += 1
                pressed = next(step for step in steps if step.startswith("press-and-"))
                wanted = ["tether", pressed, "tether-tightened", "movement"]
                assert [step for step in steps if step in wanted] == wanted
    assert seen > 3


def test_nothing_is_pressed_with_a_knee() -> None:
    for step in (step for stage in stages() for step in stage.steps if step.step.startswith("press-and-")):
        assert "by hand" in step.text
        assert "No knee and no tool, unless the instructions say so." in step.text


def test_a_child_on_the_vehicle_belt_has_the_check_in_five_steps() -> None:
    noor = next(card for card in carded("i-size-family") if card.placement.rider.rider == "Noor")
    assert noor.placement.restraint is None
    five = ["sits-back", "knees-bend", "lap-part", "shoulder-part", "whole-ride"]
    assert [step for step in steps_of(noor) if step in five] == five
    assert not {"read-both-books", "movement", "pinch", "guide-at-the-shoulder"} & set(steps_of(noor))


def test_a_high_back_booster_has_its_guide_at_the_shoulder_and_a_cushion_has_none() -> None:
    tamsin = next(card for card in carded("three-across-school-run") if card.placement.rider.rider == "Tamsin")
    asta = next(card for card in carded("taxi-ride") if card.placement.rider.rider == "Asta")
    assert {"guide-at-the-shoulder", "belt-guides", "lap-part", "shoulder-part"} <= set(steps_of(tamsin))
    assert asta.placement.mode_name == "backless-booster"
    assert "guide-at-the-shoulder" not in steps_of(asta)
    assert {"belt-guides", "lap-part", "shoulder-part", "whole-ride"} <= set(steps_of(asta))


def with_retractor(retractor: str | None) -> list[str]:
    trip = load_trip("three-across-school-run")
    rows = [row.model_copy(update={"positions": [
        p.model_copy(update={"belt": p.belt.model_copy(update={"retractor": retractor})})
        if p.belt is not None and p.position == "2R" else p for p in row.positions]}) for row in trip.vehicle.rows]
    other = trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows})})
    return steps_of(first_cards(solved_of(other, load_profile("us"), DAY, top=1))["Tamsin"])


@pytest.mark.parametrize(("retractor", "told"), [("switchable", True), (None, True), ("emergency", False)])
def test_a_belt_that_may_lock_is_not_locked_over_a_booster(retractor: str | None, told: bool) -> None:
    assert ("belt-runs-free" in with_retractor(retractor)) == told


def with_indicator(indicator: str | None) -> Card:
    trip = load_trip("three-across-school-run")
    restraints = [r.model_copy(update={"modes": [
        m.model_copy(update={"recline": m.recline.model_copy(update={"indicator": indicator})}) if m.rear_facing
        and m.recline else m for m in r.modes]}) for r in trip.restraints]
    other = trip.model_copy(update={"restraints": restraints})
    return first_cards(solved_of(other, load_profile("us"), DAY, top=1))["Wren"]


@pytest.mark.parametrize(("indicator", "asked"), [
    ("zones", {"zone", "level", "angle"}), ("line", {"level", "angle"}), ("bubble", {"level", "angle"}),
    ("none", {"angle"}), (None, {"level", "angle"})])
def test_what_is_read_of_the_recline_hangs_on_the_indicator(indicator: str | None, asked: set[str]) -> None:
    assert {key for key in with_indicator(indicator).readings if key in ("zone", "level", "angle")} == asked


def argued(name: str) -> Trip:
    """The trip of an argued file."""
    _, begin, rest = (ARGUED / f"{name}.yaml").read_text().partition("\ntrip:\n")
    assert begin
    return trip_in(dedent(re.split(r"\n(?=\S)", rest)[0]).encode(), f"{name}.yaml", DAY)[1]


def test_a_bed_is_installed_like_a_shell_and_the_child_lies_in_its_own_band() -> None:
    trip = argued("bed-before-shell-for-who-must-lie")
    [bed] = [card for card in first_cards(plan(trip, load_profile("us"), DAY, top=1)).values()
             if card.placement.mode_name == "lying-flat-bed"]
    assert {"press-and-tighten", "movement", "bed-lies", "as-its-instructions-say"} <= set(steps_of(bed))
    assert not {"lap-part", "pinch", "chest-clip", "vest-snug"} & set(steps_of(bed))
    assert {"sideways", "forwards"} <= set(bed.readings)


def test_a_vest_is_closed_before_the_belt_goes_through_it_and_is_not_pulled_at() -> None:
    trip = argued("shell-before-travel-vest")
    solved = plan(trip.model_copy(update={"wishes": [w.model_copy(update={"must": True}) for w in trip.wishes]}),
                  load_profile("us"), DAY, top=1)
    [vest] = [card for card in first_cards(solved).values() if card.placement.mode_name == "harness-vest"]
    wanted = ["vest-snug", "vest-belt", "vest-tether"]
    assert [step for step in steps_of(vest) if step in wanted] == wanted
    assert not {"press-and-tighten", "movement", "tether", "belt-path-forward", "lock-off", "lap-part"} & set(
        steps_of(vest))
    assert vest.readings == ("belt_fits",)
    assert lacking(vest) == {"belt_fits"}
