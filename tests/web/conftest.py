"""What all tests of the server share."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _a_try_costs_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """A PIN is hashed so that guessing is slow. Each test of a day sets one: what a try costs is asked where tries are
    (``test_lock.py``), and not paid again in all others."""
    monkeypatch.setattr("seatplan.web.lock._N", 2)
