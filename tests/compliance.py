"""Rules that every layout and every importer obeys, each as one small function.

A new importer's test is three lines:

    from tests.compliance import check_importer
    def test_it_obeys_the_rules():
        check_importer(MyImporter(), sample=Path("small.dat").read_bytes(), kind="launch")
"""

import tomllib
from contextlib import suppress

from ingest.errors import IngestError
from ingest.importers import Importer, importer_for, read_with
from ingest.layout import ROLE_NAMES, Layout, match_layout, parse_layout
from ingest.layout_files import to_toml
from ingest.options import Options
from ingest.preview_json import as_preview
from ingest.reading import read_sheet
from ingest.sheet import Dialect, Record, Sheet, Structure, lines_covered
from tests.ingest.corpus_truth import lines_missed

FOREIGN = (b"", b"Shot,Carry (m)\n1,11.9\n", b"PK\x03\x04", b"\x00" * 64, "№;größe\n".encode())


def check_importer(importer, sample, kind, name="sample"):
    """All rules for an importer and a small sample of its format."""
    _has_the_protocol(importer)
    _knows_its_own(importer, sample, name)
    _leaves_others_alone(importer, name)
    _reads_the_same_twice(importer, sample, name)
    _accounts_for_every_line(importer, sample, name)
    _aligns_cells_to_the_header(importer, sample, name)
    _gives_rows_of_the_kind(importer, sample, kind, name)
    _refuses_damage_clearly(importer, sample, name)


def _has_the_protocol(importer):
    assert isinstance(importer, Importer)
    assert importer.name.strip()
    assert importer.version.strip()


def _knows_its_own(importer, sample, name):
    assert importer_for(sample, name, [importer]) is importer


def _leaves_others_alone(importer, name):
    for other in FOREIGN:
        assert not importer.recognises(other, name), f"takes {other!r} for its own"


def _reads_the_same_twice(importer, sample, name):
    assert importer.read(sample, name) == importer.read(sample, name)


def _accounts_for_every_line(importer, sample, name):
    sheet = read_with(importer, sample, name)
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))


def _aligns_cells_to_the_header(importer, sample, name):
    sheet = importer.read(sample, name)
    assert len(set(sheet.header)) == len(sheet.header)
    for record in sheet.records:
        assert len(record.cells) == len(sheet.header), f"line {record.line}"


def _gives_rows_of_the_kind(importer, sample, kind, name):
    sheet = importer.read(sample, name)
    preview = as_preview(read_sheet(sheet, name=name, options=Options()))
    assert preview["kind"] == kind
    assert preview["rows"], "no row of the sample was kept"
    spans = {p.line: p.n_lines for p in (*sheet.records, *sheet.structure, *sheet.faults)}
    assert lines_missed(preview, sheet.n_lines, spans) == []


def _refuses_damage_clearly(importer, sample, name):
    """Cut short or with a byte turned over it may read less or refuse, never fail otherwise."""
    damaged = [sample[: len(sample) * part // 8] for part in range(1, 8)]
    damaged += [sample[:at] + bytes([sample[at] ^ 0x55]) + sample[at + 1 :] for at in (0, 9, 20)]
    for data in damaged:
        with suppress(IngestError):
            read_with(importer, data, name)


def check_layout(layout: Layout):
    """All rules for a declared layout."""
    _survives_its_own_file(layout)
    _matches_its_own_header(layout)
    _maps_every_declared_column(layout)
    _says_something_new(layout)


def _survives_its_own_file(layout):
    assert parse_layout(tomllib.loads(to_toml(layout)), "again") == layout


def _matches_its_own_header(layout):
    header = [column.header for column in layout.columns]
    assert match_layout([*header, "another"], [layout]) == layout
    assert match_layout(header[1:], [layout]) is None


def _maps_every_declared_column(layout):
    header = tuple(column.header for column in layout.columns)
    cells = tuple("2026-03-14T10:00:00Z" if c.column == "when" else "1" for c in layout.columns)
    sheet = Sheet(
        name="made up",
        header=header,
        header_line=1,
        units=None,
        records=(Record(2, cells, ",".join(cells)),),
        structure=(Structure(1, "header"),),
        metadata={},
        dialect=Dialect("utf-8", ",", None, None, "\n"),
        faults=(),
        n_lines=2,
    )
    reading = read_sheet(sheet, name="made up", options=Options(), layouts=[layout])
    assert reading.layout == layout.label
    wanted = {c.header: c.column for c in layout.columns if c.column not in ROLE_NAMES}
    mapped = {m.header: m.column for m in reading.mapped}
    assert {h: mapped.get(h) for h in wanted} == wanted


def _says_something_new(layout):
    """A unit, a zone, a side, an order, or a header that the vocabulary does not know as that."""
    assert layout.columns
    assert len({c.header for c in layout.columns}) == len(layout.columns)
