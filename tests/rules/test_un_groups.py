"""The mass groups of UN R44 2.1.1 at each of their ends: 0 below 10 kg, 0+ below 13, I 9 to 18, II 15 to 25, III 22
to 36."""

from __future__ import annotations

import pytest

from seatplan.rules.un_route import groups_of


@pytest.mark.parametrize(("mass_kg", "groups"), [
    (0, "0 0+"), (0.5, "0 0+"), (8.99, "0 0+"), (9, "0 0+ I"), (9.99, "0 0+ I"), (10, "0+ I"), (12.99, "0+ I"),
    (13, "I"), (14.99, "I"), (15, "I II"), (18, "I II"), (18.01, "II"), (21.99, "II"), (22, "II III"), (25, "II III"),
    (25.01, "III"), (36, "III"), (36.01, "")])
def test_groups_at_their_ends(mass_kg: float, groups: str) -> None:
    assert groups_of(mass_kg) == tuple(groups.split())
