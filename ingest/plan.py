"""What was decided about a file: which column means what, in which unit, and what stays open.

A plan is made once from the header and the cells (`ingest/interpret.py`) and then applied to any
number of batches of rows (`ingest/normalise.py`). Everything in it is plain data, so that a
question can be stored with its part of the plan and answered later.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from ingest.units import SI_DIMENSION, Dimension
from ingest.words import TABLE_OF
from schemas.tables import columns

Kind = Literal["launch", "tempo", "marks", "scores", "unknown"]

SIGNED_SIDE = frozenset({"start_right_deg", "side_m", "side_spin_rpm", "land_side_m"})
INSTANT = {
    "launch": "struck_at_utc",
    "tempo": "swung_at_utc",
    "marks": "marked_at_utc",
    "scores": "scored_at_utc",
}
BOOKKEEPING = frozenset(
    {"event_id", "content_id", "import_id", "source_line", "occurrence", "extra", "shot_event_id"}
)


@dataclass(frozen=True)
class ColumnPlan:
    """How the cells under one header become one canonical column.

    `open` names the kinds of question that keep the column null; `sign` is −1 where the source
    counts left as positive; `limits` of the column are those of the schema.
    """

    index: int
    header: str
    column: str
    unit: str | None = None
    unit_from: str | None = None
    decimal: str | None = "."
    sign: int = 1
    inverse: bool = False
    feet_dash: bool = False
    open: tuple[str, ...] = ()


@dataclass(frozen=True)
class TimePlan:
    """How one or more columns become the instant of an event.

    `roles` are (index, header, role) with role `stamp`, `date`, `clock`, `zone`, `elapsed` or an
    epoch unit (`epoch_s` …). `offset_min` and `zone` hold for times that state none themselves.
    `day` is the ISO date of clock times; `start_us` the UTC instant (microseconds) that elapsed
    times count from. `dotted_clock` says that `10.23.05` is a clock time, `serials` that plain
    numbers are the days that a spreadsheet counts, `form` how the cells of the role at `form_at`
    are written when nobody but the user can tell (`ingest/time_forms.py`). `skipped` and `doubled`
    (`earlier` or `later`) choose the instant of local times in an hour that clocks changed.
    """

    column: str
    roles: tuple[tuple[int, str, str], ...]
    order: str | None = "ymd"
    zone: str | None = None
    offset_min: int | None = None
    day: str | None = None
    year: int | None = None
    start: str | None = None
    elapsed_unit: str | None = None
    decimal: str | None = "."
    dotted_clock: bool = False
    serials: bool = False
    form: str | None = None
    form_at: int = -1
    skipped: str | None = None
    doubled: str | None = None
    open: tuple[str, ...] = ()
    zone_from: str | None = None


@dataclass(frozen=True)
class Question:
    """Something the file does not settle: the affected column is null until it is answered.

    `raws` are the cell texts of the affected lines, one tuple for each source column of `plans`
    (or of the roles of `time`), kept so that an answer completes the rows without the file.
    """

    id: str
    kind: str
    column: str
    header: str
    candidates: tuple[str, ...]
    lines: tuple[int, ...]
    why: str
    plans: tuple[ColumnPlan, ...] = ()
    time: TimePlan | None = None
    raws: tuple[tuple[str | None, ...], ...] = ()
    also_headers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Plan:
    """Everything decided about a file.

    `player` is the column that names several players, `wanted` the one whose rows are kept.
    """

    kind: str
    layout: str
    columns: tuple[ColumnPlan, ...]
    time: TimePlan | None
    unknown: tuple[tuple[int, str], ...]
    decimal: str | None
    side_word: int | None = None
    side_word_header: str = ""
    club_from_preamble: str | None = None
    surface: str | None = None
    questions: tuple[Question, ...] = ()
    languages: frozenset[str] = frozenset()
    hand: str | None = None
    player: ColumnPlan | None = None
    wanted: str | None = None
    notes: Mapping[str, str] = field(default_factory=dict)

    @property
    def table(self) -> str:
        """The table that rows of this kind belong to."""
        return TABLE_OF[self.kind]


def dimension_of(column: str, kind: str) -> Dimension | None:
    """The dimension of a numeric canonical column, None for text, integers and times."""
    found = columns(TABLE_OF[kind]).get(column)
    if found is None or found.unit is None or found.type != "number":
        return None
    return SI_DIMENSION[found.unit]


def value_type(column: str, kind: str) -> str:
    """`number`, `integer`, `boolean` or `string` of a canonical column."""
    found = columns(TABLE_OF[kind]).get(column)
    return found.type if found is not None else "string"
