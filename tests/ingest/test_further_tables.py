"""Sessions with headers of their own in one text, and sheets of one workbook: read together."""

from ingest.options import Options
from ingest.preview_json import as_preview
from ingest.read_export import read_export
from tests.ingest.workbooks import workbook

HEAD = ["Shot", "Time", "Club", "Ball Speed (mph)", "Launch (deg)", "Carry (yd)"]
FIRST = [
    [1, "2026-05-04T08:00:10Z", "SW", 26.3, 33.0, 11.0],
    [2, "2026-05-04T08:01:10Z", "SW", 27, 32, 12],
]
SECOND = [[1, "2026-05-05T08:00:10Z", "SW", 26.6, 33.4, 11.5]]
AVERAGES = [["Club", "Ball Speed (mph)", "Carry (yd)"], ["SW", 26.6, 11.5]]


def text(*tables):
    return "\n\n".join("\n".join(",".join(map(str, row)) for row in rows) for rows in tables) + "\n"


def preview(source):
    return as_preview(read_export(source, name="any", options=Options(zone="UTC")))


def carries(found):
    return [(row["line"], round(row["values"]["carry_m"], 4)) for row in found["rows"]]


def test_a_second_table_with_other_columns_is_read_by_its_own_header():
    head = ["Shot", "Time", "Club", "Carry (m)", "Ball Speed (m/s)", "Launch (deg)"]
    rows = [head, [1, "2026-05-05T08:00:10Z", "SW", 10.2, 11.7, 33]]
    found = preview(text([HEAD, *FIRST], rows).encode())
    assert carries(found) == [(2, 10.0584), (3, 10.9728), (6, 10.2)]
    assert found["set_aside"] == []
    assert [entry["line"] for entry in found["structure"]] == [1, 4, 5]


def test_a_table_of_averages_stays_set_aside():
    found = preview(text([HEAD, *FIRST], AVERAGES).encode())
    assert [line for line, _ in carries(found)] == [2, 3]
    assert [row["line"] for row in found["set_aside"]] == [6]


def test_an_open_point_of_both_tables_is_one_question():
    head = ["Shot", "Time", "Club", "Carry"]
    other = ["Shot", "Club", "Carry", "Time"]
    rows = [
        [head, [1, "2026-05-04T08:00:10Z", "SW", 11]],
        [other, [2, "SW", 12, "2026-05-04T08:01:10Z"]],
    ]
    (question,) = preview(text(*rows).encode())["questions"]
    assert (question["column"], question["lines"]) == ("carry_m", [2, 5])


def test_sheets_that_fit_are_read_on_and_the_others_named():
    book = workbook(Notes=[["windy"]], Mon=[HEAD, *FIRST], Tue=[HEAD, *SECOND], Averages=AVERAGES)
    found = preview(book)
    assert carries(found) == [(2, 10.0584), (3, 10.9728), (5, 10.5156)]
    assert found["other_sheets"] == ["any#Notes", "any#Averages"]
    assert found["n_lines"] == 5


def test_a_further_table_ends_where_a_header_follows():
    metric = ["Shot", "Time", "Carry (m)", "Ball Speed (m/s)", "Club", "Launch (deg)"]
    feet = ["Shot", "Time", "Carry (ft)", "Ball Speed (km/h)"]
    tables = (
        [HEAD, *FIRST],
        [metric, [1, "2026-05-05T08:00:10Z", 10.2, 11.7, "SW", 33]],
        [feet, [1, "2026-05-06T08:00:10Z", 30, 42.5]],
        [HEAD, [1, "2026-05-07T08:00:10Z", "SW", 26.3, 33.0, 11.0]],
    )
    found = preview(text(*tables).encode())
    assert carries(found) == [(2, 10.0584), (3, 10.9728), (6, 10.2), (9, 9.144), (12, 10.0584)]
    assert [row["values"]["device_number"] for row in found["rows"]] == [1, 2, 1, 1, 1]
    assert found["set_aside"] == []


def test_a_shorter_table_over_the_widest_one_is_read_too():
    head = [*HEAD, "Apex (ft)"]
    rows = [[n, f"2026-05-05T08:0{n}:10Z", "SW", 26.3, 33.0, 12.0, 6] for n in (1, 2, 3)]
    found = preview(b"Lesson\n" + text([HEAD, *FIRST], [head, *rows]).encode())
    assert [line for line, _ in carries(found)] == [3, 4, 7, 8, 9]
    assert found["set_aside"] == []
