"""Text to physical lines: LF, CRLF and CR end a line, nothing else does."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

_ANY_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class Lines:
    """`texts` without their ends. `ends` has one end per line, or is one string for all of them.

    `ended` says that the last line has its end; otherwise it may have been cut off.
    """

    texts: list[str]
    ends: str | list[str]
    newline: str
    ended: bool

    def end_of(self, index: int) -> str:
        """The line end of the line at this 0-based index."""
        return self.ends if isinstance(self.ends, str) else self.ends[index]

    def join(self, start: int, stop: int) -> str:
        """The source text of lines start … stop − 1, without the last one's end."""
        if stop - start == 1:
            return self.texts[start]
        body = "".join(self.texts[i] + self.end_of(i) for i in range(start, stop - 1))
        return body + self.texts[stop - 1]


def split_lines(text: str) -> Lines:
    """Cut text into lines. An end after the last line does not begin another one."""
    if not text:
        return Lines([], "\n", "\n", ended=True)
    n_cr, n_lf = text.count("\r"), text.count("\n")
    n_both = text.count("\r\n") if n_cr and n_lf else 0
    if n_cr == 0 or n_lf == 0:
        newline = "\r" if n_cr else "\n"
        return _uniform(text, newline)
    if n_cr == n_lf == n_both:
        return _uniform(text, "\r\n")
    return _mixed(text, _commonest(n_both, n_lf - n_both, n_cr - n_both))


def _uniform(text: str, newline: str) -> Lines:
    texts = text.split(newline)
    ended = texts[-1] == ""
    if ended:
        texts.pop()
    return Lines(texts, newline, newline, ended)


def _mixed(text: str, newline: str) -> Lines:
    texts = _ANY_END.split(text)
    ends: list[str] = _ANY_END.findall(text)
    ended = texts[-1] == ""
    if ended:
        texts.pop()
    else:
        ends.append("")
    return Lines(texts, ends, newline, ended)


def _commonest(n_crlf: int, n_lf: int, n_cr: int) -> str:
    counts: Sequence[tuple[int, str]] = ((n_crlf, "\r\n"), (n_lf, "\n"), (n_cr, "\r"))
    return max(counts, key=lambda pair: pair[0])[1]
