"""All sentences about findings: rule -> outcome -> template. One module for each module of rules."""

from __future__ import annotations

from . import (
    belt,
    child_in_mode,
    child_in_shell,
    lower_anchors,
    pair,
    position,
    readiness,
    restraint_condition,
    row,
    tether,
    trip,
    un_route,
)

TEXT: dict[str, dict[str, str]] = {
    **belt.TEXT, **child_in_mode.TEXT, **child_in_shell.TEXT, **lower_anchors.TEXT, **pair.TEXT,
    **position.TEXT, **readiness.TEXT, **restraint_condition.TEXT, **row.TEXT, **tether.TEXT, **trip.TEXT,
    **un_route.TEXT,
}

#: what stands for an outcome that a rule has no words of its own for
UNMEASURED = "not known: {field}; {how}{settle}"
