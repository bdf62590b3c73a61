"""Homework from what is open: one focus, its drill in blocks, and a check that it helped.

Rules
-----
1. One focus, chosen before the practice: the open point with the most strokes at stake times
   certainty. What is noise weighs next to nothing, so shuffling it does not change the plan.
2. Beside the focus: what is still too early to say gets the balls it lacks (one piece at most), and
   one scored test checks the whole.
3. The balls of one day stay under a cap (`analytics.cautions`), or what the coach says. Blocks are
   cut before the cap is passed, never squeezed.
4. A target is the number of hits reached with a chance of four in ten at the present rate.
5. Cautions are part of every plan; pain and injuries belong to licensed practice.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from scipy import stats

from analytics.cautions import Caution, standing_cautions, usual_limits
from analytics.drills import TIRED, Drill, drill_for
from analytics.errors import BadQuestion

TARGET_CHANCE = 0.4


@dataclass(frozen=True)
class OpenPoint:
    """Something to work on: part of the game, why, strokes at stake per chip, certainty 0 to 1.

    `hit_rate` is the present share of hits in the drill's test, where it is known.
    """

    part: str
    why: str
    strokes: float
    certainty: float
    club: str | None = None
    hit_rate: float | None = None

    @property
    def weight(self) -> float:
        """Strokes at stake × certainty."""
        return self.strokes * self.certainty


@dataclass(frozen=True)
class Missing:
    """Balls that an answer still lacks: which club, how many, why."""

    club: str
    balls: int
    why: str


@dataclass(frozen=True)
class Homework:
    """One piece of homework, as it is given."""

    focus: str
    title: str
    task: str
    why: str
    blocks: int
    balls_per_block: int
    stop_rule: str
    target_text: str
    test: str
    club: str | None = None

    @property
    def balls(self) -> int:
        """All balls of it."""
        return self.blocks * self.balls_per_block


@dataclass(frozen=True)
class PracticePlan:
    """Homework for one day of practice, with its cautions."""

    pieces: tuple[Homework, ...]
    cautions: tuple[Caution, ...]
    cap: int
    rest_every: int

    @property
    def balls(self) -> int:
        """All balls of the day."""
        return sum(piece.balls for piece in self.pieces)


def plan_practice(
    open_points: Sequence[OpenPoint],
    missing: Sequence[Missing] = (),
    age_band: Literal["adult", "junior"] = "adult",
    cap: int | None = None,
) -> PracticePlan:
    """The plan for one day of practice.

    Args: cap: most balls of the day, by the coach; the age band's by default.
    Raises: BadQuestion for a cap that leaves no block.
    """
    limits = usual_limits(age_band)
    most = limits.cap if cap is None else cap
    if most < 9:
        raise BadQuestion(f"A cap of {most} balls leaves no block.", "allow at least 9 balls")
    wanted = [_focus(open_points), *_measuring(missing), _check_test()]
    pieces, left = [], most
    for piece in wanted:
        fitting = _cut(piece, left)
        if fitting is not None:
            pieces.append(fitting)
            left -= fitting.balls
    return PracticePlan(tuple(pieces), standing_cautions(age_band), most, limits.rest_every)


def own_piece(title: str, task: str, blocks: int, balls_per_block: int) -> Homework:
    """A piece that the coach words; the stop rule is that of every drill."""
    return Homework(
        "own", title, task or title, "set by the coach", blocks, balls_per_block, TIRED,
        "all blocks done", "",
    )  # fmt: skip


def fair_target(hit_rate: float, balls: int, chance: float = TARGET_CHANCE) -> int:
    """Most hits of `balls` that are reached with at least this chance at the present rate."""
    reached = [k for k in range(1, balls + 1) if stats.binom.sf(k - 1, balls, hit_rate) >= chance]
    return max(reached, default=1)


def _focus(open_points: Sequence[OpenPoint]) -> Homework:
    best = max(open_points, key=lambda point: point.weight, default=None)
    if best is None or best.weight <= 0:
        nothing = "nothing stands out yet; keep on and let the test speak"
        return _homework(drill_for("leave"), OpenPoint("leave", nothing, 0, 0))
    return _homework(drill_for(best.part), best)


def _measuring(missing: Sequence[Missing]) -> list[Homework]:
    if not missing:
        return []
    most = max(missing, key=lambda one: one.balls)
    drill = drill_for("measure")
    piece = _homework(drill, OpenPoint("measure", most.why, 0, 0, most.club))
    per_day = min(most.balls, drill.balls_per_block)
    return [replace(piece, balls_per_block=per_day, target_text=f"{per_day} balls measured")]


def _check_test() -> Homework:
    return _homework(drill_for("test"), OpenPoint("test", "one round shows the whole", 0, 0))


def _homework(drill: Drill, point: OpenPoint) -> Homework:
    return Homework(
        focus=drill.part,
        title=drill.title,
        task=drill.task,
        why=point.why,
        blocks=drill.blocks,
        balls_per_block=drill.balls_per_block,
        stop_rule=f"{drill.stop_rule} {TIRED}",
        target_text=_target(drill, point.hit_rate),
        test=drill.test,
        club=point.club,
    )


def _target(drill: Drill, hit_rate: float | None) -> str:
    if hit_rate is None:
        return "all blocks done"
    balls = drill.blocks * drill.balls_per_block
    hits = fair_target(hit_rate, balls)
    return f"{hits} of {balls} hits (at the present rate a chance of four in ten)"


def _cut(piece: Homework, left: int) -> Homework | None:
    """The piece with as many whole blocks as fit; None when not one does."""
    blocks = min(piece.blocks, left // piece.balls_per_block)
    return replace(piece, blocks=blocks) if blocks > 0 else None
