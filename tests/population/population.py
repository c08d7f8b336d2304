"""Made-up cars and restraints, judged by the rules: which share fails by which cause."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from math import radians, tan
from random import Random

import population_ranges as r

from seatplan.geometry.ahead import Profile, room_needed
from seatplan.geometry.shapes import Shapes
from seatplan.geometry.support import footprints, raised_on, support_of, surface_of
from seatplan.model import Restraint, Rider, Trip, Vehicle
from seatplan.rules.load import bundled_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext

PAIRS, SEED = 2000, 20261125
PROFILE = bundled_profile("us")
CHILD = Rider(rider="Wren", mass="9 kg", height=720, age="9 months")
CENTRE = 300
CAUSES = (
    "RF base between bolsters", "FF base between bolsters", "RF base carried", "FF base carried", "RF recline",
    "FF head restraint", "FF head restraint, left on", "RF room ahead", "RF room ahead, half a travel more",
    "RF overhang", "FF overhang", "FF tether reach",
)


@dataclass(frozen=True)
class Made:
    """One car and one restraint that faces either way, and the free lengths ahead at mid-track, as given and with
    half a travel on top."""

    vehicle: Vehicle
    restraint: Restraint
    ahead: dict[str, Profile]


def _normal(rng: Random, mean: float, sd: float, low: float, high: float) -> float:
    return min(high, max(low, rng.gauss(mean, sd)))


def drawn(rng: Random) -> Made:
    length = round(_normal(rng, *r.CUSHION_LENGTH))
    half = round(rng.uniform(*r.FLAT_WIDTH) / 2)
    comes_off, juts = rng.choice(r.HEAD_RESTRAINTS)
    along = round(rng.uniform(*r.ANCHOR_ALONG))
    vehicle = Vehicle.model_validate({
        "vehicle": "Drawn", "invented": True, "every_seat": {"facing": "forward", "tip_up": False, "slides": False},
        "rows": [
        {"row": 1, "positions": [{"position": "1L"}]},
        {"row": 2,
         "cushion": {"left": CENTRE - half - 80, "right": 1340, "length": length,
                     "angle": round(_normal(rng, *r.PAN_ANGLE), 1),
                     "raised": [{"name": "left bolster", "across": [CENTRE - half - 80, CENTRE - half]},
                                {"name": "right bolster", "across": [CENTRE + half, CENTRE + half + 80]}]},
         "seatback": {"angle": round(_normal(rng, *r.BACK_ANGLE), 1), "height": round(rng.uniform(*r.BACK_HEIGHT))},
         "tethers": [{"tether": "t", "across": CENTRE, "along": along, "up": round(rng.uniform(*r.ANCHOR_UP))}],
         "positions": [{"position": "2L", "centre": CENTRE, "tether": "t",
                        "head_restraint": {"removable": comes_off, "juts": juts}}]}]})
    width = rng.uniform(*r.WIDTH)
    base = {"part": "base", "along": [round(rng.uniform(*r.BASE_BACK)), round(rng.uniform(*r.BASE_FRONT))],
            "up": [0, 150], "width": round(width * rng.uniform(*r.BASE_SHARE))}
    reach = round(rng.uniform(*rng.choice(r.REAR_FACING_LENGTH)))
    settings = [rng.uniform(*r.SETTING) - i * r.SETTING_STEP for i in range(rng.randint(*r.SETTINGS))]
    window = rng.uniform(*r.WINDOW)
    shell = {"part": "shell", "along": [430, reach], "up": [190, 570], "width": round(width)}
    wings = {"part": "shell", "along": [40, 400], "up": [150, 640], "width": round(width)}
    held = [{"by": "lower-anchors", "connectors": "flexible"}]
    restraint = Restraint.model_validate({"restraint": "Drawn shell", "invented": True, "modes": [
        {"mode": "rear-facing-harness", "parts": [base, shell], "touch_ahead": "may", "installations": held,
         "recline": {"reference": settings[0], "settings": settings, "packing": "none",
                     "allowed": [settings[-1] - window, settings[0] + window]}},
        {"mode": "forward-facing-harness", "parts": [base, wings], "installations": held,
         "tether_strap": True, "tether_length": round(rng.uniform(*r.STRAP)), "tether_from": [60, 480]}]})
    couple = rng.uniform(*r.COUPLE_DISTANCE)
    free = couple + r.SECOND_H_POINT - r.FRONT_SEAT_DEEP
    lean = tan(radians(r.FRONT_BACK_LEANS))
    return Made(vehicle, restraint, {
        cause: Profile(tuple((h, round(free + more - h * lean)) for h in (0, 300, 600)))
        for cause, more in (("RF room ahead", 0), ("RF room ahead, half a travel more", r.HALF_TRAVEL))})


def failings(made: Made) -> set[str]:
    """The causes by which one pair fails, by our rules; ``between bolsters`` by the published criterion, that no
    part of the base stands on one."""
    trip = Trip(trip="Drawn", vehicle=made.vehicle, drives="1L", riders=[CHILD], restraints=[made.restraint])
    world, row = RuleContext(trip, made.vehicle, PROFILE, date(2026, 11, 25)), made.vehicle.rows[1]
    found: set[str] = set()
    for mode in made.restraint.modes:
        placement = Placement(CHILD, row.positions[0], row, made.restraint, mode, mode.installations[0],
                              tether="t" if mode.tether_strap else None)
        way = "RF" if mode.rear_facing else "FF"
        base, surface = footprints([mode.parts[0]]), surface_of(row.cushion)
        assert base is not None
        assert surface is not None
        if support_of(base, surface, raised_on(row.cushion), 2 * CENTRE, 0).raised:
            found.add(f"{way} base between bolsters")
        for rule_id, cause in (("recline-out-of-range", "recline"), ("head-restraint-juts", "head restraint"),
                               ("base-off-the-cushion", "base carried"),
                               ("tether-too-short", "tether reach")):
            rule = rule_by_id(rule_id)
            if rule.when(placement, world) and rule.check(placement, world).outcome == "fail":
                found.add(f"{way} {cause}")
        # over the front edge alone
        if support_of(base, surface, [], 2 * CENTRE, 0).percent < world.limit("supported_base"):
            found.add(f"{way} overhang")
        if mode.rear_facing:
            shapes = Shapes()
            shape = shapes.posed(shapes.of(CHILD, "Drawn shell", mode, placement.installation), mode, None,
                                 row.cushion.angle)
            for cause, profile in made.ahead.items():
                need = room_needed(shape, profile, 0)
                if need.mm is None or need.mm > 0:
                    found.add(cause)
    head = row.positions[0].head_restraint
    if head is not None and (head.juts or 0) > world.limit("head_restraint_juts"):
        found.add("FF head restraint, left on")
    return found


def shares() -> dict[str, float]:
    """Per cent of pairs that fail, by cause."""
    rng = Random(SEED)
    pairs = [(made, failings(made)) for made in (drawn(rng) for _ in range(PAIRS))]
    count = Counter(cause for _, found in pairs for cause in found)
    found_in = {cause: 100 * count[cause] / PAIRS for cause in CAUSES}
    single = ["RF recline" in found for made, found in pairs
              if made.restraint.modes[0].recline and len(made.restraint.modes[0].recline.settings) == 1]
    return found_in | {"RF recline, one setting": 100 * sum(single) / len(single)}
