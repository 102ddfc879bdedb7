//! The kit owned: every combination of its lenses, converters and bodies.

use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};

use super::bounds::Bound;
use super::reader::Table;
use crate::reach::LEAST_F_NUMBER;

/// A lens, with or without a converter, on a body.
#[derive(Clone, Debug)]
pub struct NamedKit {
    /// Lens, converter and body by their names.
    pub name: String,
    /// The lens by itself.
    pub lens: Lens,
    /// The converter, if any.
    pub converter: Option<Converter>,
    /// The sensor.
    pub sensor: Sensor,
    /// The chain of the three.
    pub kit: Kit,
}

/// What has been read of it so far.
#[derive(Default)]
pub(super) struct Owned {
    bodies: Vec<(String, Sensor)>,
    lenses: Vec<(String, Lens, bool)>,
    converters: Vec<(String, Converter)>,
}

impl Owned {
    pub(super) fn read(&mut self, root: &Table<'_, '_>) {
        const SIDE_MM: Bound = Bound::AboveUpTo(0.0, 200.0);
        for table in root.tables("body") {
            let id = table.text("id");
            let size = table.pair("sensor_mm", SIDE_MM);
            let pixels = table.pair("pixels", Bound::Within(1.0, 100_000.0));
            if let (Some([width_mm, height_mm]), Some([columns, rows])) = (size, pixels) {
                let spec = SensorSpec {
                    width_mm,
                    height_mm,
                    columns: columns as u32,
                    rows: rows as u32,
                };
                match Sensor::new(spec) {
                    Ok(sensor) => self.bodies.push((id, sensor)),
                    Err(error) => table.report("sensor_mm", error.to_string(), "mend the body"),
                }
            } else {
                for key in ["sensor_mm", "pixels"] {
                    if !table.has(key) {
                        table.report(key, "is missing", format!("add `{key} = [across, down]`"));
                    }
                }
            }
            table.finish();
        }
        for table in root.tables("lens") {
            let id = table.text("id");
            // A zoom gives the shortest and the longest; a stand-off distance asks for the longest.
            let focal_length_mm = table.longest("focal_length_mm", Bound::AboveUpTo(0.0, 5000.0));
            let f_number = table.longest("f_number", Bound::Within(LEAST_F_NUMBER, 128.0));
            let spec = LensSpec {
                focal_length_mm,
                f_number,
                minimum_focus_m: table.number("minimum_focus_m", Bound::AboveUpTo(0.0, 100.0)),
                pupil_magnification: table.number_or(
                    "pupil_magnification",
                    Bound::AboveUpTo(0.0, 10.0),
                    1.0,
                ),
                principal_separation_mm: table.number_or(
                    "principal_separation_mm",
                    Bound::Within(-1000.0, 1000.0),
                    0.0,
                ),
            };
            let takes_converter = table.flag_or("takes_converter", true);
            let magnification =
                table.optional_number("largest_magnification", Bound::AboveUpTo(0.0, 10.0));
            match lens(&table, spec, magnification) {
                Ok(lens) => self.lenses.push((id, lens, takes_converter)),
                // Fields that are out of range have been reported already, with the field's own
                // place.
                Err(error) => table.report("focal_length_mm", error.to_string(), "mend the lens"),
            }
            table.finish();
        }
        for table in root.tables("converter") {
            let id = table.text("id");
            match Converter::new(table.number("factor", Bound::AboveUpTo(1.0, 4.0))) {
                Ok(converter) => self.converters.push((id, converter)),
                Err(error) => table.report("factor", error.to_string(), "mend the converter"),
            }
            table.finish();
        }
    }

    /// Every combination.
    pub(super) fn kits(&self) -> Vec<NamedKit> {
        let mut kits = Vec::new();
        for (lens_id, lens, takes_converter) in &self.lenses {
            let bare = std::iter::once(None);
            let with = self
                .converters
                .iter()
                .filter(|_| *takes_converter)
                .map(Some);
            for converter in bare.chain(with) {
                for (body_id, sensor) in &self.bodies {
                    let name = match converter {
                        Some((id, _)) => format!("{lens_id} + {id} on {body_id}"),
                        None => format!("{lens_id} on {body_id}"),
                    };
                    let converter = converter.map(|(_, converter)| *converter);
                    kits.push(NamedKit {
                        name,
                        lens: *lens,
                        converter,
                        sensor: *sensor,
                        kit: Kit::new(*lens, converter, *sensor),
                    });
                }
            }
        }
        kits
    }
}

/// A lens from what is stated of it. A lens that stays as long as it is reaches life size at four
/// focal lengths: one that focuses nearer than that grows shorter on the way, by how much its
/// largest magnification tells. Where that is not given the lens is taken to focus no nearer, and
/// the scenario says so.
fn lens(
    table: &Table<'_, '_>,
    spec: LensSpec,
    magnification: Option<f64>,
) -> Result<Lens, wrackline_optics::Error> {
    if let Some(magnification) = magnification {
        return Lens::breathing_to(spec, magnification);
    }
    let life_size_m = (4.0 * spec.focal_length_mm + spec.principal_separation_mm) / 1000.0;
    if !(spec.minimum_focus_m > 0.0 && spec.minimum_focus_m < life_size_m) {
        return Lens::new(spec);
    }
    table.warn(
        "minimum_focus_m",
        format!(
            "{} m is nearer than four focal lengths, and is taken as {life_size_m} m",
            spec.minimum_focus_m
        ),
        "give `largest_magnification`, such as 0.3, at that distance",
    );
    Lens::new(LensSpec {
        minimum_focus_m: life_size_m,
        ..spec
    })
}
