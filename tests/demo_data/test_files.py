"""The files hold what the truth file says of them, line by line."""

import csv
import json
import tomllib
from datetime import date, datetime, timedelta

import pytest

from demo_data.cast import FOOT_M
from demo_data.write import write_demo


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


@pytest.fixture(scope="module")
def truth(folder):
    return json.loads(folder.joinpath("truth.json").read_text("utf-8"))


def lines(folder, path):
    """Physical lines of a file; index 1 is line 1."""
    return ["", *folder.joinpath(path).read_text("utf-8").splitlines()]


def fault(truth, name):
    return next(one for one in truth["faults"] if one["fault"] == name)


def cells(line, delimiter=","):
    return next(csv.reader([line], delimiter=delimiter))


def launch_stamp(line):
    row = cells(line)
    if len(row[1]) == 10:
        return datetime.strptime(f"{row[1]} {row[2]}", "%Y-%m-%d %I:%M:%S %p")
    return datetime.fromisoformat(row[1])


def test_the_same_seed_writes_the_same_bytes(folder, tmp_path):
    write_demo(tmp_path)
    first = {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    second = {p.relative_to(tmp_path): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert first == second


def test_another_seed_writes_other_shots(folder, tmp_path):
    write_demo(tmp_path, seed=5)
    name = "tobias/2025-09-24_launch.csv"
    assert folder.joinpath(name).read_bytes() != tmp_path.joinpath(name).read_bytes()


def test_every_file_is_in_the_order_of_imports(folder):
    order = tomllib.loads(folder.joinpath("imports.toml").read_text("utf-8"))["import"]
    assert len(order) == len({entry["path"] for entry in order})
    assert {entry["path"] for entry in order} == {
        str(p.relative_to(folder)) for p in folder.glob("*/*.*")
    }


def test_players_file_names_the_five_and_keeps_no_more_than_needed(folder, truth):
    players = tomllib.loads(folder.joinpath("players.toml").read_text("utf-8"))["player"]
    assert [p["player_id"] for p in players] == [p["player_id"] for p in truth["players"]]
    needed = {
        "player_id", "display_name", "handedness", "age_band", "guardian_consent", "zone", "coach",
    }  # fmt: skip
    assert all(set(p) == needed for p in players)
    assert [p["guardian_consent"] for p in players if p["age_band"] == "junior"] == [True]


def test_true_pairs_are_the_same_moment_on_two_clocks(folder, truth):
    for session in truth["sessions"]:
        launch = lines(folder, session["launch_files"][-1])
        swings = lines(folder, session["tempo_file"])
        semicolons = ";" in launch[5]
        assert len(session["pairs"]) > 35
        for pair in session["pairs"]:
            line = launch[pair["launch_line"]]
            struck = launch_stamp(line.replace(",", ".").replace(";", ",") if semicolons else line)
            swung = datetime.fromisoformat(cells(swings[pair["swing_line"]])[1])
            off = swung - timedelta(seconds=session["sensor_offset_s"]) - struck
            assert -0.1 <= off.total_seconds() <= 1.1


def test_every_swing_line_has_exactly_one_role_or_struck_a_ball_of_another_file(folder, truth):
    for session in truth["sessions"]:
        swings = lines(folder, session["tempo_file"])[2:]
        known = [p["swing_line"] for p in session["pairs"]]
        known += [r["swing_line"] for r in session["rehearsals"]]
        known += session["other_swing_lines"]
        assert len(known) == len(set(known))
        unknown = set(range(2, 2 + len(swings))) - set(known)
        foreign = session["player_id"] == "t9bx26" and session["day"] == "2025-10-01"
        assert len(unknown) <= (7 if foreign else 0)


def test_one_file_is_in_yards_and_says_so_in_its_units_row(folder, truth):
    path = fault(truth, "distances_in_yards")["files"][0]
    units = [
        other for other in sorted(folder.glob("petra/*_launch.csv")) if "yd" in lines(other, "")[6]
    ]
    assert units == [folder / path]


def test_one_file_has_decimal_commas(folder, truth):
    found = [p for p in folder.glob("*/*_launch.csv") if ";" in lines(p, "")[5]]
    assert [str(p.relative_to(folder)) for p in found] == fault(truth, "decimal_comma")["files"]


def test_the_overlapping_export_grew_by_the_stated_rows(folder, truth):
    planted = fault(truth, "overlapping_export")
    early, full = (lines(folder, path) for path in planted["files"])
    rows = [line for line in full[planted["lines"][0] :] if line[:1].isdigit()]
    kept = [line for line in early[planted["lines"][0] :] if line[:1].isdigit()]
    assert rows[: len(kept)] == kept
    assert len(rows) - len(kept) == planted["new_rows"]


def test_the_sensor_clock_is_off_only_after_summer_time_ended(truth):
    planted = fault(truth, "sensor_clock")
    assert planted["offset_s"] == 61 * 60 + 20
    for session in truth["sessions"]:
        off = session["tempo_file"] in planted["files"]
        assert (session["sensor_offset_s"] == planted["offset_s"]) == off
        assert not off or session["day"] > "2025-10-26"
    assert date(2025, 10, 26).isoweekday() == 7


def test_seven_rows_stand_under_the_wrong_player(folder, truth):
    planted = fault(truth, "rows_of_another_player")
    rows = [cells(lines(folder, planted["files"][0])[line]) for line in planted["lines"]]
    own = [cells(line) for line in lines(folder, planted["files"][0])[2 : planted["lines"][0]]]
    own_carry = [float(row[10]) for row in own if row[3] == "Sand wedge" and row[4] == "hip"]
    foreign = sum(float(row[10]) for row in rows) / len(rows)
    assert len(rows) == 7
    assert foreign - sum(own_carry) / len(own_carry) == pytest.approx(6, abs=2)


def test_the_pair_that_looks_doubled_differs_in_time_alone(folder, truth):
    planted = fault(truth, "true_pair_that_looks_doubled")
    first, second = (cells(lines(folder, planted["files"][0])[line]) for line in planted["lines"])
    assert first[2:] == second[2:]
    assert first[1] != second[1]


def test_marks_agree_with_the_carry_of_their_ball(folder, truth):
    session = truth["sessions"][0]
    edge_ft = session["window_m"][0] / FOOT_M + 2.5 - 6.0
    launch = [cells(line) for line in lines(folder, session["launch_files"][0])[2:]]
    carry_ft = {int(row[0]): float(row[10]) for row in launch}
    for row in (cells(line) for line in lines(folder, session["marks_file"])[2:]):
        assert float(row[2]) == pytest.approx(carry_ft[int(row[0])] - edge_ft, abs=1.2)


def test_test_totals_are_the_planned_ones(folder, truth):
    for player in truth["players"]:
        totals: dict[str, int] = {}
        path = f"{player['display_name'].lower()}/scores.csv"
        for row in (cells(line) for line in lines(folder, path)[2:]):
            totals[row[1]] = totals.get(row[1], 0) + int(row[5])
        assert list(totals.values()) == player["test_totals"]
