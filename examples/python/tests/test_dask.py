"""A table on two worker processes, one of them killed in mid-run, and an aborted client resumed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("dask.distributed")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import dask_table  # noqa: E402
import wrackline  # noqa: E402
from dask.distributed import Client, LocalCluster  # noqa: E402
from wrackline import dataset  # noqa: E402

SPAN = {"start": "2026-01-01T00:00Z", "end": "2026-08-20T00:00Z"}
ROWS = 40_000


@pytest.fixture
def cluster():
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        yield cluster


def test_a_killed_worker_changes_nothing(cluster, files, tmp_path):
    places, ports = files
    table = wrackline.VisibilityTable(places=places, ports=ports, **SPAN)
    assert table.num_rows > 990_000
    target = str(tmp_path / "set")
    killed = []

    with Client(cluster) as client:
        workers = client.run(os.getpid)

        def progress(done):
            if not killed and done > table.num_rows // 3:
                victim = sorted(workers.values())[0]
                os.kill(victim, 9)
                killed.append(victim)

        made = dask_table.run(client, table, target, ROWS, progress=progress)
        assert killed and made == table.num_rows
        survivors = client.run(os.getpid)
        assert killed[0] not in survivors.values()
    assert dataset.missing(dataset.Folder(target)) == []
    expected = plain_program(files, tmp_path) or of_one_process(table, tmp_path)
    assert dask_table.digest_of(target) == expected


def test_an_aborted_client_is_resumed(cluster, files, tmp_path):
    places, ports = files
    table = wrackline.VisibilityTable(
        places=places, ports=ports, start=SPAN["start"], end="2026-02-15T00:00Z"
    )
    target = str(tmp_path / "set")

    class Aborted(Exception):
        pass

    def abort(done):
        raise Aborted

    with Client(cluster) as client, pytest.raises(Aborted):
        dask_table.run(client, table, target, 5_000, progress=abort)
    left = len(dataset.missing(dataset.Folder(target)))
    assert 0 < left < len(table.parts(5_000))
    with Client(cluster) as client:
        dask_table.run(client, table, target, 5_000)
    assert dask_table.digest_of(target) == of_one_process(table, tmp_path)


def plain_program(files, tmp_path):
    """The digest of the table as the program makes it, where there is one."""
    programs = os.environ.get("WRACKLINE_PROGRAMS")
    if programs is None:
        return None
    path = tmp_path / "plain.parquet"
    options = [
        "--places",
        files[0],
        "--ports",
        files[1],
        "--from",
        SPAN["start"],
        "--to",
        SPAN["end"],
        "--output",
        path,
    ]
    subprocess.run([f"{programs}/visibility", *map(str, options)], check=True)
    return dask_table.digest_of(str(path))


def of_one_process(table, tmp_path):
    path = tmp_path / "one.parquet"
    (whole,) = table.parts(10**9)
    table.write_part(path, whole)
    return dask_table.digest_of(str(path))
