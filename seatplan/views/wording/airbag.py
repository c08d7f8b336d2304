"""Sentences of the rules about airbags."""

from __future__ import annotations

TEXT = {
    "rear-facing-before-airbag": {
        "block": "the front airbag at {position} is {measured}; it would strike the back of the "
                 "shell",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
    "bed-before-airbag": {
        "block": "the front airbag at {position} is {measured}; it would strike the bed",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
    "child-before-airbag": {
        "caution": "the front airbag at {position} is {measured}: have that seat as far back as it goes, and do what "
                   "the handbook says of children there",
        "block": "the front airbag at {position} is {measured}; a child belongs in another row",
        "pass": "the front airbag at {position}: {measured}",
    },
    "side-airbag-in-seat": {
        "caution": "{measured}: do what the vehicle handbook says of children there, and the child does not lean on "
                   "the door",
        "block": "{measured}; a child belongs on another seat",
        "pass": "the side airbag at {position}: {measured}",
    },
}
