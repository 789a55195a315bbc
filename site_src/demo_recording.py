"""The demo of the recording check: its files, and what the check says of them, made at build."""

import json
from functools import cache
from typing import Any

import numpy as np

from calculators.recording.bridge_ops import Desk
from calculators.recording.synthetic import MadeFile, demo

NARROW, WIDE = 340, 720
"""CSS pixels of the column that pictures are drawn for: a phone's, and a wide page's."""


@cache
def files() -> tuple[MadeFile, ...]:
    """The demo's files."""
    return tuple(demo())


@cache
def report() -> dict[str, Any]:
    """What the check says of the demo, with every picture in both widths."""
    made = files()
    desk = Desk()
    listed = [{"name": file.name, "size": len(file.data), "changed": 0} for file in made]
    desk.open(json.dumps(listed), lambda n, offset, length: made[n].data[offset : offset + length])
    for stretch in json.loads(desk.call(json.dumps({"op": "plan", "workers": 1})))["stretches"]:
        desk.begin(stretch["file"], stretch["first"], stretch["last"])
        while (wanted := desk.wants()) is not None:
            offset, length = wanted
            data = made[stretch["file"]].data[offset : offset + length]
            desk.buffer[:length] = np.frombuffer(data, np.uint8)
            desk.add(length)
        desk.end()
    narrow, wide = (_report(desk, width) for width in (NARROW, WIDE))
    for picture, wider in zip(narrow["pictures"], wide["pictures"], strict=True):
        picture["svg"] += wider["svg"]
    return narrow


def _report(desk: Desk, width: int) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(
        desk.call(json.dumps({"op": "report", "level": None, "width": width}))
    )
    return made
