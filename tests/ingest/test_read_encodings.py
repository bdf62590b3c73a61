"""The encoding ladder: marks, patterns of zero bytes, UTF-8, and scored readings."""

import pytest

from ingest.encoding import decode
from ingest.encoding_stream import Utf8Blocks
from ingest.read_csv import read_sheets

GERMAN = "Schlag;Schläger;Länge (m)\n1;SW;11,2\n2;PW;12,9 größer\n"
JAPANESE = "番号,クラブ,キャリー\n1,サンドウェッジ,12.5\n2,ピッチング,20.1\n"
KOREAN = "번호,클럽,캐리\n1,샌드웨지,12.5\n2,피칭,20.1\n"
FRENCH = "Coup;Vitesse;Portée;Écart\n1;48,2;12,1;−0,3\n"

CASES = [
    (GERMAN, "utf-8", "utf-8"),
    (GERMAN, "utf-8-sig", "utf-8-sig"),
    (GERMAN, "utf-16", "utf-16-le"),
    (GERMAN, "utf-16-le", "utf-16-le"),
    (GERMAN, "utf-16-be", "utf-16-be"),
    (GERMAN, "utf-32", "utf-32-le"),
    (GERMAN, "utf-32-be", "utf-32-be"),
    (GERMAN, "cp1252", "cp1252"),
    (GERMAN, "mac_roman", "mac_roman"),
    (GERMAN, "cp850", "cp850"),
    (FRENCH.replace("−", "-"), "cp1252", "cp1252"),
    (JAPANESE, "shift_jis", "cp932"),
    (JAPANESE, "euc_jp", "euc_jp"),
    (JAPANESE, "iso2022_jp", "iso2022_jp"),
    (JAPANESE, "utf-16-le", "utf-16-le"),
    (KOREAN, "euc_kr", "euc_kr"),
]


@pytest.mark.parametrize(("text", "encoding", "named"), CASES)
def test_text_comes_back_from_every_encoding(text, encoding, named):
    decoded = decode(text.encode(encoding))
    assert (decoded.text, decoded.encoding, decoded.damaged) == (text, named, False)


@pytest.mark.parametrize(("text", "encoding", "named"), CASES)
@pytest.mark.parametrize("size", [1, 3, 7, 64])
def test_a_stream_gives_the_same_text(text, encoding, named, size):
    data = text.encode(encoding)
    first = max(size, 60)  # the ladder needs some bytes to tell UTF-16 by
    blocks = Utf8Blocks(
        [data[:first], *(data[i : i + size] for i in range(first, len(data), size))]
    )
    found = b"".join(blocks).decode()
    if blocks.encoding == named:
        assert found == text
    else:  # a few bytes may not tell one-byte encodings apart; the ASCII part must stand
        assert named not in {"utf-8", "utf-8-sig", "utf-16-le", "utf-16-be", "utf-32-le"}
        assert found.isascii() is False


def test_utf8_encoded_twice_is_undone():
    twice = GERMAN.encode().decode("cp1252").encode()
    assert decode(twice).text == GERMAN
    assert decode(twice).encoding == "utf-8 encoded twice"
    blocks = Utf8Blocks([twice[:25], *(twice[i : i + 3] for i in range(25, len(twice), 3))])
    assert b"".join(blocks).decode() == GERMAN


def test_a_real_capital_a_with_tilde_is_left_alone():
    text = "Ação;Distância;São João Ã\n1;2;3\n"
    assert decode(text.encode()).text == text


def test_a_stray_byte_in_utf8_costs_its_row_only():
    data = "Nr;Spieler;Länge\n1;Jörg;1,5\n2;Zoë;1,6\n3;Noël;1,7\n".encode()
    data = data.replace("Zoë".encode(), b"Zo\xeb")
    (sheet,) = read_sheets(data)
    assert [record.cells[0] for record in sheet.records] == ["1", "3"]
    assert [(fault.line, fault.code) for fault in sheet.faults] == [(3, "undecodable")]


def test_marks_inside_joined_files_vanish():
    part = "\ufeffShot,Club,Carry\n1,SW,12.5\n2,SW,13\n"
    (sheet,) = read_sheets((part + part).encode())
    assert len(sheet.records) == 4
    assert [part.kind for part in sheet.structure] == ["header", "repeated_header"]
