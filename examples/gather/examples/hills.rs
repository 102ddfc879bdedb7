//! Writes an elevation tile of invented hills, in the layout of the shuttle radar mission: a coast
//! with a low shore in the west, a ridge that runs north to south behind it, and rolling land.
//!
//! `cargo run -p wrackline-gather --example hills -- N53E001.hgt` writes a tile of 3 seconds of arc
//! for the corner that the name tells; `--fine` before the name makes it 1 second.

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).peekable();
    let fine = arguments.next_if_eq("--fine").is_some();
    let written = match (arguments.next(), arguments.next()) {
        (Some(path), None) => write(&path, if fine { 3601 } else { 1201 }),
        _ => Err(
            "give the name of the tile, such as N53E001.hgt, and --fine before it for one \
                  second of arc"
                .to_owned(),
        ),
    };
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("hills: {why}");
            ExitCode::from(2)
        }
    }
}

fn write(path: &str, side: u32) -> Result<(), String> {
    let name = std::path::Path::new(path).file_stem().unwrap_or_default();
    let corner = corner(&name.to_string_lossy());
    let [south, west] = corner.ok_or("name it after its south-western corner, as N53E001.hgt")?;
    let mut bytes = Vec::with_capacity(2 * (side * side) as usize);
    for row in 0..side {
        let north = 1.0 - f64::from(row) / f64::from(side - 1);
        for column in 0..side {
            let east = f64::from(column) / f64::from(side - 1);
            let height = height_m(south + north, west + east).round() as i16;
            bytes.extend(height.to_be_bytes());
        }
    }
    std::fs::write(path, bytes).map_err(|error| format!("{path}: {error}"))
}

/// Latitude and longitude that a name such as N53E001 tells.
fn corner(name: &str) -> Option<[f64; 2]> {
    let signed = |letter: &str, positive: &str, negative: &str, digits: &str| {
        let number: f64 = digits.parse().ok()?;
        match letter {
            l if l == positive => Some(number),
            l if l == negative => Some(-number),
            _ => None,
        }
    };
    let latitude = signed(name.get(0..1)?, "N", "S", name.get(1..3)?)?;
    let longitude = signed(name.get(3..4)?, "E", "W", name.get(4..7)?)?;
    Some([latitude, longitude])
}

/// Invented ground, the same wherever tiles meet: it depends on latitude and longitude alone.
fn height_m(latitude: f64, longitude: f64) -> f64 {
    // Kilometres within a square of a degree or so; the shore lies 0.15 degrees into each.
    let x = longitude.rem_euclid(1.0) * 66.0;
    let y = latitude * 111.2;
    let shore = 10.0 + 1.5 * (y / 7.0).sin();
    if x < shore || x > 58.0 {
        // The sea, and its arm in the east.
        return 0.0;
    }
    // Rises over 3 km from the shore, and falls again to the eastern arm.
    let inland = ((x - shore) / 3.0).min((58.0 - x) / 6.0).min(1.0);
    let ridge = 210.0 * (-((x - 26.0 - 2.0 * (y / 11.0).sin()) / 2.2).powi(2)).exp();
    let rolling = 22.0 * (x / 2.1 + (y / 3.3).sin()).sin() + 16.0 * (y / 1.7 - x / 5.0).cos();
    let saddle = 1.0 - 0.45 * (-((y.rem_euclid(24.0) - 12.0) / 2.0).powi(2)).exp();
    2.0 + inland * (46.0 + rolling + ridge * saddle)
}
