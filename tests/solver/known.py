"""What the checker and the slow solver are told from outside: breadths of people, and the plays of a profile."""

from __future__ import annotations

from inequalities import Person, Play

from seatplan.geometry import anthropometry
from seatplan.model import Rider
from seatplan.rules.profile import Profile


def person_of(rider: Rider) -> Person:
    """Measured breadths, or the bands that the geometry's own tests hold against their sources."""
    hips, shoulders = anthropometry.hip_breadth(rider), anthropometry.shoulder_breadth(rider)
    height = anthropometry.shoulder_height(rider)
    return Person(
        hips.middle if hips else None, shoulders.middle if shoulders else None,
        hips.spread if hips else 0, shoulders.spread if shoulders else 0,
        height.low if height else None, height.high if height else None,
        hips is not None and not hips.measured, shoulders is not None and not shoulders.measured,
    )


def play_of(profile: Profile) -> Play:
    return Play(int(profile.limit("belt_play")), int(profile.limit("flexible_anchor_play")),
                int(profile.limit("rigid_anchor_play")), int(profile.limit("buckle_hand_room")))
