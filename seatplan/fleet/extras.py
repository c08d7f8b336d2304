"""OR-tools, which only the plan of a day needs: imported where it is asked for; an error says where it is missing."""

from __future__ import annotations

import importlib
from typing import Any


class ExtraMissing(Exception):
    """A plan was asked for without the packages that it needs. ``extra``: what to install."""

    def __init__(self, extra: str) -> None:
        super().__init__(f"the packages of seatplan[{extra}] are not installed")
        self.extra = extra


def cp_sat() -> Any:
    """``ortools.sat.python.cp_model``."""
    return _module("ortools.sat.python.cp_model")


def min_cost_flow() -> Any:
    """``ortools.graph.python.min_cost_flow``."""
    return _module("ortools.graph.python.min_cost_flow")


def linear() -> Any:
    """``ortools.linear_solver.pywraplp``."""
    return _module("ortools.linear_solver.pywraplp")


def _module(name: str) -> Any:
    try:
        return importlib.import_module(name)
    except ImportError as missing:
        raise ExtraMissing("fleet") from missing
