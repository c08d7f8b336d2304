"""Sentences of the rules about the child in the mode."""

from __future__ import annotations

TEXT = {
    "child-too-heavy": {
        "block": "weighs {measured} kg; the mode ends at {limit} kg: {shortfall} kg over",
        "pass": "weighs {measured} kg; the mode ends at {limit} kg",
    },
    "child-too-light": {
        "block": "weighs {measured} kg; the mode begins at {limit} kg: {shortfall} kg under",
        "pass": "weighs {measured} kg; the mode begins at {limit} kg",
    },
    "child-too-tall": {
        "block": "is {measured} mm tall; the mode ends at {limit} mm: {shortfall} mm over",
        "pass": "is {measured} mm tall; the mode ends at {limit} mm",
    },
    "child-too-short": {
        "block": "is {measured} mm tall; the mode begins at {limit} mm: {shortfall} mm under",
        "pass": "is {measured} mm tall; the mode begins at {limit} mm",
    },
    "child-too-young": {
        "block": "is {measured} months old; the mode begins at {limit} months",
        "pass": "is {measured} months old; the mode begins at {limit} months",
    },
    "child-too-old": {
        "block": "is {measured} months old; the mode ends at {limit} months",
        "pass": "is {measured} months old; the mode ends at {limit} months",
    },
    "child-limits-unknown": {},
    "straps-above-shoulder": {
        "block": "the lowest strap slot is at {limit} mm and the shoulder at {measured} mm{estimate}: "
                 "{shortfall} mm too high",
        "pass": "the lowest strap slot is at {limit} mm, at or below the shoulder at {measured} mm{estimate}",
    },
    "straps-below-shoulder": {
        "block": "the highest strap slot is at {limit} mm and the shoulder at {measured} mm{estimate}: "
                 "{shortfall} mm too low",
        "pass": "the highest strap slot is at {limit} mm, at or above the shoulder at {measured} mm"
                "{estimate}",
    },
    "head-near-shell-top": {
        "block": "the head reaches {head} mm{estimate} in a shell of {top} mm, which must stand {limit} mm "
                 "above it: {shortfall} mm too little",
        "pass": "the head reaches {head} mm{estimate}, and the shell of {top} mm stands {measured} mm above "
                "it; it needs {limit} mm",
    },
    "ears-above-shell-top": {
        "block": "the ears are at {measured} mm{estimate} and the shell ends at {limit} mm: {shortfall} mm "
                 "too high",
        "pass": "the ears are at {measured} mm{estimate} and the shell ends at {limit} mm",
    },
    "forward-facing-too-young": {
        "block": "is {measured} months old; nobody faces forward before {limit} months",
        "pass": "is {measured} months old; nobody faces forward before {limit} months",
    },
    "forward-facing-too-light": {
        "block": "weighs {measured} kg; facing forward begins at {limit} kg: {shortfall} kg under",
        "pass": "weighs {measured} kg; facing forward begins at {limit} kg",
    },
    "not-ready-for-booster": {
        "block": "is not ready for a booster: {measured} {unit}, needed: {limit} {unit}",
        "pass": "is ready for a booster: {measured} {unit}, needed: {limit} {unit}",
    },
    "booster-before-five": {
        "caution": "is {measured} months old; a harness is better until {limit} months",
        "block": "is {measured} months old; a harness is asked for until {limit} months",
        "pass": "is {measured} months old; a harness is better until {limit} months",
    },
    "adult-belt-does-not-fit": {
        "block": "the adult belt does not fit by {by}: {measured} {unit}, needed: {limit} {unit}",
        "pass": "the adult belt fits by {by}: {measured} {unit}, needed: {limit} {unit}",
    },
}
