"""An importer of an imaginary format, to copy from: blocks of `key=value` lines, one a shot.

    SHOTLOG 1
    shot=1
    club=SW
    carry_m=11.9
    end

Steps: (1) say how the format is recognised, by its first bytes (`endings` only say which files of a
folder to look at); (2) cut the file into records of texts, each with its first physical line and
how many it covers; (3) put what is no record under structure, and what cannot be cut under faults;
(4) run the kit.
"""

from ingest.sheet import Dialect, Record, RowFault, Sheet, Structure

MAGIC = b"SHOTLOG 1"


class ShotLogImporter:
    """Reads the imaginary shot log."""

    name = "shot-log-example"
    version = "1"
    endings = (".shotlog",)

    def recognises(self, start: bytes, name: str) -> bool:  # noqa: ARG002 - the shape of importers
        """By the first line alone."""
        return start.startswith(MAGIC)

    def read(self, data: bytes, name: str) -> Sheet:
        """Every block as a record; the header is all keys in the order of their first use."""
        lines = data.decode("utf-8", errors="replace").splitlines()
        blocks, structure, faults = _cut(lines)
        header = tuple(dict.fromkeys(key for _, pairs in blocks for key in pairs))
        records = tuple(
            Record(
                line=first,
                cells=tuple(pairs.get(key, "") for key in header),
                raw="\n".join(lines[first - 1 : first + len(pairs)]),
                n_lines=len(pairs) + 1,
            )
            for first, pairs in blocks
        )
        return Sheet(
            name=name,
            header=header,
            header_line=1,
            units=None,
            records=records,
            structure=structure,
            metadata={},
            dialect=Dialect("utf-8", "=", None, None, "\n"),
            faults=faults,
            n_lines=len(lines),
        )


Block = tuple[int, dict[str, str]]


def _cut(
    lines: list[str],
) -> tuple[list[Block], tuple[Structure, ...], tuple[RowFault, ...]]:
    """(blocks with their first line, structure, faults): every line in exactly one of them."""
    blocks: list[Block] = []
    structure = [Structure(1, "header", text=lines[0])] if lines else []
    faults: list[RowFault] = []
    first, pairs = 0, dict[str, str]()
    for number, text in enumerate(lines[1:], start=2):
        key, sign, value = text.partition("=")
        if sign and key not in pairs:
            first = first or number
            pairs[key] = value
        elif text == "end" and pairs:
            blocks.append((first, pairs))
            first, pairs = 0, {}
        elif not text.strip() and not pairs:
            structure.append(Structure(number, "blank"))
        else:
            faults.append(_fault(first or number, lines, number))
            first, pairs = 0, {}
    if pairs:
        faults.append(_fault(first, lines, len(lines)))
    return blocks, tuple(structure), tuple(faults)


def _fault(first: int, lines: list[str], last: int) -> RowFault:
    return RowFault(
        line=first,
        code="broken_block",
        reason="the block does not end",
        mend="Add its missing lines and the line `end`.",
        raw="\n".join(lines[first - 1 : last]),
        n_lines=last - first + 1,
    )
