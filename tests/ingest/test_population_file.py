"""What players have in common: kept by moments, forgotten whole, by whoever is first."""

from ingest import population_file
from ingest.population_file import forget_populations, population_key, write_population
from schemas.store_paths import population_dir, root, tmp_dir
from schemas.tables import arrow_schema

NOTHING = arrow_schema("population").empty_table()


def test_the_newest_moment_counts_and_all_are_forgotten(tmp_path):
    for moment in (1, 2):
        write_population(tmp_path, NOTHING, moment, f"key {moment}")
    assert population_key(tmp_path) == "key 2"
    assert len(forget_populations(tmp_path)) == 2
    assert population_key(tmp_path) is None
    assert forget_populations(tmp_path) == []
    assert [path.name for path in root(tmp_path).iterdir()] == ["tmp"]


def test_what_an_interrupted_erasure_leaves_is_where_it_is_swept(tmp_path, monkeypatch):
    write_population(tmp_path, NOTHING, 1, "key")
    monkeypatch.setattr(population_file.shutil, "rmtree", lambda _: None)
    forget_populations(tmp_path)
    assert not population_dir(tmp_path).exists()
    assert len(list(tmp_dir(tmp_path).iterdir())) == 1


def test_an_erasure_that_comes_second_finds_nothing(tmp_path, monkeypatch):
    write_population(tmp_path, NOTHING, 1, "key")
    first = population_file.StoreWriting

    class Late(first):
        def __enter__(self):
            super().__enter__()
            population_dir(tmp_path).rename(tmp_path / "gone")

    monkeypatch.setattr(population_file, "StoreWriting", Late)
    assert forget_populations(tmp_path) == []
