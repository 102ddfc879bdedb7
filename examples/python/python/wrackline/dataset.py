"""A table as a folder of files that many machines write, on any store.

First comes ``_request.json``: what the table is, its parts and its cautions. Then each part becomes
a file of its own, computed in memory and stored by one write, so that no reader meets half a file
where the store replaces files whole. To go on after a stop is to list, compare, and compute the
rest. The same part always has the same bytes, so that two workers that make one do no harm.

A store is anything with the few methods of :class:`Store`: :class:`Folder` here, or the file
systems of fsspec through ``fsspec.implementations.dirfs.DirFileSystem``.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Protocol
from uuid import uuid4

from ._native import VisibilityTable, __version__
from ._results import Part

REQUEST = "_request.json"


class Store(Protocol):
    """A folder somewhere: the part of an fsspec file system that a data set needs."""

    def exists(self, path: str, /) -> bool: ...
    def cat_file(self, path: str, /) -> bytes: ...
    def pipe_file(self, path: str, value: bytes, /) -> Any: ...
    def find(self, path: str, /) -> Any: ...
    def rm_file(self, path: str, /) -> Any: ...


class Folder:
    """A folder of this machine, in which a file is replaced whole."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self.path = Path(path)

    def exists(self, path: str, /) -> bool:
        return (self.path / path).exists()

    def cat_file(self, path: str, /) -> bytes:
        return (self.path / path).read_bytes()

    def pipe_file(self, path: str, value: bytes, /) -> None:
        self.path.mkdir(parents=True, exist_ok=True)
        unfinished = self.path / f".{path}.{uuid4().hex}.unfinished"
        try:
            with open(unfinished, "xb") as file:
                file.write(value)
                file.flush()
                os.fsync(file.fileno())
            os.replace(unfinished, self.path / path)
        except BaseException:
            unfinished.unlink(missing_ok=True)
            raise

    def find(self, path: str, /) -> list[str]:
        """Files by their names; a file that is not whole has none."""
        folder = self.path / path
        return sorted(file.name for file in folder.iterdir() if not file.name.startswith("."))

    def rm_file(self, path: str, /) -> None:
        (self.path / path).unlink(missing_ok=True)


def request(table: VisibilityTable, parts: list[Part]) -> dict[str, Any]:
    """What a data set says of itself."""
    return {
        "table": "visibility",
        "fingerprint": table.fingerprint,
        "version": __version__,
        "rows": table.num_rows,
        "columns": [column._asdict() for column in table.columns],
        "parts": [
            {"file": file_of(part), "rows": part.num_rows, **part._asdict()} for part in parts
        ],
        "cautions": table.cautions,
    }


def file_of(part: Part) -> str:
    """The file of a part."""
    return f"{part.name}.parquet"


def begin(
    store: Store, table: VisibilityTable, *, rows: int = 1_000_000, restart: bool = False
) -> list[Part]:
    """Writes the request, or finds it there, and gives the parts that are still to be made.

    The data set of another request is refused, unless ``restart`` throws it away.
    """
    parts = table.parts(rows)
    text = json.dumps(request(table, parts), indent=1).encode()
    if store.exists(REQUEST):
        there = store.cat_file(REQUEST)
        if there != text and not restart:
            known = json.loads(there).get("fingerprint")
            raise ValueError(
                f"{REQUEST} is that of another table or other parts (fingerprint {known}, this one "
                f"{table.fingerprint}): finish that one with its own request, choose another "
                "target, or give restart=True to throw it away"
            )
        if restart:
            for name in _files(store):
                store.rm_file(name)
            store.pipe_file(REQUEST, text)
    elif any(_files(store)):
        raise ValueError("the target holds parts but no request: choose an empty target")
    else:
        store.pipe_file(REQUEST, text)
    done = set(_files(store))
    return [part for part in parts if file_of(part) not in done]


def make(store: Store, table: VisibilityTable, part: Part) -> int:
    """Computes one part and stores it; gives the number of rows."""
    store.pipe_file(file_of(part), table.encode_part(part))
    return part.num_rows


def missing(store: Store) -> list[str]:
    """Files of the request that are not there."""
    wanted = [part["file"] for part in json.loads(store.cat_file(REQUEST))["parts"]]
    there = set(_files(store))
    return [name for name in wanted if name not in there]


def _files(store: Store) -> Iterator[str]:
    try:
        found = store.find("")
    except FileNotFoundError:
        return
    for path in found:
        name = str(path).rsplit("/", 1)[-1]
        if name.startswith("part-"):
            yield name
