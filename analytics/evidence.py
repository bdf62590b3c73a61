"""The rows behind a finding: every number opens to the lines of the files it came from."""

from collections.abc import Iterable

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from analytics.bracket_rows import RowRef, row_ref
from analytics.feedback import Feedback
from analytics.row_columns import flags, words

BRACKET = {"bracket_width", "bracket_held", "bracket_fit", "rehearsal_bias"}
TEMPO = {"tempo_drift", "tempo_change", "tempo_rehearsal"}
LINK = {"tempo_far", "tempo_wide"}
STRUCK_ONLY = {"tempo_change", *LINK}
WITH_MISHITS = {"mishit_share"}


def evidence(found: Feedback, key: str) -> list[RowRef]:
    """The rows a finding rests on, in order of time; shots before swings.

    Mishits are left out where the finding leaves them out.
    """
    read = found.read
    if key in BRACKET:
        return _unique(row for triple in read.triples for row in triple.rows)
    refs: list[RowRef] = []
    if key not in TEMPO:
        kept = read.aimed if key in WITH_MISHITS else read.aimed & ~flags(read.balls, "mishit")
        refs += _refs(read.balls, kept, "shots")
    if key in TEMPO | LINK:
        refs += _refs(read.swings, _swings_of(found, key), "swings")
    return refs


def _swings_of(found: Feedback, key: str) -> NDArray[np.bool_]:
    swings, read = found.read.swings, found.read
    at_window = set(words(read.balls, "event_id")[read.aimed].tolist())
    shots = words(swings, "shot_event_id")
    kept = np.array([shot is None or shot in at_window for shot in shots], dtype=np.bool_)
    if key in STRUCK_ONLY:
        rehearsed = [str(role).startswith("rehearse") for role in words(swings, "role")]
        kept &= ~np.array(rehearsed, dtype=np.bool_)
    return kept


def _refs(table: pa.Table, kept: NDArray[np.bool_], name: str) -> list[RowRef]:
    rows = table.filter(pa.array(kept)).to_pylist()
    return [row_ref(name, row, "event_id") for row in rows]


def _unique(rows: Iterable[RowRef]) -> list[RowRef]:
    return list(dict.fromkeys(rows))
