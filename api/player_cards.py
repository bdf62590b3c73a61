"""Who the players are, and the stamp that tells whether an answer about one is still good.

A player's folder changes its modification time with every import, undo, redo and correction,
because each of them is a rename into or out of it; the folder of derived answers does so when those
are computed anew, that of coaches' own scored tests when one is made, and that of what players have
in common when it is learnt anew. The four times are the player's stamp: four `stat` calls, right
whichever process made the change. The clock behind them is coarse, so a stamp younger than
`SETTLE_NS` does not vouch for an answer yet (`Stamp.settled`).
"""

import json
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from schemas import store_paths

SETTLE_NS = 20_000_000


@dataclass(frozen=True)
class Stamp:
    """State of what answers about a player rest on: times of last change in ns, 0 when missing."""

    mtime_ns: int
    derived_ns: int
    tests_ns: int = 0
    population_ns: int = 0

    @property
    def settled(self) -> bool:
        """Whether a later change would certainly show in another stamp."""
        newest = max(self.mtime_ns, self.derived_ns, self.tests_ns, self.population_ns)
        return time.time_ns() - newest > SETTLE_NS

    @property
    def instant(self) -> datetime:
        """When the player's folder, or what is known of all players, last changed, UTC."""
        return datetime.fromtimestamp(max(self.mtime_ns, self.population_ns) / 1e9, UTC)


@dataclass(frozen=True)
class PlayerCard:
    """One player as `player.json` states it."""

    player_id: str
    display_name: str
    handedness: str
    age_band: str
    guardian_consent: bool
    zone: str
    coach: str

    @property
    def may_leave(self) -> bool:
        """Whether results may leave the store: an adult's may, a junior's only by consent."""
        return self.age_band != "junior" or self.guardian_consent


class PlayerCards:
    """Reads the players of a store, each again only when its folder changed."""

    def __init__(self, store: Path) -> None:
        self._store = store
        self._known: dict[str, tuple[Stamp, PlayerCard]] = {}
        self._folders: dict[str, tuple[Path, Path]] = {}
        self._tests = store_paths.own_tests_dir(store)
        self._population = store_paths.population_dir(store)

    def stamp(self, player_id: str) -> Stamp | None:
        """The stamp of a player's folder; None when there is no such player."""
        folders = self._folders.get(player_id)
        if folders is None:
            try:
                folders = _folders(self._store, player_id)
            except ValueError:
                return None
        try:
            changed, derived = folders[0].stat().st_mtime_ns, _mtime_ns(folders[1])
            common = _mtime_ns(self._tests), _mtime_ns(self._population)
            stamp = Stamp(changed, derived, *common)
        except OSError:
            return None
        self._folders[player_id] = folders
        return stamp

    def get(self, player_id: str) -> PlayerCard | None:
        """The card of a player; None when there is none."""
        stamp = self.stamp(player_id)
        return None if stamp is None else self.at(player_id, stamp)

    def at(self, player_id: str, stamp: Stamp) -> PlayerCard | None:
        """The card of a player whose folder has just been seen with this stamp."""
        known = self._known.get(player_id)
        if known is not None and known[0] == stamp:
            return known[1]
        card = _read_card(store_paths.player_dir(self._store, player_id))
        if card is not None and stamp.settled:
            self._known[player_id] = (stamp, card)
        return card

    def ids(self) -> list[str]:
        """Every player's id, in order."""
        root = store_paths.root(self._store)
        if not root.is_dir():
            return []
        return sorted(
            entry.name.removeprefix("player=")
            for entry in root.iterdir()
            if entry.name.startswith("player=")
        )


def _folders(store: Path, player_id: str) -> tuple[Path, Path]:
    return store_paths.player_dir(store, player_id), store_paths.derived_dir(store, player_id)


def _mtime_ns(folder: Path) -> int:
    try:
        return folder.stat().st_mtime_ns
    except OSError:
        return 0


def _read_card(folder: Path) -> PlayerCard | None:
    try:
        found = json.loads((folder / store_paths.PLAYER).read_text("utf-8"))
    except (OSError, json.JSONDecodeError):
        return None
    return PlayerCard(
        player_id=folder.name.removeprefix("player="),
        display_name=str(found.get("display_name") or ""),
        handedness=str(found.get("handedness") or "right"),
        age_band=str(found.get("age_band") or "adult"),
        guardian_consent=bool(found.get("guardian_consent")),
        zone=str(found.get("zone") or "UTC"),
        coach=str(found.get("coach") or ""),
    )
