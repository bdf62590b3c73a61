"""Conditions of a day, entered in the words of the green."""

import json

import pytest

from analytics.db import open_store
from api.cli import main
from ingest.players import Player, save_player


def test_conditions_are_kept_in_si_and_the_newest_entry_counts(tmp_path, capsys):
    save_player(tmp_path, Player("probin", "Robin"))
    for near in ("19ft", "20ft"):
        with pytest.raises(SystemExit) as ended:
            main(
                (
                    f"conditions --store {tmp_path} --player robin --json --day 2026-05-01 "
                    f"--window-near {near} --window-far 23ft --gate-width 27in "
                    "--green-speed-ft 9.5"
                ).split()
            )
        assert ended.value.code == 0
    assert json.loads(capsys.readouterr().out.split("}\n")[-2] + "}")["new"]
    with open_store(tmp_path, "probin") as connection:
        (row,) = connection.sql("SELECT * FROM sessions").to_arrow_table().to_pylist()
    assert row["window_near_m"] == pytest.approx(20 * 0.3048)
    assert row["gate_width_m"] == pytest.approx(27 * 0.0254)
    assert row["session_id"] == "probin:2026-05-01"


@pytest.mark.parametrize("day", ["1.5.2026", "2026-13-01"])
def test_a_day_that_is_none_is_refused(tmp_path, day):
    save_player(tmp_path, Player("probin", "Robin"))
    with pytest.raises(SystemExit) as ended:
        main(["conditions", "--store", str(tmp_path), "--player", "robin", "--day", day])
    assert ended.value.code == 2


def test_rolls_up_and_down_a_slope_give_the_flat_green_speed(tmp_path, capsys):
    save_player(tmp_path, Player("probin", "Robin"))
    start = ["conditions", "--store", str(tmp_path), "--player", "robin", "--day", "2026-05-01"]
    with pytest.raises(SystemExit) as ended:
        main([*start, "--rolls-ft", "9", "14", "--json"])
    assert ended.value.code == 0
    # USGA Green Section Record 28(6), 1990: 14 and 9 ft are 10 ft 11 in on the flat.
    assert json.loads(capsys.readouterr().out)["green_speed_ft"] == pytest.approx(10.957, abs=5e-4)
    with pytest.raises(SystemExit) as ended:
        main([*start, "--rolls-ft", "0", "14"])
    assert ended.value.code == 2
    assert "above zero" in capsys.readouterr().err
