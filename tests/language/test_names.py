"""Names stay names: in every language and unit, whatever else they could be taken for."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from seatplan.files.library import find
from seatplan.files.reading import read

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import Said, seatplan

#: numbers, days, words of files and of the catalogue, quantities, seats, what Python reads as a number, and templates
AWKWARD = ["3.5", "2026-11-30", "front", "label", "al", "in", "2L", "12 mm", "8.9 kg", "Nan", "1,440", "shell",
           "fits", "base", "{rider}", "268 to 292", "none", "a ,b", "%s", "1_000", "rider", "Infinity", "trip", "seat"]
_FILLER = "qxzkvjwq"


def placeholder(name: str, n: int) -> str:
    """A name of the same length, with the same first letter (words before it hang on that) and the same blanks, that
    means nothing."""
    return name[0] + "".join(_FILLER[(i + n) % 8] if letter.isalnum() else letter for i, letter in enumerate(name[1:]))


#: trip -> what is asked of it; {0} is the first child, {1} the first restraint
COMMANDS = {
    "three-across-school-run": ["arrange TRIP --top 4", "why TRIP --rider {0}", "why TRIP --rider {0} --position 2C",
                                "room TRIP --rider {0} --position 2C", "compare TRIP --vehicle skiff-two",
                                'why TRIP --not "{0}=2R"', "why TRIP --arrangement 2 --against 1",
                                "sheet TRIP -o -", "report TRIP -o -", "draw TRIP -o -",
                                "record TRIP --restraint {1} --position 2C --by lap-shoulder-belt --moved 38 "
                                "--on 2026-11-24"],
    "three-too-wide": ["arrange TRIP", "why TRIP --rider {0}"],
    "tall-driver": ["arrange TRIP --on 2028-03-01", "why TRIP --rider {0} --position 2L"],
    "third-child-on-the-way": ["outlook TRIP --until 2027-07-01"],
    "half-measured-car": ["measure TRIP", "arrange TRIP --top 1", "arrange TRIP --strict"],
}
CASES = [(trip, command) for trip, commands in COMMANDS.items() for command in commands]
#: language, units, and where among the awkward names the first one is taken from
MANNERS = [("es", "customary", 0), ("es", "customary", 11), ("es", "metric", 6), ("en", "customary", 18)]
#: where a drawing puts things hangs on how wide the letters of a name are
PLACED = re.compile(r' (x|y|width|height|font-size|viewBox|points|d|transform|data-trip)="[^"]*"')


def renamed(trip: str, called: list[str]) -> dict[str, Any]:
    """A bundled trip, its car in it, with each trip, vehicle, rider and restraint called otherwise."""
    data = dict(read(find("trip", trip)).data)
    names = iter(called)
    data["vehicle"] = {**read(find("vehicle", data["vehicle"])).data, "vehicle": next(names)}
    new = {"trip": next(names)}
    for rider in data["riders"]:
        new[rider["rider"]] = next(names)
    for copy in data["restraints"]:
        new[copy["as"]] = next(names)
    data["trip"] = new["trip"]
    data["riders"] = [{**rider, "rider": new[rider["rider"]]} for rider in data["riders"]]
    data["restraints"] = [{**copy, "as": new[copy["as"]]} for copy in data["restraints"]]
    data["current"] = {new[who]: {**where, "restraint": new[where["restraint"]]}
                       for who, where in data.get("current", {}).items()}
    data["wishes"] = [{key: new[value] if key == "rider" else [new[one] for one in value] if key == "apart" else value
                       for key, value in wish.items()} for wish in data.get("wishes", [])]
    return data


def told(folder: Path, trip: str, called: list[str], command: str, lang: str, units: str) -> Said:
    """What a command says of the trip with these names."""
    import shlex

    data = renamed(trip, called)
    file = folder / "trip.yaml"
    file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    child = next(rider["rider"] for rider in data["riders"] if not rider.get("adult"))
    words = [word.replace("{0}", child).replace("{1}", data["restraints"][0]["as"]) for word in shlex.split(command)]
    return seatplan(*[word.replace("TRIP", "trip.yaml") for word in words], "--lang", lang, "--units", units)


def with_names(text: str, called: list[str], named: list[str]) -> str:
    """The text with the placeholders turned into the names; lines may be broken within them."""
    back = dict(zip(called, named, strict=True))
    pattern = "|".join(re.escape(name) for name in sorted(back, key=len, reverse=True))
    return re.sub(rf"(?<!\w)({pattern})(?!\w)", lambda found: back[found[0]], on_one_line(text))


def on_one_line(text: str) -> str:
    return " ".join(PLACED.sub("", text).split())


@pytest.mark.parametrize(("lang", "units", "first"), MANNERS)
@pytest.mark.parametrize(("trip", "command"), CASES, ids=[f"{trip}-{command.split()[0]}" for trip, command in CASES])
def test_an_awkward_name_changes_nothing_but_the_name(trip: str, command: str, lang: str, units: str, first: int,
                                                      tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("time.monotonic", lambda: 0.0)              # how far it is is told by the clock
    first += CASES.index((trip, command))
    # a drawing breaks names where the room ends
    awkward = [name for name in AWKWARD if "draw" not in command or (len(name) <= 8 and " " not in name)]
    named = ["left" if i == first % 2 else awkward[(first + i) % len(awkward)] for i in range(13)]
    called = [placeholder(name, i) for i, name in enumerate(named)]
    assert len(set(called)) == len(called)
    one, other = (told(tmp_path, trip, names, command, lang, units) for names in (named, called))
    assert one.code == other.code in (0, 1, 3), one.err
    assert on_one_line(one.out) == with_names(other.out, called, named)
    assert on_one_line(one.err) == with_names(other.err, called, named)
