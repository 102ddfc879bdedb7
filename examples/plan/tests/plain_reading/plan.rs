//! What the judge knows of a scenario, in types of its own, and the text that the library reads.

use std::fmt::Write as _;

use jiff::Timestamp;
use jiff::civil::Date;

use super::week::Week;

/// The part of the tide that is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Phase {
    Both,
    Flood,
    Ebb,
}

/// One drawn scenario and the days that are asked for.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    pub(crate) zone: &'static str,
    pub(crate) from: Date,
    pub(crate) days: u32,
    pub(crate) phase: Phase,
    pub(crate) port: Option<Port>,
    pub(crate) expected_m: f64,
    pub(crate) upper_allowance_m: f64,
    pub(crate) settle: f64,
    pub(crate) factor: f64,
    pub(crate) shortest: f64,
    /// Hours; `None` leaves the default of 24.
    pub(crate) longest_hours: Option<f64>,
    pub(crate) altitude_deg: [f64; 2],
    /// `None` under cloud.
    pub(crate) angle_deg: Option<[f64; 2]>,
    pub(crate) free: Vec<Free>,
    pub(crate) latitude_deg: f64,
    pub(crate) longitude_deg: f64,
    pub(crate) push_m: Option<f64>,
    pub(crate) overtop_m: Option<f64>,
    pub(crate) from_home: Option<f64>,
    pub(crate) seats: Vec<Seat>,
    pub(crate) ways: Vec<Way>,
    pub(crate) subjects: Vec<Subject>,
    pub(crate) closures: Vec<Closure>,
    /// Frozen days in a row, and the day up to which they were counted.
    pub(crate) frost: Option<(u16, Date)>,
    pub(crate) visits: Visits,
    /// The weather that is forecast.
    pub(crate) week: Option<Week>,
}

