"""Tables in parts."""

import io
import json
import pickle
import subprocess
import sys
from datetime import timedelta

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
import wrackline
from wrackline import dataset

START, END = "2026-10-01T00:00Z", "2027-01-01T00:00Z"


@pytest.fixture
def table(files):
    places, ports = files
    return wrackline.VisibilityTable(
        places=places, ports=ports, start=START, end=END, sun_altitude_deg=(0, 12)
    )


def rows(tables):
    """Rows in the order of place and instant, words as text."""
    whole = pa.concat_tables([plain(table) for table in tables])
    return whole.sort_by([("place", "ascending"), ("instant_utc", "ascending")])


def plain(table):
    columns = [
        column.cast(pa.string()) if pa.types.is_dictionary(column.type) else column
        for column in table.columns
    ]
    return pa.table(columns, names=table.column_names)


def test_parts_are_the_table(table):
    (whole,) = table.parts(rows=10**9)
    everything = rows([pa.table(table.part(whole))])
    assert everything.num_rows == table.num_rows == 30 * 92 * 144
    parts = table.parts(rows=50_000)
    assert sum(part.num_rows for part in parts) == table.num_rows
    found = [pa.table(table.part(part)) for part in parts]
    assert [part.num_rows for part in parts] == [len(part) for part in found]
    assert rows(found).equals(everything)
    assert pa.schema(table.schema) == found[0].schema == pa.schema(table.part(parts[0]))


def test_bytes_are_the_rows_and_always_the_same(table, tmp_path):
    part = table.parts(rows=50_000)[3]
    stream = pa.table(table.part(part))
    data = table.encode_part(part)
    assert data == table.encode_part(part) == pickle.loads(pickle.dumps(table)).encode_part(part)
    assert plain(pq.read_table(io.BytesIO(data))).equals(plain(stream))
    path = tmp_path / f"{part.name}.parquet"
    assert table.write_part(path, part) == part.num_rows
    assert path.read_bytes() == data
    arrow = pa.ipc.open_file(table.encode_part(part, "arrow")).read_all()
    assert plain(arrow).equals(plain(stream))


def test_other_readers_take_the_stream(table):
    part = table.part(table.parts(rows=5_000)[0])
    polars = pytest.importorskip("polars")
    frame = polars.DataFrame(part)
    assert frame.height == part.num_rows and frame["sun_altitude_deg"].dtype == polars.Float32
    duckdb = pytest.importorskip("duckdb")
    stream = pa.RecordBatchReader.from_stream(part)
    assert duckdb.sql("select count(*) from stream").fetchall() == [(part.num_rows,)]


def test_it_travels_as_content(table, files):
    carried = pickle.dumps(table)
    for file in files:
        file.unlink()
    code = (
        "import pickle, sys; table = pickle.load(sys.stdin.buffer); "
        "print(table.fingerprint, table.parts()[0].name)"
    )
    told = subprocess.run(
        [sys.executable, "-c", code], input=carried, check=True, capture_output=True
    )
    assert told.stdout.decode().split() == [table.fingerprint, "part-t00000-p00000"]
    assert pickle.loads(carried) is pickle.loads(carried), "one process opens a request once"
    assert pickle.loads(carried) == table


def test_today_stays_today_on_the_way():
    table = wrackline.VisibilityTable()
    _, (fingerprint, arguments) = table.__reduce__()
    assert wrackline.VisibilityTable(**arguments).fingerprint == fingerprint


def test_forms_of_one_request(files):
    places, ports = files
    texts = [(str(file), file.read_text()) for file in files]
    instants = np.arange("2026-10-01", "2026-10-02", dtype="datetime64[10m]")
    make = wrackline.VisibilityTable
    by_path = make(places=places, ports=ports, start="2026-10-01", step=timedelta(minutes=10))
    by_text = make(
        places=texts[0], ports=texts[1], start=instants[0], end="2026-10-02T00:00Z", step="10m"
    )
    assert by_path.fingerprint == by_text.fingerprint
    listed = make(places=places, ports=ports, instants=instants)
    assert listed.num_rows == by_path.num_rows
    _, (fingerprint, arguments) = listed.__reduce__()
    assert make(**arguments).fingerprint == fingerprint


def test_seats_of_a_scenario():
    table = wrackline.VisibilityTable(
        scenario=wrackline.Scenario.demo(), start="2026-12-29", zone="Europe/London"
    )
    part = pa.table(table.part(table.parts()[0]))
    assert set(part["seat"].to_pylist()) <= {seat for _, seat in wrackline.Scenario.demo().seats}
    assert part["usable"].null_count == 0


