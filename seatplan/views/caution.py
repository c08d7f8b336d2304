"""The caution that every output carries."""

from __future__ import annotations

from seatplan.message import said

from .content import Paragraph
from .say import t

CAUTION = said(
    "This is a planning aid. The vehicle handbook, the restraint's instructions and local law come first; "
    "have the installation checked by a certified technician."
)
#: beside it on what is taken to the car
LAW = said("Local law and certified technicians come first.")


def caution() -> Paragraph:
    """The caution at the end of an answer."""
    return Paragraph(t("caution: {CAUTION}", CAUTION=CAUTION))


def foot() -> str:
    """The line below every printed page, to stand between the quotes of a style sheet."""
    line = t("A planning aid: handbook, instructions, local law and technicians come first.")
    return line.replace("\\", "\\\\").replace('"', '\\"')
