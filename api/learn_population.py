"""When a store learns what its players have in common, and from whom.

Rules
-----
1. A coach's players are learnt from together and apart from every other coach's; a junior without a
   guardian's consent is not asked.
2. At most LEARN_FROM players of a coach are read, spread over all of them.
3. It is learnt anew when there are half as many players again, or files of theirs, than the last
   time (or a third fewer); from LEARN_FROM players on, when there are twice as many.
   `carrybook calibrate` learns at once.
4. Where a player was erased, everything learnt before goes, and what is left teaches anew.
"""

import json
import logging
import time
from dataclasses import dataclass
from pathlib import Path

from analytics.db import open_players
from analytics.errors import RowsMoved
from analytics.learnt_populations import learnt_populations
from analytics.population_learning import LEARN_FROM, LEARN_LEAST
from analytics.stored_population import Row, population_table
from api.player_cards import PlayerCards
from ingest.population_file import forget_populations, population_key, write_population
from schemas.store_paths import coach_group, player_dir

logger = logging.getLogger(__name__)

MORE, MORE_OF_MANY = 1.5, 2.0
SAMPLE = 200
"""Players whose files are counted to see whether there are many more."""


@dataclass(frozen=True)
class Size:
    """How much a store holds: its players, and import folders of SAMPLE of them per player."""

    players: int
    files: float

    def grown(self, before: "Size") -> bool:
        """Whether there is so much more (or less) than before that learning anew is worth it."""
        enough = MORE if self.players <= LEARN_FROM else MORE_OF_MANY
        pairs = ((self.players, before.players), (self.files, before.files))
        return any(now > enough * then or now * enough < then for now, then in pairs)


def learn_when_due(store: Path) -> bool:
    """Learn anew when enough changed since the last time; whether it was done.

    Rows that go away meanwhile (an undo, an erasure) leave it to the next time.
    """
    size = _size(store)
    if size.players < LEARN_LEAST:
        return False
    key = population_key(store)
    if key is not None and not size.grown(Size(**json.loads(key))):
        return False
    try:
        learn_population_of(store)
    except RowsMoved:
        logger.info("what the players have in common was not learnt this time")
        return False
    return True


def learn_population_of(store: Path) -> dict[str, list[Row]]:
    """Learn at once from all that stands now; what was learnt, by coach (empty: nobody's)."""
    learnt_at_ns = time.time_ns()
    size = _size(store)
    learnt = {coach: _learnt(store, players) for coach, players in _groups(store).items()}
    table = population_table({coach_group(coach): rows for coach, rows in learnt.items()})
    key = json.dumps({"players": size.players, "files": size.files})
    write_population(store, table, learnt_at_ns, key)
    return learnt


def learn_without(store: Path) -> list[str]:
    """After a player was erased: what was learnt before is removed, the others teach anew."""
    removed = forget_populations(store)
    if removed:
        learn_when_due(store)
    return removed


def _learnt(store: Path, players: list[str]) -> list[Row]:
    if len(players) < LEARN_LEAST:
        return []
    step = -(-len(players) // LEARN_FROM)
    connection = open_players(store, players[::step])
    try:
        return learnt_populations(connection)
    finally:
        connection.close()


def _groups(store: Path) -> dict[str, list[str]]:
    """Players by coach, those who may not be asked left out."""
    cards = PlayerCards(store)
    groups: dict[str, list[str]] = {}
    for player_id in cards.ids():
        card = cards.get(player_id)
        if card is not None and card.may_leave:
            groups.setdefault(card.coach, []).append(player_id)
    return groups


def _size(store: Path) -> Size:
    ids = PlayerCards(store).ids()
    some = ids[:: max(1, len(ids) // SAMPLE)]
    files = sum(1 for name in some for _ in player_dir(store, name).glob("import=*"))
    return Size(len(ids), files / max(len(some), 1))
