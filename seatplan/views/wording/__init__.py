"""All sentences about findings: rule -> outcome -> template. One module for each module of rules."""

from __future__ import annotations

from . import (
    access,
    ahead,
    airbag,
    belt,
    booster_seat,
    child_in_mode,
    child_in_shell,
    doubted,
    facing,
    lower_anchors,
    pair,
    position,
    readiness,
    restraint_condition,
    row,
    support,
    tether,
    tether_reach,
    trip,
    un_route,
)

TEXT: dict[str, dict[str, str]] = {
    **access.TEXT, **ahead.TEXT, **airbag.TEXT, **belt.TEXT, **booster_seat.TEXT, **support.TEXT,
    **tether_reach.TEXT, **doubted.TEXT, **facing.TEXT, **child_in_mode.TEXT, **child_in_shell.TEXT,
    **lower_anchors.TEXT, **pair.TEXT,
    **position.TEXT, **readiness.TEXT, **restraint_condition.TEXT, **row.TEXT, **tether.TEXT, **trip.TEXT,
    **un_route.TEXT,
}

#: what stands for an outcome that a rule has no words of its own for
UNMEASURED = "not known: {field}; {how}{settle}"
#: what stands for a pass that nobody measured, but a try at the car shows
TRIED = "{measured}: it held when tried on {tried_on}"
