"""A large export in batches of bounded memory: the plan from its first rows, then piece by piece.

The same answers as `ingest.reading.read_export` gives, with differences that come from not holding
the file: what its first 50,000 rows do not settle stays a question although a later row might
settle it; the raw texts of open columns are kept in `extra`; a question names the first 1,000 of
its lines; last rows that lack what the others are known by are set aside (no mean is computed);
rows under a second header of other columns are set aside.
"""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import polars as pl

from ingest.ahead import ahead
from ingest.headers import fit
from ingest.interpret import interpret
from ingest.layout import match_layout
from ingest.layout_files import all_layouts, find_layout
from ingest.normalise import Fault
from ingest.option_check import check_options
from ingest.options import Options
from ingest.plan import Plan, Question
from ingest.player_rows import QUESTION as WHOSE
from ingest.player_rows import NamedRows, names_in, rows_of_others, whose_question
from ingest.quick_normalise import extra_series, normalise_many
from ingest.read_columns import ColumnBatch, ColumnSheet, read_columns
from ingest.reading import CLOCK_CHANGES, Reading, clock_question, mapped_of
from ingest.repeats import Repeat
from ingest.set_aside import SetAside, from_row_faults, set_aside_of
from ingest.sheet import Sheet
from ingest.stream_repeats import RepeatFinder
from ingest.summaries import MAX_TAIL, identity_columns, tail_without_identity
from ingest.table_texts import Texts, samples_of, tidied
from ingest.validate import out_of_limits

HEAD_ROWS = 50_000
LINES_NAMED = 1_000


@dataclass
class ExportStream:
    """One large export. Take `batches()` once, to the end; then `reading()` tells the rest."""

    sheet: ColumnSheet
    name: str
    plan: Plan
    _head: list[ColumnBatch]
    _rest: Iterator[ColumnBatch]
    _aside: list[SetAside] = field(default_factory=list)
    _repeats: list[Repeat] = field(default_factory=list)
    _asked: dict[str, list[int]] = field(default_factory=dict)
    _named: NamedRows = field(default_factory=NamedRows)
    n_rows: int = 0

    def batches(self) -> Iterator[pl.DataFrame]:
        """Kept rows in order: canonical columns of the plan, `source_line`, `extra`."""
        finder = RepeatFinder(self.plan)
        waiting: ColumnBatch | None = None
        for batch in self._all():
            if waiting is not None:
                yield self._taken(waiting, finder)
            waiting = batch
        if waiting is not None:
            yield self._taken(waiting, finder, last=True)

    def _all(self) -> Iterator[ColumnBatch]:
        while self._head:
            yield self._head.pop(0)
        yield from self._rest

    def _taken(self, batch: ColumnBatch, finder: RepeatFinder, last: bool = False) -> pl.DataFrame:
        raw = batch.frame.rename({name: name[1:] for name in batch.frame.columns})
        done = normalise_many(self.plan, raw)
        faults: dict[int, Fault] = {}
        unsure = _unsure_end(self.plan, raw) if last else []
        others = self._of_others(raw, batch)
        for fault in [*unsure, *others, *done.faults, *out_of_limits(done.frame, self.plan, raw)]:
            faults.setdefault(fault.row, fault)
        for row, fault in sorted(faults.items()):
            line, text = int(batch.lines[row]), batch.raw(row)
            self._aside.append(set_aside_of(fault, line, text, self.plan.table))
        kept = np.ones(raw.height, dtype=bool)
        kept[list(faults)] = False
        repeats = finder.repeats_in(raw, done.frame, batch.lines, kept)
        rows = list(repeats)
        self._repeats += map(Repeat, batch.lines[rows].tolist(), repeats.values())
        kept[rows] = False
        lines = pl.Series("source_line", batch.lines)
        table = done.frame.with_columns(lines, extra_series(self.plan, raw, done.marked))
        self._note_questions(raw, batch, kept, [*done.skipped], [*done.doubled])
        table = table if kept.all() else table.filter(pl.Series(kept))
        self.n_rows += table.height
        return table

    def _of_others(self, raw: pl.DataFrame, batch: ColumnBatch) -> list[Fault]:
        """Rows of other players than the wanted one; where none is, who is named is noted."""
        names = names_in(self.plan, raw)
        if names is not None and self.plan.wanted is None:
            self._named.add(names)
            seen = self._asked.setdefault(WHOSE, [])
            told = np.flatnonzero(names.is_not_null())
            seen += batch.lines[told[: LINES_NAMED - len(seen)]].tolist()
        return rows_of_others(self.plan, names)

    def _note_questions(
        self,
        raw: pl.DataFrame,
        batch: ColumnBatch,
        kept: np.ndarray,
        skipped: list[int],
        doubled: list[int],
    ) -> None:
        for question in self._of_head():
            indices = [plan.index for plan in question.plans]
            indices += [index for index, _, _ in question.time.roles] if question.time else []
            seen = self._asked.setdefault(question.id, [])
            if len(seen) < LINES_NAMED:
                filled = raw.select(pl.any_horizontal(pl.col(str(i)) != "" for i in indices))
                rows = np.flatnonzero(filled.to_series().to_numpy() & kept)
                seen += batch.lines[rows[: LINES_NAMED - len(seen)]].tolist()
        for kind, rows_open in (("skipped_hour", skipped), ("repeated_hour", doubled)):
            seen = self._asked.setdefault(kind, [])
            seen += [int(batch.lines[row]) for row in rows_open if kept[row]]

    @property
    def needs_whole(self) -> bool:
        """Whether headings between the rows say something about them; such files are read whole."""
        return bool(self.sheet.sections)

    def reading(self) -> Reading:
        """Everything but the rows, once the batches are through."""
        aside = [*self._aside, *from_row_faults(self.sheet.faults, self.sheet.header)]
        return Reading(
            name=self.name,
            kind=self.plan.kind,
            outcome="ok",
            header_line=self.sheet.header_line,
            mapped=mapped_of(self.plan, ()),
            unknown_columns=tuple(header for _, header in self.plan.unknown),
            metadata=self.sheet.metadata,
            set_aside=tuple(sorted(aside, key=lambda row: row.line)),
            repeats=tuple(self._repeats),
            structure=self.sheet.structure,
            questions=self._questions(),
            layout=self.plan.layout,
            dialect=self.sheet.dialect,
            n_lines=self.sheet.n_lines,
            plan=self.plan,
        )

    def _questions(self) -> tuple[Question, ...]:
        found = [
            replace(question, lines=tuple(self._asked.get(question.id, ())), raws=())
            for question in self._of_head()
        ]
        for kind in CLOCK_CHANGES:
            lines, time = self._asked.get(kind, []), self.plan.time
            if lines and time is not None:
                found.append(clock_question(kind, time, tuple(lines), ()))
        players = self._named.players()
        if self.plan.player is not None and players:
            found.append(whose_question(self.plan.player, players, tuple(self._asked[WHOSE])))
        return tuple(question for question in found if question.lines)

    def _of_head(self) -> Iterator[Question]:
        """What the first rows leave open; who is named in the file all rows together tell."""
        return (question for question in self.plan.questions if question.id != WHOSE)


