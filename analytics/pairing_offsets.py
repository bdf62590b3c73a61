"""Which clock offsets are worth a closer look.

Every difference swing time − shot time votes for its offset, weighted by how much the swing looks
like the strike of that shot and by how rare swings are around it. Each shot can add only
log(1 − p + p·vote), so that one cluster of swings cannot decide. Shots vote in blocks short
enough for drift to stay within a cell or two; a chain over the blocks allows for drift, and the
blocks' own peaks stay in the list so that a clock which jumps is seen on both sides. A long log is
searched in a few blocks only; the rest of it is followed from there.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import maximum_filter1d

from analytics.pairing_evidence import Evidence, sign_weights
from analytics.pairing_logs import Floats, Ints, Side

CELL_S = 0.25
BLOCK_SHOTS, MOST_BLOCKS = 25, 12
MAX_DRIFT = 250e-6
HIT = 0.5
SPEED_CORRELATION = 0.5
HALF_WIDTH_CELLS = 4


@dataclass(frozen=True)
class Candidates:
    """Offsets (c,) in seconds at the middle of the launch log, drift (c,), the searched range."""

    offset_s: Floats
    drift: Floats
    range_s: float


def coarse_speed_weights(z_shot: Floats, z_swing: Floats) -> Floats:
    """Log likelihood ratio (n, m) that the speeds belong together, scale unknown; 0 if unknown."""
    rho = SPEED_CORRELATION
    left = 1 - rho**2
    ratio = (
        -0.5 * np.log(left)
        - (z_swing[None, :] - rho * z_shot[:, None]) ** 2 / (2 * left)
        + z_swing[None, :] ** 2 / 2
    )
    return np.asarray(np.clip(np.nan_to_num(ratio, nan=0.0), -1.5, 1.5))


def robust_z(values: Floats) -> Floats:
    """Robust z scores, clipped at three; nan where unknown."""
    finite = values[np.isfinite(values)]
    if len(finite) < 4:
        return np.full(len(values), np.nan)
    centre = np.median(finite)
    spread = 1.4826 * np.median(np.abs(finite - centre)) + 0.02
    return np.asarray(np.clip((values - centre) / spread, -3, 3))


def find_candidates(
    shots: Side, swings: Side, evidence: Evidence, around_s: float | None, keep: int
) -> Candidates:
    """The most promising offsets, best first.

    Args:
        around_s: search only near this offset (a hand-set one), else everywhere.
        keep: how many peaks of the whole log to keep; each block adds three of its own.
    """
    grid = _Grid.over(shots, swings, around_s)
    nothing = np.zeros((1, len(swings)))
    weight = sign_weights(evidence.signs, nothing)[0] - np.log(evidence.rate_hz)
    z_shot, z_swing = robust_z(shots.log_speed), robust_z(swings.log_speed)
    blocks = _blocks(len(shots))
    scores = [
        grid.score(
            shots.time[b], swings, coarse_speed_weights(z_shot[b], z_swing) + weight, shots.grid_s
        )
        for b in blocks
    ]
    centres = np.array([shots.time[b].mean() for b in blocks])
    offset, drift = _chain(grid, scores, centres, keep)
    if len(blocks) > 1:
        own = np.concatenate([grid.at(_peaks(score, 3)) for score in scores])
        offset, drift = np.append(offset, own), np.append(drift, np.zeros(len(own)))
    return Candidates(offset, drift, grid.cells * CELL_S)


def _blocks(shots: int) -> list[Ints]:
    """The shots in blocks; of a long log a few blocks spread over it, which find the offset too."""
    blocks = np.array_split(np.arange(shots), max(1, round(shots / BLOCK_SHOTS)))
    if len(blocks) <= MOST_BLOCKS:
        return blocks
    return [blocks[k] for k in np.linspace(0, len(blocks) - 1, MOST_BLOCKS).round().astype(int)]


@dataclass(frozen=True)
class _Grid:
    """Offsets on a grid of cells."""

    start_s: float
    cells: int

    @staticmethod
    def over(shots: Side, swings: Side, around_s: float | None) -> "_Grid":
        low = swings.time[0] - shots.time[-1] - 4.0
        high = swings.time[-1] - shots.time[0] + 4.0
        if around_s is not None:
            low, high = around_s - 6.0, around_s + 6.0
        return _Grid(low, int((high - low) / CELL_S) + 1)

    def at(self, cell: Ints) -> Floats:
        return np.asarray(self.start_s + (cell + 0.5) * CELL_S)

    def score(self, shot_time: Floats, swings: Side, log_weight: Floats, grid_s: float) -> Floats:
        """Log evidence of each cell from these shots."""
        width = max(0.3, 0.45 * np.hypot(grid_s, swings.grid_s))
        difference = (swings.time[None, :] - shot_time[:, None] - self.start_s) / CELL_S
        centre = np.floor(difference).astype(np.int64)
        total = np.zeros(self.cells)
        odds = HIT / (1 - HIT)
        for shift in range(-HALF_WIDTH_CELLS, HALF_WIDTH_CELLS + 1):
            away = (centre + shift + 0.5 - difference) * CELL_S / width
            vote = odds * np.exp(log_weight - 0.5 * away**2) / (width * np.sqrt(2 * np.pi))
            cell = (centre + shift).ravel()
            inside = (cell >= 0) & (cell < self.cells)
            total += np.bincount(cell[inside], np.log1p(vote).ravel()[inside], self.cells)
        return np.asarray(total + np.log(1 - HIT) * self.covered(shot_time, swings))

    def covered(self, shot_time: Floats, swings: Side) -> Floats:
        """How many of these shots fall within the swing log at each offset."""
        change = np.zeros(self.cells + 1)
        first = (swings.time[0] - 1 - shot_time - self.start_s) / CELL_S
        last = (swings.time[-1] + 1 - shot_time - self.start_s) / CELL_S
        np.add.at(change, np.clip(first, 0, self.cells).astype(int), 1.0)
        np.add.at(change, np.clip(last, 0, self.cells).astype(int), -1.0)
        return np.asarray(np.cumsum(change)[: self.cells])


def _peaks(score: Floats, keep: int) -> Ints:
    """Cells of the highest local maxima at least a second apart, highest first."""
    reach = round(1.0 / CELL_S)
    top = np.flatnonzero(score >= maximum_filter1d(score, 2 * reach + 1))
    return np.asarray(top[np.argsort(-score[top], kind="stable")][:keep])


def _chain(grid: _Grid, scores: list[Floats], centres: Floats, keep: int) -> tuple[Floats, Floats]:
    """Best offset tracks through the blocks: offset at the mean time, and drift."""
    totals, reaches = [scores[0]], [0]
    for b in range(1, len(scores)):
        reach = int(np.ceil(MAX_DRIFT * (centres[b] - centres[b - 1]) / CELL_S))
        totals.append(scores[b] + maximum_filter1d(totals[-1], 2 * reach + 1))
        reaches.append(reach)
    cell = _peaks(totals[-1], keep)
    track = [cell]
    for b in range(len(scores) - 1, 0, -1):
        window = cell[:, None] + np.arange(-reaches[b], reaches[b] + 1)[None, :]
        window = np.clip(window, 0, grid.cells - 1)
        cell = np.take_along_axis(window, totals[b - 1][window].argmax(1)[:, None], 1)[:, 0]
        track.append(cell)
    path = grid.at(np.array(track[::-1]))
    if len(scores) == 1:
        return path[0], np.zeros(len(cell))
    lever = centres - centres.mean()
    drift = (lever[:, None] * path).sum(0) / (lever**2).sum()
    return path.mean(0), np.clip(drift, -MAX_DRIFT, MAX_DRIFT)
