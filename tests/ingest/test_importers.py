"""Importer plug-ins: the example obeys the kit, a wrong one does not."""

from dataclasses import replace

import pytest

from ingest.errors import NotReadable
from ingest.importer_example import ShotLogImporter
from ingest.importers import importer_for, read_with
from ingest.read_export import read_export
from tests.compliance import check_importer

SAMPLE = b"""SHOTLOG 1
shot=1
club=SW
ball_speed_mps=11.2
carry_m=11.9
end

shot=2
club=SW
ball_speed_mps=10.9
carry_m=10.4
end
"""


class LosesALine(ShotLogImporter):
    """Drops its last record without a word."""

    def read(self, data, name):
        sheet = super().read(data, name)
        return replace(sheet, records=sheet.records[:-1])


class TakesEverything(ShotLogImporter):
    """Thinks that every file is its own."""

    def recognises(self, start, name):
        return True


def test_the_example_obeys_the_rules():
    check_importer(ShotLogImporter(), SAMPLE, kind="launch")


@pytest.mark.parametrize("wrong", [LosesALine, TakesEverything])
def test_a_wrong_importer_fails_the_kit(wrong):
    with pytest.raises((AssertionError, NotReadable)):
        check_importer(wrong(), SAMPLE, kind="launch")


def test_a_block_that_does_not_end_is_a_fault_with_its_lines():
    sheet = read_with(ShotLogImporter(), SAMPLE[: SAMPLE.rindex(b"end")], "log")
    (fault,) = sheet.faults
    assert (fault.line, fault.n_lines) == (8, 4)


def test_an_installed_importer_is_used(monkeypatch):
    for module in ("ingest.importers", "ingest.read_export"):
        monkeypatch.setattr(f"{module}.importers", lambda: (ShotLogImporter(),))
    assert importer_for(SAMPLE, "log").name == "shot-log-example"
    reading = read_export(SAMPLE, name="log")
    assert reading.table["carry_m"].to_list() == [11.9, 10.4]
    assert reading.table["source_line"].to_list() == [2, 8]
