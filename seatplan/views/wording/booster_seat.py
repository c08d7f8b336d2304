"""Sentences of the rules about how a child sits on a booster or on the cushion."""

from __future__ import annotations

TEXT = {
    "thigh-shorter-than-booster": {
        "caution": "the thigh is {measured} mm{estimate} and the booster's seat {limit} mm long: knees do not"
        " bend at its edge",
        "block": "knees must bend at the edge: the thigh is {measured} mm{estimate} and the booster's seat"
        " {limit} mm long",
        "pass": "the thigh is {measured} mm{estimate} and the booster's seat {limit} mm long",
    },
    "head-above-vehicle-back": {
        "caution": "the ears come up to {limit} mm above the cushion and the vehicle's seatback or head restraint"
        " to {measured} mm: it should reach the ears",
        "block": "the vehicle's seatback or head restraint must reach the ears: they come up to {limit} mm, it"
        " to {measured} mm",
        "pass": "the ears come up to {limit} mm and the vehicle's seatback or head restraint to {measured} mm",
    },
    "knees-do-not-bend": {
        "caution": "the thigh is {measured} mm{estimate} and the cushion takes {limit} mm: knees do not bend"
        " at its edge",
        "block": "knees must bend at the edge: the thigh is {measured} mm{estimate} and the cushion takes"
        " {limit} mm",
        "pass": "the thigh is {measured} mm{estimate} and the cushion takes {limit} mm",
    },
    "shoulder-belt-ahead-of-shoulder": {
        "caution": "the shoulder belt at {position} starts {shortfall} mm ahead of the shoulder{estimate}",
        "block": "the shoulder belt must not start ahead of the shoulder: {shortfall} mm at"
        " {position}{estimate}",
        "pass": "the shoulder belt at {position} does not start ahead of the shoulder{estimate}",
    },
}
