//! A skyline as text, CSV, JSON and lines for a scenario.

use std::fmt::Write;

use serde_json::{Value, json};
use wrackline_gather::terrain::{
    Around, Elevation, Error, Eye, Gap, Sector, Source, TOLERANCE_DEG, View, profile,
};
use wrackline_programs::cli::Failure;
use wrackline_show::columns::Columns;

use super::Place;

/// Points of a skyline in a line of a file.
const POINTS_IN_A_LINE: usize = 6;
/// The lowest skyline that a scenario takes.
const LOWEST_DEG: f64 = -10.0;

/// What was found, with all that it rests on.
#[derive(Debug)]
pub(super) struct Told<'t> {
    pub(super) place: &'t Place,
    view: &'t View<'t>,
    eye: Eye,
    range_m: f64,
    files: usize,
    sources: Vec<Source>,
    voids_m: Option<f64>,
    pub(super) around: Around,
    pub(super) gaps: Vec<Gap>,
    /// Points for the scenario, or why there are none.
    points: Result<Vec<[f64; 2]>, Error>,
    partial: bool,
}

impl<'t> Told<'t> {
    pub(super) fn new(
        place: &'t Place,
        elevation: &Elevation,
        view: &'t View<'t>,
        eye: Eye,
        partial: bool,
    ) -> Self {
        let around = view.around(|_, _| ());
        let wanted = elevation.wanted();
        Self {
            place,
            view,
            eye,
            range_m: wanted.range_m,
            files: elevation.files(),
            sources: elevation.sources(),
            voids_m: wanted.voids_m,
            gaps: around.gaps(),
            points: profile(&around),
            around,
            partial,
        }
    }

    /// Where the eye is and how far it looks, in a line.
    pub(super) fn seen_how(&self) -> String {
        let [latitude, longitude] = self.place.position_deg;
        format!(
            "{latitude:.5} north, {longitude:.5} east; eye {} m over ground at {:.1} m; {} km \
             around; refraction {}",
            self.eye.over_ground_m,
            self.view.ground_m(),
            self.range_m / 1_000.0,
            self.eye.refraction
        )
    }

    /// What the data are, a line for each file.
    fn data(&self) -> Vec<String> {
        let mut lines: Vec<String> = self
            .sources
            .iter()
            .map(|source| {
                let mut line = format!(
                    "{}: {:.1} m from height to height, {} heights in range, {} voids",
                    source.file, source.spacing_m, source.heights, source.voids
                );
                if source.impossible > 0 {
                    let _ = write!(
                        line,
                        " ({} of them given as heights that no ground has)",
                        source.impossible
                    );
                }
                if let (Some(height), true) = (self.voids_m, source.voids > 0) {
                    let _ = write!(line, ", which stand for {height} m here");
                }
                line
            })
            .collect();
        let elsewhere = self.files - self.sources.len();
        if elsewhere > 0 {
            lines.push(format!("{elsewhere} more files lie outside the range"));
        }
        lines
    }

    /// A stretch of bearings of which not all is known, and what would have to stand there to
    /// matter.
    fn gap(&self, gap: &Gap) -> String {
        let ray = &gap.least;
        let mut line = format!(
            "{:.0} to {:.0} degrees: known only to {:.2} km ({})",
            gap.from_deg,
            gap.to_deg,
            kilometres_down(ray.known_to_m),
            ray.end.name()
        );
        match self.view.would_show_m(ray) {
            Some(height_m) => {
                let _ = write!(
                    line,
                    "; ground from {:.0} m up beyond would stand above the skyline told",
                    height_m.floor()
                );
            }
            None => line.push_str("; nothing is known there"),
        }
        line
    }

    /// That the skyline is the end of what was looked over, where it is.
    fn rising(&self) -> Option<String> {
        let rising = self.around.rising();
        let (first, last) = (rising.first()?, rising.last()?);
        Some(format!(
            "at {} of 360 bearings, from {first:.0} to {last:.0} degrees, the skyline is the end of \
             the range: land beyond it may stand higher; ask for a larger --range",
            rising.len()
        ))
    }

