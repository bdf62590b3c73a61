"""Builds the demo's book: writes its exports once, adds its players, takes every file in."""

import json
import tomllib
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from api.learn_population import learn_when_due
from api.take_in import Taken, take_in
from demo_data.write import write_demo
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from schemas.store_paths import PLAYER, player_dir


@dataclass(frozen=True)
class DemoBook:
    """The demo as it stands in the store."""

    players: tuple[Player, ...]
    outcomes: tuple[Taken, ...]
    exports: Path


def build_demo(store: Path, progress: Callable[[int, int], None] | None = None) -> DemoBook:
    """Bring the demo into `store`; run again it finds everything there and changes nothing."""
    exports = store / "exports"
    if not (exports / "truth.json").is_file():
        write_demo(exports)
    players = _players(exports, store)
    files = tomllib.loads((exports / "imports.toml").read_text("utf-8"))["import"]
    by_player: dict[str, list[Path]] = defaultdict(list)
    for entry in files:
        path = exports / entry["path"]
        if entry["kind"] == "sessions":
            _enter_conditions(store, entry["player_id"], path)
        else:
            by_player[entry["player_id"]].append(path)
    outcomes: list[Taken] = []
    for player in players:
        done = len(outcomes)

        def step(count: int, _: int, done: int = done) -> None:
            if progress:
                progress(done + count, len(files))

        outcomes += take_in(store, by_player[player.player_id], player, progress=step)
    learn_when_due(store)
    return DemoBook(tuple(players), tuple(outcomes), exports)


def _players(exports: Path, store: Path) -> list[Player]:
    cards = tomllib.loads((exports / "players.toml").read_text("utf-8"))["player"]
    players = [Player(**card) for card in cards]
    for player in players:
        if not (player_dir(store, player.player_id) / PLAYER).is_file():
            save_player(store, player)
    return players


def _enter_conditions(store: Path, player_id: str, path: Path) -> None:
    for line in path.read_text("utf-8").splitlines():
        row = json.loads(line)
        row["day"] = date.fromisoformat(row["day"])
        enter(store, player_id, "sessions", [row], source_name=f"conditions of {row['day']}")
