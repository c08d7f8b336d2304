"""The start of a day: what opens the lock page, and how long what is known of families is kept."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.app.checking_day import KEPT, CheckingDay, begin, the_day
from seatplan.app.misasked import Misasked
from seatplan.message import said
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import count
from seatplan.web.enter import SHORTEST_PIN
from seatplan.web.failing import wrong_list
from seatplan.web.lock import Secret
from seatplan.web.shell import chosen, form
from seatplan.web.visit import Answer, Goto, Page, Visit

_BY_HAND = "by-hand"


def begin_page(visit: Visit, wrong: Misasked | None = None) -> Page:
    """Asked where no day was begun, or where the server was started since and knows no PIN."""
    day = the_day(visit.house.library)
    return Page(t("Begin a day"), [
        el("h1", t("Begin a day")),
        wrong_list(wrong.problems, t("Not begun: this has to be put right first")) if wrong else None,
        el("p", t("One family after the other sits before this screen. \u201cNext family\u201d closes what the last "
                  "one saw; Back, old links and saved pages show a lock then.")),
        form(visit, "/day/begin", [
            *_opens(visit),
            *_rule(day, visit),
            el("button", t("Begin the day"), class_="big")], class_="begin-day")], 422 if wrong else 200)


def rule_form(visit: Visit, day: CheckingDay) -> Element:
    """The rule as it is, to be changed."""
    return el("details", el("summary", t("How long families are kept")), el("p", rule_said(day)),
              form(visit, "/day/begin", [*_rule(day, visit), el("button", t("Change it"))], class_="begin-day"))


def rule_said(day: CheckingDay) -> str:
    """The rule by which families are deleted, in a sentence or two."""
    if day.kept_days is None:
        kept = t("A family stays in the library until you delete it here.")
    elif day.kept_days == 0:
        kept = t("A family is deleted when its day is over.")
    else:
        kept = t("A family is deleted {days} after its day.", days=count(day.kept_days, "day"))
    stays = (t("Its number and the hashes of its checkups stay on the list.") if day.keep_number_and_hash else
             t("Nothing of it stays, not even its number."))
    done = "" if day.kept_days is None else t("That is done when the server starts, and whenever the list of the day "
                                              "is opened.")
    goes = t("With it go its trip, its car and restraints that no other family uses, what can be taken back, copies of "
             "changes that clashed, saved checkups, and documents of the trip in the library's folder.")
    return " ".join(part for part in (kept, done, goes, stays) if part)


def begun(visit: Visit) -> Answer:
    """Begin a day, or change its rule."""
    try:
        word = _word(visit)
        kept = _kept(visit.form.get("kept", ""))
    except Misasked as wrong:
        return begin_page(visit, wrong)
    begin(visit.house.library, kept, visit.form.get("stays") == "yes")
    if word is not None:
        visit.house.secret = Secret(word)
    return Goto("/day")


def _opens(visit: Visit) -> list[Element]:
    if visit.house.secret is not None:
        return [el("p", t("The passphrase of this server opens the lock."))]
    how = t("At least {n} digits or letters. It is kept in memory until the server stops, and nowhere else.",
            n=SHORTEST_PIN)
    return [
        el("div", el("label", label, for_=name), el("input", type="password", name=name, id=name, autocomplete="off",
                                                    required=True, minlength=SHORTEST_PIN, inputmode="numeric",
                                                    aria_describedby="pin-how"), class_="ask")
        for name, label in (("pin", t("PIN of the day")), ("again", t("the same once more")))
    ] + [el("p", how, id="pin-how", class_="how")]


def _rule(day: CheckingDay | None, visit: Visit) -> list[Element]:
    now = visit.form.get("kept") or (_BY_HAND if day and day.kept_days is None else str(day.kept_days) if day else "")
    stays = visit.form.get("stays") or ("yes" if day and day.keep_number_and_hash else "no")
    known = tuple(KEPT) if day is None or day.kept_days in KEPT else (*KEPT, day.kept_days)
    choices = [("", t("choose")), *((_BY_HAND if one is None else str(one), _kept_said(one)) for one in known)]
    return [
        chosen("kept", t("Families are kept"), choices, now, required=True),
        chosen("stays", t("After that"), [("no", t("nothing stays")), (
            "yes", t("number and checkup hash stay"))], stays)]


def _kept_said(days: int | None) -> str:
    if days is None:
        return t("until I delete them")
    return t("for {days}", days=count(days, "day")) if days else t("until the day is over")


def _word(visit: Visit) -> str | None:
    """What is to open the lock; None where something does already. Raises Misasked."""
    if visit.house.secret is not None:
        return None
    pin, again = visit.form.get("pin", ""), visit.form.get("again", "")
    if len(pin.strip()) < SHORTEST_PIN:
        raise Misasked("pin", said("the PIN is too short"), said("expected at least {n} digits or letters",
                                                                 n=SHORTEST_PIN))
    if pin != again:
        raise Misasked("again", said("the two PINs are not the same"), said("type it again, twice"))
    return pin


def _kept(word: str) -> int | None:
    if word == _BY_HAND:
        return None
    if not word.isdecimal() or not word.isascii() or int(word) > 36_500:
        raise Misasked("kept", said("nobody said how long families are kept"), said("choose one of the list"))
    return int(word)
