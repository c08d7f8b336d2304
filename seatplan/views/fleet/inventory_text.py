"""The cheapest stock for a level of service, as text and as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from seatplan.app.fleet.inventory import Stocked
from seatplan.fleet.inventory import Point
from seatplan.views.caution import caution
from seatplan.views.content import Block, Heading, Paragraph, Table, Weighed
from seatplan.views.failure_json import head_json
from seatplan.views.manner import number
from seatplan.views.say import t
from seatplan.views.terminal import parts_of
from seatplan.views.text import count

from .counts import counts_json, counts_said


def inventory_text(found: Stocked) -> str:
    """The answer."""
    blocks: list[Block | None] = [_first(found), counts_said(found.counts, found.classes, found.damaged)]
    if found.point is not None:
        blocks.append(Table((t("restraint"), t("depot"), t("pieces"), t("price of one"), t("in the fleet now")),
                            tuple(_rows(found, found.point))))
    blocks.append(Table((t("served"), t("share"), t("least price"), t("pieces"), t("proven")), tuple(
        (number(one.served), f"{100 * one.served // max(found.counts.taken, 1)}%", number(one.price),
         number(sum(one.stock.values())),
         t("yes") if one.proven else t("no, {bound} at least", bound=number(one.bound)))
        for one in found.curve.points)))
    blocks.append(Paragraph(t(
        "The stock is bought anew and stands at the depots when the day begins; vehicles, times and minutes are as in "
        "the files. Nobody rides below the best that any kind of the fleet could give them. One day says nothing of "
        "others: look at several.")))
    return parts_of([*blocks, caution()])


def _first(found: Stocked) -> Heading:
    total = count(found.counts.taken, "booking")
    if found.point is None:
        return Heading(Weighed(t(
            "{fleet}, {day}: no stock serves {wanted} of {total} with these vehicles; {most} at most.",
            fleet=found.read.fleet.fleet, day=found.day, wanted=found.wanted, total=total, most=found.curve.bound),
            "rejected"))
    return Heading(t("{fleet}, {day}: {wanted} of {total} are served from a stock for {price}{proof}.",
                     fleet=found.read.fleet.fleet, day=found.day, wanted=found.wanted, total=total,
                     price=number(found.point.price),
                     proof=t(", and from none that is cheaper (proven)") if found.point.proven else
                     t("; a cheaper one may do, for {bound} at least", bound=number(found.point.bound))))


def _rows(found: Stocked, point: Point) -> list[tuple[str, ...]]:
    told: list[tuple[str, ...]] = []
    now: Mapping[str, int] = found.now
    for (depot, kind), n in point.stock.items():
        told.append((found.read.kind_name(kind), depot, number(n), number(found.prices[kind]), number(now[kind])))
    return sorted(told)


def inventory_json(found: Stocked) -> dict[str, Any]:
    """The target, and the whole curve."""
    return {
        **head_json("fleet-inventory"), "fleet": found.read.fleet.fleet, "on": found.day,
        "rules": found.read.profile.name, "counts": counts_json(found.counts, found.classes, found.damaged),
        "target_percent": found.percent, "wanted": found.wanted, "most_served": found.curve.most,
        "most_served_bound": found.curve.bound, "reached": found.point is not None,
        "point": None if found.point is None else _point(found, found.point),
        "curve": [_point(found, one) for one in found.curve.points],
        "now": [{"restraint_kind": found.read.kind_name(kind), "n": n} for kind, n in found.now.items()],
    }


def _point(found: Stocked, point: Point) -> dict[str, Any]:
    return {"served": point.served, "price": point.price, "price_bound": point.bound, "proven": point.proven,
            "stock": [{"depot": depot, "restraint_kind": found.read.kind_name(kind), "n": n}
                      for (depot, kind), n in point.stock.items()]}
