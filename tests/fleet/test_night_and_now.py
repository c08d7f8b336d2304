"""Days that do not end at midnight, and the time at which a plan is made again."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from seatplan.app.days import at
from seatplan.cli.main import exit_code
from seatplan.cli.schema import answer_schema
from seatplan.files.fleet_file import load_fleet

TODAY, DAY, NEXT = "2026-11-29", "2026-12-01", "2026-12-02"
HEADER = "id,start,end,from,to,riders,adults"
WHO = "Harbour,Orchard,6m 7.1kg 64cm,162cm"
Ask = Callable[..., tuple[int, str, str]]
Capture = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def city(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("night") / "city"
    assert exit_code(["fleet", "city", "--bookings", "2", "--on", DAY, "-o", str(folder)]) == 0
    return folder


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str], city: Path) -> Ask:
    def run(command: str, bookings: Path, *words: object) -> tuple[int, str, str]:
        with at(date.fromisoformat(TODAY)):
            code = exit_code(["fleet", command, str(city / "fleet.yaml"), str(bookings), *map(str, words)])
        told = capsys.readouterr()
        return code, told.out, told.err

    return run


def rows(file: Path, *times: tuple[str, str]) -> Path:
    """A file of bookings of one party at these times."""
    file.write_text("\n".join([HEADER, *(f"N-{n},{start},{end},{WHO}" for n, (start, end) in enumerate(times, 1))]))
    return file


LATE = (f"{DAY} 23:30", f"{NEXT} 00:45")


def planned(ask: Ask, folder: Path, *times: tuple[str, str]) -> tuple[Path, Path]:
    bookings = rows(folder / "bookings.csv", *times)
    code, _, err = ask("plan", bookings, "--workers", 1, "--on", DAY, "-o", folder / "plans")
    assert code == 0, err
    return bookings, folder / "plans" / f"plan-{DAY}-0001.json"


def again(ask: Ask, bookings: Path, plan: Path, now: str, *words: object) -> tuple[int, str, str]:
    return ask("plan", bookings, "--workers", 1, "--after", plan, "--now", now, "--why", "engine", "-o", plan.parent,
               *words)


def test_after_midnight_what_is_under_way_has_begun(ask: Ask, tmp_path: Path):
    bookings, plan = planned(ask, tmp_path, LATE)
    (vehicle,) = json.loads(plan.read_text())["plan"]["routes"]
    code, _, err = again(ask, bookings, plan, "00:30", "--broken", vehicle)
    assert (code, f'expected the day with it, "{DAY} 00:30" or "{NEXT} 00:30"' in " ".join(err.split())) == (2, True)
    code, out, _ = again(ask, bookings, plan, f"{NEXT} 00:30", "--broken", vehicle)
    assert code == 0
    assert "under way, and touched by the news" in " ".join(out.split())
    assert again(ask, bookings, plan, "2026-12-03 00:30", "--broken", vehicle)[0] == 2


def test_a_plan_is_not_made_again_for_an_earlier_time(ask: Ask, tmp_path: Path):
    """What had begun would count as not begun, and its vehicle as free."""
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"), (f"{DAY} 15:00", f"{DAY} 15:30"))
    assert again(ask, bookings, plan, "10:10", "--broken", "V001")[0] in (0, 1)
    second = plan.with_name(f"plan-{DAY}-0002.json")
    code, _, err = again(ask, bookings, second, "09:00", "--broken", "V002")
    assert (code, "10:10 or later" in " ".join(err.split())) == (2, True)
    assert not plan.with_name(f"plan-{DAY}-0003.json").exists()
    assert again(ask, bookings, second, "10:10", "--broken", "V002")[0] in (0, 1)


def test_what_is_left_after_news_is_said_without_gaps(ask: Ask, city: Path, tmp_path: Path):
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"))
    broken = [word for one in load_fleet(str(city / "fleet.yaml")).vehicles for word in ("--broken", one.vehicle)]
    code, out, _ = again(ask, bookings, plan, "08:00", *broken)
    assert code == 1
    assert "nothing that could carry it is free in time" in " ".join(out.split())
    assert "one more  " not in out


def test_a_plan_made_again_stays_beside_those_that_it_follows(ask: Ask, tmp_path: Path):
    """In another folder it would follow whatever has the number there, itself too."""
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"))
    code, _, err = ask("plan", bookings, "--workers", 1, "--after", plan, "--now", "08:00", "--why", "engine", "-o",
                       tmp_path / "elsewhere")
    assert (code, "another folder than that of the plan" in " ".join(err.split())) == (2, True)
    assert not (tmp_path / "elsewhere").exists()


def forget(ask: Ask, city: Path, plan: Path, *words: str) -> None:
    with at(date.fromisoformat(TODAY)):
        assert exit_code(["fleet", "forget", str(city / "fleet.yaml"), *words, "--plans", str(plan.parent), "--why",
                          "asked for"]) == 0


def test_a_deleted_booking_does_not_come_back_when_a_plan_is_made_again(ask: Ask, city: Path, tmp_path: Path):
    """Its row is still in the file, and is no late booking."""
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"), (f"{DAY} 15:00", f"{DAY} 15:30"))
    assert again(ask, bookings, plan, "08:00", "--gone", "N-2")[0] == 0
    forget(ask, city, plan, "N-2")
    second = plan.with_name(f"plan-{DAY}-0002.json")
    told = json.loads(second.read_text())
    assert [one["carried"] for one in told["deleted"]] == [False]
    key = told["deleted"][0]["booking"]
    assert key not in json.dumps(told["inputs"])
    assert [one["why"] for one in told["overrides"]] == ["asked for"]
    assert again(ask, bookings, second, "09:00", "--broken", "V001")[0] == 2     # the first one carries it
    rows(bookings, (f"{DAY} 10:00", f"{DAY} 10:30"))
    code, _, err = ask("day", bookings, "--plan", second, "-o", tmp_path / "cards")
    assert code == 0, err


def test_who_was_unserved_and_deleted_is_not_late(ask: Ask, city: Path, tmp_path: Path):
    bookings = rows(tmp_path / "bookings.csv", (f"{DAY} 10:00", f"{DAY} 10:30"))
    bookings.write_text(bookings.read_text() + f"\nN-9,{DAY} 11:00,{DAY} 11:30,Harbour,Orchard,6m 7.1kg 64cm,1\n")
    assert ask("plan", bookings, "--workers", 1, "-o", tmp_path / "plans")[0] == 1
    plan = tmp_path / "plans" / f"plan-{DAY}-0001.json"
    forget(ask, city, plan, "N-9")
    key = json.loads(plan.read_text())["deleted"][0]["booking"]
    assert again(ask, bookings, plan, "09:00", "--recalled", "CA-001")[0] == 0
    assert key not in plan.with_name(f"plan-{DAY}-0002.json").read_text()


def test_no_plan_is_made_again_of_one_that_hides_where_a_vehicle_is(ask: Ask, city: Path, tmp_path: Path):
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"), (f"{DAY} 15:00", f"{DAY} 15:30"))
    forget(ask, city, plan, "N-1")
    code, _, err = again(ask, bookings, plan, "10:10")
    assert (code, "was deleted from this plan" in " ".join(err.split())) == (2, True)


def test_a_card_says_what_is_put_in_where_the_booking_before_was_deleted(ask: Ask, city: Path, tmp_path: Path):
    """The vehicle was to drive on with what the first booking had aboard, which nobody put in."""
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"), (f"{DAY} 10:50", f"{DAY} 11:20"))
    first, second = (legs := next(iter(json.loads(plan.read_text())["plan"]["routes"].values())))[0], legs[1]
    assert (first["by_depot"], second["by_depot"], first["load"] == second["load"]) == (True, False, True)
    forget(ask, city, plan, "N-1")
    assert ask("day", bookings, "--plan", plan, "-o", tmp_path / "cards")[0] == 0
    (card,) = (tmp_path / "cards").glob("*.html")
    text = card.read_text()
    assert "Nothing is taken out or put in before it" not in text
    assert "put in" in text[text.index("At the depot before:"):]
    assert all(copy in text for copy in second["copies"])


def test_a_late_booking_does_not_take_a_copy_into_its_quarantine(ask: Ask, city: Path, tmp_path: Path):
    """One that begins after the last booking of the first plan ended, and before that of the late one does."""
    fleet = tmp_path / "fleet.yaml"
    text = (city / "fleet.yaml").read_text()
    held = f", quarantine: [{{why: cleaning, from: {NEXT} 00:30}}]}}\n"
    fleet.write_text("".join(line.replace("}\n", held) if "kind: carrier, depot" in line else line
                             for line in text.splitlines(keepends=True)))
    assert "quarantine" in fleet.read_text()
    (tmp_path / "travel.csv").write_bytes((city / "travel.csv").read_bytes())
    bookings, folder = rows(tmp_path / "bookings.csv", (f"{DAY} 10:00", f"{DAY} 10:30")), tmp_path / "plans"

    def run(*words: object) -> int:
        with at(date.fromisoformat(TODAY)):
            return exit_code(["fleet", "plan", str(fleet), str(bookings), "--workers", "1", "-o", str(folder),
                              *map(str, words)])

    assert run() == 0
    rows(bookings, (f"{DAY} 10:00", f"{DAY} 10:30"), LATE)
    assert run("--after", folder / f"plan-{DAY}-0001.json", "--now", "12:00", "--why", "late") in (0, 1)
    told = json.loads((folder / f"plan-{DAY}-0002.json").read_text())
    first, = json.loads((folder / f"plan-{DAY}-0001.json").read_text())["plan"]["routes"].values()
    later = [leg for legs in told["plan"]["routes"].values() for leg in legs if leg["booking"] != first[0]["booking"]]
    assert not any(copy.startswith("CA-") for leg in later for copy in leg["copies"])


EARLY = (f"{NEXT} 00:20", f"{NEXT} 00:50")


def test_who_is_out_at_midnight_has_its_vehicle_and_restraints_until_it_is_home(ask: Ask, city: Path, tmp_path: Path):
    """Each vehicle of the fleet is out with a carrier; ten minutes after midnight none of them is there."""
    count = len(load_fleet(str(city / "fleet.yaml")).vehicles)
    times = [*[LATE] * count, EARLY, (f"{NEXT} 09:00", f"{NEXT} 09:30")]
    bookings, folder = rows(tmp_path / "bookings.csv", *times), tmp_path / "plans"
    assert ask("plan", bookings, "--workers", 1, "-o", folder)[0] in (0, 1)
    first = json.loads((plan := folder / f"plan-{DAY}-0001.json").read_text())["plan"]["routes"]
    assert first
    code, _, err = ask("plan", bookings, "--workers", 1, "--on", NEXT, "-o", folder)
    told = " ".join(err.split())
    assert (code, "--day-before" in told, "line 2" in told) == (2, True, True)
    code, out, _ = ask("plan", bookings, "--workers", 1, "--on", NEXT, "-o", folder, "--day-before", plan, "--json")
    answer = json.loads(out)
    Draft202012Validator(answer_schema("fleet-plan")).validate(answer)
    assert {one["vehicle"] for one in answer["still_out"]} == set(first)
    out_until = {one["vehicle"]: one["home_minute"] for one in answer["still_out"]}
    has = {piece["serial"]: one["vehicle"] for one in answer["still_out"] for piece in one["load"]}
    starts = {one["booking"]: one["start_minute"] for one in answer["bookings"]}
    carried = 0
    for one in answer["vehicles"]:
        for leg in one["legs"]:
            carried += 1
            assert starts[leg["booking"]] > out_until.get(one["vehicle"], -1)
            for piece in leg["load"]:
                assert starts[leg["booking"]] > out_until.get(has.get(piece["serial"], ""), -1)
    assert carried == 2 - (count == len(first))
    second = folder / f"plan-{NEXT}-0001.json"
    assert ask("day", bookings, "--plan", second, "-o", tmp_path / "cards")[0] == 0
    code, out, _ = ask("plan", bookings, "--workers", 1, "--on", NEXT, "-o", folder, "--day-before", plan)
    assert "Still out when the day begins" in out
    code, _, err = again(ask, bookings, second, "08:00", "--on", NEXT, "--recalled", "CA-001")
    assert code in (0, 1), err
    third = json.loads((folder / f"plan-{NEXT}-0003.json").read_text())
    assert third["night"] == json.loads(second.read_text())["night"]


def test_a_late_evening_is_in_nobodys_way_by_day(ask: Ask, tmp_path: Path):
    bookings = rows(tmp_path / "bookings.csv", LATE, (f"{NEXT} 09:00", f"{NEXT} 09:30"))
    assert ask("plan", bookings, "--workers", 1, "--on", NEXT)[0] == 0


@pytest.mark.parametrize("what", ["other day", "row gone", "row changed"])
def test_the_plan_of_the_day_before_is_that_of_the_file(ask: Ask, tmp_path: Path, what: str):
    bookings, plan = planned(ask, tmp_path, LATE, EARLY)
    day = NEXT
    if what == "other day":
        day = DAY
    elif what == "row gone":
        rows(bookings, EARLY)
    else:
        rows(bookings, (f"{DAY} 23:30", f"{NEXT} 01:45"), EARLY)
    code, _, err = ask("plan", bookings, "--workers", 1, "--on", day, "--day-before", plan)
    expected = "expected one of 2026-11-30" if what == "other day" else "expected the bookings of the day before here"
    assert (code, expected in " ".join(err.split())) == (2, True)


def test_a_party_without_children_is_told_without_seats(ask: Ask, tmp_path: Path):
    bookings = tmp_path / "bookings.csv"
    bookings.write_text(f"{HEADER}\nN-1,{DAY} 10:00,{DAY} 10:30,Harbour,Orchard,0,162cm\n"
                        f"N-2,{DAY} 10:00,{DAY} 10:30,Harbour,Orchard,,162cm\n")
    code, out, _ = ask("match", bookings, "--workers", 1)
    assert (code, "1 row rejected" in out, ": ." in out) == (1, True, False)


def test_a_card_of_an_earlier_plan_is_told(ask: Ask, tmp_path: Path):
    """Its driver has no booking any more, so nothing takes its place."""
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"))
    (vehicle,) = json.loads(plan.read_text())["plan"]["routes"]
    cards = tmp_path / "cards"
    _, _, err = ask("day", bookings, "--plan", plan, "-o", cards)
    assert "warning" not in err
    (first,) = cards.iterdir()
    assert again(ask, bookings, plan, "08:00", "--broken", vehicle)[0] == 0
    code, _, err = ask("day", bookings, "--plan", plan.with_name(f"plan-{DAY}-0002.json"), "-o", cards, "--force")
    assert code == 0
    assert f"{first}` is a card of another plan" in " ".join(err.split())


def test_a_deletion_by_age_that_was_stopped_takes_the_cards_the_next_time(ask: Ask, city: Path, tmp_path: Path):
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"))
    cards = tmp_path / "cards"
    assert ask("day", bookings, "--plan", plan, "-o", cards)[0] == 0
    words = ["fleet", "forget", str(city / "fleet.yaml"), "--old", "--plans", str(plan.parent), "--why", "old"]
    with at(date(2027, 3, 1)):
        assert exit_code(words) == 0
        assert len(list(cards.iterdir())) == 1
        assert exit_code([*words, "--cards", str(cards)]) == 0
    assert not list(cards.iterdir())


def test_where_nobody_installs_that_is_what_is_told(ask: Ask, city: Path, tmp_path: Path, capsys: Capture):
    fleet = tmp_path / "fleet.yaml"
    fleet.write_text((city / "fleet.yaml").read_text().replace(", installs: yes}", "}"))
    (tmp_path / "travel.csv").write_bytes((city / "travel.csv").read_bytes())
    bookings = rows(tmp_path / "bookings.csv", (f"{DAY} 10:00", f"{DAY} 10:30"))
    with at(date.fromisoformat(TODAY)):
        assert exit_code(["fleet", "plan", str(fleet), str(bookings), "--workers", "1"]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "nobody is said to install at" in out
    assert "no type of vehicle" not in out


def test_a_vehicle_that_broke_down_does_not_drive_when_a_plan_is_made_again_for_something_else(
        ask: Ask, city: Path, tmp_path: Path):
    bookings, plan = planned(ask, tmp_path, (f"{DAY} 10:00", f"{DAY} 10:30"))
    broken = [word for one in load_fleet(str(city / "fleet.yaml")).vehicles for word in ("--broken", one.vehicle)]
    assert again(ask, bookings, plan, "07:00", *broken)[0] == 1
    for number in (2, 3):
        before = plan.with_name(f"plan-{DAY}-{number:04}.json")
        assert again(ask, bookings, before, "08:00", "--recalled", f"SH-00{number}")[0] == 1
        told = json.loads(plan.with_name(f"plan-{DAY}-{number + 1:04}.json").read_text())
        assert told["plan"]["routes"] == {}
