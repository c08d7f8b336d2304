"""Three small invented files that are right. Tests break one spot of one of them."""

VEHICLE = """\
vehicle: Sample Wagon
model_year: 2015
measured: {on: 2026-10-04, tolerance: 5}
rows:
  - row: 1
    positions:
      - {position: 1L, centre: 300}
      - {position: 1R, centre: 1000}
  - row: 2
    cushion: {left: 20, right: 1330, length: 480, angle: 14}
    trim:
      - {name: door, left: 0, right: 1350, up: [0, 400]}
    lower_anchors: [{bar: a, across: 170}, {bar: b, across: 450}]
    tethers: [{tether: t1, across: 310}]
    positions:
      - position: 2L
        centre: 310
        lower_anchors: [a, b]
        tether: t1
        belt: {kind: lap-shoulder, anchors: [120, 520], inflatable: no}
        ahead: {seat: 1L, gap: [[0, 700], [300, 660]], travel: 230}
      - position: 2R
        centre: 1000
        lower_anchors: none
        manual: {forbids: [booster]}
"""

RESTRAINT = """\
restraint: Sample Shell
mass: 7.4 kg
made: 2025-02-11
expires_after: 8y
condition: {crash: none}
modes:
  - mode: rear-facing-harness
    limits: {mass: [2.3 kg, 18.1 kg], height: [0, 1016]}
    parts:
      - {part: base, along: [30, 520], up: [0, 180], width: 360}
      - {part: shell, outline: [[80, 180], [690, 180], [80, 640]], width: 440}
    recline: {reference: 42, settings: [32, 38]}
    supported_base: 0.8
    installations:
      - {by: lower-anchors, connectors: flexible, needs_tether: no}
      - {by: lap-shoulder-belt, belt_path: 240}
  - mode: high-back-booster
    installations:
      - {by: lap-shoulder-belt}
"""

TRIP = """\
trip: Sample trip
vehicle: car.yaml
on: 2026-11-25
drives: 1L
riders:
  - {rider: Ines, age: 36y, adult: yes, drives: yes}
  - {rider: Wren, born: 2025-11-20, mass: 8.9 kg}
  - {rider: Oslo, age: 4y}
restraints:
  - seat.yaml
  - {use: seat.yaml, as: Second, condition: {recall: none}}
wishes:
  - {rider: Wren, at: [2L, 2R]}
  - {apart: [Wren, Oslo], must: yes}
installed: {Wren: {restraint: Second, position: 2L}}
tried: [{restraint: Second, position: 2R, by: lap-shoulder-belt, moved: 20}]
"""
