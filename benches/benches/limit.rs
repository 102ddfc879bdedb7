//! Ours beside the limit: small programs in C, compiled for this machine and written for speed
//! alone, that do the same work on the same numbers in the same minute.
//!
//! `cargo bench -p wrackline-benches --bench limit`; it needs a C compiler, `cc` or what CC names.
//! Ours and theirs run in turn, and of each the shortest time counts. A program whose results are
//! not ours is an error.

#![allow(
    clippy::unwrap_used,
    reason = "a benchmark that cannot set up its case must fail"
)]

mod limit_cases;

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use limit_cases::{Case, sky, tides};

/// Rounds in which everything runs once.
const ROUNDS: usize = 8;

/// One way to compile the programs.
struct Build {
    name: &'static str,
    width: u32,
    flags: &'static [&'static str],
}

/// What this processor can run.
fn builds() -> Vec<Build> {
    let mut builds = Vec::new();
    #[cfg(target_arch = "x86_64")]
    {
        if std::arch::is_x86_feature_detected!("avx2") {
            // What the library may use: products are never fused with sums, so that every machine
            // has the same bits.
            builds.push(Build {
                name: "C, AVX2",
                width: 4,
                flags: &["-mavx2", "-ffp-contract=off"],
            });
        }
        let wide = std::arch::is_x86_feature_detected!("avx512f");
        builds.push(Build {
            name: "C, all",
            width: if wide { 8 } else { 4 },
            flags: &["-march=native", "-mprefer-vector-width=512"],
        });
    }
    if builds.is_empty() {
        builds.push(Build {
            name: "C",
            width: 2,
            flags: &[],
        });
    }
    builds
}

fn compiled(source: &str, build: &Build) -> PathBuf {
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("limit");
    let program = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{source}-{}", build.width));
    let compiler = std::env::var("CC").unwrap_or_else(|_| "cc".to_owned());
    let done = Command::new(&compiler)
        .args(["-O3", "-fno-math-errno", "-fno-trapping-math"])
        .args(build.flags)
        .arg(format!("-DWIDTH={}", build.width))
        .arg(sources.join(format!("{source}.c")))
        .arg("-o")
        .arg(&program)
        .arg("-lm")
        .status();
    assert!(
        done.is_ok_and(|status| status.success()),
        "{compiler} cannot compile {source}.c"
    );
    program
}

/// Each work's time and checksum, as a program tells them.
fn told_by(program: &Path, input: &str) -> BTreeMap<String, (f64, f64)> {
    let mut child = Command::new(program)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(input.as_bytes())
        .unwrap();
    let told = String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap();
    told.lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |cell: usize| cells[cell].parse::<f64>().unwrap();
            (cells[0].to_owned(), (number(1), number(2)))
        })
        .collect()
}

fn measure(source: &str, input: &str, cases: &mut [Case<'_>]) {
    let builds = builds();
    let programs: Vec<_> = builds.iter().map(|build| compiled(source, build)).collect();
    let mut ours = vec![f64::INFINITY; cases.len()];
    let mut limits = vec![vec![f64::INFINITY; programs.len()]; cases.len()];
    for _ in 0..ROUNDS {
        for (case, ours) in cases.iter_mut().zip(&mut ours) {
            *ours = ours.min(case.time_ns());
        }
        for (build, program) in programs.iter().enumerate() {
            let told = told_by(program, input);
            for (case, limits) in cases.iter().zip(&mut limits) {
                let limit = &mut limits[build];
                let (time, sum) = told[case.name];
                let off = (sum - case.checksum).abs();
                assert!(
                    off <= case.tolerance,
                    "{source}, {}: the checksum of {} is {sum}, ours {}, {off:e} off",
                    builds[build].name,
                    case.name,
                    case.checksum,
                );
                *limit = limit.min(time);
            }
        }
    }
    for ((case, ours), limits) in cases.iter().zip(&ours).zip(&limits) {
        print!("| {}: {} | {ours:.1} ns |", source, case.name);
        for limit in limits {
            print!(" {limit:.1} ns, {:.2} |", ours / limit);
        }
        println!();
    }
}

fn main() {
    print!("| work | ours |");
    for build in builds() {
        print!(" {}, ours over it |", build.name);
    }
    println!("\n| --- | --- |{}", " --- |".repeat(builds().len()));
    tides(|input, cases| measure("tides", input, cases));
    sky(|input, cases| measure("sky", input, cases));
}
