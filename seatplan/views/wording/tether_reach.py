"""Sentences of the rules about the way of the tether strap."""

from __future__ import annotations

TEXT = {
    "tether-too-short": {
        "block": "the way over the {over} to the tether anchor is {measured} and the strap {limit}"
        " long: {shortfall} too short",
        "pass": "the way over the {over} to the tether anchor is {measured} and the strap {limit} long{estimate}",
    },
    "tether-anchor-outside-zone": {
        "caution": "the tether anchor is {measured} outside the zone of the standards at {position},"
        " {where} (shoulder estimated)",
        "block": "the tether anchor must lie in the zone of the standards: {measured} outside it at"
        " {position}, {where} (shoulder estimated)",
        "pass": "the tether anchor lies in the zone of the standards at {position} (shoulder estimated)",
    },
}
