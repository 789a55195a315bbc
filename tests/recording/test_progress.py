"""Progress: a bar on a terminal, plain lines in a file, and a time left that is not made up."""

import io

from calculators.recording.progress import LONGEST_LINE, Progress


class Terminal(io.StringIO):
    def isatty(self):
        return True


class Clock:
    now = 100.0

    def __call__(self):
        return self.now


def test_a_terminal_gets_one_line_that_moves():
    out, clock = Terminal(), Clock()
    progress = Progress(1000, out, clock)
    for done in range(0, 1001, 100):
        clock.now += 1.0
        progress.show(done)
    progress.close()
    text = out.getvalue()
    assert "\n" not in text
    lines = text.split("\r")
    assert max(map(len, lines)) <= LONGEST_LINE
    assert "50%  6\u00a0s left" in text  # six seconds for half of it
    assert lines[-2].strip() == ""


def test_a_file_gets_a_line_at_each_tenth():
    out, clock = io.StringIO(), Clock()
    progress = Progress(1000, out, clock)
    for done in range(0, 1001, 10):
        clock.now += 0.5
        progress.show(done)
    lines = out.getvalue().splitlines()
    assert [line.split("%")[0].strip() for line in lines] == [str(n) for n in range(10, 101, 10)]
    assert all("done" in line for line in lines)
    assert "\r" not in out.getvalue()


def test_what_was_kept_from_an_earlier_run_took_no_time():
    """500 of 1000 known at once, then 100 in ten seconds: 400 are left, 40 seconds."""
    out, clock = Terminal(), Clock()
    progress = Progress(1000, out, clock)
    progress.show(500)
    assert "not known yet" in out.getvalue()
    clock.now += 10.0
    progress.show(600)
    assert "40\u00a0s left" in out.getvalue()


def test_what_is_done_soon_needs_no_words():
    """Then plain lines say what is being done: a tenth took 3 seconds, nine are left."""
    out, clock = io.StringIO(), Clock()
    progress = Progress(150, out, clock, patience=1.0)
    for number in range(1, 151):
        progress.show(number - 1, f"Opening file {number} of 150")
        clock.now += 0.2
    lines = out.getvalue().splitlines()
    assert lines[0] == "Opening file 16 of 150, 27\u00a0s left"
    assert len(lines) == 9

    quick, clock = io.StringIO(), Clock()
    progress = Progress(5, quick, clock, patience=1.0)
    for number in range(5):
        progress.show(number, "Opening")
        clock.now += 0.1
    progress.close()
    assert quick.getvalue() == ""
