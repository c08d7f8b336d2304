"""The lock page: where a tablet comes in by the passphrase, and what a browser shows from "next family" on, whatever
page was asked for, until it is opened again."""

from __future__ import annotations

from math import ceil

from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import count

from .doors import Session
from .house import House
from .visit import Page

#: a PIN is typed on this machine by whoever runs the day; over the network it is a passphrase
SHORTEST_PIN = 4


def opens_by_a_word(house: House, session: Session | None) -> bool:
    """Whether a word opens anything: a locked view, and over TLS a browser that has no session. Without TLS nobody
    comes in by a word alone, only with the link."""
    return house.secret is not None and (session is not None or house.secure)


def lock_page(session: Session | None, house: House, client: str, wrong: bool = False) -> Page:
    """The page for whoever is at an address; it tells nothing of what was open before. ``wrong``: what was just said
    opens nothing."""
    wait = 0.0 if house.secret is None else house.secret.wait(client)
    label = t("Passphrase") if house.secure else t("PIN of the day")
    told = None
    if wait:
        told = t("Too many wrong tries: wait {seconds}, then try again.", seconds=count(
            ceil(wait), "second", "seconds"))
    elif wrong:
        told = t("That does not open it.")
    return Page(t("Locked"), [
        el("h1", t("Locked")),
        el("p", t("Whoever runs `seatplan serve` knows what opens this.") if session is None else
           t("The last family's pages are closed. Whoever runs the day opens this again.")),
        el("p", told, class_="wrong", role="alert", id="wrong") if told else None,
        el("form", None if session is None else el("input", type="hidden", name="form", value=session.form),
           el("label", label, for_="word"),
           el("input", type="password", id="word", name="word", autocomplete="off", required=True, autofocus=True,
              inputmode=None if house.secure else "numeric", aria_describedby="wrong" if told else None),
           el("button", t("Open")), method="post", action="/enter", autocomplete="off", class_="unlock"),
    ], 429 if wait else 403)
