"""The rows that an import set aside, in the layout they came in, to mend and take again."""

from collections.abc import Sequence

from ingest.read_csv import read_sheets

# What a reader needs to understand the rows: everything else of the file stays behind.
HEAD = frozenset({"separator_hint", "preamble", "header", "units"})


def mend_file(source: bytes, name: str, raw_rows: Sequence[str]) -> str:
    """The file's own head, then `raw_rows` as they were written. Raises what reading it raises."""
    sheet = read_sheets(source, name=name)[0]
    newline = sheet.dialect.newline or "\n"
    head = [entry.text for entry in sheet.structure if entry.kind in HEAD and entry.text]
    return newline.join([*head, *raw_rows]) + newline
