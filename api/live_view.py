"""Follows a folder of growing exports and says what the latest triple was."""

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from analytics.cautions import BallLimits, ball_cautions, usual_limits
from analytics.db import open_store
from analytics.live_triple import LiveTriple, live_triple
from analytics.practice_rows import Window
from api.bracket_text import triple_lines
from api.take_in import Refused, take_in
from api.watching import complete_files
from api.wording import Wording
from ingest.options import Options
from ingest.players import Player


@dataclass(frozen=True)
class Shown:
    """The latest triple, how many rows were new, and how long it took from file to answer."""

    now: LiveTriple
    new_rows: int
    seconds: float


class LiveView:
    """One player's live view; remembers the clock offset between two looks."""

    def __init__(
        self, store: Path, player: Player, window: Window | None = None, cap: int | None = None
    ) -> None:
        self._store = store
        self._player = player
        self._window = window
        usual = usual_limits(player.age_band)
        self._limits = BallLimits(cap or usual.cap, usual.rest_every)
        self._offset_s: float | None = None

    def follow(
        self, folder: Path, options: Options | None = None, stop_after_s: float | None = None
    ) -> Iterator[Shown]:
        """Each time a file of `folder` brought new rows: the latest triple."""
        for path in complete_files(folder, stop_after_s=stop_after_s):
            began = time.perf_counter()
            outcomes = take_in(self._store, [path], self._player, options=options)
            new = sum(o.overlap.new for o in outcomes if not isinstance(o, Refused) and o.new)
            if new:
                now = self.look()
                yield Shown(now, new, time.perf_counter() - began)

    def look(self) -> LiveTriple:
        """The latest triple as the store stands."""
        con = open_store(self._store, self._player.player_id)
        try:
            now = live_triple(con, self._player.player_id, self._window, self._offset_s)
        finally:
            con.close()
        self._offset_s = now.offset_s
        return now

    def lines(self, shown: Shown, say: Wording) -> Iterator[str]:
        """What stands in the terminal for one look."""
        now = shown.now
        took = say.number(shown.seconds)
        yield say.text("live.grown", new=shown.new_rows, ball=now.ball, seconds=took)
        if now.triple is not None:
            yield from triple_lines(now.triple, say)
        elif now.ball:
            yield say.text("live.no_triple", carry=say.length(now.carry_m), reason=now.reason)
        for caution in ball_cautions(now.ball, self._limits):
            yield say.text(
                f"caution.{caution}",
                balls=self._limits.rest_every,
                cap=self._limits.cap,
                left=self._limits.cap - now.ball,
            )
