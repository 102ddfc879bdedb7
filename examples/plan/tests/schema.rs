//! The JSON Schema of the scenario, held against the parser: the same fields, the same bounds, the
//! same duties.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::BTreeSet;

use jsonschema::Validator;
use serde_json::{Map, Value, json};
use wrackline_plan::scenario::{DEMO, Problem, SCHEMA, Scenario};

/// A field that nobody could mean.
const UNKNOWN: &str = "zzqx";
/// Fields that the parser lets pass without reading them: the schema may say more about them than
/// the parser asks.
const UNREAD: [&str; 1] = ["include"];

fn schema() -> Value {
    serde_json::from_str(SCHEMA).unwrap()
}

fn validator() -> Validator {
    jsonschema::draft202012::new(&schema()).unwrap()
}

/// TOML as the JSON that an editor checks.
fn as_json(toml: &str) -> Value {
    serde_json::to_value(toml.parse::<toml::Table>().unwrap()).unwrap()
}

fn problems(document: &Value) -> Vec<Problem> {
    let text = toml::to_string(document).unwrap();
    match Scenario::parse("test.toml", &text) {
        Ok(_) => Vec::new(),
        Err(problems) => problems.iter().cloned().collect(),
    }
}

/// One table of the scenario: how to reach it, and its schema.
struct Table {
    path: Vec<String>,
    schema: Value,
}

/// Every table of the schema, the top of the file first.
fn tables() -> Vec<Table> {
    fn walk(path: &[String], schema: &Value, out: &mut Vec<Table>) {
        let object = if schema["type"] == "array" {
            &schema["items"]
        } else {
            schema
        };
        let Some(properties) = object["properties"].as_object() else {
            return;
        };
        out.push(Table {
            path: path.to_vec(),
            schema: object.clone(),
        });
        for (name, property) in properties {
            walk(&[path, std::slice::from_ref(name)].concat(), property, out);
        }
    }
    let mut out = Vec::new();
    walk(&[], &schema(), &mut out);
    assert!(out.len() > 20);
    out
}

/// A value that a schema allows: the first example or word, else the upper bound, else all that is
/// required.
fn sample(schema: &Value) -> Value {
    if let Some(given) = schema["examples"].get(0).or(schema["enum"].get(0)) {
        return given.clone();
    }
    let kind = match &schema["type"] {
        Value::Array(kinds) => kinds[0].as_str().unwrap(),
        kind => kind.as_str().unwrap_or("string"),
    };
    match kind {
        "object" => Value::Object(required(schema)),
        "array" => {
            let count = schema["minItems"].as_u64().unwrap_or(0);
            (0..count)
                .map(|index| match schema["prefixItems"].get(index as usize) {
                    Some(item) => sample(item),
                    // Pairs go from less to more.
                    None => match sample(&schema["items"]) {
                        Value::Number(n) => json!(n.as_f64().unwrap() - (count - index) as f64),
                        other => other,
                    },
                })
                .collect()
        }
        "number" => json!(schema["maximum"].as_f64().unwrap_or(1.0)),
        "integer" => json!(schema["maximum"].as_i64().unwrap_or(1)),
        "boolean" => json!(true),
        _ => json!("x"),
    }
}

/// A table with all that it must have and no more. A port without a printed table must have
/// constants.
fn required(schema: &Value) -> Map<String, Value> {
    let always = schema["required"].as_array();
    let names = [always, schema["else"]["required"].as_array()];
    let names = names.into_iter().flatten().flatten();
    names
        .map(|name| {
            let name = name.as_str().unwrap();
            (name.to_owned(), sample(&schema["properties"][name]))
        })
        .collect()
}

/// A document that has one table, with the tables around it complete.
fn document(path: &[String], table: Map<String, Value>) -> Value {
    fn build(schema: &Value, path: &[String], table: Map<String, Value>) -> Value {
        let Some((name, rest)) = path.split_first() else {
            return Value::Object(table);
        };
        let property = &schema["properties"][name];
        let (inner, list) = match &property["type"] {
            kind if kind == "array" => (&property["items"], true),
            _ => (property, false),
        };
        let built = build(inner, rest, table);
        let mut around = required(schema);
        around.insert(name.clone(), if list { json!([built]) } else { built });
        Value::Object(around)
    }
    build(&schema(), path, table)
}

