//! Where the photographer sits, and how that stands to the tide.

use wrackline_solar::{Observer, Site, Skyline};

use super::bounds::{BEARING, Bound, LATITUDE, LEVEL, LONGITUDE, MINUTES};
use super::habits::Habits;
use super::reader::Table;
use super::terrain::skyline;

/// How a seat stands to the tide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// The way in never floods.
    Dry,
    /// Out again before the water closes the way.
    LeaveBeforeTheFlood,
    /// In before the water closes the way, out when it clears; the seat itself must stay above the
    /// water.
    StayTheTide,
    /// Not known yet, somebody said: nothing is proposed there, with or without a port.
    Unknown,
}

impl Access {
    /// The trade's name for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::LeaveBeforeTheFlood => "leave before the flood",
            Self::StayTheTide => "stay the tide",
            Self::Unknown => "unknown",
        }
    }
}

/// Where the photographer sits.
#[derive(Clone, Debug)]
pub struct Seat {
    /// Short name.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Where it is.
    pub observer: Observer,
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
    /// Height of the ground above chart datum, metres.
    pub ground_m: Option<f64>,
    /// Smallest height of that ground over the upper water, metres; our default is 0.5.
    pub freeboard_m: f64,
    /// True bearing from the seat to the subject, degrees.
    pub bearing_deg: f64,
    /// Distance from the seat to the subject, metres.
    pub distance_m: f64,
    /// Minutes from leaving the road to sitting down.
    pub in_minutes: f64,
    /// Minutes from standing up to the road.
    pub out_minutes: f64,
    /// Whether it is a hide, or a vehicle used as one.
    pub hide: bool,
    /// What hides the photographer.
    pub cover: Option<String>,
    /// Whose leave it needs.
    pub permission: Option<String>,
    /// How it stands to the tide. Nothing is proposed where nobody said so and the scenario has a
    /// tide: what nobody said is not dry.
    pub access: Option<Access>,
    /// The terrain around it, as far as it is known.
    pub skyline: Option<Skyline>,
    /// Tried out on paper only: whether the water lets anybody sit there is not judged.
    pub on_paper: bool,
    pub(super) place: usize,
    pub(super) way_in: Option<usize>,
}

impl Seat {
    /// Minutes for a slow withdrawal: at least the time in, times the factor, and never less than
    /// the seat's own figure.
    pub fn withdrawal_minutes(&self, habits: &Habits) -> f64 {
        self.out_minutes
            .max(self.in_minutes * habits.withdrawal_factor)
    }
}

/// Reads all but the names of its place and way in, which the draft keeps until all are known.
pub(super) fn read(table: Table<'_, '_>) -> Option<Seat> {
    let latitude_deg = table.number("latitude_deg", LATITUDE);
    let longitude_deg = table.number("longitude_deg", LONGITUDE);
    let access = table.choice(
        "access",
        &[
            ("dry", Access::Dry),
            ("leave before the flood", Access::LeaveBeforeTheFlood),
            ("stay the tide", Access::StayTheTide),
            ("unknown", Access::Unknown),
        ],
    );
    let ground_m = table.optional_number("ground_m", LEVEL);
    if access == Some(Access::StayTheTide) && !table.has("ground_m") {
        table.source().report(
            &table.here(),
            table.field("ground_m"),
            "is missing, and the seat is to stay the tide",
            "add `ground_m = ...`, the height of the ground above chart datum: without it nobody \
             can say whether the seat stays above the water",
        );
    }
    if let Some(access @ (Access::LeaveBeforeTheFlood | Access::StayTheTide)) = access
        && !table.has("way_in")
    {
        table.source().report(
            &table.here(),
            table.field("way_in"),
            format!("is missing, and the seat is to {}", access.name()),
            "name the [[way_in]] whose levels decide when the way closes",
        );
    }
    let seat = Seat {
        id: table.text("id"),
        name: table.text("name"),
        observer: observer(latitude_deg, longitude_deg)?,
        latitude_deg,
        longitude_deg,
        ground_m,
        freeboard_m: table.number_or("freeboard_m", Bound::Within(0.0, 10.0), 0.5),
        bearing_deg: table.number("bearing_deg", BEARING) % 360.0,
        distance_m: table.number("distance_m", Bound::AboveUpTo(0.0, 10_000.0)),
        in_minutes: table.number("in_minutes", MINUTES),
        out_minutes: table.number("out_minutes", MINUTES),
        hide: table.flag_or("hide", false),
        cover: table.optional_text("cover"),
        permission: table.optional_text("permission"),
        access,
        skyline: skyline(&table),
        on_paper: false,
        place: 0,
        way_in: None,
    };
    let _ = table.optional_text("note");
    table.finish();
    Some(seat)
}

pub(super) fn observer(latitude_deg: f64, longitude_deg: f64) -> Option<Observer> {
    // Both were read within their bounds, so this holds; a problem has been reported where they
    // were not.
    Observer::new(Site {
        latitude_deg,
        longitude_deg,
        elevation_m: 0.0,
    })
    .ok()
}
