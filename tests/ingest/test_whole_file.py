"""Files that appear whole or not at all."""

import pytest

from ingest.whole_file import whole_file


@pytest.mark.parametrize("lasting", [False, True])
def test_a_file_takes_the_old_ones_place_in_one_moment(tmp_path, lasting):
    target = tmp_path / "card.json"
    target.write_text("old")
    with whole_file(target, lasting=lasting) as staged:
        staged.write_text("new")
        assert target.read_text() == "old"
    assert target.read_text() == "new"
    assert list(tmp_path.iterdir()) == [target]


def test_a_writing_that_failed_leaves_what_was_there_and_nothing_beside_it(tmp_path):
    target = tmp_path / "card.json"
    target.write_text("old")

    def write() -> None:
        with whole_file(target) as staged:
            staged.write_text("ne")
            raise OSError("no space")

    with pytest.raises(OSError, match="no space"):
        write()
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]
