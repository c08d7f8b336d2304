"""Small random trips, as plain data and as records: every number invented, many of them left out on purpose.

``trip_data`` makes the plain data, so that a test can mirror, rename or shuffle it before ``trip_of`` turns it
into records. Hypothesis draws seeds of the same generator, which keeps its trips as varied as the seeded ones.
"""

from __future__ import annotations

from math import prod
from random import Random
from typing import Any

from hypothesis import strategies as st
from new_ways import with_new_ways

from seatplan.model import Believed, Trip

DAY = "2026-11-25"
_NAMES = ("Ada", "Bo", "Cy", "Di", "Ed")
_FINE = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}
_SIDES = {1: ("C",), 2: ("L", "R"), 3: ("L", "C", "R")}

Data = dict[str, Any]
#: of most vehicles
EVERY_SEAT: Data = {"facing": "forward", "tip_up": False, "slides": False}


def trip_of(data: Data) -> Trip:
    """The records of plain data, every number of which is taken as it stands, however unlikely."""
    return Believed.model_validate(data)


def random_trip(rng: Random, most_seatings: int = 6000) -> Trip:
    return trip_of(trip_data(rng, most_seatings))


def drawn(seed: int) -> Trip:
    """A random trip; of every other one all breadths are measured and the tape is poor, so that what is close is no
    estimate's doing. Of every third one the straps reach wherever a tether anchor may be."""
    data = trip_data(Random(seed))
    if seed % 3 == 1:
        for row in data["vehicle"]["rows"]:
            row["seatback"] = {"angle": 20, "height": 600}
        for mode in (mode for restraint in data["restraints"] for mode in restraint["modes"]):
            mode |= {"tether_length": 2900, "tether_from": [300, 550]}
    if seed % 2:
        data["vehicle"]["measured"] = {"tolerance": 60}
    for rider in data["riders"] if seed % 2 else ():
        tall = rider["height"] or 1000
        rider["hips"], rider["shoulders"] = tall // 5, tall // 4
    return trip_of(data)


def trips(most_seatings: int = 3000) -> st.SearchStrategy[Data]:
    """Plain data of random trips, for hypothesis."""
    return st.integers(0, 2**32).map(lambda seed: trip_data(Random(seed), most_seatings))


def trip_data(rng: Random, most_seatings: int = 6000) -> Data:
    """One trip of one to three rows and one to five riders, whose choices multiply to at most ``most_seatings``."""
    lengthwise = rng.random() < 0.6
    rows = [_row(rng, number + 1) for number in range(rng.choice((2, 2, 3) if lengthwise else (1, 2, 2, 3)))]
    riders = [_rider(rng, name) for name in _NAMES[:rng.choice((1, 2, 2, 3, 3, 4, 5))]]
    if len(riders) > 1 and rng.random() < 0.2:
        riders[-1] = {**riders[-2], "rider": riders[-1]["rider"]}          # twins
    restraints = [_restraint(rng, n, lengthwise) for n in range(rng.choice((0, 2, 2, 3, 3, 4)))]
    if rng.random() < 0.6:
        riders[0] = {**_adult(rng, riders[0]["rider"]), "drives": True}
    while seatings(rows, riders, restraints) > most_seatings:
        longest = max((riders, restraints) if len(rows) == 2 else (rows, riders, restraints), key=len)
        (longest if len(longest) > 1 else riders).pop()
    places = [position["position"] for row in rows for position in row["positions"]]
    names = [rider["rider"] for rider in riders]
    held = [restraint["restraint"] for restraint in restraints]
    front: Data = {}
    if lengthwise:
        front = _along(rng, rows, restraints)
    tolerance = rng.choice((0, 0, 0, 5, 12))
    if not tolerance:
        _exact(riders, restraints)
    rules = rng.choice(("us", "us", "un"))
    if rules == "us":
        for restraint in restraints:
            restraint.pop("approval")
    data: Data = {
        "trip": "random", "on": DAY, "front": front, "drives": rng.choice(places[:len(rows[0]["positions"])]),
        "vehicle": {"vehicle": "Random Wagon", "invented": True, "rows": rows,
                    "every_seat": EVERY_SEAT, "measured": {"tolerance": tolerance}},
        "riders": riders, "restraints": restraints,
        "wishes": _wishes(rng, names, places, held), "installed": _installed(rng, names, places, held),
        "rules": rules,
    }
    with_new_ways(data)
    return data


