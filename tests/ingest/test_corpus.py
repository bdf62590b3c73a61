"""Every corpus export: each kept value right, each line in one place, each doubt asked about."""

import pytest

from ingest.headers import fit
from ingest.read_csv import read_sheets
from tests.ingest.corpus_truth import CORPUS, differences, lines_missed, preview_of, truths


@pytest.mark.parametrize("path", truths(), ids=lambda path: path.stem)
def test_reading_agrees_with_the_truth_beside_it(path):
    truth, preview = preview_of(path)
    assert differences(truth, preview) == []


@pytest.mark.parametrize("path", truths(), ids=lambda path: path.stem)
def test_every_line_is_in_exactly_one_place(path):
    truth, preview = preview_of(path)
    (sheet,) = read_sheets(CORPUS / truth["file"], fit=fit)
    parts = [*sheet.records, *sheet.structure, *sheet.faults]
    spans = {part.line: part.n_lines for part in parts}
    assert lines_missed(preview, sheet.n_lines, spans) == []


def test_the_corpus_is_as_broad_as_it_says():
    quirks = [preview_of(path)[0]["quirk"] for path in truths()]
    assert len(quirks) >= 60
    assert len(set(quirks)) >= 40