    /// The lines for the scenario, or why they are not written.
    fn lines(&self) -> Result<String, String> {
        let points = self.points.as_ref().map_err(ToString::to_string)?;
        if let (Some(first), false) = (self.gaps.first(), self.partial) {
            let more = match self.gaps.len() {
                1 => String::new(),
                count => format!(" (and {} more stretches)", count - 1),
            };
            return Err(format!(
                "not all of the ground in range is known: {}{more}; bring the elevation files that \
                 cover it, ask for a smaller --range, give --voids where they are the sea, or \
                 accept it with --partial",
                self.gap(first)
            ));
        }
        let mut out = String::new();
        let _ = writeln!(out, "# The skyline of {}", single_line(&self.place.name));
        let _ = writeln!(out, "# {}", self.seen_how());
        for line in self.data() {
            let _ = writeln!(out, "# {}", single_line(&line));
        }
        let _ = writeln!(
            out,
            "# Nowhere below the skyline of these data, nowhere more than {TOLERANCE_DEG} degrees \
             above it."
        );
        let rays = self.around.rays().iter();
        let lowest = rays.filter_map(|ray| ray.obstacle);
        let lowest = lowest.map(|o| o.altitude_deg).fold(0.0, f64::min);
        if lowest < LOWEST_DEG {
            let _ = writeln!(
                out,
                "# But for where it lies below {LOWEST_DEG} degrees, down to {lowest:.1}: a scenario \
                 takes no less."
            );
        }
        for gap in &self.gaps {
            let _ = writeln!(out, "# {}", self.gap(gap));
        }
        if let Some(line) = self.rising() {
            let _ = writeln!(out, "# {line}");
        }
        out.push_str("horizon_deg = [\n");
        for line in points.chunks(POINTS_IN_A_LINE) {
            let pairs: Vec<String> = line
                .iter()
                .map(|[azimuth, altitude]| format!("[{}, {}]", short(*azimuth), short(*altitude)))
                .collect();
            let _ = writeln!(out, "    {},", pairs.join(", "));
        }
        out.push_str("]\n");
        Ok(out)
    }

    /// The lines for the scenario alone.
    pub(super) fn toml(&self) -> Result<String, String> {
        self.lines()
            .map_err(|why| format!("horizon_deg is not written: {why}"))
    }

    /// For people.
    pub(super) fn text(&self, step_deg: usize) -> String {
        let mut out = format!("Skyline of {}\n{}\n", self.place.name, self.seen_how());
        for line in self.data() {
            let _ = writeln!(out, "{line}");
        }
        out.push('\n');
        let heading = [
            "bearing", "altitude", "distance", "height", "north", "east", "known to",
        ];
        let mut columns = Columns::headed(heading);
        for column in 0..heading.len() {
            columns = columns.right(column);
        }
        for sector in self.around.sectors(step_deg) {
            columns.push(self.row(&sector));
        }
        let _ = write!(out, "{columns}");
        let _ = writeln!(
            out,
            "\nEach row is the highest of its sector, {step_deg} degrees wide: its altitude as the \
             eye sees it,\nthe distance, height and position of what stands there, and how far the \
             ground is known."
        );
        if !self.gaps.is_empty() {
            out.push_str("\nNot all of the ground in range is known\n");
            for gap in &self.gaps {
                let _ = writeln!(out, "  {}", self.gap(gap));
            }
        }
        if let Some(line) = self.rising() {
            let _ = writeln!(out, "\nNote: {line}.");
        }
        match self.lines() {
            Ok(lines) => {
                let _ = write!(out, "\nFor the seat's table in the scenario\n\n{lines}");
            }
            Err(why) => {
                let _ = writeln!(out, "\nNo lines for the scenario: {why}");
            }
        }
        out.push_str(
            "\nElevation data may hold the tops of trees and houses or leave them out, and nothing \
             that\nwas built or has grown since: look from the seat itself.\n",
        );
        out
    }

    fn row(&self, sector: &Sector) -> [String; 7] {
        let known = format!("{:.1} km", kilometres_down(sector.least_known.known_to_m));
        let bearing = format!("{:.0}\u{b0}", sector.bearing_deg);
        let Some(obstacle) = sector.obstacle else {
            let none = || "-".to_owned();
            return [bearing, none(), none(), none(), none(), none(), known];
        };
        let [north, east] = self.view.place(obstacle.azimuth_deg, obstacle.distance_m);
        [
            bearing,
            format!("{:.2}\u{b0}", obstacle.altitude_deg),
            distance(obstacle.distance_m),
            format!("{:.0} m", obstacle.height_m),
            format!("{north:.4}"),
            format!("{east:.4}"),
            known,
        ]
    }

