//! The inverse of refraction ends and inverts, for any air.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_solar::{AirSpec, Atmosphere, RefractionFormula};

fuzz_target!(|case: (f64, f64, f64, bool)| {
    let (pressure_hpa, temperature_c, altitude, bennett) = case;
    let Ok(air) = Atmosphere::new(AirSpec {
        pressure_hpa,
        temperature_c,
    }) else {
        return;
    };
    let air = air.with_formula(if bennett {
        RefractionFormula::Bennett
    } else {
        RefractionFormula::Saemundsson
    });
    let Ok(apparent) = air.apparent_altitude_deg(altitude) else {
        assert!(!(-90.0..=90.0).contains(&altitude));
        return;
    };
    if (-90.0..=89.0).contains(&altitude) {
        assert!((air.airless_altitude_deg(apparent).unwrap() - altitude).abs() < 1e-8);
    }
});
