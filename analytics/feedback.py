"""Feedback on one player's practice: everything looked at once, judged together.

found = feedback(open_store(store, "ana1"), "ana1")
found.of("tempo_drift").answer.value
"""

from dataclasses import dataclass

from analytics.db import Connection
from analytics.discovery import Finding
from analytics.errors import BadQuestion
from analytics.findings import TILE_KEYS, session_report
from analytics.focus import Candidate, choose_focus
from analytics.practice_rows import PlayerPractice, Window, player_practice


@dataclass(frozen=True)
class Feedback:
    """The practice read, every finding, and the focus for next time."""

    read: PlayerPractice
    findings: tuple[Finding, ...]
    focus: Candidate

    def of(self, key: str) -> Finding:
        """The finding of this key, one of `findings.TILES`."""
        return next(finding for finding in self.findings if finding.key == key)

    def some(self, *keys: str) -> tuple[Finding, ...]:
        """Several findings, in the order asked."""
        return tuple(self.of(key) for key in keys)


def feedback(
    con: Connection, player_id: str, window: Window | None = None, declared: str | None = None
) -> Feedback:
    """Judge a player's practice.

    Args:
        con: views of `analytics.db` over this player.
        window: overrules the windows noted with the sessions.
        declared: key of the focus that was set before the sessions, tested on its own.
    Raises: BadQuestion for a `declared` that is not looked at.
    """
    if declared is not None and declared not in TILE_KEYS:
        raise BadQuestion(
            f"There is no focus {declared!r}.",
            "Choose one of: " + ", ".join(TILE_KEYS) + ".",
        )
    read = player_practice(con, player_id, window)
    findings = tuple(session_report(read.practice, declared))
    return Feedback(read, findings, choose_focus(findings))
