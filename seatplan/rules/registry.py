"""The list of rules, one line each, sorted by name. A new rule is written in its module and named here."""

from __future__ import annotations

from collections.abc import Iterable

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
    outline,
    pair,
    position,
    readiness,
    restraint_condition,
    row,
    sizes,
    support,
    tether,
    tether_reach,
    trip,
    un_route,
)
from .finding import Finding
from .rule import Rule, Weight

RULES: tuple[Rule, ...] = (
    readiness.adult_belt_does_not_fit,
    restraint_condition.approved_elsewhere,
    pair.bar_wanted_twice,
    support.base_off_the_cushion,
    support.base_on_raised_cushion,
    support.base_on_waterfall_edge,
    airbag.bed_before_airbag,
    belt.belt_cannot_be_locked,
    child_in_shell.belt_guide_below_shoulder,
    belt.belt_inflatable,
    belt.belt_too_short,
    pair.belts_cross,
    readiness.booster_before_five,
    un_route.booster_under_100_cm,
    belt.buckle_stalk_too_long,
    pair.buckles_too_near,
    access.cannot_climb_out,
    un_route.category_not_allowed,
    airbag.child_before_airbag,
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
    facing.forward_facing_before_two,
    facing.forward_facing_too_light,
    facing.forward_facing_too_young,
    un_route.forward_facing_under_15_months,
    un_route.forward_facing_under_76_cm,
    trip.front_seat_under_13,
    un_route.group_0_forward_facing,
    un_route.group_mass_mismatch,
    booster_seat.head_above_vehicle_back,
    child_in_shell.head_near_shell_top,
    position.head_restraint_juts,
    booster_seat.knees_do_not_bend,
    lower_anchors.lower_anchors_borrowed,
    lower_anchors.lower_anchors_forbidden_here,
    lower_anchors.lower_anchors_off_spacing,
    lower_anchors.lower_anchors_overloaded,
    lower_anchors.lower_anchors_with_belt,
    trip.moved_when_tried,
    facing.must_lie_sits,
    belt.no_belt,
    lower_anchors.no_lower_anchors,
    ahead.no_room_ahead,
    belt.no_shoulder_belt,
    tether.no_tether_anchor,
    readiness.not_ready_for_booster,
    doubted.number_doubted,
    outline.outline_not_whole,
    position.position_not_forward_facing,
    pair.position_wanted_twice,
    trip.read_at_the_car,
    airbag.rear_facing_before_airbag,
    tether.rear_facing_tether,
    ahead.recline_out_of_range,
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
    ahead.sensors_ahead,
    booster_seat.shoulder_belt_ahead_of_shoulder,
    airbag.side_airbag_in_seat,
    sizes.size_only_reckoned,
    facing.still_fits_rear_facing,
    child_in_shell.straps_above_shoulder,
    child_in_shell.straps_below_shoulder,
    support.support_leg_does_not_reach,
    position.support_leg_over_floor_box,
    tether_reach.tether_anchor_outside_zone,
    tether.tether_not_on_restraint,
    tether.tether_overloaded,
    tether_reach.tether_too_short,
    tether.tether_unused,
    pair.tether_wanted_twice,
    booster_seat.thigh_shorter_than_booster,
    access.way_out_blocked,
    trip.wish_for_seat_not_met,
    pair.wish_to_be_apart_not_met,
    trip.wish_to_be_together_not_met,
)

#: names of dropped rules and what replaced them: names are never used again
RETIRED: dict[str, str] = {}


_BY_ID = {rule.id: rule for rule in RULES}


def rule_by_id(rule_id: str) -> Rule:
    """The rule of that name; KeyError if there is none."""
    return _BY_ID[rule_id]


def weight_of(finding: Finding) -> Weight | None:
    """How much what a caution is about can hurt; None of any other finding."""
    return rule_by_id(finding.rule).weight if finding.outcome == "caution" else None


def gravest_first(findings: Iterable[Finding]) -> list[Finding]:
    """Grave cautions, then slight ones, then all the rest, each as they stood."""
    return sorted(findings, key=lambda finding: {"grave": 0, "slight": 1, None: 2}[weight_of(finding)])
