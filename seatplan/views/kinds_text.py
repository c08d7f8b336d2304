"""The kinds of restraint, each with how to tell it."""

from __future__ import annotations

from collections.abc import Mapping

from .say import t, tr
from .text import wrapped


def kinds_text(kinds: Mapping[str, str]) -> str:
    """One paragraph a kind: the word to type, and what it looks like."""
    lines = [wrapped(t("{kind}: {tell}", kind=kind, tell=tr(tell)), "   ", "      ") for kind, tell in kinds.items()]
    return "\n".join([t("Kinds of restraint, for `seatplan new restraint --kind KIND`"), *lines]) + "\n"
