"""Sentences of the rules about this very restraint."""

from __future__ import annotations

TEXT = {
    "restraint-expired": {
        "block": "{restraint} may be used until {limit}; on {measured} it is {shortfall} past",
        "pass": "{restraint} may be used until {limit}",
    },
    "restraint-crashed": {
        "block": "{restraint} was in a {measured} crash",
        "caution": "{restraint} was in a minor crash ({only_if}): follow its instructions, many ask for a new "
                   "one",
        "pass": "{restraint} was in no crash",
    },
    "restraint-recalled": {
        "block": "{restraint} has an open recall",
        "pass": "{restraint} has no open recall",
    },
    "restraint-labels-missing": {
        "block": "{restraint} has lost its labels, so nobody can look up its limits",
        "pass": "{restraint} has its labels",
    },
    "restraint-history-unknown": {
        "block": "nobody knows what happened to {restraint} before",
        "pass": "the history of {restraint} is known",
    },
    "approved-elsewhere": {
        "block": "{restraint} is approved to {measured}; these rules ask for {limit}",
        "pass": "{restraint} is approved to {measured}",
    },
}
