"""Sentences of the rules about what lies along the car."""

from __future__ import annotations

TEXT = {
    "recline-out-of-range": {
        "block": "no setting leans as it should at {position}: the nearest comes to {measured} from upright, "
                 "{limit} is asked for: {shortfall} too {too} in this car",
        "caution": "setting {setting}{packed} leans {measured} from upright at {position}; {limit} is asked "
                   "for{near}{newborn}",
        "pass": "setting {setting}{packed} leans {measured} from upright at {position}; {limit} is asked for"
                "{near}",
    },
    "no-room-ahead": {
        "block": "{part} needs {reach}{clear} at {height} above the cushion and {free} are free at "
                 "{position}: the seat ahead would have to come forward {measured} and can come {limit}: "
                 "{shortfall} short",
        "caution": "{part} needs {reach}{clear} at {height} above the cushion and {free} are free at "
                   "{position}: {shortfall} short with the seat ahead foremost, less than the lengths may be off",
        "pass": "{part} at {position} {room}",
    },
    "sensors-ahead": {
        "caution": "it may touch the seat ahead of {position}, and the vehicle handbook warns of that: leave a gap",
        "block": "it may touch the seat ahead of {position}, and the vehicle handbook warns of that",
        "pass": "the vehicle handbook allows it to touch the seat ahead of {position}",
    },
}
