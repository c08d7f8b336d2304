"""A small invented fleet that is right. Tests break one spot of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

DAY = date(2026, 11, 30)
FLEET = """\
fleet: Sample cars
invented: yes
rules: us
travel: travel.csv
any_driver: {height: 190 cm}
privacy: {keep_days: 30}
depots:
  - {depot: Yard, installs: yes}
  - {depot: Quay}
types:
  - type: estate
    vehicle: harrow-estate
    drives: 1L
    tried: [{restraint: shell, position: 2R, by: lower-anchors, moved: 12}]
  - {type: van, vehicle: ferry-lane-eight, drives: 1L, front: {1L: {forward_at_most: 90}}}
vehicles:
  - {vehicle: V1, type: estate, depot: Yard, driver: D1, from: 06:00, until: 14:00}
  - {vehicle: V2, type: van, depot: Quay, driver: D1, from: 14:00}
drivers:
  - {driver: D1, installs: yes}
kinds:
  - {kind: shell, restraint: nook-35-slim, price: 250}
  - {kind: booster, restraint: perch-slim}
copies:
  - {serial: S1, kind: shell, depot: Yard, made: 2025-01-15, in_order: yes}
  - serial: S2
    kind: shell
    installed: {vehicle: V1, position: 2R, by: lower-anchors, since: 2026-11-01}
    made: 2025-01-15
    in_order: yes
    quarantine: [{why: cleaning, from: 2026-11-30, until: 2026-11-30 12:00}]
  - {serial: B1, kind: booster, depot: Quay, made: 2024-05-05, in_order: yes}
changeover:
  lower-anchors: {put_in: 4, take_out: 2}
  none: {put_in: 1, take_out: 1}
"""
TRAVEL = "from,Yard,Quay,Mill\nYard,3,12,9\nQuay,14,2,20\nMill,8,21,4\n"
HEADER = "id,start,end,from,to,riders,adults,own\n"
ROW = "K-17,2026-11-30 08:00,2026-11-30 08:30,Mill,Quay,5y 18kg 110cm upright,168cm,\n"


def written(folder: Path, fleet: str = FLEET, travel: str = TRAVEL) -> Path:
    """The file of the fleet, with its travel matrix beside it."""
    (folder / "travel.csv").write_text(travel, encoding="utf-8")
    file = folder / "fleet.yaml"
    file.write_text(fleet, encoding="utf-8")
    return file
