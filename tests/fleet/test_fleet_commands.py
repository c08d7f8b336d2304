"""The fleet from its commands: an invented city from end to end, exit codes, and answers as their schemas say."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from seatplan.app.days import at
from seatplan.cli.main import exit_code
from seatplan.cli.schema import answer_schema
from seatplan.files.fleet_file import load_fleet

TODAY, DAY = "2026-11-29", "2026-12-01"
Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def cities(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("cities")
    for kind in ("tight", "infeasible"):
        words = ["--kind", kind, "--bookings", "8", "--on", DAY, "-o", str(folder / kind)]
        assert exit_code(["fleet", "city", *words]) == 0
    return folder


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    def run(*args: object) -> tuple[int, str, str]:
        from datetime import date

        with at(date.fromisoformat(TODAY)):
            code = exit_code(["fleet", *map(str, args)])
        told = capsys.readouterr()
        return code, told.out, told.err

    return run


def of(cities: Path, kind: str) -> tuple[Path, Path]:
    return cities / kind / "fleet.yaml", cities / kind / "bookings.csv"


def valid(kind: str, text: str) -> Any:
    told = json.loads(text)
    Draft202012Validator(answer_schema(kind)).validate(told)
    return told


def test_a_city_from_end_to_end(cities: Path, ask: Ask, tmp_path: Path):
    files = of(cities, "tight")
    code, out, _ = ask("match", *files, "--workers", 1, "--json")
    matched = valid("fleet-match", out)
    assert code == 0
    assert matched["counts"]["matched"] > 0
    assert sum(one["bookings"] for one in matched["parties"]) == matched["counts"]["taken"] == 8
    code, out, _ = ask("plan", *files, "--workers", 1, "--json", "-o", tmp_path / "plans")
    plan = valid("fleet-plan", out)
    assert code == (1 if plan["unserved"] else 0)
    assert plan["counts"]["matched"] == 0                                    # all was kept
    assert plan["served"] + len(plan["unserved"]) == 8
    carried = [leg["booking"] for one in plan["vehicles"] for leg in one["legs"]]
    assert len(carried) == len(set(carried)) == plan["served"]
    kept = plan["kept"]["file"]
    code, _, _ = ask("day", *files, "--plan", kept, "-o", tmp_path / "cards")
    assert code == 0                                  # every booking comes out again with the copies of the plan
    cards = {file.stem: file.read_text() for file in (tmp_path / "cards").glob("*.html")}
    assert len(cards) == len(plan["vehicles"])
    for one in plan["vehicles"]:
        own = {leg["booking"] for leg in one["legs"]}
        card = next(text for text in cards.values() if own <= {key for key in carried if key in text})
        assert {key for key in carried if key in card} == own                # and nobody else's
        assert "planning aid" in card
    assert "Do not carry this booking" not in "".join(cards.values())
    shelf = {one.depot for one in load_fleet(str(files[0])).depots}
    told = set(re.findall(r"\(from the shelf of ([^)]+)\)", "".join(cards.values())))
    assert told
    assert told <= shelf                              # each copy that is put in is fetched at a depot of the fleet
    code, out, _ = ask("plan", *files, "--workers", 1, "--json", "--after", kept, "--now", "00:00", "--why", "engine",
                       "--broken", plan["vehicles"][0]["vehicle"], "-o", tmp_path / "plans")
    again = valid("fleet-plan", out)
    assert again["kept"]["follows"] == 1
    assert plan["vehicles"][0]["vehicle"] not in {one["vehicle"] for one in again["vehicles"]}
    code, out, _ = ask("forget", files[0], "B-00001", "--plans", tmp_path / "plans", "--cards", tmp_path / "cards",
                       "--why", "asked for")
    assert code == 0
    key = next(one["booking"] for one in plan["bookings"] if one["line"] == 2)
    for file in (tmp_path / "plans").glob("*.json"):
        record = json.loads(file.read_text())
        assert key not in json.dumps(record["plan"])
        assert [one["why"] for one in record["deleted"] if one["booking"] == key] == ["asked for"]


def test_rejected_rows_are_told_beside_and_nothing_of_them(cities: Path, ask: Ask):
    fleet, bookings = of(cities, "infeasible")
    code, out, _ = ask("match", fleet, bookings, "--workers", 1)
    assert code == 1
    assert "4 rows rejected" in out
    assert all(len(line) <= 100 for line in out.splitlines())
    rejected = bookings.with_suffix(".rejects.csv").read_text()
    assert len(rejected.splitlines()) == 5
    assert "Harbour" not in rejected
    assert "41kg" not in rejected


def test_coverage_and_inventory_draw_what_they_tell(cities: Path, ask: Ask, tmp_path: Path):
    fleet, bookings = of(cities, "tight")
    code, out, _ = ask("coverage", fleet, "--children", 1, "--workers", 1, "--json", "-o", tmp_path / "cover.svg")
    told = valid("fleet-coverage", out)
    assert code == 0
    assert len(told["cells"]) == len({one["type"] for one in told["cells"]}) * len(told["age_groups_months"])
    assert (tmp_path / "cover.svg").read_text().count("<rect") == len(told["cells"])
    code, out, _ = ask("inventory", fleet, bookings, "--workers", 1, "--target", "50%", "--json", "-o",
                       tmp_path / "curve.svg")
    stock = valid("fleet-inventory", out)
    assert code == 0
    assert stock["point"]["served"] >= stock["wanted"] == 4
    prices = [one["price"] for one in stock["curve"]]
    assert prices == sorted(prices)
    assert (tmp_path / "curve.svg").read_text().count("<circle") == len(stock["curve"])


def test_nothing_usable_is_code_2(cities: Path, ask: Ask, tmp_path: Path):
    fleet, bookings = of(cities, "tight")
    wrong = tmp_path / "bookings.csv"
    wrong.write_text(bookings.read_text().splitlines()[0] + "\r\nB-1,x,y,z,a,b,c,d\r\n")
    code, out, _ = ask("plan", fleet, wrong, "--workers", 1, "-o", tmp_path / "plans")
    assert code == 2
    assert "1 row rejected" in out
    assert not (tmp_path / "plans").exists()


@pytest.mark.parametrize(("words", "told"), [
    (("--now", "09:00"), "--now"), (("--after", "none.json", "--now", "9"), "--now"),
    (("--after", "none.json", "--now", "09:00"), "--why"), (("--cluster", "tcp://203.0.113.5:8786"), "tls://"),
])
def test_what_cannot_be_asked_is_code_2(cities: Path, ask: Ask, words: tuple[str, ...], told: str):
    code, _, err = ask("plan", *of(cities, "tight"), *words)
    assert code == 2
    assert told in err