def _exact(riders: list[Data], restraints: list[Data]) -> None:
    """A world in which no length can be off: nothing estimated, no tolerance anywhere."""
    for restraint in restraints:
        restraint["tolerance"] = 0
    for rider in riders:
        height = rider["height"] or 1000
        rider["hips"] = rider["hips"] or height // 4
        rider["shoulders"] = rider["shoulders"] or height // 4


def _shapes(rng: Random, rows: list[Data]) -> None:
    """Places with a cushion of their own, and rows that slide in parts: drawn by itself, so that the rest of a world
    stays as it was."""
    for row in rows[1:]:
        for position in row["positions"]:
            if rng.random() < 0.25:
                position["cushion"] = {"angle": rng.choice((None, 12, 19)), "up": rng.choice((None, -30, 40, 120)),
                                       "length": rng.choice((None, 430)), "above_floor": rng.choice((None, 320))}
        if len(row["positions"]) > 1 and rng.random() < 0.3:
            names = [position["position"] for position in row["positions"]]
            at, slides = rng.choice((1, len(names) - 1)), row.pop("slides", None)
            row["parts"] = [{"positions": names[:at], "slides": rng.choice((0, 90, slides))},
                            {"positions": names[at:], "slides": rng.choice((60, 90))}]
            right = row["cushion"]["right"]
            if right and rng.random() < 0.7:
                edge = right * at // len(names)
                row["parts"][0]["across"], row["parts"][1]["across"] = [0, edge], [edge, right]


def _along(rng: Random, rows: list[Data], restraints: list[Data]) -> Data:
    """Measures the car front to back: seats ahead, rows that slide, how restraints touch and lean. Returns what is
    known of those who sit in front."""
    for row, before in zip(rows, [None, *rows], strict=False):
        row["cushion"] |= {"angle": rng.choice((None, 12, 15, 15, 19)), "above_floor": rng.choice((None, 300, 340))}
        if row["row"] > 1 and rng.random() < 0.35:
            row["slides"] = rng.choice((40, 90))
        for position in row["positions"]:
            names = [] if before is None else [p["position"] for p in before["positions"]]
            if before is None or rng.random() < 0.1:
                continue
            seat = next((name for name in names if name[1] == position["position"][1]), rng.choice([*names, None]))
            free = rng.choice((560, 620, 650, 680, 720))
            heights = rng.choice(([0, 700], [0, 300, 600], [200, 500], []))
            position["ahead"] = {
                "seat": seat, "travel": rng.choice((None, 0, 60, 150, 150)) if seat else None,
                "gap": [[height, free + rng.choice((0, 0, 15, -20))] for height in heights],
                "contact": rng.choice((None, "allowed", "caution"))}
    if rng.random() < 0.15:
        rows[0]["slides"] = 80
    _shapes(Random(repr(rows)), rows)
    for restraint in restraints:
        for mode in restraint["modes"]:
            mode["touch_ahead"] = rng.choice((None, "may", "may", "gap", "must"))
            if mode["mode"] == "rear-facing-harness":
                mode["recline"] = rng.choice((None, {"reference": 40, "allowed": [30, 50], "packing": "none"}, {
                    "reference": 40, "allowed": [34, 48], "settings": [36, 40, 45],
                    "packing": "rolled-towel", "packing_limit": 5}))
    front: Data = {}
    for position in [p for row in rows[:2] for p in row["positions"]]:
        if rng.random() < 0.4:
            travels = [p["ahead"]["travel"] for row in rows for p in row["positions"]
                       if p.get("ahead") and p["ahead"]["seat"] == position["position"]]
            known = [travel for travel in travels if travel is not None]
            front[position["position"]] = {"forward_at_most": min([rng.choice((0, 50, 120)), *known])}
    return front


def _installed(rng: Random, names: list[str], places: list[str], held: list[str]) -> Data:
    """How some of them ride now, each in a place and a restraint of their own."""
    current: Data = {}
    for name in names:
        if rng.random() < 0.3:
            taken = [here[key] for here in current.values() for key in ("restraint", "position")]
            restraints = [None, *(word for word in held if word not in taken)]
            free = [place for place in places if place not in taken]
            if free:
                current[name] = {"restraint": rng.choice(restraints), "position": rng.choice(free)}
    return current


