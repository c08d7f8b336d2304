"""The list of rules, one line each, sorted by name. A new rule is written in its module and named here."""

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
from .rule import Rule

RULES: tuple[Rule, ...] = (
    readiness.adult_belt_does_not_fit,
    restraint_condition.approved_elsewhere,
    pair.bar_wanted_twice,
    position.bed_before_airbag,
    belt.belt_cannot_be_locked,
    belt.belt_inflatable,
    belt.belt_too_short,
    pair.belts_cross,
    readiness.booster_before_five,
    un_route.booster_under_100_cm,
    belt.buckle_stalk_too_long,
    un_route.category_not_allowed,
    child_in_mode.child_limits_unknown,
    child_in_mode.child_too_heavy,
    child_in_mode.child_too_light,
    child_in_mode.child_too_old,
    child_in_mode.child_too_short,
    child_in_mode.child_too_tall,
    child_in_mode.child_too_young,
    position.driver_elsewhere,
    position.driver_seat_taken,
    child_in_shell.ears_above_shell_top,
    un_route.fixture_not_listed,
    position.fold_down_seat,
    position.forbidden_by_handbook,
    readiness.forward_facing_too_light,
    readiness.forward_facing_too_young,
    un_route.forward_facing_under_15_months,
    un_route.forward_facing_under_76_cm,
    trip.front_seat_under_13,
    un_route.group_0_forward_facing,
    un_route.group_mass_mismatch,
    child_in_shell.head_near_shell_top,
    position.head_restraint_juts,
    lower_anchors.lower_anchors_borrowed,
    lower_anchors.lower_anchors_forbidden_here,
    lower_anchors.lower_anchors_off_spacing,
    lower_anchors.lower_anchors_overloaded,
    lower_anchors.lower_anchors_with_belt,
    trip.moved_when_tried,
    belt.no_belt,
    lower_anchors.no_lower_anchors,
    belt.no_shoulder_belt,
    tether.no_tether_anchor,
    readiness.not_ready_for_booster,
    position.position_not_forward_facing,
    pair.position_wanted_twice,
    position.rear_facing_before_airbag,
    restraint_condition.restraint_crashed,
    restraint_condition.restraint_expired,
    restraint_condition.restraint_history_unknown,
    restraint_condition.restraint_labels_missing,
    restraint_condition.restraint_recalled,
    pair.restraint_wanted_twice,
    trip.rider_without_place,
    lower_anchors.rigid_on_borrowed_bars,
    row.row_too_narrow,
    pair.seats_too_near_to_be_tested,
    child_in_shell.straps_above_shoulder,
    child_in_shell.straps_below_shoulder,
    position.support_leg_over_floor_box,
    tether.tether_not_on_restraint,
    tether.tether_overloaded,
    tether.tether_unused,
    pair.tether_wanted_twice,
    trip.wish_for_seat_not_met,
    pair.wish_to_be_apart_not_met,
    trip.wish_to_be_together_not_met,
)

#: names of dropped rules and what replaced them: names are never used again
RETIRED: dict[str, str] = {}


def rule_by_id(rule_id: str) -> Rule:
    """The rule of that name; KeyError if there is none."""
    for rule in RULES:
        if rule.id == rule_id:
            return rule
    raise KeyError(rule_id)
