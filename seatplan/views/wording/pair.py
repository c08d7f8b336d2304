"""Sentences of the rules about two riders."""

from __future__ import annotations

TEXT = {
    "position-wanted-twice": {
        "block": "{left} and {right} both at {left_position}",
        "pass": "{left} and {right} have a seat each",
    },
    "restraint-wanted-twice": {
        "block": "{left} and {right} both in {measured}",
        "pass": "{left} and {right} have a restraint each",
    },
    "bar-wanted-twice": {
        "block": "{left} at {left_position} and {right} at {right_position} both hang on bar {measured}",
        "pass": "{left} and {right} hang on bars of their own",
    },
    "tether-wanted-twice": {
        "block": "{left} at {left_position} and {right} at {right_position} both need tether anchor "
                 "{measured}",
        "pass": "{left} and {right} have a tether anchor each",
    },
    "belts-cross": {
        "block": "the belts of {left_position} and {right_position} overlap by {measured}; up to "
                 "{limit} is fine",
        "pass": "the belts of {left_position} and {right_position} do not cross",
    },
    "buckles-too-near": {
        "block": "the buckles of {left_position} and {right_position} are {measured} apart; a tongue needs "
                 "{limit}",
        "pass": "the buckles of {left_position} and {right_position} are {measured} apart",
    },
    "seats-too-near-to-be-tested": {
        "caution": "the middles of {left_position} and {right_position} are {measured} apart; nearer "
                   "than {limit} "
                   "nobody tests both at once",
        "block": "the middles of {left_position} and {right_position} are {measured} apart, needed "
                 "{limit}",
        "pass": "the middles of {left_position} and {right_position} are {measured} apart",
    },
    "wish-to-be-apart-not-met": {
        "block": "you asked for {left} and {right} apart, and {measured} are side by side",
        "pass": "{left} and {right} sit apart, as you asked",
    },
}
