"""What holds for every test."""

import sys

import pytest
from hypothesis import settings

# how long one example takes hangs on what else the machine does
settings.register_profile("without a clock", settings.default, deadline=None)
settings.load_profile("without a clock")


def pytest_collection_finish(session: pytest.Session) -> None:
    """Whoever runs one test does not wait for the plans of all others: nothing is solved to know which there are."""
    store = sys.modules.get("seatplan.store")
    if store is not None and len(store.COMMON):
        raise pytest.UsageError("a trip is solved while tests are collected: name the trips, or use a fixture")
