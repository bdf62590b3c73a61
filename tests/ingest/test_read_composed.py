"""Parts that real exports have, in any combination: each record found, nothing else taken in."""

from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.header_fit import form_fit
from ingest.headers import fit
from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered
from tests.ingest.composed_exports import Composed, exports


def check(made: Composed, encoding: str, newline: str, fitted) -> None:
    data = "".join(line + newline for line in made.lines).encode(encoding)
    (sheet,) = read_sheets(data, fit=fitted)
    assert {r.line: r.cells for r in sheet.records} == made.records
    assert {fault.line for fault in sheet.faults} == made.faults
    assert sheet.header == made.header
    assert sheet.header_line == made.header_line
    assert lines_covered(sheet) == list(range(1, len(made.lines) + 1))


@settings(max_examples=80, deadline=None)
@given(exports(), st.sampled_from(["utf-8", "utf-16"]), st.sampled_from(["\n", "\r\n"]))
def test_composed_exports_are_read_by_form_alone(made, encoding, newline):
    check(made, encoding, newline, form_fit)


@settings(max_examples=80, deadline=None)
@given(exports(), st.sampled_from(["utf-8", "utf-16"]), st.sampled_from(["\n", "\r\n"]))
def test_composed_exports_are_read_with_known_words(made, encoding, newline):
    check(made, encoding, newline, fit)