def _unsure_end(plan: Plan, raw: pl.DataFrame) -> list[Fault]:
    """Last rows without the number and time that the others have: perhaps sums of all rows."""
    end = raw.tail(10 * MAX_TAIL)
    rows = tail_without_identity(tidied(end)[0], identity_columns(plan))
    skipped = raw.height - end.height
    return [Fault(row + skipped, "", "", "perhaps_a_summary") for row in rows]


@contextmanager
def stream_export(
    source: Path | bytes, *, name: str, options: Options | None = None
) -> Iterator[ExportStream]:
    """Open a large text export.

    Raises:
        NotReadable, TooLarge, NotTabular, BadOption; NoLayout for a file of no known kind.
    """
    chosen = options or Options()
    check_options(chosen)
    with (
        read_columns(source, name=name, fit=fit) as sheet,
        closing(ahead(sheet.batches())) as rest,
    ):
        head = _head_of(rest)
        layouts = (find_layout(chosen.layout),) if chosen.layout else all_layouts()
        layout = match_layout(sheet.header, layouts)
        plan = interpret(_as_sheet(sheet), _texts(head, len(sheet.header)), chosen, layout, name)
        yield ExportStream(sheet, name, plan, head, rest)


def _head_of(rest: Iterator[ColumnBatch]) -> list[ColumnBatch]:
    head: list[ColumnBatch] = []
    for batch in rest:
        head.append(batch)
        if sum(len(one.lines) for one in head) >= HEAD_ROWS:
            break
    return head


def _texts(head: list[ColumnBatch], width: int) -> Texts:
    frames = [batch.frame for batch in head]
    schema = {f"c{i}": pl.String for i in range(width)}
    raw = (pl.concat(frames) if frames else pl.DataFrame(schema=schema)).head(HEAD_ROWS)
    raw = raw.rename({column: column[1:] for column in raw.columns})
    tidy, plain = tidied(raw)
    at = [batch.lines for batch in head] or [np.empty(0, dtype=np.int64)]
    lines = pl.Series("source_line", np.concatenate(at)[:HEAD_ROWS])
    return Texts(tidy, plain, lines, (), samples_of(tidy))


def _as_sheet(sheet: ColumnSheet) -> Sheet:
    """What is known before the rows: header, units row, metadata, the lines above."""
    return Sheet(
        name=sheet.name,
        header=sheet.header,
        header_line=sheet.header_line,
        units=sheet.units,
        records=(),
        structure=sheet.structure,
        metadata=sheet.metadata,
        dialect=sheet.dialect,
        faults=(),
        n_lines=sheet.n_lines,
    )
