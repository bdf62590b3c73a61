"""Which stretch of a sensor's log belongs to which session, and what is paired in each.

Rules
-----
1. A session is a player's local day of shots, from however many launch files. A block is a stretch
   of swings without a silence of two hours, from however many sensor files.
2. A session is tried against the blocks nearest in time first. What is left is tried against what
   is left: a wrong date on the sensor costs nothing, for only rhythm and speeds are compared.
3. A block serves one session. A session may use several blocks: after one is paired, the shots
   still without a swing are tried against the next.
"""

import hashlib
from dataclasses import dataclass, field

import numpy as np

from analytics.pairing import PAIRING_VERSION, Pairing, pair
from analytics.pairing_logs import Floats, LaunchLog, SwingLog, launch_side, swing_side

NEAR_S = 36 * 3600.0
NEAREST, LEFT_OVER = 4, 10
WORTH_ANOTHER = 4


@dataclass(frozen=True)
class Session:
    """The shots of one day; event ids and the import of each in the order of the log's rows."""

    session_id: str
    events: tuple[str, ...]
    log: LaunchLog
    imports: tuple[str, ...] = ()


@dataclass(frozen=True)
class Block:
    """A stretch of swings; event ids and the import of each in the order of the log's rows."""

    events: tuple[str, ...]
    log: SwingLog
    imports: tuple[str, ...] = ()


@dataclass(frozen=True)
class ByHand:
    """What people settled: pins shot → swing, forbidden pairs, clock offset by session, roles.

    roles: swing → what it was, and the shot it rehearsed (None: the next one).
    """

    pins: dict[str, str] = field(default_factory=dict)
    forbids: set[tuple[str, str]] = field(default_factory=set)
    offsets: dict[str, float] = field(default_factory=dict)
    roles: dict[str, tuple[str, str | None]] = field(default_factory=dict)


@dataclass(frozen=True)
class Part:
    """One block paired with (some of) a session's shots; `shots` are the session's rows used."""

    block: Block
    shots: tuple[int, ...]
    pairing: Pairing


@dataclass(frozen=True)
class SessionPairing:
    """A session and its parts; the first part carries the verdict. No part: no swings at all."""

    session: Session
    parts: tuple[Part, ...]


def inputs_key(session: Session, blocks: list[Block], by_hand: ByHand) -> str:
    """Changes when anything that the pairing of this session with these blocks rests on does."""
    digest = hashlib.sha256(PAIRING_VERSION.encode())
    events = {*session.events}
    swings = {event for block in blocks for event in block.events}
    for log in (session.log, *(block.log for block in sorted(blocks, key=lambda b: b.events))):
        for values in vars(log).values():
            digest.update(np.asarray(values, np.float64).tobytes() + b"|")
    for names in (session.events, *sorted(block.events for block in blocks)):
        digest.update("\0".join(names).encode() + b"|")
    hand = [
        sorted((shot, swing) for shot, swing in by_hand.pins.items() if shot in events),
        sorted((shot, swing) for shot, swing in by_hand.forbids if shot in events),
        by_hand.offsets.get(session.session_id),
        sorted((swing, by_hand.roles[swing]) for swing in by_hand.roles.keys() & swings),
    ]
    digest.update(repr(hand).encode())
    return digest.hexdigest()[:32]


def pair_sessions(
    sessions: list[Session], blocks: list[Block], by_hand: ByHand
) -> list[SessionPairing]:
    """Pair every session with the blocks that are its own."""
    free = dict(enumerate(blocks))
    done: dict[str, list[Part]] = {}
    for limit, reach_s in ((NEAREST, NEAR_S), (LEFT_OVER, np.inf)):
        for session in sessions:
            if _is_paired(done.get(session.session_id)):
                continue
            part, used = _best_part(session, free, by_hand, limit, reach_s)
            if part is not None and _outranks(part, done.get(session.session_id)):
                done[session.session_id] = [part]
            if used is not None:
                del free[used]
    for session in sessions:
        if _is_paired(done.get(session.session_id)):
            _add_blocks(session, done[session.session_id], free, by_hand)
    return [SessionPairing(one, tuple(done.get(one.session_id, ()))) for one in sessions]


