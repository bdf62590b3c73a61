"""An import whose questions are answered: its rows completed from the texts that were kept.

The result is what reading the file again with the same answers gives. Where that is not certain
from what was kept, nothing is returned, and the bytes in the store are read again:
- a question stays open, an answer names a column or chooses between two (the other's texts then
  go elsewhere), or is about a sign (which another column may contradict) or leaves a unit to find;
- a completed value cannot be read, breaks a limit, or falls into an hour of the clocks' change;
- a row lacks what the others are known by, and may with new numbers prove to be a summary;
- a long file, whose raw texts are not kept with its questions.
"""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from shutil import copyfile

import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq

from ingest.answers import Completed, apply_answers, question_from_json
from ingest.identity import INSTANT, NUMBER, identify, value_hashes
from ingest.ledger import Ledger, import_identity
from ingest.ledger_entry import TABLE_OF_KIND, options_from_text, options_text
from ingest.plan import ColumnPlan, Plan, Question, TimePlan, dimension_of
from ingest.prepare import Prepared
from ingest.store_writing import StoreWriting
from ingest.to_arrow import to_arrow
from ingest.validate import out_of_limits
from schemas.store_paths import SOURCE, tmp_dir


def answered(
    store: Path, folder: Path, ledger: Ledger, answers: Mapping[str, str]
) -> Prepared | None:
    """The import of `folder` completed by `answers`, or None where its bytes have to be read again.

    Raises:
        BadOption: for an answer that is none of the possible ones.
    """
    kept = ledger.details.get("questions", [])
    if not all("plans" in entry for entry in kept):
        return None
    questions = [question_from_json(entry) for entry in kept]
    if not questions or not all(map(_is_plain, questions)):
        return None
    done = apply_answers(ledger.kind, questions, answers)
    if done.open or done.unread or done.clock_changes or _lacks_unit(done, ledger.kind):
        return None
    table = TABLE_OF_KIND[ledger.kind]
    frame = pl.DataFrame(pq.read_table(folder / f"{table}.parquet"))
    frame = _filled(frame, done)
    if _may_hold_summaries(frame, table) or _breaks_limits(frame, done, ledger.kind):
        return None
    return _prepared(store, folder, _renewed(ledger, done, answers), frame)


def _is_plain(question: Question) -> bool:
    """Whether it is about the reading of one column, and its texts were kept."""
    one = question.time is not None or (len(question.plans) == 1 and question.kind != "sign")
    return one and all(len(texts) == len(question.lines) for texts in question.raws or ((),))


def _lacks_unit(done: Completed, kind: str) -> bool:
    return any(
        isinstance(plan, ColumnPlan) and plan.unit is None and dimension_of(plan.column, kind)
        for plan in done.settled
    )


def _filled(frame: pl.DataFrame, done: Completed) -> pl.DataFrame:
    """The rows with the values that were found, by their lines."""
    lines = frame.get_column("source_line").to_list()
    new = []
    for name, by_line in done.values.items():
        column = frame.get_column(name)
        values = [by_line.get(line, old) for line, old in zip(lines, column, strict=True)]
        new.append(pl.Series(name, values, dtype=column.dtype))
    return frame.with_columns(new)


def _may_hold_summaries(frame: pl.DataFrame, table: str) -> bool:
    """Whether some rows lack the number and the instant that others have."""
    names = [name for name in (NUMBER[table], INSTANT[table]) if name in frame.columns]
    named = frame.select(pl.any_horizontal(pl.col(name).is_not_null() for name in names))
    return named.to_series().n_unique() > 1


def _breaks_limits(frame: pl.DataFrame, done: Completed, kind: str) -> bool:
    plans = tuple(replace(plan, index=0) for plan in done.settled if isinstance(plan, ColumnPlan))
    texts = pl.DataFrame({"0": pl.repeat("", frame.height, eager=True)})
    return bool(out_of_limits(frame, Plan(kind, "", plans, None, (), None), texts))


def _renewed(ledger: Ledger, done: Completed, answers: Mapping[str, str]) -> Ledger:
    """The entry of the same bytes read with these answers as well."""
    given = options_from_text(ledger.options)
    options = options_text(replace(given, answers={**given.answers, **answers}))
    identity = import_identity(ledger.source_sha256, ledger.player_id, ledger.layout, options)
    mapped = [_mapped(entry, done.settled) for entry in ledger.details["mapped"]]
    return replace(
        ledger,
        import_id=identity,
        options=options,
        questions_open=0,
        details={**ledger.details, "mapped": mapped, "questions": []},
    )


def _mapped(
    entry: Mapping[str, object], settled: Sequence[ColumnPlan | TimePlan]
) -> dict[str, object]:
    plan = next((plan for plan in settled if plan.column == entry["column"]), None)
    if isinstance(plan, TimePlan):
        return {**entry, "unit_from": plan.zone_from}
    return {**entry, **({"unit": plan.unit, "unit_from": plan.unit_from} if plan else {})}


def _prepared(store: Path, folder: Path, ledger: Ledger, frame: pl.DataFrame) -> Prepared:
    table = TABLE_OF_KIND[ledger.kind]
    bare = frame.drop("event_id", "occurrence")
    values = value_hashes(bare, table)
    named = identify(bare, table, values)
    tables = {table: to_arrow(named, table, ledger.import_id)}
    aside = folder / "set_aside.parquet"
    if aside.is_file():
        tables["set_aside"] = _of_import(pq.read_table(aside), ledger.import_id)
    packed = tmp_dir(store) / f"{uuid.uuid4().hex[:16]}.zst"
    with StoreWriting(store):
        packed.parent.mkdir(parents=True, exist_ok=True)
        copyfile(folder / SOURCE, packed)
    events = pl.DataFrame([named.get_column(name) for name in ("event_id", "source_line")])
    return Prepared(ledger, events, values, tables, packed)


def _of_import(table: pa.Table, import_id: str) -> pa.Table:
    at = table.schema.get_field_index("import_id")
    named = pa.repeat(pa.scalar(import_id, table.schema.field(at).type), table.num_rows)
    return table.set_column(at, table.schema.field(at), named)
