"""The bundled steps of installing, in order."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from seatplan.model.steps import Stage

from .reading import read
from .validate import validate

_FOLDER = Path(__file__).resolve().parent.parent / "data" / "steps"


@lru_cache(maxsize=1)
def stages() -> tuple[Stage, ...]:
    """All stages with all their steps. Raises InputError where a file is not as it should be."""
    documents = [read(path) for path in sorted(_FOLDER.glob("*.yaml"))]
    return tuple(validate(Stage, document.data, document) for document in documents)
