"use strict";
// Writes scenarios into a folder: the demo, and what edits make of it. Each edit must change something.
const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");

const [demo, folder] = process.argv.slice(2);
const text = fs.readFileSync(demo, "utf8");
const zone = (name) => ["zone = \"UTC\"", `zone = "${name}"`];
// Every position moved together, so that seats stay by their places.
const moved = (north, east) => [/^(latitude|longitude)_deg = (-?[\d.]+)$/gm, (_, which, value) =>
  `${which}_deg = ${(Number(value) + (which === "latitude" ? north : east)).toFixed(4)}`];
const path_away = [/^path_deg = .*\n/gm, ""];
const scaled = (factor) => [/amplitude_m = ([\d.]+)/g, (_, value) => `amplitude_m = ${(Number(value) * factor).toFixed(3)}`];
const added = (more) => [/$(?![\s\S])/, `\n${more}\n`];
const edits = {
  demo: [],
  london: [zone("Europe/London")],
  new_york: [zone("America/New_York")],
  kathmandu: [zone("Asia/Kathmandu")],
  lord_howe: [zone("Australia/Lord_Howe")],
  chatham: [zone("Pacific/Chatham")],
  saint_johns: [zone("America/St_Johns")],
  arctic: [moved(16, 18), path_away],
  south: [moved(-95, 0), path_away, zone("Pacific/Auckland")],
  equator: [moved(-53, -50), path_away],
  date_line: [moved(0, 178), path_away],
  small_tide: [scaled(0.6)],
  large_tide: [scaled(1.15)],
  low_push: [[/push_m = 6.8/, "push_m = 6.2"]],
  surge: [[/upper_allowance_m = 0.30/, "upper_allowance_m = 0.55\nsurge_m = 0.2"]],
  pressure: [[/upper_allowance_m = 0.30/, "upper_allowance_m = 0.30\npressure_hpa = 985"]],
  no_lower: [[/lower_allowance_m = 0.30/, "lower_allowance_m = 0"]],
  no_habits: [added("[habits]\nsettle_minutes = 60\nwithdrawal_factor = 1.5\nshortest_minutes = 40\nlongest_hours = 12")],
  short_windows: [added("[habits]\nshortest_minutes = 5")],
  farther: [[/stand_off_from_hide_m = 60/, "stand_off_from_hide_m = 65"]],
  all_subjects: [[/^subject = "slate-knotling"\n/m, ""]],
  owl: [[/^subject = "slate-knotling"$/m, "subject = \"reed-owl\""]],
  free: [added("[[free]]\nweekdays = [\"Sat\", \"Sun\"]\nfrom = \"05:00\"\nuntil = \"20:00\"")],
  side_first: [[/angle_deg = \[0, 45\]/, "angle_deg = [45, 110]"]],
  moonlit: [[/altitude_deg = \[0, 12\]\nangle_deg = \[0, 45\]/, "altitude_deg = [-18, -4]\nmoon = { lowest_deg = 5, lit_fraction = 0.3 }"]],
  higher_seat: [[/ground_m = 8.75/, "ground_m = 9.05"]],
  wide_margins: [[/margin_minutes = 30/, "margin_minutes = 75"]],
  frozen: [added("[habits]\nfrozen_days = 8\nfrozen_days_on = \"2026-11-26\"")],
  implausible: [[/alert_m = 70/, "alert_m = 95"]],
  no_ground: [[/ground_m = 7.95\n/, ""]],
  unicode: [[/name = "Tallow Ness"/, "name = \"Tåłľøw Nëss 塩田 🜨\""]],
  hostile: [[/name = "Wall Seat"/, "name = \"</script><img src=x onerror='alert(1)'><b>\""], [/name = "slate knotling"/, "name = \"<svg onload=alert(2)>&amp;\""]],
};

for (const [name, changes] of Object.entries(edits)) {
  let out = text;
  for (const [from, to] of changes) {
    const before = out;
    out = out.replace(from, to);
    assert.notEqual(out, before, `${name}: ${from} changes nothing`);
  }
  fs.writeFileSync(path.join(folder, `${name}.toml`), out);
}