def test_bad_requests_are_told(files, tmp_path):
    places, ports = files
    wrong = tmp_path / "wrong.csv"
    wrong.write_text("place,latitude_deg,longitude_deg\na,95,0\nb,x,0\n")
    make = wrackline.VisibilityTable
    for arguments, message in [
        ({"places": wrong}, "wrong.csv:2:1: latitude_deg: 95 is out of range(.|\n)*wrong.csv:3"),
        ({"places": tmp_path / "none.csv"}, "none.csv.*cannot be read"),
        ({"places": places, "ports": ports, "port": "x", "start": "yesterday"}, "start: "),
        ({"start": START, "end": START}, "end: .* is not after the start"),
        ({"start": START, "step": "0s"}, "step: .* above zero"),
        ({"start": START, "step": 5}, "step is 5: give a text"),
        ({"start": START, "step": "soon"}, "step is 'soon'"),
        ({"instants": [START], "start": START}, "give one or the other"),
        ({"instants": [END, START]}, r"instants\[1\] is not later"),
        ({"instants": [np.datetime64(1, "us")]}, r"instants\[0\] has a fraction of a millisecond"),
        ({"instants": []}, "no instant"),
        ({"zone": "Nowhere"}, "zone: .*IANA"),
        ({"scenario": "none.toml", "places": places}, "both given"),
        ({"light": "moonshine"}, "light: "),
        (
            {"places": places, "ports": ports, "sun_altitude_deg": (12, 0)},
            "sun_altitude_deg: 12..0",
        ),
        (
            {"places": places, "ports": ports, "sun_altitude_deg": (0, float("nan"))},
            "sun_altitude_deg",
        ),
        ({"group_rows": 0}, "group_rows"),
        ({"start": "1500-01-01", "end": "1500-01-02"}, "years 1600 to 2400"),
    ]:
        with pytest.raises(ValueError, match=message) as caught:
            make(**arguments)
        assert "--" not in str(caught.value)


def test_bad_parts_are_told(table, tmp_path):
    part = table.parts()[0]
    with pytest.raises(ValueError, match="no part of this table"):
        table.part(part._replace(places=(0, 31)))
    with pytest.raises(ValueError, match="0 rows make no part"):
        table.parts(rows=0)
    with pytest.raises(ValueError, match="is not known: give parquet"):
        table.encode_part(part, "xlsx")
    with pytest.raises(ValueError, match="tells no format"):
        table.write_part(tmp_path / "part", part)
    with pytest.raises(OSError, match="cannot write"):
        table.write_part(tmp_path / "none" / "part.csv", part)


def test_the_unfinished_part_of_another_table_is_not_overwritten(table, tmp_path):
    part, path = table.parts()[0], tmp_path / "part.csv"
    # What a run that was killed leaves: no group is finished yet.
    path.with_name("part.csv.unfinished").touch()
    opening = {"table": "visibility", "request": "0123456789abcdef"}
    path.with_name("part.csv.groups").write_text(json.dumps(opening) + "\n")
    with pytest.raises(ValueError, match="another table(.*)restart=True") as caught:
        table.write_part(path, part)
    assert "--" not in str(caught.value)
    # A file of that name that no run has written.
    path.with_name("part.csv.groups").unlink()
    path.with_name("part.csv.unfinished").write_text("a letter to a friend")
    with pytest.raises(ValueError, match="not an unfinished table(.*)restart=True"):
        table.write_part(path, part)
    assert table.write_part(path, part, restart=True) == part.num_rows
    assert [file.name for file in tmp_path.glob("part.csv*")] == ["part.csv"]


class Failing(dataset.Folder):
    """A store whose writer stops after some parts."""

    def __init__(self, path, left):
        super().__init__(path)
        self.left = left

    def pipe_file(self, path, value, /):
        if path.startswith("part-"):
            self.left -= 1
            if self.left < 0:
                raise OSError("the store went away")
        super().pipe_file(path, value)


def test_a_data_set_is_taken_up_again(table, tmp_path):
    store = dataset.Folder(tmp_path / "set")
    failing = Failing(tmp_path / "set", 3)
    todo = dataset.begin(failing, table, rows=50_000)
    with pytest.raises(OSError, match="went away"):
        for part in todo:
            dataset.make(failing, table, part)
    left = dataset.begin(store, table, rows=50_000)
    assert left == todo[3:] and len(dataset.missing(store)) == len(left)
    for part in left:
        dataset.make(store, table, part)
    assert dataset.begin(store, table, rows=50_000) == dataset.missing(store) == []
    names = store.find("")
    assert names[0] == dataset.REQUEST and len(names) == len(todo) + 1
    found = rows([pq.read_table(tmp_path / "set" / name) for name in names[1:]])
    assert found.equals(rows([pa.table(table.part(part)) for part in todo]))


def test_a_data_set_of_another_request_is_refused(table, files, tmp_path):
    store = dataset.Folder(tmp_path / "set")
    todo = dataset.begin(store, table)
    dataset.make(store, table, todo[0])
    other = wrackline.VisibilityTable(places=files[0], ports=files[1], start=START, end=END)
    for changed in (
        lambda: dataset.begin(store, other),
        lambda: dataset.begin(store, table, rows=9_000),
    ):
        with pytest.raises(ValueError, match="restart=True"):
            changed()
    assert dataset.begin(store, other, restart=True) == other.parts()
    (tmp_path / "set" / dataset.REQUEST).unlink()
    dataset.make(store, table, todo[0])
    with pytest.raises(ValueError, match="no request"):
        dataset.begin(store, table)


def test_any_file_system_of_fsspec_is_a_store(table):
    fsspec = pytest.importorskip("fsspec")
    from fsspec.implementations.dirfs import DirFileSystem

    store = DirFileSystem("/set", fsspec.filesystem("memory"))
    todo = dataset.begin(store, table, rows=200_000)
    for part in todo[:-1]:
        dataset.make(store, table, part)
    assert dataset.begin(store, table, rows=200_000) == todo[-1:]
    assert store.cat_file(dataset.file_of(todo[0])) == table.encode_part(todo[0])
