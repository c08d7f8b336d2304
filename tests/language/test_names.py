"""Names stay names: in every language and unit, whatever else they could be taken for."""

from __future__ import annotations

import html
import re
import sys
from collections.abc import Sequence
from copy import deepcopy
from itertools import product
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
           "fits", "base", "{rider}", "268 to 292", "none", "a ,b", "%s", "1_000", "rider", "Infinity", "trip", "seat",
           "2C", "Left", "min", "<b>", "close:", "caution", "left armrest", "this seat", "mm", "{}", "wings",
           "half of"]
#: the same for what the parts of a car and a restraint are called; usual names of parts are words of the catalogue
KEYS = ["al", "Left", "2C", "min", "12mm", "3.5", "2026-11-30", "caution", "in", "1_000", "fits", "Nan", "left",
        "2L", "mm", "rider", "close", "trip", "front", "kg", "lb", "right", "to", "cm", "yes", "no"]
#: parts that rules know by these names
KNOWN_PARTS = ("base", "pan")
_FILLER = "qxzkvjwbgpmfdt"


def placeholders(names: list[str]) -> list[str]:
    """For each name one of the same length, with the same first letter (words before it hang on that) and the same
    blanks, that means nothing; no two alike."""
    found: list[str] = []
    for name in names:
        fillings = product(_FILLER, repeat=sum(letter.isalnum() for letter in name[1:]))
        found.append(next(made for filling in fillings if (made := _filled(name, filling)) not in found))
    return found


def _filled(name: str, filling: Sequence[str]) -> str:
    letters = iter(filling)
    return name[0] + "".join(next(letters) if letter.isalnum() else letter for letter in name[1:])


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
MANNERS = [("es", "customary", 0), ("es", "customary", 11), ("es", "metric", 6), ("en", "customary", 18),
           ("en", "metric", 25)]
#: of each command two manners, in turn, and all of them in the whole suite
EACH = [pytest.param(*case, *manner, marks=() if (i + k) % len(MANNERS) < 2 else pytest.mark.whole,
                     id=f"{case[0]}-{case[1].split()[0]}-{i}-{'-'.join(map(str, manner))}")
        for i, case in enumerate(CASES) for k, manner in enumerate(MANNERS)]
#: where a drawing puts things hangs on how wide the letters of a name are
PLACED = re.compile(r' (x|y|width|height|font-size|viewBox|points|d|transform|data-trip)="[^"]*"')
#: and so do where a line of text is broken there, and whether a line leads to a name
BROKEN = re.compile(r'</text>\s*<text( class="\w*")?>')
LEADS = re.compile(r'<path [^>]*data-leads-to="[^>]*?(/>|></path>)')


def inline(copy: dict[str, Any], keys: list[str], named: dict[str, str]) -> dict[str, Any]:
    """A restraint of a trip with all of its model in it, and its parts called otherwise."""
    own = {key: value for key, value in copy.items() if key not in ("use", "as")}
    model = read(find("restraint", copy["use"])).data
    condition = {**model.get("condition", {}), **own.get("condition", {})}
    data = {**model, **own, "restraint": copy["as"], **({"condition": condition} if condition else {})}
    for mode in data["modes"]:
        for holder in (mode, *mode.get("installations", [])):
            for part in holder.get("parts", []):
                if part["part"] not in KNOWN_PARTS and not part["part"].startswith("envelope"):
                    part["part"] = named.setdefault(f"part {part['part']}", keys[len(named) % len(keys)])
    return data


def fitted_out(vehicle: dict[str, Any], keys: list[str], named: dict[str, str]) -> dict[str, Any]:
    """A car whose bars, tether anchors and trims are called otherwise."""
    def new(kind: str, name: str) -> str:
        return named.setdefault(f"{kind} {name}", keys[len(named) % len(keys)])

    for row in vehicle["rows"]:
        for kind, all_of_them in (("bar", "lower_anchors"), ("tether", "tethers")):
            for one in row[all_of_them] if isinstance(row.get(all_of_them), list) else ():
                one[kind] = new(kind, one[kind])
        for trim in row.get("trim", []):
            trim["name"] = new("trim", trim["name"])
        for position in row["positions"]:
            for key in ("lower_anchors", "borrow"):
                if isinstance(position.get(key), list):
                    position[key] = [new("bar", bar) for bar in position[key]]
            if position.get("tether", "none") != "none":
                position["tether"] = new("tether", position["tether"])
    return vehicle


