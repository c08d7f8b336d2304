"""The short answer of every bundled trip: how long it is, that no caution is cut, what it says to do next."""

from __future__ import annotations

import re
import shlex
from functools import cache
from pathlib import Path

import pytest
from running import seatplan

from seatplan.app.arrange import Arrange, Arranged, arrange
from seatplan.files.library import names
from seatplan.rules.registry import RULES
from seatplan.views.commands import Commands
from seatplan.views.first_text import wish_cautions
from seatplan.views.html import elements
from seatplan.views.manner import speaking
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions_by_weight, cautions_said
from seatplan.views.short_text import short_content, short_text

TRIPS = sorted(names("trip"))
OPTIONS = [(), ("strict",), ("worst_case",), ("strict", "worst_case")]
LANGUAGES = ("en", "es")
#: lines up to five riders, and for each further one
LINES, MORE = 45, 3


@cache
def asked(trip: str, options: tuple[str, ...] = (), top: int | None = 3) -> tuple[Arranged, Commands]:
    request = Arrange(trip=trip, top=top, **dict.fromkeys(options, True))
    return arrange(request).answer, Commands(request.words, request.data_words)


def told(trip: str, lang: str = "en", options: tuple[str, ...] = (), top: int | None = 3) -> str:
    found, commands = asked(trip, options, top)
    with speaking(lang):
        return short_text(found.plan, commands, explanation=found.explanation)


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("options", OPTIONS, ids="-".join)
@pytest.mark.parametrize("trip", TRIPS)
def test_no_longer_than_a_page(trip: str, options: tuple[str, ...]) -> None:
    """With every caution; the same rules are named in both languages."""
    riders = len(asked(trip, options)[0].plan.trip.riders)
    known = {rule.id for rule in RULES}
    rules = []
    for lang in LANGUAGES:
        text = told(trip, lang, options)
        assert len(text.splitlines()) <= LINES + MORE * max(0, riders - 5), text
        assert max(map(len, text.splitlines())) <= 100
        rules.append([word for word in re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", text) if word in known])
    assert rules[0] == rules[1]


@pytest.mark.parametrize("options", OPTIONS, ids="-".join)
@pytest.mark.parametrize("trip", TRIPS)
def test_no_caution_is_cut_and_grave_ones_come_first(trip: str, options: tuple[str, ...]) -> None:
    found, text = asked(trip, options)[0], one_line(told(trip, options=options))
    assert "caution: This is a planning aid." in text
    if found.plan.arrangements:
        best = found.plan.arrangements[0]
        own_grave, own = cautions_by_weight(best)
        assert own_grave + own == cautions_said(best)
        (grave, slight), (own_grave, own) = wish_cautions(found.plan), cautions_by_weight(best, by_seat=True)
        for whole, by_seat in zip(cautions_said(best), own_grave + own, strict=True):
            at = whole.rindex("(")
            assert by_seat[by_seat.rindex("("):] == whole[at:]               # the same rule, in the same words
            assert by_seat == whole or (by_seat.rpartition(": ")[2] == whole.rpartition(": ")[2] and all(
                seat in whole for seat in re.findall(r"\b\d[LCR]\b", by_seat)))
        at = [text.index(one_line(caution)) for caution in (*grave, *own_grave, *slight, *own)]
        assert at == sorted(at)
    elif found.explanation is not None:
        for number in map(int, re.findall(r"(?m)^   (\d)\. ", told(trip, options=options))):
            for caution in cautions_said(found.explanation.repairs.repairs[number - 1].arrangement):
                assert one_line(caution) in text


@pytest.mark.parametrize("trip", TRIPS)
def test_the_next_ones_take_a_line_each(trip: str) -> None:
    found = asked(trip)[0]
    lines = told(trip).splitlines()
    for one in found.plan.arrangements[1:]:
        line = next(line for line in lines if line.startswith(f"{one.rank}. "))
        assert re.search(rf"; (as good as {one.rank - 1}|after {one.rank - 1}, which [a-z].*)$", line), line


def test_top_says_how_many_are_told() -> None:
    for top in (1, 2, 5):
        lines = told("three-across-school-run", top=top).splitlines()
        assert [line.split(".")[0] for line in lines if re.match(r"\d+\. ", line)] == [str(n + 1) for n in range(top)]
    everything = told("twins-small-hatch", top=None).splitlines()
    assert sum(bool(re.match(r"\d+\. ", line)) for line in everything) == 28


def test_who_sits_in_front_and_why_stands_before_who_sits_where() -> None:
    text = told("two-seater-airbag-off")
    assert text.index("Pip sits in front, at 1R") < text.index("1. fits")
    assert told("three-across-school-run").index("All children in the back: yes") < told(
        "three-across-school-run").index("1. fits")


def test_what_was_not_found_out_is_asked_for_label_first() -> None:
    text = one_line(told("half-measured-car"))
    first = text.index("To find out first - Perch: whether a recall is open")
    assert first < text.index("- 1L: the belt of this seat: look") < text.index("7 things more") < text.index(
        "1. not all measured")
    assert "`seatplan measure half-measured-car`" in text
    assert "seatplan sheet" not in text
    assert "`seatplan measure half-measured-car`" in one_line(told("half-measured-car", options=("strict",)))


@pytest.mark.parametrize("trip", ["first-answer-middling", "first-answer-tight", "half-measured-car"])
def test_measure_asks_first_for_what_the_answer_asks_first_for(trip: str) -> None:
    first = one_line(told(trip)).partition("To find out first - ")[2].partition(":")[0]
    asked_first = next(line for line in seatplan("measure", trip).out.splitlines() if line.startswith("1. "))
    assert first.split(", ")[0] in asked_first


def test_what_is_only_estimated_is_counted_by_whose_it_is() -> None:
    """Each restraint has its own: no name of one stands with the fields of another."""
    told_of = re.search(r"(?<!is )only estimated: (.*?); measure to be sure", one_line(told("first-answer-roomy")))
    assert told_of is not None
    owners = "Una's carrier|Cleo's booster|Bo's seat|the car"
    counted = {name: int(n) for n, name in re.findall(rf"(\d+) things? of ({owners})", told_of[1])}
    assert len(counted) == 4
    full = seatplan("arrange", "first-answer-roomy", "--full").out
    listed = re.search(r"(?<!is )only estimated: (.*?); measure to be sure", one_line(full))
    assert listed is not None
    for name, n in counted.items():
        things = listed[1].partition(f"{name} (")[2].partition(")")[0]
        assert len(re.split(r", | and (?!their)", things)) == n, (name, things)
        assert not {"Una", "Cleo", "Bo"} & set(re.findall(r"\w+", things))


@pytest.mark.parametrize("options", OPTIONS, ids="-".join)
@pytest.mark.parametrize("trip", ["three-boosters-two-belts", "three-too-wide", "two-children-one-tether"])
def test_a_no_says_what_would_change_it_and_nothing_that_nobody_can(trip: str, options: tuple[str, ...]) -> None:
    found, text = asked(trip, options)[0], told(trip, options=options)
    assert found.explanation is not None
    assert text.index("What would change it") < text.index("need" if found.plan.shortage else "cannot all travel")
    reasons = text[text.index("What would change it"):text.index("What to do next")].split("\n\n")[1]
    rules = set(re.findall(r"\(([a-z0-9-]+)\)", reasons))
    of_bodies = {rule.id for rule in RULES if ("rider" in rule.fact or rule.scope == "trip") and any(
        read in ("rider.mass", "rider.height", "rider.age") for read in rule.reads)}
    assert {reason.occasion.rule for reason in found.explanation.conflict.reasons} & of_bodies or trip == (
        "three-boosters-two-belts")
    assert not rules & of_bodies
    assert not rules & {"driver-seat-taken", "driver-elsewhere"}
    assert found.plan.shortage is None or re.search(r"\d", reasons)


def test_where_nothing_can_be_changed_the_reasons_stand_all_the_same() -> None:
    text = one_line(seatplan("arrange", "three-boosters-two-belts", "--vehicle", "skiff-two").out)
    assert "What to do next" in text
    assert "5 riders and only 2 seats" in text


@pytest.mark.parametrize("command", ["arrange twins-small-hatch", "arrange half-measured-car --worst-case",
                                     "arrange half-measured-car --strict", "arrange two-children-one-tether --strict",
                                     "arrange tall-driver --vehicle harrow-estate --on 2026-12-01",
                                     "room two-seater-airbag-off --rider Pip"])
def test_the_next_commands_run(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = one_line(seatplan(*shlex.split(command)).out)
    last = text.rindex(" - `") if command.startswith("room") else text.index("What to do next")
    commands = re.findall(r"`(seatplan [^`]+)`", text[last:])
    assert commands
    for one in commands:
        said = seatplan(*shlex.split(one)[1:])
        assert said.code in (0, 1, 3), (one, said.err)
        assert not said.err.startswith("error"), one


def test_full_adds_to_it() -> None:
    short, full = (seatplan("arrange", "three-across-school-run", *form).out for form in ((), ("--full",)))
    assert seatplan("arrange", "three-across-school-run", "--brief").out == short
    assert len(short.splitlines()) < 40 < len(full.splitlines())
    for part in ("Who can sit where", "were ruled out", "middle from left"):
        assert part in full
        assert part not in short


@pytest.mark.parametrize("trip", ["half-measured-car", "i-size-family", "three-too-wide", "two-children-one-tether"])
def test_a_page_says_the_same(trip: str) -> None:
    """Blocks are laid out as elements, too; what can be typed is code there."""
    found, commands = asked(trip)
    page = el("main", elements(short_content(found.plan, commands, explanation=found.explanation)))
    said = re.sub(r"\s|`", "", "".join(page.itertext()))
    for line in told(trip).splitlines():
        bare = re.sub(r"\s|`", "", re.sub(r"^ *(- |\d\. (?!fits|close|not all))", "", line))
        drawn = re.search(r"[|:] .*[|:]$|front of the car|^ +(needs|there|short|\+|##)", line)
        assert drawn or bare in said, line
    assert [one.text for one in page.iter("code")].count(str(commands.full)) == 1