    /// A row for each bearing.
    pub(super) fn csv(&self, step_deg: usize) -> Result<Vec<u8>, Failure> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(Vec::new());
        let failed = |error: csv::Error| Failure::Unwritten(error.to_string());
        writer
            .write_record([
                "bearing_deg",
                "azimuth_deg",
                "altitude_deg",
                "distance_m",
                "height_m",
                "latitude_deg",
                "longitude_deg",
                "file",
                "known_to_m",
                "ends_in",
            ])
            .map_err(failed)?;
        for sector in self.around.sectors(step_deg) {
            let mut row = vec![format!("{}", sector.bearing_deg)];
            match sector.obstacle {
                Some(obstacle) => {
                    let [north, east] = self.view.place(obstacle.azimuth_deg, obstacle.distance_m);
                    row.extend([
                        short(obstacle.azimuth_deg),
                        format!("{:.4}", obstacle.altitude_deg),
                        format!("{:.1}", obstacle.distance_m),
                        format!("{:.1}", obstacle.height_m),
                        format!("{north:.6}"),
                        format!("{east:.6}"),
                        self.sources[obstacle.source].file.clone(),
                    ]);
                }
                None => row.extend(std::iter::repeat_n(String::new(), 7)),
            }
            row.push(format!("{:.0}", sector.least_known.known_to_m.floor()));
            row.push(sector.least_known.end.name().to_owned());
            writer.write_record(row).map_err(failed)?;
        }
        let bytes = writer.into_inner();
        bytes.map_err(|error| Failure::Unwritten(error.to_string()))
    }

    /// One object.
    pub(super) fn json(&self, step_deg: usize) -> Result<Vec<u8>, Failure> {
        let [latitude_deg, longitude_deg] = self.place.position_deg;
        let bearings: Vec<Value> = self
            .around
            .sectors(step_deg)
            .map(|sector| {
                let obstacle = sector.obstacle.map(|obstacle| {
                    let [north, east] = self.view.place(obstacle.azimuth_deg, obstacle.distance_m);
                    json!({
                        "azimuth_deg": rounded(obstacle.azimuth_deg, 2),
                        "altitude_deg": rounded(obstacle.altitude_deg, 4),
                        "distance_m": rounded(obstacle.distance_m, 1),
                        "height_m": rounded(obstacle.height_m, 1),
                        "latitude_deg": rounded(north, 6),
                        "longitude_deg": rounded(east, 6),
                        "file": self.sources[obstacle.source].file,
                    })
                });
                json!({
                    "bearing_deg": sector.bearing_deg,
                    "obstacle": obstacle,
                    "known_to_m": sector.least_known.known_to_m.floor(),
                    "ends_in": sector.least_known.end.name(),
                })
            })
            .collect();
        let sources: Vec<Value> = self
            .sources
            .iter()
            .map(|source| {
                json!({
                    "file": source.file,
                    "spacing_m": rounded(source.spacing_m, 2),
                    "heights": source.heights,
                    "voids": source.voids,
                    "impossible": source.impossible,
                })
            })
            .collect();
        let gaps: Vec<Value> = self
            .gaps
            .iter()
            .map(|gap| {
                json!({
                    "from_deg": gap.from_deg,
                    "to_deg": gap.to_deg,
                    "known_to_m": gap.least.known_to_m.floor(),
                    "ends_in": gap.least.end.name(),
                    "would_show_from_m": self.view.would_show_m(&gap.least).map(f64::floor),
                })
            })
            .collect();
        let written = self.lines();
        let points = written
            .is_ok()
            .then(|| self.points.clone().unwrap_or_default());
        let object = json!({
            "place": self.place.name,
            "latitude_deg": latitude_deg,
            "longitude_deg": longitude_deg,
            "ground_m": rounded(self.view.ground_m(), 2),
            "eye_height_m": self.eye.over_ground_m,
            "range_m": self.range_m,
            "refraction": self.eye.refraction,
            "voids_m": self.voids_m,
            "sources": sources,
            "bearings": bearings,
            "gaps": gaps,
            "rising_at_deg": self.around.rising(),
            "tolerance_deg": TOLERANCE_DEG,
            "horizon_deg": points,
            "not_written": written.err(),
        });
        let mut bytes = serde_json::to_vec_pretty(&object)
            .map_err(|error| Failure::Unwritten(error.to_string()))?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}

/// What is known is rounded down, so that nothing more is claimed.
fn kilometres_down(metres: f64) -> f64 {
    (metres / 10.0).floor() / 100.0
}

fn distance(metres: f64) -> String {
    if metres < 1_000.0 {
        format!("{metres:.0} m")
    } else {
        format!("{:.2} km", metres / 1_000.0)
    }
}

fn rounded(value: f64, places: i32) -> f64 {
    let scale = 10_f64.powi(places);
    (value * scale).round() / scale
}

/// A number with at most two decimals.
fn short(value: f64) -> String {
    format!("{}", rounded(value, 2) + 0.0)
}

/// A name must not end a comment.
fn single_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
