"""Sentences of the UN rules."""

from __future__ import annotations

TEXT = {
    "fixture-not-listed": {
        "block": "{restraint} is of size {measured}; {position} takes {limit}",
        "pass": "{restraint} is of size {measured}, and {position} takes it",
    },
    "category-not-allowed": {
        "block": "{restraint} is {measured}; {position} is declared: {limit}",
        "pass": "{restraint} is {measured}, and {position} is declared for it",
    },
    "group-mass-mismatch": {
        "block": "weighs {measured}, which is group {groups}; {restraint} is for {limit}",
        "pass": "weighs {measured}, which is group {groups}; {restraint} is for {limit}",
    },
    "group-0-forward-facing": {
        "block": "{restraint} is for groups {measured}, which never face forward",
        "pass": "{restraint} may face forward in groups {measured}",
    },
    "forward-facing-under-15-months": {
        "block": "is {measured} old; facing forward begins at {limit}",
        "pass": "is {measured} old; facing forward begins at {limit}",
    },
    "forward-facing-under-76-cm": {
        "block": "is {measured} tall; facing forward begins at {limit}: {shortfall} under",
        "pass": "is {measured} tall; facing forward begins at {limit}",
    },
    "booster-under-100-cm": {
        "block": "is {measured} tall; this kind of booster begins at {limit}: {shortfall} under",
        "pass": "is {measured} tall; this kind of booster begins at {limit}",
    },
}
