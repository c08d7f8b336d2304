"""Sentences of the rules about the whole trip, its wishes, and what was tried."""

from __future__ import annotations

TEXT = {
    "front-seat-under-13": {
        "caution": "{child}, aged {years}, rides in front while {behind} is free or holds somebody older; under 13 "
                   "the rear is better",
        "block": "{child}, aged {years}, rides in front while {behind} is free or holds somebody older",
        "pass": "{child} rides in front; no rear seat is left",
    },
    "wish-to-be-together-not-met": {
        "block": "you asked for {measured} side by side",
        "pass": "they sit side by side, as you asked",
    },
    "rider-without-place": {
        "block": "{left_out} has no place",
        "pass": "everybody has a place",
    },
    "moved-when-tried": {
        "block": "tried on {on}: {tried}",
        "pass": "tried on {on}: moved {measured}, {level}; allowed {limit}",
    },
    "wish-for-seat-not-met": {
        "block": "you asked for {limit}; it would be {measured}",
        "pass": "this is where you asked for",
    },
}
