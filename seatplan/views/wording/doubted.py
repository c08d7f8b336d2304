"""Sentences of the rule about unlikely numbers: it only ever asks for one."""

from __future__ import annotations

TEXT: dict[str, dict[str, str]] = {"number-doubted": {}}
