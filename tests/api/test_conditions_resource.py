"""Conditions of a day over HTTP: kept once, the newest counts, undone like an import."""

PATH = "/v1/players/pada1/sessions"
DAY = {"entry_id": "app-0001", "day": "2026-05-04", "green_speed_ft": 9.5}
WINDOW = {"window_near_m": 6.6, "window_far_m": 8.1}


def noted(client):
    """The conditions of the one day."""
    days = client.get(PATH).json()["sessions"]
    assert len(days) <= 1
    return days[0] if days else None


def test_a_window_is_noted_once_and_taken_back(client):
    made = client.post(PATH, json=DAY | WINDOW)
    assert made.status_code == 201
    assert made.json()["new"] is True
    assert client.post(PATH, json=DAY | WINDOW).json()["new"] is False
    day = noted(client)
    assert (day["green_speed_ft"], day["window_near_m"], day["window_far_m"]) == (9.5, 6.6, 8.1)
    assert client.post(f"/v1/imports/{made.json()['import_id']}/undo").status_code == 200
    assert noted(client) is None


def test_the_newest_note_of_a_day_counts_also_when_it_says_what_an_older_one_said(client):
    for number, speed in enumerate((9.5, 10.0, 9.5)):
        body = DAY | {"entry_id": f"app-000{number}", "green_speed_ft": speed}
        assert client.post(PATH, json=body).json()["new"] is True
        assert noted(client)["green_speed_ft"] == speed


def test_a_window_the_wrong_way_round_is_refused(client):
    answer = client.post(PATH, json=DAY | {"window_near_m": 8, "window_far_m": 7})
    assert answer.status_code == 409
    assert "smaller one" in answer.json()["mend"]
    assert client.post(PATH, json=DAY | {"green_speed_ft": 30}).status_code == 422
    assert noted(client) is None


def test_a_later_word_on_the_window_does_not_unsay_the_green(client):
    client.post(PATH, json=DAY | {"wetness": "wet"})
    later = client.post(PATH, json={"entry_id": "app-0002", "day": DAY["day"]} | WINDOW).json()
    assert (noted(client)["green_speed_ft"], noted(client)["window_far_m"]) == (9.5, 8.1)
    body = {"entry_id": "app-0003", "day": DAY["day"], "roll_up_ft": 9, "roll_down_ft": 14}
    client.post(PATH, json=body)
    assert round(noted(client)["green_speed_ft"], 3) == 10.957
    client.post(f"/v1/imports/{later['import_id']}/undo")
    day = noted(client)
    assert (day["window_far_m"], day["wetness"]) == (None, "wet")
    half = {"entry_id": "app-0004", "day": DAY["day"], "roll_up_ft": 9}
    assert client.post(PATH, json=half).status_code == 409
