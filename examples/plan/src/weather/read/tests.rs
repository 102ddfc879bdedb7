use jiff::tz::TimeZone;

use super::read;

fn said(text: &str) -> String {
    read("week.csv", text, &TimeZone::UTC)
        .unwrap_err()
        .to_string()
}

#[test]
fn units_stand_in_the_heads() {
    let text = "# invented\n\
                at,issued,pressure_hpa,wind_kn,wind_from_deg,cloud_eighths,air_f,remark\n\
                2026-12-29T00:00Z,2026-12-28T18:00Z,1003.5,20,180,4,32,\n\
                2026-12-29 06:00,,,,,,,dry\n";
    let forecast = read("week.csv", text, &TimeZone::UTC).unwrap();
    assert_eq!(
        forecast.issued().unwrap().to_string(),
        "2026-12-28T18:00:00Z"
    );
    assert_eq!(forecast.unused(), ["remark"]);
    let [first, second] = forecast.rows() else {
        panic!("two rows");
    };
    assert_eq!(first.pressure_hpa, Some(1003.5));
    // Ten metres a second and a little: 20 nautical miles of 1852 m in 3600 s, to the north.
    let wind = first.wind.unwrap();
    assert!((wind.north_mps - 37_040.0 / 3600.0).abs() < 1e-12 && wind.east_mps.abs() < 1e-12);
    assert_eq!(first.cloud, Some(0.5));
    assert!(first.air_c.unwrap().abs() < 1e-12);
    assert_eq!(second.at.to_string(), "2026-12-29T06:00:00Z");
    let nothing = (second.pressure_hpa, second.wind, second.cloud, second.air_c);
    assert_eq!(nothing, (None, None, None, None));
}

#[test]
fn every_problem_is_told_with_its_line() {
    let told = said(
        "at,pressure_hpa,cloud_percent\n2026-12-29T00:00Z,1750,20\nsoon,1003,20\n\
         2026-12-28T00:00Z,1003,many\n2026-12-27T00:00Z,1003,50\n2026-12-30T00:00Z,1003\n",
    );
    for part in [
        "week.csv:2:1: pressure_hpa: 1750 is out of range; give 870 to 1090 hPa",
        "week.csv:3:1: at: \"soon\" is neither a date nor a time; write 2026-",
        "week.csv:4:1: cloud_percent: \"many\" is no number",
        "week.csv:5:1: at: 2026-12-27T00:00:00Z is not after the row before",
        "week.csv:6:1: has 2 fields, and the heads are 3",
        "nothing was computed",
    ] {
        assert!(told.contains(part), "{part}\n{told}");
    }
}

#[test]
fn heads_that_cannot_be_meant_are_refused() {
    for (text, part) in [
        ("", "holds no forecast"),
        ("\n\n", "holds no forecast"),
        ("at,pressure_hpa\n", "holds no forecast"),
        ("at;pressure_hpa\n", "semicolons"),
        ("time,pressure_hpa\n", "no column `at`"),
        (
            "at,rain\n2026-12-29T00:00Z,1\n",
            "says anything of the weather",
        ),
        (
            "at,presure_hpa\n2026-12-29T00:00Z,1\n",
            "did you mean pressure_hpa?",
        ),
        (
            "at,air_c,air_c\n2026-12-29T00:00Z,1,1\n",
            "stands there twice",
        ),
        (
            "at,wind_kn,wind_m_per_s\n2026-12-29T00:00Z,1,1\n",
            "stands there beside wind_kn",
        ),
        (
            "at,air_c,issued\n2026-12-29T00:00Z,1,\n2026-12-30T00:00Z,1,then\n",
            "issued: \"then\"",
        ),
    ] {
        assert!(said(text).contains(part), "{part}\n{}", said(text));
    }
}

#[test]
fn calm_comes_from_nowhere() {
    let text = "at,wind_m_per_s,wind_from_deg\n2026-12-29T00:00Z,0,\n2026-12-30T00:00Z,5,\n";
    let forecast = read("week.csv", text, &TimeZone::UTC).unwrap();
    let winds: Vec<bool> = forecast
        .rows()
        .iter()
        .map(|row| row.wind.is_some())
        .collect();
    assert_eq!(winds, [true, false]);
}
