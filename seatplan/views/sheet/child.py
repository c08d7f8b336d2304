"""The child on the day of travel, and whom the mode takes, so that both can be held against the label."""

from __future__ import annotations

from seatplan.message import Way
from seatplan.model import Reckoned
from seatplan.rules.limits import limit_of
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.results import Plan
from seatplan.units import Number, Quantity
from seatplan.views.ages import age
from seatplan.views.say import t
from seatplan.views.text import quantity

_UNITS = {"mass": "kg", "height": "mm"}
#: a least is rounded up, a most down
_ROUND: tuple[Way, Way] = ("up", "down")


def child_said(plan: Plan, placement: Placement) -> str:
    """``15 months, 9.6 kg, 755 mm``; sizes that growth tables reckoned with their range, and that they are."""
    rider = placement.rider
    months = RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options).age_months(rider)
    told = [t("age not known") if months is None else age(months)]
    for name, unknown in (("mass", t("mass not known")), ("height", t("height not known"))):
        likely = getattr(rider, name)
        if likely is None:
            told.append(unknown)
        elif isinstance(rider, Reckoned):
            low, high = (_size(getattr(size, name), name) for size in (rider.smaller, rider.larger))
            told.append(t("{likely} ({low} to {high})", likely=_size(likely, name), low=low, high=high))
        else:
            told.append(_size(likely, name))
    reckoned = t("; reckoned from growth tables: measure again") if isinstance(rider, Reckoned) else ""
    return ", ".join(told) + reckoned


def takes_said(placement: Placement) -> str:
    """Whom the instructions let ride like that: ``2 to 18.1 kg, 430 to 812 mm, 2 years to 12 years``."""
    told = []
    for name in ("mass", "height", "age"):
        limits = limit_of(placement, name)
        if limits is None:
            continue
        ends = [age(int(end)) if name == "age" else quantity(end, _UNITS[name], way)
                for end, way in zip(limits, _ROUND, strict=True)]
        told.append(t("{low} to {high}", low=ends[0], high=ends[1]) if limits[0] else t("up to {high}", high=ends[1]))
    installation = placement.installation
    if placement.bars and installation is not None and isinstance(installation.mass_limit, Quantity):
        told.append(t("on lower anchors up to {high}", high=quantity(installation.mass_limit, "kg", "down")))
    return ", ".join(told) or t("no limits known: see its label")


def _size(value: Number, name: str) -> str:
    return quantity(round(float(value), 1), _UNITS[name])
