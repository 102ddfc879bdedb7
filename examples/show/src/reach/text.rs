//! An answer as aligned text.

use std::fmt::Write;

use wrackline_optics::{
    Assumptions, Comparison, Meaning,
    reach::{AirGrade, Band, Decider, EqualThroughAir, Finding, OpticsGrade},
};

use crate::columns::Columns;
use wrackline_plan::reach::{Answer, Verdicts};

use super::CAUTIONS;

const WIDTH: usize = 110;

/// An answer as aligned text.
///
/// # Errors
/// None but that of a writer; a string takes everything.
pub fn text(answer: &Answer) -> Result<String, std::fmt::Error> {
    let mut out = String::new();
    let question = &answer.question;
    let scene = question.scene.spec();
    let comparison = answer.comparison();
    let asked = comparison.statement;
    writeln!(out, "Stated:  {}", question.first.name)?;
    writeln!(out, "         {asked} {}", answer.second_name)?;
    writeln!(
        out,
        "Subject: {:.2} x {:.2} m at {:.1} m from the sensor, background {:.0} m behind it, {}",
        question.subject.length_m,
        question.subject.height_m,
        scene.distance_m,
        scene.background_m,
        shutter(scene.time_s),
    )?;
    writeln!(out)?;
    if let Verdicts::Claim(judgement) = &answer.verdicts {
        let lens = judgement.lens;
        writeln!(
            out,
            "As a lens: {}. It is {:.0} mm f/{:.1}; the frame is that of {:.0} mm at infinity, of \
             {:.0} mm at this distance.",
            lens.verdict,
            lens.focal_length_mm,
            lens.f_number,
            judgement.equivalent_focal_length_mm,
            judgement.equivalent_at_subject_mm,
        )?;
        writeln!(out)?;
    }
    findings(&mut out, comparison)?;
    sights(&mut out, comparison)?;
    detail(&mut out, comparison)?;
    let cropped: Vec<(&str, &Comparison)> = match &answer.verdicts {
        Verdicts::Claim(judgement) => judgement
            .against_cropped
            .iter()
            .map(|cropped| ("The converter", cropped))
            .collect(),
        Verdicts::Kits {
            first_against_cropped,
            second_against_cropped,
            ..
        } => {
            let first = first_against_cropped
                .iter()
                .map(|cropped| ("The first kit's converter", cropped.as_ref()));
            first
                .chain(
                    second_against_cropped
                        .iter()
                        .map(|cropped| ("The second kit's converter", cropped.as_ref())),
                )
                .collect()
        }
    };
    for (name, cropped) in cropped {
        against_cropped(&mut out, name, cropped)?;
    }
    if let Some(gain) = answer.converter_gain {
        writeln!(
            out,
            "With good optics in calm air the first kit's converter adds detail {gain}."
        )?;
        writeln!(out)?;
    }
    assumed(&mut out, &comparison.assumptions, answer)?;
    writeln!(out, "Cautions")?;
    for caution in CAUTIONS {
        for line in textwrap::wrap(caution, WIDTH - 4) {
            writeln!(out, "  {line}")?;
        }
    }
    Ok(out)
}

fn findings(out: &mut String, comparison: &Comparison) -> std::fmt::Result {
    let mut table = Columns::headed([
        "meaning of reach",
        "first",
        "second",
        "",
        "ratio",
        "verdict",
        "decided by",
    ])
    .right(1)
    .right(2)
    .right(4);
    for finding in &comparison.findings {
        let (scale, unit) = shown_unit(finding);
        let number = |band: Band| banded(band, |value| significant(value * scale));
        table.push([
            finding.meaning.to_string(),
            number(finding.first),
            number(finding.second),
            format!(
                "{unit}{}{}",
                if unit.is_empty() { "" } else { ", " },
                finding.quantity
            ),
            banded(finding.ratio, |value| format!("{value:.2}")),
            finding.verdict.to_string(),
            decided(comparison, finding),
        ]);
    }
    writeln!(out, "{table}")
}

