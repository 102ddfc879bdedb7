//! The words of options that choose a format, each with the format that it stands for.

use wrackline_programs::words;
use wrackline_table::told;

words! {
    /// How the columns of a table of visibility are told.
    #[derive(Default)]
    SchemaFormat for told::Format {
        /// Aligned text for people
        #[default]
        Text,
        /// One column a row (RFC 4180)
        Csv,
        /// An array of objects
        Json,
    }
}

words! {
    /// The format of a table of visibility.
    TableFormat for wrackline_table::Format {
        /// CSV after RFC 4180, a header first
        Csv,
        /// JSON Lines, one object a row
        Jsonl,
        /// Arrow IPC as a file, with a footer
        Arrow,
        /// Arrow IPC as a stream, for pipes
        ArrowStream,
        /// Apache Parquet
        Parquet,
    }
}
