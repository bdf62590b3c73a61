"""What is structure, what is a record, what is not sound: exact lines for one quirk at a time."""

import pytest

from ingest.read_csv import read_sheets
from ingest.sheet import Section, lines_covered

ROWS = "1,SW,30.1,12.5\n2,SW,31.4,13.0\n3,PW,33.0,14.2\n"
HEADER = "Shot,Club,Ball Speed,Carry\n"

# name, text, structure as {line: kind}, faults as {line: code}, lines of records
CASES = [
    ("plain", HEADER + ROWS, {1: "header"}, {}, [2, 3, 4]),
    ("units row", HEADER + ",,mph,yds\n" + ROWS, {1: "header", 2: "units"}, {}, [3, 4, 5]),
    ("one unit", HEADER + ",,,m\n" + ROWS, {1: "header", 2: "units"}, {}, [3, 4, 5]),
    ("units over it", ",,mph,yds\n" + HEADER + ROWS, {1: "units", 2: "header"}, {}, [3, 4, 5]),
    ("types row", HEADER + "int,string,float,float\n" + ROWS, {1: "header", 2: "types"}, {},
     [3, 4, 5]),
    ("rule", HEADER + "----,----,----,----\n" + ROWS, {1: "header", 2: "banner"}, {}, [3, 4, 5]),
    ("header twice", HEADER + HEADER + ROWS, {1: "header", 2: "repeated_header"}, {}, [3, 4, 5]),
    ("summary", HEADER + ROWS + "Average,,31.5,13.2\n", {1: "header", 5: "summary"}, {}, [2, 3, 4]),
    ("summary on top", HEADER + "Average,,31.5,13.2\n" + ROWS, {1: "header", 2: "summary"}, {},
     [3, 4, 5]),
    ("summary in the second cell", HEADER + ROWS + ",Ø,31.5,13.2\n,σ,1.1,0.7\n",
     {1: "header", 5: "summary", 6: "summary"}, {}, [2, 3, 4]),
    ("short summary", HEADER + ROWS + "Total,3\n", {1: "header", 5: "summary"}, {}, [2, 3, 4]),
    ("summary table", HEADER + ROWS + "\nClub averages\nClub,Avg Carry\nSW,12.7\nPW,14.2\n",
     {1: "header", 5: "blank", 6: "summary", 7: "summary", 8: "summary", 9: "summary"}, {},
     [2, 3, 4]),
    ("second table", HEADER + ROWS + "\nPlace,Wind\nMeadow,2.1\n",
     {1: "header", 5: "blank", 6: "other_header"}, {7: "other_table"}, [2, 3, 4]),
    ("blocks", "Block 1\n" + HEADER + ROWS + "\nBlock 2\n" + HEADER + ROWS,
     {1: "preamble", 2: "header", 6: "blank", 7: "section", 8: "repeated_header"}, {},
     [3, 4, 5, 9, 10, 11]),
    ("footnotes", HEADER + ROWS + "\nMeasured outdoors\n",
     {1: "header", 5: "blank", 6: "footnote"}, {}, [2, 3, 4]),
    ("comment", HEADER + "# new ball\n" + ROWS, {1: "header", 2: "comment"}, {}, [3, 4, 5]),
    ("short row", HEADER + ROWS + "4,SW\n5,SW,30.0,12.0\n", {1: "header"}, {5: "too_few_cells"},
     [2, 3, 4, 6]),
    ("long row", HEADER + ROWS + "4,SW,30,12,9\n", {1: "header"}, {5: "too_many_cells"}, [2, 3, 4]),
    ("long row of empty cells", HEADER + ROWS + "4,SW,30,12,,\n", {1: "header"}, {}, [2, 3, 4, 5]),
    ("open quote", HEADER + '1,"SW,30,12\n' + ROWS, {1: "header"}, {2: "unclosed_quote"},
     [3, 4, 5]),
    ("zero byte", HEADER + ROWS + "4,S\x00W,30,12\n", {1: "header"}, {5: "nul_byte"}, [2, 3, 4]),
    ("cut off", HEADER + ROWS + "4,SW,3", {1: "header"}, {5: "truncated_line"}, [2, 3, 4]),
    ("data over the header", "9,SW,30.0,12.0\n" + HEADER + ROWS, {2: "header"},
     {1: "before_header"}, [3, 4, 5]),
    ("page ends", HEADER + ROWS + "Page 1 of 2\n" + HEADER + ROWS + "Page 2 of 2\n",
     {1: "header", 5: "section", 6: "repeated_header", 10: "footnote"}, {}, [2, 3, 4, 7, 8, 9]),
    ("lone clubs", HEADER + "52°,,,\n" + ROWS + "3H,,,\n" + ROWS, {1: "header", 2: "section",
     6: "section"}, {}, [3, 4, 5, 7, 8, 9]),
    ("lone values", HEADER + ROWS + "12.4 m,,,\n7 m,,,\n31.5°,,,\n" + ROWS, {1: "header"}, {},
     [2, 3, 4, 5, 6, 7, 8, 9, 10]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "structure", "faults", "records"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_lines_of_each_kind(text, structure, faults, records):
    (sheet,) = read_sheets(text.encode())
    assert {part.line: part.kind for part in sheet.structure} == structure
    assert {fault.line: fault.code for fault in sheet.faults} == faults
    assert [record.line for record in sheet.records] == records
    assert sheet.header == ("Shot", "Club", "Ball Speed", "Carry")
    assert lines_covered(sheet) == list(range(1, sheet.n_lines + 1))


@pytest.mark.parametrize(
    "label",
    ["Average", "avg.", "Mean", "Std. Dev.", "Mittelwert", "Standardabweichung", "Moyenne",
     "Écart type", "Promedio", "Desviación estándar", "Medelvärde", "Standardavvikelse", "Média",
     "Desvio padrão", "Deviazione standard", "Gemiddelde", "Standaardafwijking", "平均", "標準偏差",
     "평균", "표준편차", "Ø", "Average (12 shots)", "Max", "min", "SW average", "TOTAL:"],
)  # fmt: skip
def test_summary_words_of_every_language(label):
    (sheet,) = read_sheets(f"{HEADER}{ROWS}{label},,31.5,13.2\n".encode())
    assert [part.kind for part in sheet.structure] == ["header", "summary"]


def test_a_player_called_max_is_no_maximum():
    rows = "".join(f"{name},{i},SW,12.{i}\n" for i in range(6) for name in ("Max", "Kim"))
    text = "Player,Shot,Club,Carry\n" + rows + "Max,7,SW,\n"
    (sheet,) = read_sheets(text.encode())
    assert len(sheet.records) == 13
    assert sheet.records[-1].cells == ("Max", "7", "SW", "")


def test_average_as_a_remark_is_no_average():
    rows = "".join(f"{i},{word},12.{i}\n" for i, word in enumerate(["average", "good", "thin"] * 3))
    (sheet,) = read_sheets(f"Shot,Quality,Carry\n{rows}".encode())
    assert len(sheet.records) == 9


def test_headings_say_what_follows():
    text = HEADER + "Club: Sand wedge,,,\n1,,30,12\n2,,31,13\nGap wedge\n3,,33,14\n4,,32,14\n"
    (sheet,) = read_sheets(text.encode())
    assert sheet.sections == (Section(2, "Club", "Sand wedge"), Section(5, "", "Gap wedge"))
    assert [record.line for record in sheet.records] == [3, 4, 6, 7]


def test_pairs_around_the_table_are_metadata():
    text = (
        "Session report;;;\nPlayer:;Kim;Date:;2026-05-14\n# zone = Europe/Rome\n\n"
        "Nr;Club;Speed;Carry\n1;SW;12,1;11,0\n2;SW;12,0;10,9\n\nUnits: metric\n"
    )
    (sheet,) = read_sheets(text.encode())
    assert sheet.metadata == {
        "Player": "Kim", "Date": "2026-05-14", "zone": "Europe/Rome", "Units": "metric",
    }  # fmt: skip
    assert sheet.header_line == 5


def test_names_in_two_lines_are_joined_and_groups_tell_equal_names_apart():
    text = "Club,,Ball,,\nSpeed,Path,Speed,Launch,Carry\n30,1,40,22,12\n31,2,41,23,13\n"
    (sheet,) = read_sheets(text.encode())
    assert sheet.header == ("Club Speed", "Path", "Ball Speed", "Launch", "Carry")
    assert sheet.header_line == 2
    text = "Shot,Ball,Launch\nnumber,speed,angle\n1,30.5,21\n2,30.7,22\n3,30.1,20\n"
    (sheet,) = read_sheets(text.encode())
    assert sheet.header == ("Shot number", "Ball speed", "Launch angle")
    assert sheet.header_line == 1


def test_a_table_without_header_gets_numbered_names():
    (sheet,) = read_sheets(ROWS.encode())
    assert sheet.header == ("column_1", "column_2", "column_3", "column_4")
    assert sheet.header_line is None
    assert [record.line for record in sheet.records] == [1, 2, 3]


def test_short_rows_are_kept_where_the_writer_leaves_out_empty_ends():
    text = "Shot,Club,Carry,Note\n1,SW,12\n2,SW,13,good\n3,SW,14\n4,SW,12\n5,SW,11,low\n"
    (sheet,) = read_sheets(text.encode())
    assert [record.cells[3] for record in sheet.records] == ["", "good", "", "", "low"]
    assert not sheet.faults


def test_the_known_words_of_a_caller_settle_what_form_cannot():
    """Two full rows of words: only a vocabulary can say which one names the columns."""
    text = "alpha,beta,gamma\nShot,Club,Carry\n1,SW,12\n2,SW,13\n"

    def fit(cells):
        return sum(cell in {"Shot", "Club", "Carry"} for cell in cells) / len(cells)

    (sheet,) = read_sheets(text.encode(), fit=fit)
    assert sheet.header == ("Shot", "Club", "Carry")


def test_cells_set_in_columns_are_placed_by_their_name():
    text = (
        "Shot  Club   Ball Speed  Carry\n"
        "1     SW     30.1        12.5\n"
        "2            31.2        13.5\n"
    )
    (sheet,) = read_sheets(text.encode())
    assert [r.cells for r in sheet.records] == [
        ("1", "SW", "30.1", "12.5"),
        ("2", "", "31.2", "13.5"),
    ]


def test_a_small_table_before_the_shots_is_not_the_table():
    text = "Session,Date,Player,Place\n12,2026-05-14,Kim,Meadow\n\n" + HEADER + ROWS
    (sheet,) = read_sheets(text.encode())
    assert sheet.header_line == 4
    assert sheet.metadata["Player"] == "Kim"
    assert len(sheet.records) == 3
    text = "Club,Shots,Ball,Carry\nSW,2,30,12\nPW,1,33,14\n\n" + HEADER + ROWS * 3
    (sheet,) = read_sheets(text.encode())
    assert sheet.header_line == 5
    assert not sheet.metadata
    assert [(fault.line, fault.code) for fault in sheet.faults] == [
        (2, "other_table"), (3, "other_table"),
    ]  # fmt: skip


def test_a_second_session_in_the_file_keeps_its_own_pairs():
    session = "Player: {}\nDate: 2026-05-{}\n" + HEADER + ROWS
    (sheet,) = read_sheets((session.format("Kim", 14) + "\n" + session.format("Noor", 15)).encode())
    assert sheet.metadata == {"Player": "Kim", "Date": "2026-05-14"}
    assert sheet.sections == (Section(8, "Player", "Noor"), Section(9, "Date", "2026-05-15"))
    assert len(sheet.records) == 6


def test_half_rows_stay_half_before_a_header_again():
    head = "Shot,Time,Club,Ball Speed,Launch,Carry,Side,Note\n"
    half = "1,10:01:07,SW,9.0\n2,10:02:07,SW,9.0\n3,10:03:07,SW,9.0,29.0,7.36,,,7.5\n"
    (sheet,) = read_sheets(f"{head}{half}{head}4,10:04:07,SW,9.0,29.0,7.36,,thin\n".encode())
    assert [record.line for record in sheet.records] == [6]
    assert [fault.line for fault in sheet.faults] == [2, 3, 4]