def renamed(trip: str, called: list[str], keys: list[str]) -> dict[str, Any]:
    """A bundled trip, its car and its restraints in it, with everything that has a name called otherwise."""
    data = deepcopy(dict(read(find("trip", trip)).data))
    names, named = iter(called), dict[str, str]()
    car = fitted_out(deepcopy(dict(read(find("vehicle", data["vehicle"])).data)), keys, named)
    data["vehicle"] = {**car, "vehicle": next(names)}
    new = {"trip": next(names)}
    for rider in data["riders"]:
        new[rider["rider"]] = next(names)
    for copy in data["restraints"]:
        new[copy["as"]] = next(names)
    data["trip"] = new["trip"]
    data["riders"] = [{**rider, "rider": new[rider["rider"]]} for rider in data["riders"]]
    data["restraints"] = [{**copy, "as": new[copy["as"]]} for copy in data["restraints"]]
    data["installed"] = {new[who]: {**where, "restraint": new[where["restraint"]]}
                       for who, where in data.get("installed", {}).items()}
    data["restraints"] = [inline(copy, keys, named) for copy in data["restraints"]]
    data["wishes"] = [{key: new[value] if key == "rider" else [new[one] for one in value] if key == "apart" else value
                       for key, value in wish.items()} for wish in data.get("wishes", [])]
    return data


def told(folder: Path, trip: str, called: list[str], keys: list[str], command: str, lang: str, units: str) -> Said:
    """What a command says of the trip with these names."""
    import shlex

    data = renamed(trip, called, keys)
    file = folder / "trip.yaml"
    file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")
    child = next(rider["rider"] for rider in data["riders"] if not rider.get("adult"))
    held = data["restraints"][0]["restraint"]
    words = [word.replace("{0}", child).replace("{1}", held) for word in shlex.split(command)]
    return seatplan(*[word.replace("TRIP", "trip.yaml") for word in words], "--lang", lang, "--units", units)


def with_names(text: str, called: list[str], named: list[str]) -> str:
    """The text with the placeholders turned into the names; lines may be broken within them."""
    back = dict(zip(called, named, strict=True))
    pattern = "|".join(re.escape(name) for name in sorted(back, key=len, reverse=True))
    return re.sub(rf"(?<!\w)({pattern})(?!\w)", lambda found: back[found[0]], on_one_line(text))


def on_one_line(text: str) -> str:
    return " ".join(BROKEN.sub(" ", LEADS.sub("", PLACED.sub("", text))).split())


@pytest.mark.parametrize(("trip", "command", "lang", "units", "first"), EACH)
def test_an_awkward_name_changes_nothing_but_the_name(trip: str, command: str, lang: str, units: str, first: int,
                                                      tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("time.monotonic", lambda: 0.0)              # how far it is is told by the clock
    first += CASES.index((trip, command))
    # a drawing breaks names where the room ends
    drawn = command.split()[0] in ("draw", "sheet", "report")
    awkward = [name for name in AWKWARD if not drawn or (len(name) <= 8 and " " not in name)]
    named = ["left" if i == first % 2 else awkward[(first + i) % len(awkward)] for i in range(13)]
    keys = KEYS[first % len(KEYS):] + KEYS[:first % len(KEYS)]
    every = placeholders([*named, *keys])
    called, plain = every[:len(named)], every[len(named):]
    one, other = (told(tmp_path, trip, *names, command, lang, units) for names in ((named, keys), (called, plain)))
    assert one.code == other.code in (0, 1, 3), one.err
    read_as = html.unescape if drawn else str
    assert on_one_line(read_as(one.out)) == with_names(read_as(other.out), every, [*named, *keys])
    assert on_one_line(one.err) == with_names(other.err, every, [*named, *keys])