fn sights(out: &mut String, comparison: &Comparison) -> std::fmt::Result {
    let mut table = Columns::headed(["at the subject", "first", "second"])
        .right(1)
        .right(2);
    let (one, two) = (&comparison.first, &comparison.second);
    let mut row = |name: &str, values: [String; 2]| {
        let [first, second] = values;
        table.push([name.to_owned(), first, second]);
    };
    let both = |of: &dyn Fn(&wrackline_optics::reach::Sighting) -> String| [of(one), of(two)];
    row(
        "lens as set",
        both(&|sight| format!("{:.0} mm f/{:.1}", sight.focal_length_mm, sight.f_number)),
    );
    row(
        "working f-number",
        both(&|sight| format!("f/{:.2}", sight.working_f_number)),
    );
    row(
        "entrance pupil",
        both(&|sight| format!("{:.0} mm", sight.entrance_pupil_mm)),
    );
    row(
        "field",
        both(&|sight| format!("{:.2} x {:.2} m", sight.field_across_m, sight.field_down_m)),
    );
    row(
        "angle across",
        both(&|sight| format!("{:.2}°", sight.angle_across_deg)),
    );
    row(
        "depth of field",
        both(&|sight| {
            sight
                .depth
                .total
                .distance_m()
                .map_or_else(|| "to infinity".to_owned(), |depth| format!("{depth:.2} m"))
        }),
    );
    row(
        "circle of confusion",
        both(&|sight| {
            let warning = if sight.below_airy.is_some() {
                ", below the Airy disc"
            } else {
                ""
            };
            format!("{:.1} µm{warning}", sight.circle_mm * 1000.0)
        }),
    );
    row(
        "motion and hand",
        both(&|sight| format!("{:.1} px, {:.1} px", sight.motion_px, sight.hand_px)),
    );
    writeln!(out, "{table}")?;
    let stops = comparison.exposure_stops;
    let noise = comparison.noise;
    writeln!(
        out,
        "At the same shutter time and ISO speed the first exposes {:.1} stops {}; a pixel of it \
         is {:.2} times as noisy, the same",
        stops.abs(),
        if stops >= 0.0 { "less" } else { "more" },
        noise.by_pixel,
    )?;
    writeln!(
        out,
        "patch of the subject {:.2} times (noise of the light alone).",
        noise.by_subject_area
    )?;
    writeln!(out)
}

fn detail(out: &mut String, comparison: &Comparison) -> std::fmt::Result {
    let contrast = comparison.assumptions.contrast;
    writeln!(
        out,
        "Detail in lines per cm of subject at {:.0} % contrast, bounded by the pixels, and at 10 \
         %; what limits it stands behind.",
        contrast * 100.0,
    )?;
    let mut table = Columns::headed([
        "optics",
        "air",
        "first",
        "",
        "second",
        "",
        "ratio",
        "first at 10 %",
        "",
        "second at 10 %",
        "",
    ]);
    for column in [2, 4, 6, 7, 9] {
        table = table.right(column);
    }
    for cell in &comparison.detail {
        table.push([
            cell.optics.to_string(),
            cell.air.to_string(),
            significant(cell.first.lines_per_cm()),
            cell.first.limit.to_string(),
            significant(cell.second.lines_per_cm()),
            cell.second.limit.to_string(),
            format!("{:.2}", cell.ratio),
            significant(cell.first_finest.lines_per_cm()),
            cell.first_finest.limit.to_string(),
            significant(cell.second_finest.lines_per_cm()),
            cell.second_finest.limit.to_string(),
        ]);
    }
    writeln!(out, "{table}")?;
    let equal = match comparison.equal_through_air {
        EqualThroughAir::From { distance_m } => {
            format!("from about {} m on", significant(distance_m))
        }
        EqualThroughAir::Everywhere => "at every distance".to_owned(),
        EqualThroughAir::NotWithin { distance_m } => {
            format!("not within {} m", significant(distance_m))
        }
    };
    writeln!(
        out,
        "Warm air leaves both the same detail {equal} (good optics)."
    )?;
    writeln!(out)
}

