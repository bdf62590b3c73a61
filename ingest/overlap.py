"""How the rows of a new file stand to what the store already has of the same player."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import polars as pl

from ingest.identity import Hashes, value_hashes
from ingest.ledger import Ledger
from ingest.store import read_ledger
from schemas.store_paths import root

# Above this many rows a join is quicker than a dictionary, and far smaller.
DICTIONARY_ROWS = 500_000
CHANGED_LINES_NAMED = 1_000

Key = tuple[str, str]


@dataclass(frozen=True)
class Overlap:
    """Counts of kept rows: not seen before, seen with the same values, seen with others."""

    new: int = 0
    same: int = 0
    changed: int = 0
    changed_lines: tuple[int, ...] = ()

    def __add__(self, other: "Overlap") -> "Overlap":
        """The counts of two parts of a file; the first thousand changed lines are named."""
        return Overlap(
            self.new + other.new,
            self.same + other.same,
            self.changed + other.changed,
            (*self.changed_lines, *other.changed_lines)[:CHANGED_LINES_NAMED],
        )


@dataclass
class Known:
    """What the store holds, read once for any number of files."""

    store: Path
    _sources: dict[str, list[Path]] | None = None
    _seen: dict[Key, dict[str, int]] = field(default_factory=dict)
    _large: dict[Key, list[pl.DataFrame]] = field(default_factory=dict)
    _learned: dict[Path, Ledger] = field(default_factory=dict)

    def imports_of_source(self, sha256: str) -> list[Ledger]:
        """The standing imports, of any player, that came from these bytes."""
        if self._sources is None:
            self._sources = {}
            for folder in root(self.store).glob("player=*/import=*"):
                self._sources.setdefault(folder.name[7:23], []).append(folder)
        folders = self._sources.get(sha256[:16], [])
        found = (self._learned.get(folder) or _standing(folder) for folder in folders)
        return [ledger for ledger in found if ledger is not None]

    def compare(
        self,
        player_id: str,
        table: str,
        frame: pl.DataFrame,
        values: Hashes | None = None,
        *,
        replaced: str | None = None,
    ) -> Overlap:
        """Count the rows of `frame` against this player's of `table`.

        `values` are the frame's `value_hashes`; without them they are found, if there is anything
        to compare with.
        """
        key = (player_id, table)
        self._load(key, replaced)
        if not self._seen[key] and not self._large.get(key):
            return Overlap(new=frame.height)
        values = value_hashes(frame, table) if values is None else values
        incoming = _event_values(frame, values)
        if self._large.get(key):
            return _compare_by_join(incoming, pl.concat(self._large[key]), frame)
        seen = self._seen[key]
        found = [seen.get(event_id) for event_id in incoming["event_id"]]
        pairs = list(zip(found, incoming["values"], frame["source_line"], strict=True))
        changed = tuple(line for old, now, line in pairs if old is not None and old != now)
        new = sum(old is None for old in found)
        return Overlap(new, frame.height - new - len(changed), len(changed), changed)

    def learn_anew(self, folder: Path) -> None:
        """Read this player's rows again when next asked: a large file came in as `folder`."""
        if self._sources is not None:
            self._sources.setdefault(folder.name[7:23], []).append(folder)
        player_id = folder.parent.name.removeprefix("player=")
        for key in [key for key in self._seen if key[0] == player_id]:
            del self._seen[key]
            self._large.pop(key, None)

    def learn(
        self, ledger: Ledger, frame: pl.DataFrame, values: Hashes, *, table: str, folder: Path
    ) -> None:
        """Count these rows as known from now on; `folder` may not be visible yet."""
        if self._sources is not None:
            self._sources.setdefault(folder.name[7:23], []).append(folder)
        self._learned[folder] = ledger
        self._add((ledger.player_id, table), _event_values(frame, values))

    def _load(self, key: Key, replaced: str | None) -> None:
        if key in self._seen:
            return
        self._seen[key] = {}
        player_id, table = key
        folders = root(self.store).glob(f"player={player_id}/import=*")
        dated = [(found.imported_at_utc, path) for path in folders if (found := _standing(path))]
        for _, folder in sorted(dated):
            path = folder / f"{table}.parquet"
            if folder.name[7:] != replaced and path.is_file():
                stored = pl.read_parquet(path)
                self._add(key, _event_values(stored, value_hashes(stored, table)))

    def _add(self, key: Key, rows: pl.DataFrame) -> None:
        seen = self._seen.setdefault(key, {})
        large = self._large.setdefault(key, [])
        if not large and len(seen) + rows.height <= DICTIONARY_ROWS:
            seen.update(zip(rows["event_id"], rows["values"], strict=True))
            return
        if seen:
            large.append(pl.DataFrame({"event_id": list(seen), "values": list(seen.values())}))
            seen.clear()
        large.append(rows)


def _standing(folder: Path) -> Ledger | None:
    """The ledger of an import; None for one taken back since it was listed."""
    try:
        return read_ledger(folder)
    except FileNotFoundError:
        return None


def _event_values(frame: pl.DataFrame, values: Hashes) -> pl.DataFrame:
    return pl.DataFrame({"event_id": frame["event_id"], "values": values.view(np.int64)})


def _compare_by_join(incoming: pl.DataFrame, known: pl.DataFrame, frame: pl.DataFrame) -> Overlap:
    newest = known.unique("event_id", keep="last")
    joined = incoming.with_columns(line=frame["source_line"]).join(
        newest, on="event_id", how="left", suffix="_known", maintain_order="left"
    )
    new = joined["values_known"].null_count()
    changed = joined.filter(pl.col("values_known") != pl.col("values"))["line"].to_list()
    return Overlap(new, frame.height - new - len(changed), len(changed), tuple(changed))
