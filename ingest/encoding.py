"""Bytes to text, by a ladder whose every rung is a proof or a scored choice.

Rules, in order:
1. A byte-order mark decides.
2. Zero bytes in a regular pattern (every other byte, or three of four) are UTF-16 or UTF-32.
3. Bytes that are valid UTF-8 are UTF-8; an incomplete last character is a cut-off file.
4. Otherwise the readings that decode are scored by whether the characters outside ASCII stand where
   the writing systems we know would put them; a detector decides when none is convincing.
5. UTF-8 that was taken for cp1252 and encoded again is undone when every character undoes.
"""

import codecs
import re
from dataclasses import dataclass
from functools import lru_cache

from charset_normalizer import from_bytes

_MARKS = (  # longest first: the UTF-32 mark begins like the UTF-16 one
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_MULTIBYTE = ("cp932", "euc_jp", "euc_kr", "cp949", "gb18030", "big5")
_SINGLE_BYTE = ("cp1252", "mac_roman", "cp850", "cp1250", "latin-1")
TWICE = "utf-8 encoded twice"
_SAMPLE_BYTES = 65_536
_CONVINCING = 0.6
_COMMONEST_BONUS = 0.2  # by far the commonest of the one-byte encodings

_LATIN_LETTERS = frozenset("äöüßÄÖÜéèêëàâçîïôûùœæåøÅØÆáíóúñÁÍÓÚÑÉÈÀãõÃÕìòÇÊÂÔ")
_SYMBOLS = frozenset("°²³·±–—−‘’“”„…•€£µº\u00a0\u202f")
_RARE_SYMBOLS = frozenset("×÷½¼¾§®™ªΔσθ←→↑↓")
_ISO_2022_JP = re.compile(rb"\x1b\$[B@]|\x1b\([BJ]")


@dataclass(frozen=True, slots=True)
class Decoded:
    """`text` without its byte-order mark; `damaged` says that U+FFFD stands for bytes."""

    text: str
    encoding: str
    damaged: bool = False


def decode(data: bytes) -> Decoded:
    """The text in `data` and the name of the encoding it was read by. Never fails."""
    for mark, name in _MARKS:
        if data.startswith(mark):
            return _decode_as(data[len(mark) :], name)
    wide = _wide_encoding(data[:4096])
    if wide:
        return _decode_as(data, wide)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        return _not_utf8(data, fault)
    if "\x1b" in text and _ISO_2022_JP.search(data):
        return _decode_as(data, "iso2022_jp")
    if text.isascii():
        return Decoded(text, "utf-8")
    return _undo_double_encoding(text)


def _decode_as(data: bytes, name: str) -> Decoded:
    plain = "utf-8" if name == "utf-8-sig" else name
    try:
        return Decoded(_unmarked(data.decode(plain)), name)
    except UnicodeDecodeError:
        return Decoded(_unmarked(data.decode(plain, errors="replace")), name, damaged=True)


def _unmarked(text: str) -> str:
    """Without byte-order marks, which joined files also have inside."""
    return text.replace("\ufeff", "")


def _wide_encoding(sample: bytes) -> str | None:
    """UTF-16 or UTF-32 without a mark, told by where the zero bytes of ASCII characters stand."""
    n = len(sample) // 4
    if n < 2 or b"\x00" not in sample:
        return None
    zeros = [sample[k : n * 4 : 4].count(0) / n for k in range(4)]
    if min(zeros[1:]) > 0.9 and zeros[0] < 0.1:
        return "utf-32-le"
    if min(zeros[:3]) > 0.9 and zeros[3] < 0.1:
        return "utf-32-be"
    even, odd = (zeros[0] + zeros[2]) / 2, (zeros[1] + zeros[3]) / 2
    if odd > 0.35 and even < 0.05:
        return "utf-16-le"
    if even > 0.35 and odd < 0.05:
        return "utf-16-be"
    return None


def _not_utf8(data: bytes, fault: UnicodeDecodeError) -> Decoded:
    if (
        fault.start >= len(data) - 3
        and fault.start > 0
        and fault.reason == "unexpected end of data"
    ):
        return Decoded(_unmarked(data.decode(errors="replace")), "utf-8", damaged=True)
    if _mostly_utf8(data):
        return Decoded(_unmarked(data.decode(errors="replace")), "utf-8", damaged=True)
    sample = _unusual_parts(data)
    name, score = _best_reading(sample)
    if score < _CONVINCING:
        name = _detected(sample) or name
    return _decode_as(data, name)


def _mostly_utf8(data: bytes) -> bool:
    """Many sound multi-byte characters, few stray bytes: damaged UTF-8, no other encoding."""
    text = data.decode("utf-8", errors="replace")
    damaged = text.count("\ufffd")
    sound = sum(1 for char in text if ord(char) > 127) - damaged
    return sound >= 2 * damaged


def _unusual_parts(data: bytes) -> bytes:
    """The lines that hold bytes outside ASCII: all that tells encodings apart, kept short."""
    lines = re.split(rb"[\r\n]+", data)
    kept = dict.fromkeys(line for line in lines if not line.isascii())
    return b"\n".join(kept)[:_SAMPLE_BYTES]


def _best_reading(sample: bytes) -> tuple[str, float]:
    best = ("latin-1", 0.0)
    for name in (*_MULTIBYTE, *_SINGLE_BYTE):
        try:
            text = sample.decode(name)
        except UnicodeDecodeError:
            text = _without_cut_tail(sample, name)
        score = _plausibility(text)
        score += _COMMONEST_BONUS if name == "cp1252" and score > 0 else 0.0
        if score > best[1] + 1e-9:
            best = (name, score)
    return best


def _without_cut_tail(sample: bytes, name: str) -> str:
    """A sample may end inside a character; nothing else about it may be wrong."""
    for cut in range(1, 4):
        try:
            return sample[:-cut].decode(name) if len(sample) > 8 else ""
        except UnicodeDecodeError:
            continue
    return ""


def _plausibility(text: str) -> float:
    """Mean over the characters outside ASCII of how well each stands there, −1 to 1."""
    total, n = 0.0, 0
    for match in re.finditer(r"[^\x00-\x7f]+", text):
        before = text[match.start() - 1 : match.start()]
        after = text[match.end() : match.end() + 1]
        for char in match.group():
            total += _weight(char, before, after, len(match.group()))
            n += 1
    return total / n if n else 0.0


def _weight(char: str, before: str, after: str, run: int) -> float:
    if char in _LATIN_LETTERS:
        lower_after_upper = char.isupper() and before.islower()
        touches_letter = before.isalpha() or after.isalpha()
        return -0.5 if lower_after_upper or run > 2 else (1.0 if touches_letter else 0.4)
    if char in _SYMBOLS:
        amid_letters = before.isalpha() and after.isalpha() and char not in "’·"
        return -0.2 if amid_letters or run > 2 else 0.75
    if char in _RARE_SYMBOLS:
        return 0.3
    return _weight_of_block(ord(char), run)


def _weight_of_block(code: int, run: int) -> float:
    """By script: kana and hangul tell much, ideographs less when alone, wide punctuation some."""
    if 0xAC00 <= code <= 0xD7A3:
        return (1.0 if run > 1 else 0.6) if _is_common_hangul(chr(code)) else 0.1
    blocks = (
        (0x3040, 0x30FF, 1.0, 0.6),
        (0x4E00, 0x9FFF, 0.7, 0.3),
        (0x3000, 0x303F, 0.5, 0.5),
        (0xFF01, 0xFF5E, 0.5, 0.5),
    )
    for first, last, in_run, alone in blocks:
        if first <= code <= last:
            return in_run if run > 1 else alone
    return -1.0


@lru_cache(maxsize=4096)
def _is_common_hangul(char: str) -> bool:
    """Whether the syllable is one of the 2,350 of KS X 1001, which cover nearly all text."""
    try:
        return len(char.encode("euc_kr")) == 2
    except UnicodeEncodeError:
        return False


def _detected(sample: bytes) -> str | None:
    found = from_bytes(sample[:8192]).best()
    if found is None or found.encoding.startswith(("utf_16", "utf_32", "utf_7")):
        return None  # those were looked for by rules 1 and 2
    return found.encoding


def _undo_double_encoding(text: str) -> Decoded:
    if "Ã" not in text and "Â" not in text and "ã" not in text:
        return Decoded(_unmarked(text), "utf-8")
    try:
        undone = text.encode("cp1252").decode("utf-8")
    except (UnicodeEncodeError, UnicodeDecodeError):
        return Decoded(_unmarked(text), "utf-8")
    return Decoded(_unmarked(undone), TWICE)
