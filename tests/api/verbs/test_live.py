"""The live view: exports that grow ball by ball, and the triple seconds later."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from analytics.practice_rows import Window
from api.cli import cli
from api.live_view import LiveView
from api.take_in import take_in
from api.wording_options import wording_of
from demo_data.write import write_demo
from ingest.players import Player, save_player

ARNE = Player("t9bx26", "Arne", "left", zone="Europe/Berlin")
DAY = "2025-09-24"
WINDOW = Window(8.382, 9.906)


@pytest.fixture(scope="module")
def exports(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("live")
    write_demo(folder)
    return folder / "arne"


def grown(exports: Path, folder: Path, balls: int) -> None:
    """Both files as they were after so many balls (two rehearsals and a strike each)."""
    for kind, rows in (("launch", balls), ("tempo", 3 * balls)):
        lines = (exports / f"{DAY}_{kind}.csv").read_text("utf-8").splitlines(keepends=True)
        (folder / f"{DAY}_{kind}.csv").write_text("".join(lines[: 1 + rows]), "utf-8")


@pytest.fixture
def live(tmp_path):
    store, folder = tmp_path / "store", tmp_path / "drop"
    folder.mkdir()
    save_player(store, ARNE)
    return store, folder


def test_each_growth_shows_the_new_ball(exports, live):
    store, folder = live
    view = LiveView(store, ARNE, WINDOW)
    seen = []
    for balls in (30, 31, 32):
        grown(exports, folder, balls)
        take_in(store, sorted(folder.iterdir()), ARNE)
        seen.append(view.look())
    assert [now.ball for now in seen] == [30, 31, 32]
    known = [now.triple for now in seen if now.triple is not None]
    assert known
    assert known[-1].row.ball == next(n.ball for n in reversed(seen) if n.triple is not None)
    assert known[-1].long_m is None or known[-1].long_m > 0


def test_too_few_balls_say_why(exports, live):
    store, folder = live
    grown(exports, folder, 2)
    take_in(store, sorted(folder.iterdir()), ARNE)
    now = LiveView(store, ARNE, WINDOW).look()
    assert now.ball == 2
    assert now.triple is None
    assert now.reason


def test_before_the_first_ball_there_is_nothing_to_say(live):
    store, _ = live
    assert LiveView(store, ARNE).look().ball == 0


def test_the_cap_is_said(exports, live):
    store, folder = live
    grown(exports, folder, 12)
    view = LiveView(store, ARNE, WINDOW, cap=12)
    shown = list(view.follow(folder, stop_after_s=2.5))
    assert shown
    out = "\n".join(view.lines(shown[-1], wording_of("en", "ft", "mph")))
    assert "12 balls are reached: stop here" in out


def test_the_verb_takes_in_what_is_there_and_ends_when_asked(exports, live):
    store, folder = live
    grown(exports, folder, 20)
    result = CliRunner().invoke(
        cli,
        ["live", str(folder), "--player", "Arne", "--store", str(store), "--for-seconds", "2"],
        catch_exceptions=False,
    )
    assert result.exit_code == 0
    assert "ball 20" in result.output
