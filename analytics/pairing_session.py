"""A player's logs as the pairing takes them: sessions, blocks of swings, settlements by hand."""

from dataclasses import dataclass, field

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from analytics.db import Connection, ask
from analytics.pairing_blocks import Block, ByHand, Session
from analytics.pairing_logs import Floats, LaunchLog, SwingLog

BREAK_S = 7200.0


@dataclass(frozen=True)
class PlayerLogs:
    """Sessions in order of time, blocks of swings in order of the sensor's clock, and edits."""

    sessions: list[Session] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    by_hand: ByHand = field(default_factory=ByHand)


def player_logs(connection: Connection, player_id: str) -> PlayerLogs:
    """The logs of one player; shots and swings without an instant stay in, for the record."""
    rows = ask(connection, "pairing_session", {"player_id": player_id})
    return PlayerLogs(
        _sessions(rows.filter(pc.equal(rows["kind"], "shot"))),
        _blocks(rows.filter(pc.equal(rows["kind"], "swing"))),
        _by_hand(rows),
    )


def _sessions(rows: pa.Table) -> list[Session]:
    time = _seconds(rows)
    names = rows["session_id"].to_pylist()
    rows_of: dict[str, list[int]] = {}
    for at, name in enumerate(names):
        rows_of.setdefault(name, []).append(at)
    found = []
    for name, at_rows in rows_of.items():
        index = np.array(at_rows)
        if not np.isfinite(time[index]).any():
            continue
        part = rows.take(pa.array(index))
        log = LaunchLog(
            time[index],
            _floats(part, "speed_mps"),
            _floats(part, "club_speed_mps"),
            _floats(part, "carry_m"),
        )
        found.append(Session(name, tuple(part["event_id"].to_pylist()), log, _imports(part)))
    return sorted(found, key=lambda one: float(np.nanmin(one.log.times_s)))


def _blocks(rows: pa.Table) -> list[Block]:
    """Swings split where the sensor was silent for two hours."""
    time = _seconds(rows)
    known = np.flatnonzero(np.isfinite(time))
    known = known[np.argsort(time[known], kind="stable")]
    if not len(known):
        return []
    borders = np.flatnonzero(np.diff(time[known]) > BREAK_S) + 1
    found = []
    for index in np.split(known, borders):
        part = rows.take(pa.array(index))
        log = SwingLog(
            time[index],
            _floats(part, "speed_mps"),
            _floats(part, "backswing_s"),
            _floats(part, "downswing_s"),
        )
        found.append(Block(tuple(part["event_id"].to_pylist()), log, _imports(part)))
    return found


def _by_hand(rows: pa.Table) -> ByHand:
    """The newest settlement wins: a pin lifts an earlier forbid of that pair and the reverse; a pin
    lifts an earlier role of that swing and the reverse."""
    pins: dict[str, str] = {}
    forbids: set[tuple[str, str]] = set()
    offsets: dict[str, float] = {}
    roles: dict[str, tuple[str, str | None]] = {}
    edits = rows.filter(
        pc.is_in(rows["kind"], pa.array(["pin_pair", "forbid_pair", "clock_offset", "role"]))
    ).sort_by("at_utc")
    for edit in edits.to_pylist():
        target, value = edit["event_id"], edit["value"]
        if edit["kind"] == "clock_offset":
            offsets[target] = float(value)
        elif edit["kind"] == "pin_pair":
            pins = {shot: swing for shot, swing in pins.items() if swing != value} | {target: value}
            forbids.discard((target, value))
            roles.pop(value, None)
        elif edit["kind"] == "role":
            role, _, shot = value.partition("=")
            roles[target] = (role, shot or None)
            pins = {shot: swing for shot, swing in pins.items() if swing != target}
        else:
            forbids.add((target, value))
            if pins.get(target) == value:
                del pins[target]
    return ByHand(pins, forbids, offsets, roles)


def _seconds(rows: pa.Table) -> Floats:
    whole = rows["at_utc"].cast(pa.timestamp("us", "UTC")).cast(pa.int64()).cast(pa.float64())
    return np.asarray(whole.to_numpy(zero_copy_only=False), np.float64) / 1e6


def _floats(rows: pa.Table, column: str) -> Floats:
    return np.asarray(rows[column].cast(pa.float64()).to_numpy(zero_copy_only=False), np.float64)


def _imports(rows: pa.Table) -> tuple[str, ...]:
    return tuple(rows["import_id"].to_pylist())
