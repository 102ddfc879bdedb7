//! Turning points of whole years against a look every 30 seconds, at stations of every kind
//! (constants: US NOAA, CO-OPS; TICON-4).

use jiff::SignedDuration;
use wrackline_tides::{Convention, Grid, TurnKind};

use crate::data::{constants, port, utc};

/// Diurnal, nearly still, mixed, double high water, great, Mediterranean-small.
const STATIONS: [&str; 8] = [
    "noaa/8729840",
    "noaa/8771450",
    "noaa/9468756",
    "noaa/1612340",
    "noaa/9455920",
    "noaa/8410140",
    "noaa/9449880",
    "ticon/portsmouth-ptm-gbr-bodc",
];

#[test]
fn no_turn_of_a_year_is_missed_or_invented() {
    let constants = constants();
    let start = utc("2025-01-01T00:00");
    let step = SignedDuration::from_secs(30);
    let count = 365 * 24 * 120;
    let mut heights = vec![0.0; count + 1];
    for station in STATIONS {
        for convention in [Convention::SchuremanAnnual, Convention::IhoInstant] {
            let port = port(&constants[station], 0.0, convention);
            let predictor = port.predictor(start..utc("2026-01-01T00:00")).unwrap();
            predictor
                .fill_heights(&Grid::new(start, step, count + 1).unwrap(), &mut heights)
                .unwrap();
            let mut looked = Vec::new();
            for (index, three) in heights.windows(3).enumerate() {
                if three[1] > three[0] && three[1] >= three[2] {
                    looked.push((index, TurnKind::HighWater));
                } else if three[1] < three[0] && three[1] <= three[2] {
                    looked.push((index, TurnKind::LowWater));
                }
            }
            let turns = predictor.turns();
            let inside: Vec<_> = turns
                .iter()
                .filter(|turn| {
                    let since = turn.at.duration_since(start);
                    since > step && since < step * (count as i32 - 1)
                })
                .collect();
            // A pair closer together than two looks is real and can be missed by looking.
            assert!(
                inside.len() >= looked.len(),
                "{station}: {} {}",
                inside.len(),
                looked.len()
            );
            let mut missed_by_looking = 0;
            let mut looked = looked.into_iter().peekable();
            for turn in &inside {
                let index = turn.at.duration_since(start).as_secs_f64() / 30.0;
                let seen = looked.next_if(|(at, kind)| {
                    *kind == turn.kind && (index - (*at as f64 + 1.0)).abs() <= 1.01
                });
                missed_by_looking += usize::from(seen.is_none());
            }
            assert!(looked.next().is_none(), "{station}: a turn was missed");
            assert!(missed_by_looking <= 2, "{station}: {missed_by_looking}");
        }
    }
}
