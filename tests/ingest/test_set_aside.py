"""Set-aside rows come out in the layout they came in, to be mended and taken in again."""

from ingest.read_export import read_export
from ingest.reading import Options
from ingest.set_aside import mendable_csv

SHEET = """Units: yards, mph
Time zone: Europe/Madrid
Shot;Time;Ball speed;Carry;Note
1;14.03.2026 10:00:00;25,0;12,5;fine
2;14.03.2026 10:01:00;fast;11,5;"two; words"
3;14.03.2026 10:02:00;24,0;-3;
4;14.03.2026 10:03:00;24,5;11.5;
"""


def test_mended_rows_complete_the_file():
    first = read_export(SHEET.encode(), name="a.csv")
    assert [(row.line, row.code) for row in first.set_aside] == [
        (5, "unreadable"),
        (6, "below_minimum"),
        (7, "two_meanings"),
    ]
    text = mendable_csv(first.sheet, [row.line for row in first.set_aside])
    mended = text.replace("fast", "24,8").replace(";-3;", ";3;").replace("11.5", "11,5")
    again = read_export(mended.encode(), name="a-mended.csv")
    assert not again.set_aside
    assert again.table.height == 3
    whole = SHEET.replace("fast", "24,8").replace(";-3;", ";3;").replace("11.5", "11,5")
    wanted = read_export(whole.encode(), name="a.csv").table[1:]
    assert again.table.drop("source_line").equals(wanted.drop("source_line"))


def test_every_entry_says_where_what_why_and_how_to_mend():
    for row in read_export(SHEET.encode(), name="a.csv").set_aside:
        assert row.column
        assert row.value
        assert row.reason
        assert row.mend
        assert row.raw in SHEET


def test_rows_that_say_which_event_they_are_repeat_and_others_do_not():
    text = "Shot,Time,Carry (m)\n1,2026-03-14 10:00,12\n,2026-03-14 10:00,12\n"
    doubled = text + ",2026-03-14 10:00,12\n1,2026-03-14 10:00,12\n"
    reading = read_export(doubled.encode(), name="a.csv", options=Options(zone="UTC"))
    assert [(r.line, r.of_line) for r in reading.repeats] == [(5, 2)]
    assert reading.table["source_line"].to_list() == [2, 3, 4]