fn against_cropped(out: &mut String, name: &str, cropped: &Comparison) -> std::fmt::Result {
    let found = |meaning| cropped.finding(meaning);
    let pixels = found(Meaning::Pixels);
    writeln!(
        out,
        "{name} against the bare lens cropped to the same frame: {:.0} px on the subject for \
         {:.0}, {:.1} stops less light on the sensor;",
        pixels.first.lowest, pixels.second.lowest, cropped.exposure_stops,
    )?;
    let detail = found(Meaning::Detail);
    writeln!(
        out,
        "detail {} times, \"it shows more\" is {}; equal through warm air {}.",
        banded(detail.ratio, |value| format!("{value:.2}")),
        detail.verdict,
        match cropped.equal_through_air {
            EqualThroughAir::From { distance_m } =>
                format!("from about {} m on", significant(distance_m)),
            EqualThroughAir::Everywhere => "everywhere".to_owned(),
            EqualThroughAir::NotWithin { distance_m } =>
                format!("not within {} m", significant(distance_m)),
        },
    )?;
    writeln!(out)
}

fn assumed(out: &mut String, assumptions: &Assumptions, answer: &Answer) -> std::fmt::Result {
    writeln!(out, "Assumed, not measured")?;
    let optics = |grade: OpticsGrade| {
        let case = assumptions.optics(grade);
        format!(
            "{grade} {:.2} and {:.2}",
            case.lens.rms_waves(),
            case.converter.rms_waves()
        )
    };
    writeln!(
        out,
        "  wavefront error of lens and converter in waves rms: {}, {}, {}",
        optics(OpticsGrade::Perfect),
        optics(OpticsGrade::Good),
        optics(OpticsGrade::Soft),
    )?;
    let measured = answer
        .contenders
        .each_ref()
        .map(|contender| contender.measured.is_some());
    for (which, measured) in ["first", "second"].into_iter().zip(measured) {
        if measured {
            writeln!(
                out,
                "  (the {which} kit's bare lens was measured: its own figures stand in all grades)"
            )?;
        }
    }
    let air = |grade: AirGrade| {
        let seeing = assumptions.air(grade).over(
            answer.question.scene.spec().distance_m,
            answer.question.scene.spec().wavelength_um,
        );
        seeing.map_or_else(
            |_| grade.to_string(),
            |seeing| {
                format!(
                    "{grade}: it makes pupils beyond {} mm worthless",
                    significant(seeing.r0_mm())
                )
            },
        )
    };
    writeln!(
        out,
        "  air, {}; {}",
        air(AirGrade::Calm),
        air(AirGrade::Warm)
    )?;
    writeln!(
        out,
        "  green light of {} µm; two kits count as the same within {:.0} %, in detail within \
         {:.0} %; circle of confusion: the diagonal over {:.0}",
        answer.question.scene.spec().wavelength_um,
        assumptions.tolerance * 100.0,
        assumptions.detail_tolerance * 100.0,
        assumptions.circle_divisor,
    )?;
    writeln!(out)
}

/// A unit that suits the eye, and what the number is multiplied by.
fn shown_unit(finding: &Finding) -> (f64, &'static str) {
    match (finding.meaning, finding.unit) {
        (Meaning::Framing, "") => (100.0, "%"),
        (Meaning::Light, _) => (1e6, "µsr"),
        (Meaning::DepthOfField | Meaning::Background, _) => (100.0, "cm"),
        (_, unit) => (1.0, unit),
    }
}

fn decided(comparison: &Comparison, finding: &Finding) -> String {
    if finding.decided_by == Decider::Blur {
        // Detail is decided by whatever blurs most, here in the case that is looked at first.
        let case = comparison.cell(OpticsGrade::Good, AirGrade::Calm);
        return case.first.limit.to_string();
    }
    finding.decided_by.to_string()
}

fn banded(band: Band, show: impl Fn(f64) -> String) -> String {
    let (lowest, highest) = (show(band.lowest), show(band.highest));
    if lowest == highest {
        lowest
    } else {
        format!("{lowest}-{highest}")
    }
}

/// Three significant digits, and never fewer than a whole number has.
fn significant(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let decimals = (2 - value.abs().log10().floor() as i32).clamp(0, 6);
    format!("{value:.*}", usize::try_from(decimals).unwrap_or(0))
}

fn shutter(time_s: f64) -> String {
    if time_s < 0.4 {
        format!("1/{:.0} s", 1.0 / time_s)
    } else {
        format!("{time_s:.1} s")
    }
}