/// What past visits to the place tell.
#[derive(Clone, Debug, Default)]
pub(crate) struct Visits {
    /// The day of the last flush, and the last day of the rest that it brought on, as days since
    /// 1970.
    pub(crate) rest: Option<[i32; 2]>,
    /// The farthest distance that alarmed an animal, by its id, in metres.
    pub(crate) alarms: Vec<(&'static str, f64)>,
}

#[derive(Clone, Debug)]
pub(crate) struct Port {
    pub(crate) mean_level_m: f64,
    /// Name, amplitude in metres, phase lag in degrees.
    pub(crate) constituents: Vec<(&'static str, f64, f64)>,
    pub(crate) secondary: Option<Secondary>,
    /// High and low waters as an office prints them, in place of the constants they are from.
    pub(crate) printed: Option<Vec<Printed>>,
}

/// A turn to the minute since 1970 and to the centimetre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Printed {
    pub(crate) minute: i64,
    pub(crate) centimetres: i64,
    pub(crate) high: bool,
}

/// Springs first, then neaps; two pairs of clock hour and minutes.
#[derive(Clone, Debug)]
pub(crate) struct Secondary {
    pub(crate) standard_high: [f64; 2],
    pub(crate) standard_low: [f64; 2],
    pub(crate) difference_high: [f64; 2],
    pub(crate) difference_low: [f64; 2],
    pub(crate) high_water: [[f64; 2]; 2],
    pub(crate) low_water: [[f64; 2]; 2],
    pub(crate) utc_offset_h: f64,
}

/// Free hours: days of the week with Monday as 0 (none for every day), minutes of the day.
#[derive(Clone, Debug)]
pub(crate) struct Free {
    pub(crate) weekdays: Vec<i8>,
    pub(crate) from: i32,
    pub(crate) until: i32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Access {
    /// Not written out.
    Unsaid,
    Dry,
    Leave,
    Stay,
    Unknown,
}

#[derive(Clone, Debug)]
pub(crate) struct Seat {
    pub(crate) id: &'static str,
    pub(crate) bearing_deg: f64,
    pub(crate) distance_m: f64,
    pub(crate) ins: f64,
    pub(crate) out: f64,
    pub(crate) hide: bool,
    pub(crate) access: Access,
    pub(crate) ground_m: Option<f64>,
    pub(crate) freeboard_m: f64,
    /// Position among the ways.
    pub(crate) way: Option<usize>,
    /// Bearing and height of the terrain, degrees, in order of bearing; empty for an open horizon.
    pub(crate) horizon: Vec<[f64; 2]>,
}

#[derive(Clone, Debug)]
pub(crate) struct Way {
    pub(crate) low_point_m: f64,
    pub(crate) creeks: Vec<f64>,
    pub(crate) loaded_dark: f64,
    pub(crate) margin_m: f64,
    pub(crate) margin_minutes: f64,
}

#[derive(Clone, Debug)]
pub(crate) struct Subject {
    pub(crate) id: &'static str,
    pub(crate) on_foot_m: f64,
    pub(crate) from_hide_m: f64,
    /// First and last half-month, counted from 0 (early January) to 23; `None` for all year.
    pub(crate) present: Option<[usize; 2]>,
    pub(crate) breeding: Option<[usize; 2]>,
}

/// What a closure bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bears {
    Everywhere,
    /// The place that everything drawn belongs to.
    Here,
    /// Another place, which closes nothing here.
    Elsewhere,
    Seat(&'static str),
    Subject(&'static str),
}

/// Month and day, both ends included; it may run over the new year.
#[derive(Clone, Debug)]
pub(crate) struct Closure {
    pub(crate) bears: Bears,
    pub(crate) from: (i8, i8),
    pub(crate) to: (i8, i8),
    pub(crate) weekdays: Vec<i8>,
    /// Closed, or "ask first", which closes nothing.
    pub(crate) closed: bool,
    /// Only from this many frozen days in a row.
    pub(crate) frozen_days: Option<u16>,
}

pub(crate) const WEEKDAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn half_month(half: usize) -> String {
    let word = if half.is_multiple_of(2) {
        "early"
    } else {
        "late"
    };
    format!("{word} {}", MONTHS[half / 2])
}

fn half_months(halves: Option<[usize; 2]>) -> String {
    match halves {
        None => "all year".to_owned(),
        Some([first, last]) => format!("{} - {}", half_month(first), half_month(last)),
    }
}

fn weekdays(days: &[i8]) -> String {
    let names: Vec<String> = days
        .iter()
        .map(|day| format!("\"{}\"", WEEKDAYS[*day as usize]))
        .collect();
    format!("weekdays = [{}]\n", names.join(", "))
}

fn clock(minute: i32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

impl Plan {
    /// The scenario as the library reads it.
    pub(crate) fn text(&self) -> String {
        let mut out = format!("title = \"drawn\"\nzone = \"{}\"\n", self.zone);
        self.write(&mut out).expect("writing to a string");
        out
    }

    /// The printed table that lies beside it, if one does.
    pub(crate) fn table(&self) -> Option<String> {
        let printed = self.port.as_ref()?.printed.as_ref()?;
        let mut out = "at_utc,height_m,water\n".to_owned();
        for turn in printed {
            let at = Timestamp::from_second(turn.minute * 60).expect("a drawn day");
            let height_m = turn.centimetres as f64 / 100.0;
            let water = if turn.high { "high" } else { "low" };
            writeln!(out, "{at},{height_m:.2},{water}").expect("writing to a string");
        }
        Some(out)
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        if let Some(port) = &self.port {
            port.write(out)?;
        }
        writeln!(out, "[water]\nbias_m = {}", self.expected_m)?;
        writeln!(out, "upper_allowance_m = {}", self.upper_allowance_m)?;
        writeln!(out, "[habits]\nsettle_minutes = {}", self.settle)?;
        writeln!(out, "withdrawal_factor = {}", self.factor)?;
        writeln!(out, "shortest_minutes = {}", self.shortest)?;
        if let Some(hours) = self.longest_hours {
            writeln!(out, "longest_hours = {hours}")?;
        }
        if let Some((days, on)) = self.frost {
            writeln!(out, "frozen_days = {days}\nfrozen_days_on = \"{on}\"")?;
        }
        let [low, high] = self.altitude_deg;
        writeln!(
            out,
            "[[light]]\nname = \"wanted\"\naltitude_deg = [{low}, {high}]"
        )?;
        match self.angle_deg {
            Some([small, large]) => writeln!(out, "angle_deg = [{small}, {large}]")?,
            None => writeln!(out, "overcast = true")?,
        }
        for free in &self.free {
            write!(out, "[[free]]\n{}", weekdays(&free.weekdays))?;
            writeln!(out, "from = \"{}\"", clock(free.from))?;
            writeln!(out, "until = \"{}\"", clock(free.until))?;
        }
        let here = format!(
            "latitude_deg = {}\nlongitude_deg = {}\n",
            self.latitude_deg, self.longitude_deg
        );
        write!(out, "[[place]]\nid = \"p\"\nname = \"place\"\n{here}")?;
        let ids: Vec<String> = self
            .subjects
            .iter()
            .map(|s| format!("\"{}\"", s.id))
            .collect();
        writeln!(out, "subjects = [{}]", ids.join(", "))?;
        optional(out, "push_m", self.push_m)?;
        optional(out, "overtop_m", self.overtop_m)?;
        optional(out, "from_home_minutes", self.from_home)?;
        write!(out, "[[place]]\nid = \"q\"\nname = \"elsewhere\"\n{here}")?;
        writeln!(out, "subjects = [\"{}\"]", self.subjects[0].id)?;
        for seat in &self.seats {
            write!(
                out,
                "[[seat]]\nid = \"{0}\"\nname = \"seat {0}\"\nplace = \"p\"\n",
                seat.id
            )?;
            writeln!(out, "{here}bearing_deg = {}", seat.bearing_deg)?;
            writeln!(
                out,
                "distance_m = {}\nhide = {}",
                seat.distance_m, seat.hide
            )?;
            writeln!(out, "in_minutes = {}\nout_minutes = {}", seat.ins, seat.out)?;
            writeln!(out, "freeboard_m = {}", seat.freeboard_m)?;
            optional(out, "ground_m", seat.ground_m)?;
            match seat.access {
                Access::Unsaid => {}
                Access::Dry => writeln!(out, "access = \"dry\"")?,
                Access::Leave => writeln!(out, "access = \"leave before the flood\"")?,
                Access::Stay => writeln!(out, "access = \"stay the tide\"")?,
                Access::Unknown => writeln!(out, "access = \"unknown\"")?,
            }
            if let Some(way) = seat.way {
                writeln!(out, "way_in = \"w{way}\"")?;
            }
            if !seat.horizon.is_empty() {
                writeln!(out, "horizon_deg = {:?}", seat.horizon)?;
            }
        }
        for (index, way) in self.ways.iter().enumerate() {
            writeln!(out, "[[way_in]]\nid = \"w{index}\"\nname = \"way {index}\"")?;
            writeln!(out, "low_point_m = {}", way.low_point_m)?;
            writeln!(out, "loaded_dark_minutes = {}", way.loaded_dark)?;
            writeln!(out, "margin_m = {}", way.margin_m)?;
            writeln!(out, "margin_minutes = {}", way.margin_minutes)?;
            let creeks: Vec<String> = way
                .creeks
                .iter()
                .enumerate()
                .map(|(n, level)| format!("{{ name = \"creek {n}\", level_m = {level} }}"))
                .collect();
            if !creeks.is_empty() {
                writeln!(out, "creeks = [{}]", creeks.join(", "))?;
            }
        }
        for subject in &self.subjects {
            writeln!(
                out,
                "[[subject]]\nid = \"{0}\"\nname = \"animal {0}\"",
                subject.id
            )?;
            writeln!(
                out,
                "length_m = 0.3\nstand_off_on_foot_m = {}",
                subject.on_foot_m
            )?;
            writeln!(out, "stand_off_from_hide_m = {}", subject.from_hide_m)?;
            writeln!(out, "present = \"{}\"", half_months(subject.present))?;
            if subject.breeding.is_some() {
                writeln!(out, "breeding = \"{}\"", half_months(subject.breeding))?;
            }
        }
        self.closures
            .iter()
            .try_for_each(|closure| closure.write(out))
    }
}

fn optional(out: &mut String, key: &str, value: Option<f64>) -> std::fmt::Result {
    value.map_or(Ok(()), |value| writeln!(out, "{key} = {value}"))
}

/// A longer pause between two turns is not printed, hours.
pub(crate) const LONGEST_GAP_H: i64 = 36;

impl Port {
    fn write(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "[port]\nname = \"port\"\ndatum = \"chart datum\"")?;
        if self.printed.is_some() {
            writeln!(out, "turns = \"turns.csv\"\nturns_zone = \"UTC\"")?;
            return writeln!(out, "turns_longest_gap_h = {LONGEST_GAP_H}");
        }
        writeln!(out, "mean_level_m = {}", self.mean_level_m)?;
        writeln!(out, "convention = \"schureman-instant\"\nconstituents = [")?;
        for (name, amplitude, lag) in &self.constituents {
            writeln!(
                out,
                "  {{ name = \"{name}\", amplitude_m = {amplitude}, phase_lag_deg = {lag} }},"
            )?;
        }
        writeln!(out, "]")?;
        let Some(port) = &self.secondary else {
            return Ok(());
        };
        let heights = |high: [f64; 2], low: [f64; 2]| {
            format!(
                "{{ mhws_m = {}, mhwn_m = {}, mlwn_m = {}, mlws_m = {} }}",
                high[0], high[1], low[1], low[0]
            )
        };
        writeln!(out, "[port.secondary]")?;
        writeln!(
            out,
            "standard = {}",
            heights(port.standard_high, port.standard_low)
        )?;
        let differences = heights(port.difference_high, port.difference_low);
        writeln!(out, "differences = {differences}")?;
        writeln!(out, "high_water_minutes = {:?}", port.high_water)?;
        writeln!(out, "low_water_minutes = {:?}", port.low_water)?;
        writeln!(out, "utc_offset_h = {}", port.utc_offset_h)
    }
}

impl Closure {
    fn write(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "[[closure]]\nreason = \"drawn\"")?;
        match self.bears {
            Bears::Everywhere => writeln!(out, "place = \"*\"")?,
            Bears::Here => writeln!(out, "place = \"p\"")?,
            Bears::Elsewhere => writeln!(out, "place = \"q\"")?,
            Bears::Seat(id) => writeln!(out, "seat = \"{id}\"")?,
            Bears::Subject(id) => writeln!(out, "subject = \"{id}\"")?,
        }
        writeln!(out, "from = \"{:02}-{:02}\"", self.from.0, self.from.1)?;
        writeln!(out, "to = \"{:02}-{:02}\"", self.to.0, self.to.1)?;
        let rule = if self.closed { "closed" } else { "ask first" };
        writeln!(out, "rule = \"{rule}\"")?;
        if !self.weekdays.is_empty() {
            out.push_str(&weekdays(&self.weekdays));
        }
        if let Some(days) = self.frozen_days {
            writeln!(out, "frozen_days = {days}")?;
        }
        Ok(())
    }
}
