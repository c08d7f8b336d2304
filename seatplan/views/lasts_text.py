"""How long one placement lasts, in a line."""

from __future__ import annotations

from seatplan.growth.lasting import Lasting

from .outlook_words import limit_text
from .say import N, t

ALONE = N("By the limits of this seat alone; the others may have to move sooner.")


def lasts_text(one: Lasting) -> str:
    """``Lasts until about 2029-12-16 (2029-06-10 .. 2030-08-11): Oslo is taller than 1,245 mm, the most for Lattice;
    measure again by 2029-06-10.``"""
    if not one.known:
        return t("How long it lasts could not be reckoned for {rider}; a day of birth in the trip helps.",
                 rider=one.rider)
    lasts = t("As far as measured, it lasts") if one.unsure else t("Lasts")
    again = (t("; measure now") if one.unsure else
             t("; measure again by {day}", day=one.measure) if one.measure is not None else "")
    return f"{lasts} {_until(one)}{again}. {t(ALONE)}"


def _until(one: Lasting) -> str:
    """Until when, and what ends it."""
    if one.closes is None:
        return t("beyond {end}, the last day looked at", end=one.end)
    early, likely, late = one.closes.window
    why = limit_text(one.closes)
    if one.closes.window.exact:
        return t("until {likely}: {why}", likely=likely, why=why)
    if likely is None:
        return t("likely beyond {end}, but perhaps only until {early}: {why}", end=one.end, early=early, why=why)
    if late is None:
        return t("until about {likely} ({early} .. beyond {end}): {why}", likely=likely, early=early, end=one.end,
                 why=why)
    return t("until about {likely} ({early} .. {late}): {why}", likely=likely, early=early, late=late, why=why)