/// The problems that the parser finds with one field of the one table in a document.
fn about<'p>(problems: &'p [Problem], field: &str) -> Vec<&'p Problem> {
    let last = |problem: &Problem| problem.field.rsplit(" > ").next().unwrap_or("").to_owned();
    problems
        .iter()
        .filter(|problem| last(problem) == field)
        .collect()
}

#[test]
fn the_schema_is_one() {
    assert!(jsonschema::meta::is_valid(&schema()));
    for table in tables() {
        assert_eq!(
            table.schema["additionalProperties"],
            json!(false),
            "{:?}",
            table.path
        );
        for (name, property) in table.schema["properties"].as_object().unwrap() {
            let told = property["description"].as_str().unwrap_or_default();
            assert!(told.ends_with('.'), "{:?} {name}: {told}", table.path);
        }
    }
}

#[test]
fn the_demo_is_valid() {
    let demo = as_json(DEMO);
    let errors: Vec<_> = validator()
        .iter_errors(&demo)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn the_parser_reads_the_fields_of_the_schema_and_no_others() {
    for Table { path, schema } in tables() {
        let mut table = required(&schema);
        table.insert(UNKNOWN.to_owned(), json!(1));
        let found = problems(&document(&path, table));
        let told = about(&found, UNKNOWN);
        assert_eq!(told.len(), 1, "{path:?}: {found:#?}");
        let known: BTreeSet<_> = told[0]
            .remedy
            .strip_prefix("known: ")
            .unwrap_or_else(|| panic!("{}", told[0]))
            .split(", ")
            .collect();
        let properties = schema["properties"].as_object().unwrap();
        let written: BTreeSet<_> = properties.keys().map(String::as_str).collect();
        assert_eq!(
            known, written,
            "{path:?}: left the parser, right the schema"
        );
    }
}

#[test]
fn both_ask_for_the_same_fields() {
    let validator = validator();
    for Table { path, schema } in tables() {
        let full = required(&schema);
        let document_of = |table: &Map<String, Value>| document(&path, table.clone());
        let with_all = problems(&document_of(&full));
        for name in schema["properties"].as_object().unwrap().keys() {
            let missing = |found: &[Problem]| {
                let mut told = about(found, name).into_iter();
                told.any(|p| p.what.starts_with("is missing") || p.what == "does not have two rows")
            };
            // A light needs an angle, a moon or clouds, a closure something that it closes: the
            // schema says so with anyOf.
            let either =
                path == ["light"] && name == "angle_deg" || path == ["closure"] && name == "place";
            assert!(
                !missing(&with_all) || either,
                "{path:?} {name} is asked for by the parser only"
            );
            if full.contains_key(name) {
                let mut without = full.clone();
                without.remove(name);
                let document = document_of(&without);
                assert!(
                    missing(&problems(&document)),
                    "{path:?} {name} is asked for by the schema only"
                );
                assert!(!validator.is_valid(&document), "{path:?} {name}");
            }
        }
    }
}

/// Numbers just outside of the bounds of a schema, and the bounds themselves where they belong to
/// it.
fn edges(schema: &Value) -> (Vec<f64>, Vec<f64>) {
    let bound = |name: &str| schema[name].as_f64();
    let mut outside = Vec::new();
    let mut inside = Vec::new();
    if let Some(low) = bound("minimum") {
        inside.push(low);
        outside.push(low - 1.0);
    }
    if let Some(low) = bound("exclusiveMinimum") {
        outside.push(low);
    }
    if let Some(high) = bound("maximum") {
        inside.push(high);
        outside.push(high + 1.0);
    }
    (outside, inside)
}

#[test]
fn both_have_the_same_bounds() {
    let validator = validator();
    let mut checked = 0;
    for Table { path, schema } in tables() {
        for (name, property) in schema["properties"].as_object().unwrap() {
            if UNREAD.contains(&name.as_str()) {
                continue;
            }
            let whole = property["type"] == "integer";
            let number = |x: f64| if whole { json!(x as i64) } else { json!(x) };
            let with = |value: Value| {
                let mut table = required(&schema);
                table.insert(name.clone(), value);
                document(&path, table)
            };
            let refused = |document: &Value| {
                let found = problems(document);
                let mut told = about(&found, name).into_iter();
                told.any(|problem| problem.what.contains("out of range"))
            };
            let items = &property["items"];
            type Build<'b> = Box<dyn Fn(f64) -> Value + 'b>;
            let mut shapes: Vec<(&Value, Build<'_>)> = Vec::new();
            if property["type"] == "number" || whole || property["type"][0] == "number" {
                shapes.push((property, Box::new(number)));
            } else if items["type"] == "number" {
                shapes.push((items, Box::new(|x| json!([x, x]))));
            } else if let Some([first, second]) = items["prefixItems"].as_array().map(Vec::as_slice)
            {
                shapes.push((first, Box::new(|x| json!([[x, 0], [1, 1]]))));
                shapes.push((second, Box::new(|x| json!([[0, x], [1, 1]]))));
            }
            for (bounds, build) in shapes {
                let (outside, inside) = edges(bounds);
                assert!(!outside.is_empty(), "{path:?} {name} has no bounds");
                for x in outside {
                    let document = with(build(x));
                    assert!(
                        refused(&document),
                        "{path:?} {name} = {x} passes the parser"
                    );
                    assert!(!validator.is_valid(&document), "{path:?} {name} = {x}");
                }
                for x in inside {
                    assert!(
                        !refused(&with(build(x))),
                        "{path:?} {name} = {x} fails the parser"
                    );
                }
                checked += 1;
            }
        }
    }
    assert!(checked > 60, "{checked}");
}

#[test]
fn both_know_the_same_words() {
    let mut checked = 0;
    for Table { path, schema } in tables() {
        for (name, property) in schema["properties"].as_object().unwrap() {
            let list = property["items"].is_object();
            let one = if list { &property["items"] } else { property };
            // A convention may also be written with a latitude, a day of the week in full.
            let words = one["anyOf"]
                .get(0)
                .map_or(&one["enum"], |first| &first["enum"]);
            let Some(words) = words.as_array() else {
                continue;
            };
            let refused = |word: &Value| {
                let mut table = required(&schema);
                table.insert(
                    name.clone(),
                    if list { json!([word]) } else { word.clone() },
                );
                let found = problems(&document(&path, table));
                let told = about(&found, name);
                told.iter()
                    .find(|p| p.what.contains("not"))
                    .map(|p| p.remedy.clone())
            };
            let remedy = refused(&json!(UNKNOWN)).unwrap();
            for word in words {
                assert_eq!(refused(word), None, "{path:?} {name} {word}");
                assert!(remedy.contains(word.as_str().unwrap()), "{remedy}");
            }
            // No more words in the parser's list than here.
            let remedy = remedy
                .replace(", foreman-instant@LATITUDE", "")
                .replace(", or the whole name", "");
            let separators = remedy.matches(" or ").count() + remedy.matches(", ").count();
            assert_eq!(separators, words.len() - 1, "{remedy}");
            checked += 1;
        }
    }
    assert!(checked >= 5, "{checked}");
}

#[test]
fn what_the_parser_refuses_in_the_demo_the_schema_refuses_too() {
    for (old, new) in [
        ("latitude_deg = 53.4016", "latitude_deg = 95"),
        ("latitude_deg = 53.4016", "latitude_deg = \"53.4016\""),
        ("distance_m = 85", "distance_m = -85"),
        ("distance_m = 85", "distanse_m = 85"),
        ("hide = false", "hide = \"no\""),
        ("access = \"stay the tide\"", "access = \"swim\""),
        ("ground_m = 8.75\n", ""),
        ("way_in = \"hurdle-hard\"\n", ""),
        ("push_m = 6.8\n", ""),
        (
            "convention = \"schureman-instant\"",
            "convention = \"other\"",
        ),
        ("datum = \"local chart datum\"\n", ""),
        ("weekdays = [\"Sat\"]", "weekdays = [\"Saturdays\"]"),
        ("frozen_days = 7", "frozen_days = 7.5"),
        ("sensor_mm = [36.0, 24.0]", "sensor_mm = [36.0]"),
        ("angle_deg = [0, 45]\n", ""),
        ("title = \"Oskerrow Water\"", "title = \"\""),
        ("title = \"Oskerrow Water\"", "title = \"Osker\\nrow\""),
        ("name = \"Tallow Ness\"", "name = \"Tallow\\u001b[2J Ness\""),
        ("cover = \"bank, sit low\"", "cover = \"bank\\uFFFE\""),
        ("\"shore-plovel\"]", "\"shore-plovel\\u202e\"]"),
    ] {
        assert!(DEMO.contains(old), "the demo no longer has: {old}");
        let text = DEMO.replacen(old, new, 1);
        assert!(
            Scenario::parse("test.toml", &text).is_err(),
            "{old} -> {new} passes the parser"
        );
        assert!(
            !validator().is_valid(&as_json(&text)),
            "{old} -> {new} passes the schema"
        );
    }
}
