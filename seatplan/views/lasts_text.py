"""How long one placement lasts, in a line."""

from __future__ import annotations

from seatplan.growth.lasting import Lasting

from .outlook_words import limit_text

ALONE = "By the limits of this seat alone; the others may have to move sooner."


def lasts_text(one: Lasting) -> str:
    """``Lasts until about 2029-12-16 (2029-06-10 .. 2030-08-11): Oslo is taller than 1,245 mm, the most for Lattice;
    measure again by 2029-06-10.``"""
    if not one.known:
        return f"How long it lasts could not be reckoned for {one.rider}; a day of birth in the trip helps."
    lasts = "As far as measured, it lasts" if one.unsure else "Lasts"
    again = "; measure now" if one.unsure else f"; measure again by {one.measure}" if one.measure is not None else ""
    if one.closes is None:
        return f"{lasts} beyond {one.end}, the last day looked at{again}. {ALONE}"
    early, likely, late = one.closes.window
    why = limit_text(one.closes)
    if one.closes.window.exact:
        return f"{lasts} until {likely}: {why}{again}. {ALONE}"
    if likely is None:
        return f"{lasts} likely beyond {one.end}, but perhaps only until {early}: {why}{again}. {ALONE}"
    return f"{lasts} until about {likely} ({early} .. {late or f'beyond {one.end}'}): {why}{again}. {ALONE}"
