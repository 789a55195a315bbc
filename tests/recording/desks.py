"""A desk of the recording check, fed as the page's Worker feeds it."""

import json

from calculators.recording.bridge_ops import Desk


def desk_opened(files):
    """A desk with these files, and what it said of them."""
    desk = Desk()
    listed = json.dumps([{"name": name, "size": len(data)} for name, data in files])
    told = json.loads(desk.open(listed, lambda n, at, size: files[n][1][at : at + size]))
    return desk, told


def ask(desk, **request):
    return json.loads(desk.call(json.dumps(request)))


def work(desk, stretches, files, order):
    """What the Worker does."""
    for stretch in stretches:
        data = files[order[stretch["file"]]][1]
        desk.begin(stretch["file"], stretch["first"], stretch["last"])
        while (wanted := desk.wants()) is not None:
            offset, length = wanted
            memoryview(desk.buffer)[:length] = data[offset : offset + length]
            desk.add(length)
        desk.end()
