"""Layout files: the ones that ship with carrybook and the ones a user saved.

User layouts stand in the folder named by `CARRYBOOK_LAYOUTS`, by default
`~/.config/carrybook/layouts`; a user's layout of the same name replaces the shipped one.
"""

import os
import tomllib
from functools import lru_cache
from importlib import resources
from pathlib import Path

from ingest.errors import BadOption, StoreNotWritable
from ingest.layout import Layout, parse_layout

SHIPPED = "ingest.layouts"


def layout_folder() -> Path:
    """Where the user's layouts stand."""
    named = os.environ.get("CARRYBOOK_LAYOUTS")
    return Path(named) if named else Path.home() / ".config" / "carrybook" / "layouts"


def all_layouts() -> tuple[Layout, ...]:
    """Every known layout, the user's first. Raises BadOption for a file that is not a layout."""
    own = _own_layouts(layout_folder())
    names = {layout.name for layout in own}
    return (*own, *(layout for layout in shipped_layouts() if layout.name not in names))


def _own_layouts(folder: Path) -> tuple[Layout, ...]:
    try:
        paths = sorted(folder.glob("*.toml"))
        stamps = tuple((path, path.stat().st_mtime_ns) for path in paths)
    except OSError:
        return ()
    return tuple(_load(path, stamp) for path, stamp in stamps)


@lru_cache(maxsize=256)
def _load(path: Path, _stamp: int) -> Layout:
    return read_layout(path)


@lru_cache(maxsize=1)
def shipped_layouts() -> tuple[Layout, ...]:
    """The layouts in `ingest/layouts/`."""
    folder = resources.files(SHIPPED)
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".toml"))
    return tuple(
        parse_layout(tomllib.loads(folder.joinpath(name).read_text("utf-8")), name)
        for name in names
    )


def read_layout(path: Path) -> Layout:
    """The layout in one file. Raises BadOption."""
    try:
        return parse_layout(tomllib.loads(path.read_text("utf-8")), path.name)
    except OSError as error:
        raise BadOption(
            f"cannot be read ({error.strerror}).", "Check the path.", file=str(path)
        ) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadOption(f"is not TOML ({error}).", "Mend the file.", file=str(path)) from error


def find_layout(name: str) -> Layout:
    """The layout called `name`, with or without `@version`, or in the file of that path."""
    if name.endswith(".toml"):
        return read_layout(Path(name))
    for layout in all_layouts():
        if name in {layout.name, layout.label}:
            return layout
    raise BadOption(f"layout {name!r} is not known.", "See `carrybook layout list`.")


def to_toml(layout: Layout) -> str:
    """`layout` as the text of a layout file."""
    lines = [f"name = {_quoted(layout.name)}", f"version = {_quoted(layout.version)}"]
    lines.append(f"kind = {_quoted(layout.kind)}")
    for key in ("description", "decimal", "zone", "date_order"):
        value = getattr(layout, key)
        if value:
            lines.append(f"{key} = {_quoted(value)}")
    for column in layout.columns:
        lines += ["", "[[columns]]", f"header = {_quoted(column.header)}"]
        lines.append(f"column = {_quoted(column.column)}")
        if column.unit:
            lines.append(f"unit = {_quoted(column.unit)}")
        if column.sign:
            lines.append(f"sign = {_quoted('right' if column.sign > 0 else 'left')}")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    for char, code in (("\n", "\\n"), ("\r", "\\r"), ("\t", "\\t")):
        escaped = escaped.replace(char, code)
    return f'"{escaped}"'


def save_layout(layout: Layout, folder: Path | None = None) -> Path:
    """Write `layout` into the user's folder and return its path. Raises StoreNotWritable."""
    target = (folder or layout_folder()) / f"{layout.name}.toml"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(to_toml(layout), "utf-8")
    except OSError as error:
        raise StoreNotWritable(
            f"the layout cannot be written ({error.strerror}).",
            "Choose another folder with CARRYBOOK_LAYOUTS.",
            file=str(target),
        ) from error
    return target