def seatings(rows: list[Data], riders: list[Data], restraints: list[Data]) -> int:
    """The product of all choices."""
    positions = sum(len(row["positions"]) for row in rows)
    modes = sum(len(restraint["modes"]) for restraint in restraints)
    return prod(positions * (1 if rider.get("adult") else 1 + modes) for rider in riders)


def _known(rng: Random, value: Any, share: float = 0.93) -> Any:
    """The value, or None where nobody measured it."""
    return value if rng.random() < share else None


def _row(rng: Random, number: int) -> Data:
    width = rng.choice((1180, 1260, 1340, 1420, 1500))
    sides = _SIDES[rng.choice((1, 2, 3, 3))]
    centres = {1: (width // 2,), 2: (width // 4, width - width // 4), 3: (width // 5, width // 2, width - width // 5)}
    trim: list[Data] = [{"name": "door", "left": _known(rng, rng.choice((0, 0, 15)), 0.97),
                         "right": _known(rng, width - rng.choice((0, 10)), 0.97)}]
    if rng.random() < 0.5:
        trim.append({"name": "armrest", "left": rng.choice((35, 60, None)), "right": width - rng.choice((35, 60)),
                     "up": [200, 420], "along": [100, rng.choice((350, 600))]})
        if trim[-1]["left"] is None and number % 2:
            trim[-1]["only"] = "right"                # in other rows nobody looked at the left one
    bars: list[Data] = []
    tethers: list[Data] = []
    one_tether = rng.random() < 0.5
    positions = []
    for side, middle in zip(sides, centres[len(sides)], strict=True):
        centre = middle + rng.randint(-15, 15)
        positions.append(_position(rng, f"{number}{side}", centre, bars, tethers, one_tether))
    if len(bars) == 4:
        inner = [bars[1]["bar"], bars[2]["bar"]]
        for position in positions:
            if position["position"].endswith("C") and not position["lower_anchors"]:
                # the centre hangs on its neighbours' inner bars: as its own pair, or borrowed
                position[rng.choice(("lower_anchors", "borrow"))] = inner
    return {"row": number, "trim": trim if rng.random() < 0.96 else [], "positions": positions,
            "lower_anchors": bars, "tethers": tethers,
            "cushion": {"left": 0, "right": width, "length": 520, "raised": "none"}}


def _position(rng: Random, name: str, centre: int, bars: list[Data], tethers: list[Data], one_tether: bool) -> Data:
    own: list[str] = []
    if rng.random() < (0.2 if name.endswith("C") else 0.85):
        half = rng.choice((138, 140, 142, 155))
        for across in (centre - half, centre + half):
            bars.append({"bar": f"b{len(bars)}", "across": across})
            own.append(bars[-1]["bar"])
    tether: str | None = None
    if rng.random() < 0.8:
        if not tethers or not one_tether:
            tethers.append({"tether": f"t{len(tethers)}", "mass_limit": rng.choice((None, None, "22 kg")),
                            **_led(Random(centre), [one["tether"] for one in tethers])})
        tether = tethers[-1]["tether"]
    reach = rng.choice((130, 150, 165, 230))
    side = rng.choice((-1, 1))
    buckle = {"across": centre + side * rng.choice((150, 190)), "stalk": _known(rng, rng.choice((70, 110)))}
    kind = rng.choice(("lap-shoulder",) * 6 + ("lap", "none"))
    return {
        "position": name, "centre": _known(rng, centre), "lower_anchors": own or None if rng.random() < 0.1 else own,
        "tether": tether or rng.choice(("none", "none", None)),
        "belt": _known(rng, {"kind": kind, "retractor": _known(rng, "switchable"), "latchplate": "sliding",
                             "inflatable": False, "anchors": _known(rng, [centre - reach, centre + reach]),
                             "buckle": _known(rng, buckle), "length": 3000}, 0.96),
        "head_restraint": {"removable": True, "juts": 10},
        "airbag": {"front": rng.choice(("none", "none", "none", "active")), "side": "curtain"},
        "support_leg": "allowed",
        "manual": {"forbids": ["child-restraint"] if rng.random() < 0.04 else [],
                   "allows": rng.choice(([], ["rear-facing-tether"]))},
    }


def _by_mass(rng: Random, mode: str) -> Data:
    """Some instructions ask for the tether from a mass on, or let it be used up to one; some labels count both."""
    start = "9 kg" if mode == "rear-facing-harness" else "16 kg"
    return {**({"needs_tether": {"from": start}} if rng.random() < 0.3 else {}),
            "tether_mass_limit": rng.choice((None, None, "17 kg")),
            "combined_mass_limit": rng.choice((None, None, "23 kg"))}


def _led(rng: Random, before: list[str]) -> Data:
    """Some straps are led to the loop of a neighbour, which may be for two, for one, or nobody looked. It has a dice of
    its own, so that the rest of a trip hangs on nothing of it."""
    led = {"through": [before[-1]]} if before and rng.random() < 0.25 else {}
    return {**led, "shared": rng.choice((None, True, False)) if rng.random() < 0.5 else None}


def _adult(rng: Random, name: str) -> Data:
    return {"rider": name, "adult": True, "age": "34 y", "height": rng.choice((1620, 1780)), "mass": "70 kg",
            "hips": rng.choice((360, 410, None)), "shoulders": rng.choice((430, 480, None))}


def _rider(rng: Random, name: str) -> Data:
    kind = rng.random()
    if kind < 0.2:
        return _adult(rng, name)
    if kind < 0.5:
        months, mass, height = rng.randint(4, 22), rng.uniform(6, 12), rng.randint(640, 860)
    elif kind < 0.7:
        months, mass, height = rng.randint(24, 58), rng.uniform(12, 18), rng.randint(860, 1090)
    elif kind < 0.9:
        months, mass, height = rng.randint(60, 118), rng.uniform(18.5, 30), rng.randint(1080, 1380)
    else:
        months, mass, height = rng.randint(120, 190), rng.uniform(34, 50), rng.randint(1450, 1600)
    age = rng.random()
    return {
        "rider": name, "mass": _known(rng, f"{mass:.1f} kg", 0.95), "height": _known(rng, height, 0.95),
        **({} if age < 0.06 else {"age": f"{months} months"}),
        "sitting_height": height * 53 // 100 if rng.random() < 0.8 else None,
        "shoulder_height": height * 33 // 100 if rng.random() < 0.8 else None,
        "ear_height": height * 42 // 100 if rng.random() < 0.8 else None,
        "shoulders": rng.choice((None, height // 4)), "hips": rng.choice((None, height // 5)),
        "sits_upright": rng.choice((True, True, None)),
        "belt_fit": {"passed": True, "position": rng.choice((None, "1R", "2L", "2C", "2R"))}
        if height > 1080 and rng.random() < 0.7 else None,
    }


def _part(rng: Random, name: str, along: tuple[int, int], up: tuple[int, int], width: int) -> Data:
    part: Data = {"part": name, "along": list(along), "up": list(up), "width": _known(rng, width, 0.96)}
    if rng.random() < 0.04:
        part["along"] = None
    elif rng.random() < 0.1:
        (a, b), (low, high) = along, up
        del part["along"], part["up"]
        part["outline"] = [[a, low], [b, low], [b - 40, high], [a + 20, high]]
    return part


_LIMITS = {
    "rear-facing-harness": {"mass": ["2 kg", "18 kg"], "height": [400, 1000]},
    "forward-facing-harness": {"mass": ["9 kg", "29 kg"], "height": [760, 1250], "age": ["12 months", "12 y"]},
    "high-back-booster": {"mass": ["15 kg", "50 kg"], "height": [960, 1480], "age": ["48 months", "14 y"]},
    "backless-booster": {"mass": ["18 kg", "50 kg"], "height": [1000, 1480]},
}


_WIDE_LIMITS = {"mass": ["2 kg", "60 kg"], "height": [400, 1650]}


def _parts(rng: Random, mode: str, width: int) -> list[Data]:
    low = rng.choice((90, 120, 170))
    base = _part(rng, "base", (30, rng.choice((430, 520))), (0, low), width - rng.choice((10, 40, 60)))
    if mode == "rear-facing-harness":
        foot_end = _part(rng, "foot-end", (30, 380), (low, 460), width - rng.choice((0, 50)))
        return [base, _part(rng, "head-end", (380, 700), (low, 660), width), foot_end]
    if mode == "backless-booster":
        return [base]
    upper = _part(rng, "wings", (20, 290), (400, 810), width)
    return [base, _part(rng, "back", (20, 200), (low, 400), width - 60), upper]


def _restraint(rng: Random, number: int, lengthwise: bool) -> Data:
    pair = rng.choice((("rear-facing-harness",), ("rear-facing-harness", "forward-facing-harness"),
                       ("forward-facing-harness", "high-back-booster"), ("high-back-booster", "backless-booster"),
                       ("forward-facing-harness",), ("high-back-booster",), ("backless-booster",)))
    if lengthwise and rng.random() < 0.2:
        pair = ("rear-facing-harness",)
    width = rng.choice((375, 400, 420, 445, 470))
    return {
        "restraint": f"Seat {number + 1}", "invented": True, "mass": _known(rng, "6.5 kg"), "made": "2023-05-01",
        "expires_after": "9 y", "condition": _FINE if rng.random() < 0.95 else {"crash": "severe"},
        "approval": {"standard": "UN R129", "category": "universal-belted"},
        "tolerance": 5, "modes": [_mode(rng, mode, width + rng.choice((0, 0, -30))) for mode in pair],
    }


def _mode(rng: Random, mode: str, width: int) -> Data:
    belt: Data = {"by": "lap-shoulder-belt", "belt_path": 200, "belt_needed": 2300, "lock_off": True,
                  "needs_tether": False, "inflatable_belt": "forbidden",
                  "support_leg": None if rng.random() < 0.03 else False}
    anchors: Data = {"by": "lower-anchors", "connectors": rng.choice(("flexible", "rigid", None)),
                     "mass_limit": "25 kg", "needs_tether": rng.choice((False, False, True)),
                     **_by_mass(Random(width), mode),
                     "borrow": rng.choice(("allowed", "allowed", "forbidden")),
                     "spacing": rng.choice((None, [200, 800], [200, 800])), "support_leg": False}
    if rng.random() < 0.2:
        belt["play"] = rng.choice((0, 11, 40))
    if mode.endswith("booster"):
        installations = [belt]
    else:
        if rng.random() < 0.2:
            anchors["parts"] = [_part(rng, "stand", (40, 500), (0, 110), width - 20)]
        installations = rng.choice(([belt], [anchors], [anchors, belt], [belt, anchors]))
    return {
        "mode": mode, "limits": _LIMITS[mode] if rng.random() < 0.5 else _WIDE_LIMITS,
        "shoulder_slots": [180, 520], "shell_height": 720,
        "seat_up": _known(rng, 90) if mode.endswith("booster") else 90,
        "recline": {"reference": 20, "allowed": "none"} if mode == "forward-facing-harness" else None,
        "parts": _parts(rng, mode, width) if rng.random() < 0.97 else [],
        "tether_strap": rng.choice((True, True, False)) if mode == "forward-facing-harness" else False,
        "installations": installations,
    }


def _wishes(rng: Random, names: list[str], places: list[str], held: list[str]) -> list[Data]:
    """Up to two wishes, of which at most one is a must where both are for the same riders."""
    wishes = [_wish(rng, names, places, held) for _ in range(rng.choice((0, 0, 1, 1, 2)))]
    meant = [{wish.get("rider"), *wish.get("apart", ()), *wish.get("together", ())} for wish in wishes]
    if len(wishes) == 2 and meant[0] == meant[1]:
        wishes[1]["must"] = False
    return wishes


def _wish(rng: Random, names: list[str], places: list[str], held: list[str]) -> Data:
    kinds = ["at", "not_at"] + ["uses"] * bool(held) + ["apart", "together"] * (len(names) > 1)
    kind = rng.choice(kinds)
    must = rng.random() < 0.4
    if kind in ("apart", "together"):
        return {kind: rng.sample(names, 2), "must": must}
    options = held if kind == "uses" else places
    chosen = rng.sample(options, rng.randint(1, max(1, len(options) // 2)))
    return {"rider": rng.choice(names), kind: chosen, "must": must}
