//! Names that offices use, and names that would be a guess.
#![allow(clippy::unwrap_used)]

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{
    Constituent, Convention, Error, Formulas, Latitude, Longitudes, constants_from_csv,
    constants_from_csv_by,
};

#[test]
fn names_of_other_offices_are_understood() {
    for (name, listed) in [
        ("RO1", "RHO1"),
        ("RHO", "RHO1"),
        ("SIG1", "SIGMA1"),
        ("SGM", "SIGMA1"),
        ("THE1", "THETA1"),
        ("TH1", "THETA1"),
        ("FI1", "PHI1"),
        ("KI1", "CHI1"),
        ("ALP1", "ALPHA1"),
        ("BET1", "BETA1"),
        ("GAM2", "GAMMA2"),
        ("H1", "ALPHA2"),
        ("H2", "BETA2"),
        ("LDA2", "LAMBDA2"),
        ("LA2", "LAMBDA2"),
        ("EP2", "EPS2"),
        ("MTM", "MFM"),
        ("SA(H)", "SA"),
        ("SA1", "SA(FOREMAN)"),
        ("SA(H-P1)", "SA(FOREMAN)"),
        ("M2A", "ALPHA2"),
        ("M2B", "BETA2"),
    ] {
        assert_eq!(Constituent::named(name).unwrap().name(), listed, "{name}");
    }
    // ρ1 and not R + O.
    let rho = Constituent::named("RO1").unwrap();
    assert!((rho.speed_deg_per_h() - 13.471_514_5).abs() < 1e-6);
}

#[test]
fn a_name_of_several_meanings_is_refused_or_settled_by_the_convention() {
    let foreman = Convention::ForemanInstant(Latitude::new(51.0).unwrap());
    let says = |found: Result<Constituent, Error>| match found {
        Err(error @ Error::AmbiguousName { .. }) => error.to_string(),
        other => format!("{other:?}"),
    };
    for convention in [Convention::SchuremanAnnual, Convention::Rijkswaterstaat] {
        let text = says(convention.constituent("ST4"));
        assert!(
            text.contains("2KN2S2 (Foreman, 28.6040) or ST4(IHO) (59.9589)"),
            "{text}"
        );
    }
    let table = |name: &str| format!("name,amplitude_m,lag_utc+1_deg\n{name},0.1,20\n");
    let error = constants_from_csv(&table("ST4"), None).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("line 2: constituent `ST4` means"),
        "{error}"
    );
    let lag = |convention| {
        constants_from_csv_by(convention, &table("ST4"), None).unwrap()[0].phase_lag_deg
    };
    assert!((lag(foreman) - (380.0 - 28.604_004)).abs() < 1e-5);
    assert!((lag(Convention::IhoInstant) - (380.0 - 59.958_933)).abs() < 1e-5);
    assert!(says(Constituent::named("ST3")).contains("2MS2K2"));
    assert!(says(Convention::IhoInstant.constituent("ST3")).contains("T3"));
    let speed = |found: Result<Constituent, Error>| found.unwrap().speed_deg_per_h();
    assert!((speed(foreman.constituent("ST3")) - 27.803_933_9).abs() < 1e-6);
    assert!((speed(foreman.constituent("ST4")) - 28.604_004_1).abs() < 1e-6);
    assert!((speed(foreman.constituent("ST4(IHO)")) - 59.958_933_3).abs() < 1e-6);
    assert!((speed(Convention::IhoInstant.constituent("ST4")) - 59.958_933_3).abs() < 1e-6);
    assert!(says(foreman.constituent("M1")).contains("NO1"));
    // Sums that others read in another way.
    for name in ["J3", "T4", "R6", "2OOK1", "2JK3", "3KS4", "NKS5", "MSM5"] {
        assert!(Constituent::named(name).is_err(), "{name}");
    }
}

#[test]
fn the_dutch_office_makes_m5_and_m7_of_m1() {
    let parts = |name: &str| {
        Convention::Rijkswaterstaat
            .constituent(name)
            .unwrap()
            .arguments()
    };
    let m2 = Constituent::named("M2").unwrap().arguments();
    let m1 = Constituent::named("M1").unwrap().arguments();
    for (name, twos) in [("M5", 2), ("M7", 3)] {
        assert_eq!(parts(name).solar_time, 2 * twos + 1);
        assert_eq!(parts(name).moon, m2.moon * twos + m1.moon);
        let turned = f64::from(twos) * m2.offset_deg + m1.offset_deg;
        assert_eq!(parts(name).offset_deg, turned.rem_euclid(360.0));
        let at = "2026-07-02T12:00:00Z".parse().unwrap();
        let office = Convention::Rijkswaterstaat;
        let f = |constituent: &Constituent| office.argument(constituent, at).f;
        let own = f(&office.constituent(name).unwrap());
        let listed = f(&Constituent::named(name).unwrap());
        let of = |name: &str| f(&Constituent::named(name).unwrap());
        assert!((own - of("M2").powi(twos.into()) * of("M1")).abs() < 1e-12);
        assert!((own - listed).abs() > 0.05, "{name}: {own} {listed}");
    }
}

#[test]
fn long_period_lines_take_the_fortnightly_factor_outside_the_list() {
    let at = "2026-07-02T12:00:00Z".parse().unwrap();
    let f = |convention: Convention, name: &str| {
        convention
            .argument(&convention.constituent(name).unwrap(), at)
            .f
    };
    for name in ["MFM", "MSQM", "MQM"] {
        let schureman = Convention::SchuremanInstant;
        assert_eq!(f(schureman, name), f(schureman, "MF"));
    }
    let iho = Convention::IhoInstant;
    assert_eq!(f(iho, "MFM"), f(iho, "MM"));
    assert_eq!(f(iho, "MQM"), f(iho, "M2"));
}

/// Over the eighteen years of the node the mended form stays beside Schureman's factor (formula 76,
/// Special Publication 98), while the list as printed stands 0.09 above it throughout.
#[test]
fn the_factor_of_j1_is_kept_as_printed_and_mended_by_name() {
    let j1 = Constituent::named("J1").unwrap();
    let at = |days: i64| {
        let start: Timestamp = "2010-01-01T00:00:00Z".parse().unwrap();
        start + SignedDuration::from_hours(24 * days)
    };
    for days in (0..6_798).step_by(34) {
        let longitudes = Longitudes::at(at(days));
        let f = |formulas| j1.node_factor(formulas, &longitudes).f;
        let (printed, mended) = (f(Formulas::Iho), f(Formulas::IhoMended));
        assert!(
            (printed - mended - 0.09).abs() < 1e-12,
            "{printed} {mended}"
        );
        let schureman = f(Formulas::Schureman);
        assert!((mended - schureman).abs() < 0.01, "{mended} {schureman}");
    }
}
