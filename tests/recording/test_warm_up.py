"""Does the work that a page does while it waits go through all that a check is made of?"""

import json

import soundfile

from calculators.recording import warm_up
from calculators.recording.bridge_ops import Desk


def test_the_warm_up_checks_noise_to_the_end_and_reports_on_it(monkeypatch):
    """Every round reads the whole file; the report is an answer, not a refusal."""
    heard, ended = [], []
    call, end = Desk.call, Desk.end

    def called(desk, request):
        heard.append(json.loads(call(desk, request)))
        return ""

    def done(desk):
        ended.append(desk.frames_done)
        end(desk)

    monkeypatch.setattr(Desk, "call", called)
    monkeypatch.setattr(Desk, "end", done)
    pieces = sum(1 for _ in warm_up.steps())
    assert pieces > warm_up.ROUNDS
    assert ended == [warm_up.RATE * warm_up.SECONDS] * warm_up.ROUNDS
    assert [answer["ok"] for answer in heard] == [True]


def test_the_noise_is_a_file_of_the_usual_kind(tmp_path):
    """Another program reads it: 96 kHz, two channels, 24 bits."""
    path = tmp_path / "noise.wav"
    path.write_bytes(warm_up.noise_file())
    info = soundfile.info(path)
    assert (info.samplerate, info.channels, info.subtype) == (96_000, 2, "PCM_24")
    assert info.frames == warm_up.RATE * warm_up.SECONDS
