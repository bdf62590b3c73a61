"""An answer is never a bare number: value, interval, counts, state and where it came from.

Rules
-----
1. `clear` means: the minimum of data is there and the interval decides the question asked.
2. `leaning` means: the minimum is there, the interval does not decide yet.
3. `too_early` means: the minimum is not there; `need` says how much there is and is needed.
4. "No change seen" is an answer of its own: it is `clear` only when the interval is narrow enough
   to exclude a change that would matter, and `leaning` otherwise.
"""

from dataclasses import dataclass
from typing import Literal

State = Literal["clear", "leaning", "too_early"]

FIT_VERSION = "2"
"""Version of the computations; part of every answer, raised when an answer may change. Answers
that rest on what a store learnt of its players append the version of that: `2+3f9a61c0`."""


@dataclass(frozen=True)
class Minimum:
    """What an answer needs before it may be more than `too_early`."""

    shots: int
    sessions: int = 1

    def state(self, n_shots: int, n_sessions: int, decided: bool) -> State:
        """State of an answer with these counts; `decided` says whether the interval decides."""
        if n_shots < self.shots or n_sessions < self.sessions:
            return "too_early"
        return "clear" if decided else "leaning"

    def need(self, n_shots: int, n_sessions: int) -> str:
        """What is missing, in words: `8 of 15 shots`, `1 of 2 days`; empty when nothing is."""
        parts = []
        if n_shots < self.shots:
            parts.append(f"{n_shots} of {self.shots} shots")
        if n_sessions < self.sessions:
            parts.append(f"{n_sessions} of {self.sessions} days")
        return ", ".join(parts)


# Minimum data per kind of question: from simulation, under assumed spreads of players.
CENTRE = Minimum(10)
SPREAD = Minimum(20)
SHARE = Minimum(20)
CURVE = Minimum(15, 2)
CHANGE = Minimum(0, 6)
HABIT = Minimum(0, 6)


@dataclass(frozen=True)
class Answer:
    """A value with its interval, counts and state; `unit` is a UCUM code, SI inside."""

    value: float | None
    low: float | None
    high: float | None
    unit: str
    n_shots: int
    n_sessions: int
    state: State
    level: float = 0.9
    need: str = ""
    fit_version: str = FIT_VERSION
