"""What a person types in the stories: the bundled trip `first-answer-roomy`, answer by answer, and how it goes on.
All of it is invented."""

from __future__ import annotations

from datetime import date

#: the day of the bundled trip; its children are as old on the day of a story
_THEN = date(2026, 11, 30)


def born(day: date) -> str:
    """Today's birthday for a child who was born that day as the bundled trip has it."""
    return (date.today() - (_THEN - day)).isoformat()


#: a carrier, a seat with harness, a booster
KINDS = ("infant-carrier", "harness-to-booster", "high-back")


def children() -> dict[str, str]:
    """Three children, by the names of fields."""
    return {
        "0.born": born(date(2026, 5, 4)), "0.mass": "7.2 kg", "0.height": "65 cm",
        "1.born": born(date(2023, 6, 2)), "1.mass": "15 kg", "1.height": "96 cm",
        "2.born": born(date(2019, 8, 21)), "2.mass": "23 kg", "2.height": "121 cm", "2.sits_upright": "yes"}


#: what the labels of their seats print
LABELS = {
    "0.limits.mass": "1.8-13 kg", "0.limits.height": "0-85 cm",
    "1.limits.forward_facing.mass": "10-29 kg", "1.limits.forward_facing.height": "76-124 cm",
    "1.limits.booster.mass": "18-45 kg", "1.limits.booster.height": "100-145 cm",
    "2.limits.mass": "18-45 kg", "2.limits.height": "100-145 cm"}
#: what else is known of the seats
SEATS = {
    "0.in_order": "yes", "0.width": "44 cm", "1.in_order": "yes", "1.width": "44 cm", "2.in_order": "yes",
    "2.width": "42 cm", "0.limits.on_lower_anchors": "13 kg", "0.support_leg": "no", "0.level_adjusts": "yes",
    "1.limits.on_lower_anchors": "20.4 kg", "1.support_leg": "no"}
BELTS = {"every_seat.belt": "lap-shoulder"}
#: the car as a handbook and a look at it have it, and as a tape
CAR = {
    "every_seat.forward_and_fixed": "yes", "every_seat.retractor": "switchable", "every_seat.inflatable": "no",
    "every_seat.forbids": "none", "every_seat.support_leg": "allowed", "rows.0.positions.1.airbag.front": "active"}
TAPE = {
    "rows.1.trim.0.right": "1550", "rows.1.positions.0.lower_anchors": "yes", "rows.1.positions.0.tether": "yes",
    "rows.1.positions.0.centre": "330", "rows.1.positions.0.ahead.free": "665",
    "rows.1.positions.1.lower_anchors": "none", "rows.1.positions.1.belt.buckle.across": "965",
    "rows.1.positions.2.lower_anchors": "yes", "rows.1.positions.2.tether": "yes",
    "rows.1.positions.2.centre": "1220", "rows.1.positions.2.ahead.free": "820"}
#: another car, as little as makes them likely there, too
SECOND_CAR = BELTS | CAR | TAPE | {"rows.1.trim.0.right": "1560", "rows.1.positions.0.ahead.free": "690"}
