"""What a file would bring in, said in plain words before anything is written."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from api.page_uploads import LookedAt
from api.page_view import View
from ingest.errors import IngestError
from ingest.options import Options
from ingest.read_export import read_export
from ingest.reading import Reading
from ingest.units import unit_word

HEAD_ROWS = 3
HEAD_COLUMNS = 8
ASIDE_SHOWN = 20
ZONE_QUESTION = "zone"
"""Asked once for all files of a look, not for each."""


@dataclass(frozen=True)
class AskedChoice:
    """One answer a question takes: its value and its words."""

    value: str
    words: str


@dataclass(frozen=True)
class Asked:
    """A question with its choices."""

    id: str
    header: str
    why: str
    n_lines: int
    choices: tuple[AskedChoice, ...]


@dataclass(frozen=True)
class Preview:
    """One file as it would be read; `refusal` when it cannot be taken at all."""

    number: int
    name: str
    kind: str
    layout: str
    n_rows: int
    n_set_aside: int
    n_repeats: int
    columns: tuple[tuple[str, str, str], ...]
    head: tuple[tuple[str, ...], ...]
    head_names: tuple[str, ...]
    unknown: tuple[str, ...]
    set_aside: tuple[tuple[int, str, str, str, str], ...]
    questions: tuple[Asked, ...]
    player_hint: str
    refusal: str = ""
    mend: str = ""


def preview(file: LookedAt, view: View, options: Options) -> Preview:
    """Read one file without writing anything."""
    try:
        reading = read_export(file.path.read_bytes(), name=file.name, options=options)
    except IngestError as error:
        return _refused(file, error.reason, error.mend)
    if reading.outcome == "rejected":
        return _refused(file, reading.reason or "", reading.mend or "")
    return _shown(file, reading, view)


def previews(files: Sequence[LookedAt], view: View, options: Options) -> list[Preview]:
    """Read every file of a look."""
    return [preview(file, view, options) for file in files]


def _refused(file: LookedAt, reason: str, mend: str) -> Preview:
    nothing: tuple[str, ...] = ()
    return Preview(
        file.number, file.name, "unknown", "", 0, 0, 0, (), (), nothing, nothing, (), (), "",
        reason, mend,
    )  # fmt: skip


def _shown(file: LookedAt, reading: Reading, view: View) -> Preview:
    names = [name for name in reading.table.columns if name not in {"source_line", "extra"}]
    shown = names[:HEAD_COLUMNS]
    head = reading.table.head(HEAD_ROWS).select(shown).rows()
    return Preview(
        number=file.number,
        name=file.name,
        kind=reading.kind,
        layout=reading.layout,
        n_rows=reading.table.height,
        n_set_aside=len(reading.set_aside),
        n_repeats=len(reading.repeats),
        columns=tuple((m.header, m.column, unit_word(m.unit or "")) for m in reading.mapped),
        head=tuple(tuple(_cell(view, value) for value in row) for row in head),
        head_names=tuple(shown),
        unknown=reading.unknown_columns,
        set_aside=tuple(
            (row.line, row.column or "", row.value or "", row.reason, row.mend)
            for row in reading.set_aside[:ASIDE_SHOWN]
        ),
        questions=tuple(
            Asked(
                one.id,
                one.header,
                one.why,
                len(one.lines),
                tuple(AskedChoice(value, unit_word(value)) for value in one.candidates),
            )
            for one in reading.questions
            if one.kind != ZONE_QUESTION
        ),
        player_hint=_hint(reading.metadata),
    )


def _hint(metadata: Mapping[str, str]) -> str:
    """The name a preamble gives, if it gives one."""
    for key, value in metadata.items():
        if key.strip().casefold() in {"player", "name", "spieler"}:
            return value.strip()[:80]
    return ""


def _cell(view: View, value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return view.number(value, 2)
    return str(value)[:40]
