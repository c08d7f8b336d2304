"""Sentences of the rules about how a child sits on a booster or on the cushion."""

from __future__ import annotations

TEXT = {
    "thigh-shorter-than-booster": {
        "caution": "the thigh is {measured}{estimate} and the booster's seat {limit} long: knees do not"
        " bend at its edge",
        "block": "knees must bend at the edge: the thigh is {measured}{estimate} and the booster's seat"
        " {limit} long",
        "pass": "the thigh is {measured}{estimate} and the booster's seat {limit} long",
    },
    "head-above-vehicle-back": {
        "caution": "the ears come up to {limit} above the cushion and the vehicle's seatback or head restraint"
        " to {measured}: it should reach the ears",
        "block": "the vehicle's seatback or head restraint must reach the ears: they come up to {limit}, it"
        " to {measured}",
        "pass": "the ears come up to {limit} and the vehicle's seatback or head restraint to {measured}",
    },
    "knees-do-not-bend": {
        "caution": "the thigh is {measured}{estimate} and the cushion takes {limit}: knees do not bend"
        " at its edge",
        "block": "knees must bend at the edge: the thigh is {measured}{estimate} and the cushion takes"
        " {limit}",
        "pass": "the thigh is {measured}{estimate} and the cushion takes {limit}",
    },
    "shoulder-belt-ahead-of-shoulder": {
        "caution": "the shoulder belt at {position} starts {shortfall} ahead of the shoulder{estimate}",
        "block": "the shoulder belt must not start ahead of the shoulder: {shortfall} at"
        " {position}{estimate}",
        "pass": "the shoulder belt at {position} does not start ahead of the shoulder{estimate}",
    },
}
