"""How far it is and how long it will take: a bar on a terminal, plain lines elsewhere."""

import sys
import time
from collections.abc import Callable
from typing import TextIO

from calculators.recording.axes import length_text

BAR = 24
"""Characters of a full bar."""

EVERY = 0.2
"""Seconds between two states of a bar; a new line of plain text takes a tenth of the work."""

LONGEST_LINE = 79


class Progress:
    """Shows a share of the work that is done.

    Args:
        total: Of the work, in any unit above zero.
        out: Where to write; a terminal gets a bar that moves, all else a line at each tenth.
        clock: Seconds that only rise.
        patience: Seconds before anything is shown: what is done by then needs no words.
    """

    def __init__(
        self,
        total: float,
        out: TextIO | None = None,
        clock: Callable[[], float] = time.monotonic,
        patience: float = 0.0,
    ) -> None:
        self._total = total
        self._out = sys.stderr if out is None else out
        self._clock = clock
        self._started = clock()
        self._patience = patience
        self._shown = float("-inf")
        self._begun_at: float | None = None
        self._tenth = 0
        self._moves = self._out.isatty()

    def show(self, done: float, words: str = "") -> None:
        """Show that so much is done; what was done before the first call took no time.

        Args:
            done: Of the total.
            words: What is being done; plain lines say the share where there are none.
        """
        if self._begun_at is None:
            self._begun_at = done
        share = min(done / self._total, 1.0)
        now = self._clock()
        if now - self._started < self._patience:
            return
        if self._moves and now - self._shown >= EVERY:
            self._shown = now
            filled = int(BAR * share)
            bar = "█" * filled + "·" * (BAR - filled)
            line = f"{bar} {share:4.0%}  {self._left(done, now)}  {words}"
            self._out.write(f"\r{line[:LONGEST_LINE]:<{LONGEST_LINE}}")
            self._out.flush()
        elif not self._moves and int(10 * share) > self._tenth:
            self._tenth = int(10 * share)
            self._out.write(f"{words or f'{share:4.0%} done'}, {self._left(done, now)}\n")
            self._out.flush()

    def close(self) -> None:
        """Take the bar away: what follows begins on an empty line."""
        if self._moves:
            self._out.write(f"\r{'':<{LONGEST_LINE}}\r")
            self._out.flush()

    def _left(self, done: float, now: float) -> str:
        """The time that is left, if it goes on as it went."""
        begun = self._begun_at or 0.0
        if done <= begun:
            return "time left not known yet"
        left = (now - self._started) * (self._total - done) / (done - begun)
        return f"{length_text(max(round(left), 0))} left"
