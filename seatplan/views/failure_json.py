"""Bad input as JSON: the same envelope as an answer, with every problem. Imports nothing heavy."""

from __future__ import annotations

from typing import Any

from .caution import CAUTION

#: the number of the JSON shapes; fields are only ever added to them
SCHEMA = 1


def failure_json(problems: list[str]) -> dict[str, Any]:
    """``verdict`` is error; ``errors`` holds one text a problem."""
    return {"schema": SCHEMA, "caution": CAUTION, "verdict": "error", "errors": problems}
