//! Bennett, G. G. (1982), Journal of Navigation 35, 255, and Sæmundsson, Þ. (1986), Sky and
//! Telescope 72, 70: values as worked in Meeus, Astronomical Algorithms, chapter 16 (from memory);
//! dip of the Nautical Almanac.

use wrackline_solar::{Atmosphere, Limb, RefractionFormula, Threshold, dip_deg};

#[test]
fn bennett_at_half_a_degree() {
    // Example 16.a: apparent altitude 0°30', refraction 28.754'. The constant for the zenith adds
    // 0.0014' at most.
    let air = Atmosphere::STANDARD.with_formula(RefractionFormula::Bennett);
    let refraction = (0.5 - air.airless_altitude_deg(0.5).unwrap()) * 60.0;
    assert!((refraction - 28.754).abs() < 0.002, "{refraction}");
}

#[test]
fn saemundsson_undoes_bennett() {
    // The same example: the airless altitude 1.246' gives 28.75' back, within the 0.1' to which the
    // two formulas agree.
    let air = Atmosphere::STANDARD;
    let refraction = air.refraction_deg(1.246 / 60.0).unwrap() * 60.0;
    assert!((refraction - 28.754).abs() < 0.1, "{refraction}");
    let bennett = air.with_formula(RefractionFormula::Bennett);
    for tenths in 0..900 {
        let altitude = f64::from(tenths) / 10.0;
        let off = (air.refraction_deg(altitude).unwrap()
            - bennett.refraction_deg(altitude).unwrap())
            * 60.0;
        let limit = if altitude < 5.0 { 0.2 } else { 0.1 };
        assert!(off.abs() < limit, "{altitude}: {off}");
    }
}

#[test]
fn the_horizon_of_the_almanacs() {
    // 34' at the horizon, rounded; the formulas give 34.4' and 34.5' at an apparent altitude of
    // zero.
    let at_horizon = -Atmosphere::STANDARD.airless_altitude_deg(0.0).unwrap() * 60.0;
    assert!((at_horizon - 34.0).abs() < 0.6, "{at_horizon}");
    // Dip table of the Nautical Almanac: 3.0 m of height, 3.0'; 12.0 m, 6.1'.
    assert!((dip_deg(3.0).unwrap() * 60.0 - 3.0).abs() < 0.1);
    assert!((dip_deg(12.0).unwrap() * 60.0 - 6.1).abs() < 0.1);
    let cliff = Threshold::sea_horizon(100.0, &Atmosphere::STANDARD)
        .unwrap()
        .with_limb(Limb::Upper);
    assert!((cliff.airless_altitude_deg() + (34.4 + 17.6) / 60.0).abs() < 0.01);
    assert!(dip_deg(-1.0).is_err());
}
