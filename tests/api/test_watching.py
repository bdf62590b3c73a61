"""Exports found in folders: what comes while others are taken in, and what plug-ins read."""

from api.take_in import expand
from api.watching import complete_files
from ingest.importer_example import ShotLogImporter


def test_a_file_that_came_while_the_first_were_taken_in_is_found(tmp_path):
    (tmp_path / "a.csv").write_text("Shot,Carry (m)\n1,9\n")
    seen = []
    for path in complete_files(tmp_path, stop_after_s=4):
        seen.append(path.name)
        if path.name == "a.csv":
            (tmp_path / "b.csv").write_text("Shot,Carry (m)\n2,9\n")
        else:
            break
    assert seen == ["a.csv", "b.csv"]


def test_folders_are_searched_for_what_an_importer_reads(tmp_path, monkeypatch):
    folder = tmp_path / "exports"
    folder.mkdir()
    for name in ("a.csv", "b.shotlog", "c.doc", ".d.csv"):
        (folder / name).write_text("x")
    monkeypatch.setattr("ingest.importers.importers", lambda: ())
    assert [path.name for path in expand([folder], tmp_path / "v1")] == ["a.csv"]
    monkeypatch.setattr("ingest.importers.importers", lambda: (ShotLogImporter(),))
    names = [path.name for path in expand([folder], tmp_path / "v1")]
    assert names == ["a.csv", "b.shotlog"]
