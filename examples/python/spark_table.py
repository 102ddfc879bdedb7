"""A table as a data frame of Spark: a small frame with a row for each part becomes the rows.

    python spark_table.py TARGET --places places.csv --ports ports.csv \\
        --start 2026-01-01 --end 2027-01-01

TARGET is a folder or address that Spark writes Parquet to. Needs pyspark, pandas and a Java.
"""

import argparse
import sys

import pyarrow as pa
import wrackline
from pyspark.sql import SparkSession
from pyspark.sql.pandas.types import from_arrow_schema


def plain(schema):
    """The columns as Spark has them: words for dictionaries, microseconds for milliseconds."""
    fields = []
    for field in schema:
        kind = field.type
        if pa.types.is_dictionary(kind):
            kind = kind.value_type
        elif pa.types.is_timestamp(kind):
            kind = pa.timestamp("us", kind.tz)
        fields.append(pa.field(field.name, kind, field.nullable))
    return pa.schema(fields)


def frame(spark, table, rows=1_000_000):
    """The rows of a table, none of which is computed before Spark asks for it."""
    parts = table.parts(rows)
    schema = plain(pa.schema(table.schema))

    def make(batches):
        # The request travels with the task; a worker opens it once.
        for batch in batches:
            for number in batch.column("part").to_pylist():
                for computed in pa.table(table.part(parts[number])).to_batches():
                    yield pa.RecordBatch.from_arrays(
                        [
                            column.cast(field.type)
                            for column, field in zip(computed.columns, schema)
                        ],
                        schema=schema,
                    )

    numbers = spark.range(0, len(parts), 1, numPartitions=len(parts)).withColumnRenamed(
        "id", "part"
    )
    return numbers.mapInArrow(make, from_arrow_schema(schema))


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("target")
    names = ("places", "ports", "scenario", "start", "end", "step", "zone")
    for name in names:
        parser.add_argument(f"--{name}")
    parser.add_argument("--rows", type=int, default=1_000_000, help="rows in a part, about")
    chosen = parser.parse_args()
    try:
        table = wrackline.VisibilityTable(**{name: getattr(chosen, name) for name in names})
        session = SparkSession.builder.appName("visibility")
        spark = session.config("spark.sql.session.timeZone", "UTC").getOrCreate()
        rows = frame(spark, table, chosen.rows)
    except ValueError as error:
        sys.exit(f"spark_table: {error}")
    rows.write.parquet(chosen.target, mode="errorifexists")
    print(f"{chosen.target}: {table.num_rows} rows, fingerprint {table.fingerprint}")


if __name__ == "__main__":
    main()
