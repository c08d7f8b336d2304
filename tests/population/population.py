"""Made-up cars and restraints, judged by the rules: which share fails by which cause."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import radians, tan
from random import Random
from types import SimpleNamespace
from typing import Any

from population_ranges import NAMES, Among, Ranges

from seatplan.files.load import load_restraint
from seatplan.geometry.across import RowSpace, seat_of
from seatplan.geometry.ahead import Profile, room_needed
from seatplan.geometry.recline import Setting
from seatplan.geometry.shapes import Shape, Shapes
from seatplan.geometry.support import footprints, raised_on, support_of, surface_of
from seatplan.model import Mode, Restraint, Rider, Row, Trip, Vehicle
from seatplan.rules.load import bundled_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext

SEED = 20261125
PROFILE = bundled_profile("us")
CHILD = Rider(rider="Wren", mass="9 kg", height=720, age="9 months")
BIG = Rider(rider="Robin", mass="24 kg", height=1220, age="7y")
CENTRE = 300
#: settings beside the most reclined one are so much more upright each, degrees
SETTING_STEP = 6.5
#: heights at which the free length ahead is drawn, mm
HEIGHTS = (0, 300, 600, 800)
#: every cause, with the per cent of pairs that failed by it where that was published: Bing, Bolte, Agnew 2015 (read in
#: press summaries), Bing, Agnew, Bolte 2018 (abstract), Hu, Manary, Klinich, Reed 2015 (abstract)
PUBLISHED = {
    "RF base between bolsters": "37", "FF base between bolsters": "38", "RF base carried": "-", "FF base carried": "-",
    "RF recline": "over 40", "FF head restraint": "about 33", "FF head restraint, left on": "about 33",
    "RF room ahead": "10", "FF F3 room ahead": "0", "FF F2X room ahead": "0", "RF overhang": "under 2",
    "FF overhang": "under 2", "FF tether reach": "under 2", "booster on buckle, outboard": "14.6",
    "booster on buckle, centre": "65.3",
}
CAUSES = tuple(PUBLISHED)
_LARGEST = ("F3", "F2X")


@dataclass(frozen=True)
class Made:
    """A car, a restraint that faces either way, a booster, and the back of the front seat at mid-track. ``drawn``: the
    numbers that they were made of, by the name of their range."""

    drawn: SimpleNamespace
    vehicle: Vehicle
    restraint: Restraint
    ahead: Profile


def pairs(n: int, ranges: Ranges | None = None) -> Iterator[Made]:
    """So many pairs. A pair of one number differs between ranges only in what was drawn from another range."""
    ranges = ranges or Ranges()
    for k in range(n):
        rng = Random(f"{SEED}-{k}")
        yield made({name: getattr(ranges, name).at(rng.random()) for name in NAMES})


def held(name: str, share: float) -> Ranges:
    """The ranges with one held at a share of itself."""
    return replace(Ranges(), **{name: Among([getattr(Ranges(), name).at(share)])})


def made(numbers: dict[str, float]) -> Made:
    d = SimpleNamespace(**numbers)
    return Made(d, _vehicle(d), _restraint(d), free_ahead(d))


def free_ahead(d: SimpleNamespace) -> Profile:
    """From the bight forward to the back of the front seat at mid-track, which leans towards the row behind."""
    free = d.couple_distance + d.mid_track_forward + d.second_h_point - d.front_seat_deep
    return Profile(tuple((h, round(free - h * tan(radians(d.front_back_leans)))) for h in HEIGHTS))


def _vehicle(d: SimpleNamespace) -> Vehicle:
    half = round(d.flat_width / 2)
    return Vehicle.model_validate({
        "vehicle": "Drawn", "invented": True, "every_seat": {"facing": "forward", "tip_up": False, "slides": False},
        "rows": [
        {"row": 1, "positions": [{"position": "1L"}]},
        {"row": 2,
         "cushion": {"left": CENTRE - half - 80, "right": 1340, "length": round(d.cushion_length),
                     "angle": round(d.pan_angle, 1),
                     "raised": [{"name": "left bolster", "across": [CENTRE - half - 80, CENTRE - half]},
                                {"name": "right bolster", "across": [CENTRE + half, CENTRE + half + 80]}]},
         "seatback": {"angle": round(d.back_angle, 1), "height": round(d.back_height)},
         "tethers": [{"tether": "t", "across": CENTRE, "along": round(d.anchor_along), "up": round(d.anchor_up)}],
         "positions": [{"position": "2L", "centre": CENTRE, "tether": "t",
                        "head_restraint": {"removable": bool(d.head_restraint_off),
                                           "juts": round(d.head_restraint_juts)}}]}]})


def _restraint(d: SimpleNamespace) -> Restraint:
    base: dict[str, Any] = {"part": "base", "along": [round(d.base_back), round(d.base_front)], "up": [0, 150],
                            "width": round(d.width * d.base_share)}
    settings = [d.setting - i * SETTING_STEP for i in range(round(d.settings))]
    width, on_anchors = round(d.width), [{"by": "lower-anchors", "connectors": "flexible"}]
    shell = {"part": "shell", "along": [430, round(d.rear_facing_length)], "up": [190, 570], "width": width}
    wings = {"part": "shell", "along": [40, 400], "up": [150, 640], "width": width}
    booster = {"part": "base", "along": [20, 400], "up": [0, 200], "width": round(d.booster_width)}
    return Restraint.model_validate({"restraint": "Drawn shell", "invented": True, "modes": [
        {"mode": "rear-facing-harness", "parts": [base, shell], "touch_ahead": "may", "installations": on_anchors,
         "recline": {"reference": settings[0], "settings": settings, "packing": "none",
                     "allowed": [settings[-1] - d.window, settings[0] + d.window]}},
        {"mode": "forward-facing-harness", "parts": [base, wings], "installations": on_anchors,
         "tether_strap": True, "tether_length": round(d.strap), "tether_from": [60, 480]},
        {"mode": "backless-booster", "parts": [booster], "seat_up": 90, "installations": [{"by": "lap-shoulder-belt"}]},
    ]})


def failings(made: Made) -> set[str]:
    """The causes by which one pair fails, by our rules; ``between bolsters`` by the published criterion, that no
    part of the base stands on one."""
    trip = Trip(trip="Drawn", vehicle=made.vehicle, drives="1L", riders=[CHILD], restraints=[made.restraint])
    world, row = RuleContext(trip, made.vehicle, PROFILE, date(2026, 11, 25)), made.vehicle.rows[1]
    found = {cause for mode in made.restraint.modes[:2] for cause in _of_mode(made, mode, row, world)}
    head = row.positions[0].head_restraint
    if head is not None and (head.juts or 0) > world.limit("head_restraint_juts"):
        found.add("FF head restraint, left on")
    for name in _LARGEST:
        if _over(made, envelope(name, made.drawn.pan_angle)):
            found.add(f"FF {name} room ahead")
    for place, aside in (("outboard", made.drawn.buckle_outboard), ("centre", made.drawn.buckle_centre)):
        if on_buckle(made, row, round(aside)):
            found.add(f"booster on buckle, {place}")
    return found


def _of_mode(made: Made, mode: Mode, row: Row, world: RuleContext) -> Iterator[str]:
    placement = Placement(CHILD, row.positions[0], row, made.restraint, mode, mode.installations[0],
                          tether="t" if mode.tether_strap else None)
    way = "RF" if mode.rear_facing else "FF"
    base, surface = footprints([mode.parts[0]]), surface_of(row.cushion)
    assert base is not None
    assert surface is not None
    if support_of(base, surface, raised_on(row.cushion), 2 * CENTRE, 0).raised:
        yield f"{way} base between bolsters"
    for rule_id, cause in (("recline-out-of-range", "recline"), ("head-restraint-juts", "head restraint"),
                           ("base-off-the-cushion", "base carried"), ("tether-too-short", "tether reach")):
        rule = rule_by_id(rule_id)
        if rule.when(placement, world) and rule.check(placement, world).outcome == "fail":
            yield f"{way} {cause}"
    # over the front edge alone
    if support_of(base, surface, [], 2 * CENTRE, 0).percent < world.limit("supported_base"):
        yield f"{way} overhang"
    if mode.rear_facing:
        shapes = Shapes()
        shape = shapes.posed(shapes.of(CHILD, "Drawn shell", mode, placement.installation), mode, None,
                             row.cushion.angle)
        if _over(made, shape):
            yield "RF room ahead"


def envelope(name: str, pan_angle: float) -> Shape:
    """The outline of a fixture of UN R16 as it stands on a cushion."""
    mode, shapes = load_restraint(f"un-{name.lower()}").modes[0], Shapes()
    assert mode.recline is not None
    reference = mode.recline.reference
    return shapes.posed(shapes.of(CHILD, name, mode, mode.installations[0]), mode, Setting(reference, 0, reference),
                        pan_angle)


def _over(made: Made, shape: Shape) -> bool:
    need = room_needed(shape, made.ahead, 0)
    return need.mm is None or need.mm > 0


def on_buckle(made: Made, row: Row, aside: int) -> bool:
    """Whether a booster in the middle of its position, or as far beside it as it may stand, covers its buckle."""
    mode = made.restraint.modes[2]
    position = row.positions[0].model_validate({
        "position": "2L", "centre": CENTRE,
        "belt": {"kind": "lap-shoulder", "buckle": {"across": CENTRE + aside, "stalk": 100}}})
    shapes = Shapes()
    body = seat_of(row, position, BIG, made.restraint, mode, mode.installations[0], (), shapes,
                   belt_play_mm=int(PROFILE.limit("belt_play")), flexible_play_mm=0, rigid_play_mm=0,
                   hand_room_mm=int(PROFILE.limit("buckle_hand_room")))
    return RowSpace(row, shapes).shortfall([body]) > 0


def shares(made: Iterable[Made]) -> dict[str, float]:
    """Per cent of pairs that fail, by cause; every cause."""
    found = [failings(pair) for pair in made]
    count = Counter(cause for causes in found for cause in causes)
    return {cause: 100 * count[cause] / len(found) for cause in CAUSES}
