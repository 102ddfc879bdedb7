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

/// Each by its whole name, of which the first three letters do as well.
const WEEKDAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

fn weekday(word: &str) -> Option<Weekday> {
    let word = word.to_ascii_lowercase();
    WEEKDAYS
        .iter()
        .find(|(name, _)| *name == word || name[..3] == *word)
        .map(|(_, weekday)| *weekday)
}

pub(super) fn weekdays(table: &Table<'_, '_>) -> Vec<Weekday> {
    let mut weekdays = Vec::new();
    for name in table.texts("weekdays") {
        match weekday(&name.value) {
            Some(weekday) => weekdays.push(weekday),
            None => table.source().report(
                &name.span,
                name.field,
                format!("\"{}\" is not a day of the week", name.value),
                "give Mon, Tue, Wed, Thu, Fri, Sat or Sun, or the whole name",
            ),
        }
    }
    weekdays
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_of_the_week_are_read_short_and_in_full() {
        for (name, day) in WEEKDAYS {
            assert_eq!(weekday(name), Some(day));
            assert_eq!(weekday(&name[..3].to_uppercase()), Some(day));
        }
        for other in ["", "sa", "satur", "saturdays", "Sunnday"] {
            assert_eq!(weekday(other), None, "{other}");
        }
    }
}
