"""A table on a Dask cluster: each part is a task that computes it and stores it as one file.

    python dask_table.py TARGET --places places.csv --ports ports.csv \\
        --start 2026-01-01 --end 2027-01-01

TARGET is a folder, or any address that fsspec knows (s3://..., with its package installed). Without
--scheduler two processes of this machine do the work. The same command again goes on where a run
was stopped. At the end it prints the digest of the rows, which does not depend on how they were
made.
"""

import argparse
import hashlib
import sys

import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq
from dask.distributed import Client, LocalCluster, as_completed

import wrackline
from wrackline import dataset

ASKED = ("places", "ports", "scenario", "start", "end", "step", "zone")


def store_of(target):
    """The store of a target, made where it is used: an open connection does not travel."""
    if "://" not in target:
        return dataset.Folder(target)
    import fsspec
    from fsspec.implementations.dirfs import DirFileSystem

    system, path = fsspec.core.url_to_fs(target)
    return DirFileSystem(path, system)


def make(table, target, part):
    """One task. Made twice, after a worker was lost, it writes the same bytes again."""
    return dataset.make(store_of(target), table, part)


def run(client, table, target, rows, restart=False, progress=None):
    """Makes what is missing of a data set."""
    todo = dataset.begin(store_of(target), table, rows=rows, restart=restart)
    # The request goes to each worker once, not with each task. Under a name of its own: by its
    # content it would have the name of one that a client which has just gone is letting go of.
    shared = client.scatter(table, broadcast=True, hash=False)
    # A few tasks a core are in the scheduler at any time, so that its memory does not grow with the
    # table.
    threads = sum(client.nthreads().values()) or 1
    waiting = iter(todo)
    ahead = [part for _, part in zip(range(8 * threads), waiting)]
    done = 0
    running = as_completed(
        [client.submit(make, shared, target, part, retries=3, pure=False) for part in ahead]
    )
    for future in running:
        done += future.result()
        if progress:
            progress(done)
        for part in waiting:
            running.add(client.submit(make, shared, target, part, retries=3, pure=False))
            break
    return done


def digest(batches):
    """A sum over rows in any order: of the cells of each row as text, dictionaries and all."""
    total = 0
    for batch in batches:
        columns = [pc.cast(column, pa.string()).to_pylist() for column in plain(batch).columns]
        for row in zip(*columns):
            text = "\x1f".join("" if cell is None else cell for cell in row)
            total += int.from_bytes(
                hashlib.blake2b(text.encode(), digest_size=16).digest(), "little"
            )
    return f"{total % 2**128:032x}"


def plain(batch):
    """Words instead of dictionaries, which differ from part to part."""
    columns = [
        column.dictionary_decode() if isinstance(column, pa.DictionaryArray) else column
        for column in batch.columns
    ]
    return pa.RecordBatch.from_arrays(columns, names=batch.schema.names)


def digest_of(target):
    """The digest of a data set, or of one file of Parquet."""
    if target.endswith(".parquet"):
        return digest(pq.ParquetFile(target).iter_batches())
    store = store_of(target)
    names = sorted(name for name in store.find("") if name.endswith(".parquet"))
    files = (pq.ParquetFile(pa.BufferReader(store.cat_file(name))) for name in names)
    return digest(batch for file in files for batch in file.iter_batches())


def tell(rows):
    """Shows on a terminal how far a run has come."""
    return lambda done: print(f"\r{done} of {rows} rows", end="", file=sys.stderr)


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("target")
    for name in ASKED:
        parser.add_argument(f"--{name}")
    parser.add_argument("--rows", type=int, default=1_000_000, help="rows in a part, about")
    parser.add_argument(
        "--scheduler", help="address of a scheduler; two processes of this machine when left out"
    )
    parser.add_argument(
        "--restart", action="store_true", help="throw away what is there of another table"
    )
    chosen = parser.parse_args()
    asked = {name: getattr(chosen, name) for name in ASKED}
    try:
        table = wrackline.VisibilityTable(**asked)
        cluster = None
        if not chosen.scheduler:
            cluster = LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None)
        with Client(chosen.scheduler or cluster) as client:
            told = None
            if sys.stderr.isatty():
                told = tell(table.num_rows)
            run(client, table, chosen.target, chosen.rows, chosen.restart, told)
        if cluster:
            cluster.close()
    except ValueError as error:
        sys.exit(f"dask_table: {error}")
    print(digest_of(chosen.target))


if __name__ == "__main__":
    main()
