//! Days of the week, and the hours in which the photographer is free.

use jiff::civil::{Date, Time, Weekday};

use super::reader::Table;

/// Hours in which the photographer is free, in the scenario's zone. `until` at or before `from`
/// means the next day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeHours {
    /// On these days of the week; empty for every day.
    pub weekdays: Vec<Weekday>,
    /// From this time of day.
    pub from: Time,
    /// Until this time of day.
    pub until: Time,
}

impl FreeHours {
    /// Whether they begin on a day.
    pub fn on(&self, day: Date) -> bool {
        self.weekdays.is_empty() || self.weekdays.contains(&day.weekday())
    }
}

pub(super) fn read_free(table: Table<'_, '_>) -> Option<FreeHours> {
    let time = |key: &'static str| {
        let text = table.text(key);
        let parsed = text.parse::<Time>().ok();
        if parsed.is_none() && !text.is_empty() {
            table.report(
                key,
                format!("\"{text}\" is not a time of day"),
                "give a time such as \"06:30\"",
            );
        }
        parsed
    };
    let (from, until) = (time("from"), time("until"));
    let weekdays = weekdays(&table);
    table.finish();
    Some(FreeHours {
        weekdays,
        from: from?,
        until: until?,
    })
}

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("Mon", Weekday::Monday),
    ("Tue", Weekday::Tuesday),
    ("Wed", Weekday::Wednesday),
    ("Thu", Weekday::Thursday),
    ("Fri", Weekday::Friday),
    ("Sat", Weekday::Saturday),
    ("Sun", Weekday::Sunday),
];

pub(super) fn weekdays(table: &Table<'_, '_>) -> Vec<Weekday> {
    let mut weekdays = Vec::new();
    for name in table.texts("weekdays") {
        match WEEKDAYS.iter().find(|(word, _)| *word == name.value) {
            Some((_, weekday)) => weekdays.push(*weekday),
            None => table.source().report(
                &name.span,
                name.field,
                format!("\"{}\" is not a day of the week", name.value),
                "give Mon, Tue, Wed, Thu, Fri, Sat or Sun",
            ),
        }
    }
    weekdays
}
