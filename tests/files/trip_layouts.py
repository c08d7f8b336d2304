"""Trips as people lay them out: block and flow style, comments, odd indentation, line breaks, names of any script."""

from __future__ import annotations

import json
from typing import Any

import yaml
from hypothesis import strategies as st

RESTRAINTS = ("Nook", "Wren's seat", "Kinderstühlchen", "座席 2", "Seat: b", "007")
NOTES = ("wet", "too loose, after three", "it's: #1", "ça glisse", "null", "- 2026-11-25", 'a "quote" \\ back')
POSITIONS = ("2L", "2C", "2R")
_MODES = "[{mode: rear-facing-harness, installations: [{by: lap-shoulder-belt}]}]"
_VEHICLE = ("{vehicle: Layout car, rows: [{row: 1, positions: [{position: 1L}]}, "
            "{row: 2, positions: [{position: 2L}, {position: 2C}, {position: 2R}]}]}")


def names(restraint: str) -> str:
    return json.dumps(restraint, ensure_ascii=False)


def item(restraint: str, position: str, moved: int, note: str | None = None) -> dict[str, Any]:
    told = {"restraint": restraint, "position": position, "by": "lap-shoulder-belt", "moved": moved}
    return told if note is None else {**told, "note": note}


ITEMS = st.builds(item, st.sampled_from(RESTRAINTS), st.sampled_from(POSITIONS), st.integers(0, 60),
                  st.none() | st.sampled_from(NOTES))


def _flow(told: dict[str, Any], spaced: str = "") -> str:
    return "{" + spaced + ", ".join(f"{k}: {json.dumps(v, ensure_ascii=False)}" for k, v in told.items()) + "}"


@st.composite
def _block_item(draw: st.DrawFn, told: dict[str, Any], indent: str) -> list[str]:
    comment = draw(st.sampled_from(["", "", "  # at the car", " #", "\t# after a tab"]))
    style = draw(st.sampled_from(["flow", "wide", "block", "below", "scalar", "split"]))
    deep = indent + " " * draw(st.integers(2, 4))
    if style == "flow":
        return [f"{indent}- {_flow(told)}{comment}"]
    if style == "wide":
        return [f"{indent}-   {_flow(told, ' ')}{comment}"]
    if style == "split":
        first, *rest = _flow(told).split(", ", 1)
        return [f"{indent}- {first},", f"{deep}  {rest[0]}{comment}"]
    pairs = [f"{k}: {json.dumps(v, ensure_ascii=False)}" for k, v in told.items()]
    if style == "below":
        return [f"{indent}- {comment.strip()}".rstrip() if comment.strip() else f"{indent}-",
                *(f"{deep}{pair}" for pair in pairs)]
    lines = [f"{indent}- {pairs[0]}{comment}", *(f"{indent}  {pair}" for pair in pairs[1:])]
    if style == "scalar" and "note" not in told:
        lines += [f"{indent}  note: {draw(st.sampled_from(['|', '>', '|-', '|+']))}",
                  f"{indent}    - looks like an item", f"{indent}    tried: [no]"]
        lines += [""] * draw(st.integers(0, 2))
    elif style == "scalar":
        lines[-1] += comment
    return lines


@st.composite
def _tried(draw: st.DrawFn) -> list[str]:
    items = draw(st.lists(ITEMS, min_size=0, max_size=3))
    style = draw(st.sampled_from(["absent", "block", "line", "lines", "commented"]))
    if style == "absent":
        return []
    if not items:
        return [draw(st.sampled_from(["tried: []", "tried: [ ]  # nothing yet", '"tried": []', "tried:   [\n  ]",
                                      "tried: [  # none\n  ]"]))]
    if style == "block":
        indent = " " * draw(st.integers(0, 5))
        lines = [draw(st.sampled_from(["tried:", "tried:   # what we tried", "'tried':", "tried: &them"]))]
        for told in items:
            if draw(st.booleans()):
                lines.append(draw(st.sampled_from(["", f"{indent}# a remark", "# a remark at the margin"])))
            lines += draw(_block_item(told, indent))
        if draw(st.booleans()):
            lines += [f"{indent}# the last remark", f"{indent}   # and more"]
        return lines
    flows = [_flow(told) for told in items]
    if style == "line":
        return [f"tried: [{', '.join(flows)}{draw(st.sampled_from(['', ',', ' , ']))}]"
                + draw(st.sampled_from(["", "  # so far"]))]
    comma = draw(st.sampled_from(["", ","]))
    ends = [","] * (len(flows) - 1) + [comma]
    noted = "  # noted" if style == "commented" else ""
    return ["tried: [", *(f"    {flow}{end}{noted}" for flow, end in zip(flows, ends, strict=True)), "  ]"]


@st.composite
def layouts(draw: st.DrawFn) -> bytes:
    """The bytes of a trip file that loads."""
    if draw(st.integers(0, 5)) == 0:
        return draw(_as_json())
    parts = [
        ["trip: Layout  # invented"],
        [f"vehicle: {_VEHICLE}"],
        ["drives: 1L"],
        ["riders:", "- {rider: Ines, age: 36y, adult: yes, drives: yes}", "- {rider: Wren, age: 1y}"],
        ["restraints:", *(f"  - {{restraint: {names(name)}, modes: {_MODES}}}" for name in RESTRAINTS)],
        draw(st.sampled_from([[], ["notes: |", "  text", "  more"], ["notes: a", "  # tried:", "rules: us"],
                              ["notes: >+", "  kept", ""], ["wishes:", "  - {rider: Wren, at: [2L]}"]])),
        draw(_tried()),
    ]
    parts = draw(st.permutations(parts))
    lines: list[str] = []
    for part in parts:
        lines += draw(st.sampled_from([[], [], [""], ["# a remark"], ["", "#", ""]])) + part
    margin = draw(st.sampled_from(["", "", "  "]))
    text = "\n".join(margin + line if line else line for line in "\n".join(lines).split("\n"))
    if draw(st.booleans()):
        text = "---\n" + text
    text += draw(st.sampled_from(["", "\n", "\n", "\n\n", "\n# the end", "\n...\n", "\n   "]))
    return draw(_as_bytes(text))


@st.composite
def _as_json(draw: st.DrawFn) -> bytes:
    tried = draw(st.none() | st.lists(ITEMS, max_size=2))
    data: dict[str, Any] = {
        "trip": "Layout", "vehicle": yaml.safe_load(_VEHICLE), "drives": "1L",
        "riders": [{"rider": "Wren", "age": "1y"}],
        "restraints": [{"restraint": name, "modes": yaml.safe_load(_MODES)} for name in RESTRAINTS],
        **({} if tried is None else {"tried": tried}),
    }
    if draw(st.booleans()):
        data = {"rules": "us", **{key: data[key] for key in draw(st.permutations(list(data)))}}
    return draw(_as_bytes(json.dumps(data, indent=draw(st.sampled_from([None, 1, 4])), ensure_ascii=False)))


@st.composite
def _as_bytes(draw: st.DrawFn, text: str) -> bytes:
    line_break = draw(st.sampled_from(["\n", "\n", "\r\n"]))
    mark = draw(st.sampled_from([b"", b"", b"\xef\xbb\xbf"]))
    return mark + text.replace("\n", line_break).encode()