def _is_paired(parts: list[Part] | None) -> bool:
    return bool(parts) and parts is not None and parts[0].pairing.verdict == "paired"


def _outranks(part: Part, before: list[Part] | None) -> bool:
    order = ("cannot_pair", "ambiguous", "paired")
    if not before:
        return True
    return order.index(part.pairing.verdict) > order.index(before[0].pairing.verdict)


def _best_part(
    session: Session, free: dict[int, Block], by_hand: ByHand, limit: int, reach_s: float
) -> tuple[Part | None, int | None]:
    """The first block that pairs, nearest first; else the most telling refusal, and no block."""
    fallback: Part | None = None
    rows = tuple(range(len(session.events)))
    for number in _nearest(session, free, by_hand, reach_s)[:limit]:
        part = _try(session, rows, free[number], by_hand)
        if part.pairing.verdict == "paired":
            return part, number
        if fallback is None or _outranks(part, [fallback]):
            fallback = part
    return fallback, None


def _nearest(
    session: Session, free: dict[int, Block], by_hand: ByHand, reach_s: float
) -> list[int]:
    """Free blocks within reach, those with a pinned swing first, then by distance in time."""
    shift = by_hand.offsets.get(session.session_id, 0.0)
    middle = float(np.nanmedian(session.log.times_s)) + shift
    pinned = {by_hand.pins[event] for event in session.events if event in by_hand.pins}
    away = {k: abs(float(np.median(one.log.times_s)) - middle) for k, one in free.items()}
    has_pin = {k: not pinned.isdisjoint(one.events) for k, one in free.items()}
    near = [k for k in free if away[k] <= reach_s or has_pin[k]]
    return sorted(near, key=lambda k: (not has_pin[k], away[k]))


def _try(session: Session, rows: tuple[int, ...], block: Block, by_hand: ByHand) -> Part:
    """These shots of the session against the block, with what people settled of rows in use."""
    index = np.array(rows)
    log = LaunchLog(
        session.log.times_s[index],
        _part(session.log.ball_speed_mps, index),
        _part(session.log.club_speed_mps, index),
        _part(session.log.carry_m, index),
    )
    shot_at = {session.events[rows[place]]: int(place) for place in launch_side(log).row}
    swing_at = {block.events[place]: int(place) for place in swing_side(block.log).row}
    pins = [
        (shot_at[shot], swing_at[swing])
        for shot, swing in by_hand.pins.items()
        if shot in shot_at and swing in swing_at
    ]
    forbids = [
        (shot_at[shot], swing_at[swing])
        for shot, swing in by_hand.forbids
        if shot in shot_at and swing in swing_at
    ]
    hint = by_hand.offsets.get(session.session_id)
    roles = {
        swing_at[swing]: (role, shot_at.get(shot or ""))
        for swing, (role, shot) in by_hand.roles.items()
        if swing in swing_at
    }
    found = pair(log, block.log, pins=pins, forbids=forbids, offset_hint_s=hint, roles=roles)
    return Part(block, rows, found)


def _part(values: Floats, index: np.ndarray) -> Floats:
    return values[index] if len(values) else values


def _add_blocks(
    session: Session, parts: list[Part], free: dict[int, Block], by_hand: ByHand
) -> None:
    """Further blocks for shots that no swing was found for."""
    for number in _nearest(session, free, by_hand, NEAR_S)[:NEAREST]:
        paired = {part.shots[p.shot] for part in parts for p in part.pairing.pairs}
        left = tuple(row for row in range(len(session.events)) if row not in paired)
        if len(left) < WORTH_ANOTHER:
            return
        part = _try(session, left, free[number], by_hand)
        if part.pairing.verdict == "paired":
            parts.append(part)
            del free[number]
