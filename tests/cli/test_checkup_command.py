"""seatplan checkup: what its page says of how the car arrived and how it left."""

from __future__ import annotations

import pytest
from running import seatplan


@pytest.mark.parametrize(("name", "told"), [
    ("three-across-school-run", "The plan: it is close (try it in the car)."),
    ("first-answer-roomy", "The plan: it is likely (measure what is only estimated)."),
    ("half-measured-car", "The plan: it hangs on what was not measured."),
    ("tall-driver", "The plan: it fits."),
])
def test_the_plan_is_said_in_a_sentence(name: str, told: str):
    assert told in " ".join(seatplan("checkup", name, "-o", "-").out.split())
