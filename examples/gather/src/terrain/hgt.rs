//! The grids of the shuttle radar mission: squares of one degree, heights as signed words with the
//! high byte first, row by row from the north; -32768 where the radar saw nothing. A file says
//! where it lies by its name alone.
//!
//! Source of the layout: NASA and USGS, SRTM Topography, documentation of version 2.1, sections 2.1
//! and 3.

use std::io::{Read, Seek, SeekFrom};

use super::error::{Error, unknown, unreadable};
use super::grid::{Filling, Raster};

/// Heights in a row, for 1 and for 3 seconds of arc; the outermost are shared with the neighbours.
const SIDES: [u32; 2] = [3601, 1201];
/// What stands for no height.
const VOID: i16 = i16::MIN;

/// South-western corner, north and east in degrees, by a name such as `N53E001.hgt`.
fn corner(name: &str) -> Option<[i16; 2]> {
    let name = name.as_bytes();
    let number = |from: usize, to: usize, most: i16| -> Option<i16> {
        let digits = name.get(from..to)?;
        let plain = digits.iter().all(u8::is_ascii_digit);
        let number: i16 = std::str::from_utf8(digits).ok()?.parse().ok()?;
        (plain && number <= most).then_some(number)
    };
    let latitude = match name.first()? {
        b'N' | b'n' => number(1, 3, 89)?,
        b'S' | b's' => -number(1, 3, 90)?,
        _ => return None,
    };
    let longitude = match name.get(3)? {
        b'E' | b'e' => number(4, 7, 180)?,
        b'W' | b'w' => -number(4, 7, 180)?,
        _ => return None,
    };
    let ends = name.get(7).is_none_or(|next| !next.is_ascii_alphanumeric());
    ends.then_some([latitude, longitude])
}

/// How a file lies, by its name and its size in bytes.
pub(super) fn raster(file: &str, name: &str, bytes: u64) -> Result<Raster, Error> {
    let Some([latitude, longitude]) = corner(name) else {
        return Err(unknown(
            file,
            "its name does not say where it lies",
            "give it the name of its south-western corner, such as N53E001.hgt",
        ));
    };
    let size_of = |side: &u32| u64::from(*side) * u64::from(*side) * 2;
    let Some(side) = SIDES.into_iter().find(|side| size_of(side) == bytes) else {
        return Err(Error::Broken {
            file: file.to_owned(),
            offset: bytes,
            found: format!("the end of the file after {bytes} bytes"),
            expected: format!(
                "{} bytes for a grid of 1 second of arc or {} for one of 3; fetch it again, and \
                 unpack it if it is packed",
                size_of(&SIDES[0]),
                size_of(&SIDES[1])
            ),
        });
    };
    let step = 1.0 / f64::from(side - 1);
    Ok(Raster {
        first: [f64::from(longitude), f64::from(latitude) + 1.0],
        step: [step, -step],
        size: [side, side],
        area: false,
    })
}

/// Reads the heights of a part.
pub(super) fn fill(
    file: &str,
    from: &mut (impl Read + Seek),
    raster: &Raster,
    filling: &mut Filling,
) -> Result<(), Error> {
    let part = filling.part;
    let mut bytes = vec![0; 2 * part.width()];
    for row in part.rows[0]..=part.rows[1] {
        let post = u64::from(row) * u64::from(raster.size[0]) + u64::from(part.columns[0]);
        from.seek(SeekFrom::Start(2 * post))
            .and_then(|_| from.read_exact(&mut bytes))
            .map_err(|error| unreadable(file, &error))?;
        let (words, _) = bytes.as_chunks::<2>();
        for (column, word) in (part.columns[0]..).zip(words) {
            let height = i16::from_be_bytes(*word);
            filling.set([column, row], (height != VOID).then_some(f64::from(height)));
        }
    }
    Ok(())
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helpers too"
)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_where_it_lies() {
        for (name, corner) in [
            ("N53E001.hgt", Some([53, 1])),
            ("s03w180.HGT", Some([-3, -180])),
            ("N53E001.SRTMGL1.hgt", Some([53, 1])),
            ("N53E001b.hgt", None),
            ("N90E001.hgt", None),
            ("N+3E001.hgt", None),
            ("hills.hgt", None),
            ("N53", None),
            ("", None),
        ] {
            assert_eq!(super::corner(name), corner, "{name}");
        }
        let raster = raster("x", "S03W072.hgt", 2 * 1201 * 1201).unwrap();
        assert_eq!((raster.first, raster.size), ([-72.0, -2.0], [1201, 1201]));
        assert!(matches!(
            super::raster("x", "S03W072.hgt", 7),
            Err(Error::Broken { offset: 7, .. })
        ));
    }
}
