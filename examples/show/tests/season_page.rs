//! The season as one page and as a wall calendar: all windows, all limits, nothing from outside, nothing that runs by itself.
#![allow(clippy::unwrap_used)]

mod support;

use base64::Engine;
use jiff::civil::date;
use jiff::tz::TimeZone;
use quick_xml::Reader;
use quick_xml::events::Event;
use sha2::{Digest, Sha256};
use support::demo;
use wrackline_log::{Draft, FIELDS};
use wrackline_plan::cautions;
use wrackline_plan::scenario::{DEMO, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Outing, Request, Season, season};
use wrackline_plan::windows::Departure;
use wrackline_show::season_page::{Contents, page, wall};

const SCRIPT: &str = include_str!("../src/season_page/page.js");

fn winter<'s>(scenario: &'s Scenario, days: u32, request: Request<'_>) -> Season<'s> {
    let from = date(2026, 11, 25);
    season(
        scenario,
        Request {
            from,
            days,
            ..request
        },
    )
    .unwrap()
}

fn ask() -> Request<'static> {
    Request::new(date(2026, 11, 25), 1)
}

fn written(seasons: &[Season<'_>], cards: usize) -> String {
    let contents = Contents {
        seasons,
        experience: None,
        cards,
        project: None,
        demo: false,
    };
    page(&contents).unwrap()
}

/// The page with its script and its styles taken out: what is left is XML.
fn markup(html: &str) -> String {
    let mut out = html.to_owned();
    for name in ["script", "style"] {
        let (open, close) = (format!("<{name}>"), format!("</{name}>"));
        let from = out.find(&open).unwrap();
        let to = out.find(&close).unwrap() + close.len();
        out.replace_range(from..to, "");
    }
    out
}

/// Every element with its attributes. Fails on markup that is not well formed.
fn elements(xml: &str) -> Vec<(String, Vec<(String, String)>)> {
    let mut reader = Reader::from_str(xml);
    reader.config_mut().check_end_names = true;
    let mut found = Vec::new();
    let mut depth = 0;
    loop {
        let event = reader.read_event().unwrap();
        match &event {
            Event::Start(tag) | Event::Empty(tag) => {
                depth += i32::from(matches!(event, Event::Start(_)));
                let name = tag.name().as_ref().to_owned();
                let attributes = tag.attributes().map(|attribute| {
                    let attribute = attribute.unwrap();
                    let key = attribute.key.as_ref().to_owned();
                    (key, attribute.value.into_owned())
                });
                found.push((name, attributes.collect()));
            }
            Event::End(_) => depth -= 1,
            Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(depth, 0);
    found
}

/// The items of the list of windows: what is seen without a tap.
fn summaries(html: &str) -> Vec<String> {
    html.split("<li id=\"w")
        .skip(1)
        .map(|item| item[..item.find("</summary>").unwrap()].to_owned())
        .collect()
}

fn minute_of(text: &str) -> i64 {
    let (hour, minute) = text.split_once(':').unwrap();
    hour.parse::<i64>().unwrap() * 60 + minute.parse::<i64>().unwrap()
}

#[test]
fn the_page_has_every_window_of_the_season_in_order_of_time() {
    let scenario = demo();
    let all = Request {
        subject: Some(EVERY_SUBJECT),
        ..ask()
    };
    let seasons = [
        winter(&scenario, 40, all),
        winter(
            &scenario,
            40,
            Request {
                light: Some("side light"),
                ..all
            },
        ),
    ];
    let html = written(&seasons, 2);
    let mut expected: Vec<(&Outing<'_>, usize, usize)> = Vec::new();
    for (light, season) in seasons.iter().enumerate() {
        let outings = season.outings.iter().enumerate();
        expected.extend(outings.map(|(at, outing)| (outing, light, at + 1)));
    }
    expected.sort_by_key(|(outing, light, rank)| (outing.window.stretch.start, *light, *rank));
    let told = summaries(&html);
    assert!(told.len() > 100, "{}", told.len());
    assert_eq!(told.len(), expected.len());
    for (item, (outing, light, rank)) in told.iter().zip(&expected) {
        assert!(
            item.contains(&format!("data-l=\"{light}\" data-r=\"{rank}\"")),
            "{item}"
        );
        assert!(item.contains(&outing.occasion.date.to_string()), "{item}");
        let seat = format!("<span>{} {}, ", outing.seat.id, outing.seat.name);
        assert!(item.contains(&seat), "{item}");
    }
    let bars = html.matches("<a href=\"#w").count();
    assert!(
        bars >= told.len(),
        "each window is drawn, some in two months"
    );
    assert_eq!(html.matches("<article class=\"card\">").count(), 2);
}

#[test]
fn what_can_hurt_is_seen_without_a_tap_and_rounded_to_the_cautious_side() {
    let scenario = demo();
    let all = Request {
        subject: Some(EVERY_SUBJECT),
        ..ask()
    };
    let seasons = [winter(&scenario, 90, all)];
    let html = written(&seasons, 0);
    let season = &seasons[0];
    let mut outings: Vec<_> = season.outings.iter().enumerate().collect();
    outings.sort_by_key(|(at, outing)| (outing.window.stretch.start, *at));
    // The demo's zone is UTC.
    let minute = |at: jiff::Timestamp| at.as_second().rem_euclid(86400) as f64 / 60.0;
    let (mut not_before, mut asked) = (0, 0);
    for (item, (_, outing)) in summaries(&html).iter().zip(outings) {
        let times = &outing.window.timetable;
        assert!(item.contains("stand-off "), "{item}");
        for who in &outing.window.ask_first {
            assert!(item.contains(&format!("Ask first: {who}")), "{item}");
            asked += 1;
        }
        if let Departure::NotBefore {
            cross_by,
            cross_from,
        } = times.departure()
        {
            let told = |after: &str| {
                let at = item.find(after).unwrap() + after.len();
                minute_of(&item[at..at + 5]) as f64
            };
            assert!(told("Across by ") <= minute(cross_by), "{item}");
            assert!(told("not back before ") >= minute(cross_from), "{item}");
            not_before += 1;
        }
        if let Some(tide) = &outing.occasion.high_water {
            let upper = tide.height_m + scenario.water().upper_m();
            let at = item.find("Upper water ").unwrap() + "Upper water ".len();
            let told: f64 = item[at..].split(' ').next().unwrap().parse().unwrap();
            // A thousandth of a centimetre is what rounding up forgives.
            assert!(told >= upper - 1e-5, "{told} {upper}");
            assert!(told < upper + 0.02, "{told} {upper}");
        }
    }
    assert!(not_before > 5 && asked > 5, "{not_before} {asked}");
    let cautions_at = html
        .find("<section class=\"warned\" id=\"cautions\">")
        .unwrap();
    let end = html[cautions_at..].find("</section>").unwrap();
    for caution in cautions::ALL {
        let escaped = wrackline_show::markup::escape(caution);
        assert!(html[cautions_at..cautions_at + end].contains(&escaped));
    }
    // A keyword of the policy's own language is not a word to anybody.
    let read = html.replace("'unsafe-inline'", "").to_lowercase();
    assert!(!read.contains("safe"));
    assert!(!wall(season, None).unwrap().to_lowercase().contains("safe"));
}

#[test]
fn a_page_of_ninety_days_and_four_seats_stays_small_and_whole() {
    let scenario = demo();
    let seasons = [winter(&scenario, 90, ask())];
    assert_eq!(seasons[0].seats.len(), 4);
    let html = written(&seasons, 15);
    assert!(html.len() < 1_000_000, "{}", html.len());
    let found = elements(&markup(&html).replace("<!DOCTYPE html>", ""));
    let mut ids: Vec<&str> = Vec::new();
    for (name, attributes) in &found {
        assert!(
            ![
                "img", "iframe", "object", "embed", "link", "base", "audio", "video"
            ]
            .contains(&name.as_str()),
            "{name}"
        );
        for (key, value) in attributes {
            assert!(
                !key.starts_with("on") && key != "src" && key != "style",
                "{key}"
            );
            if key == "href" {
                assert!(value.starts_with('#'), "{value}");
            }
            if key == "id" {
                ids.push(value);
            }
        }
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id stands twice");
    for text in html.match_indices("url(").map(|(at, _)| &html[at..at + 5]) {
        assert_eq!(text, "url(#");
    }
    assert!(!html.contains("@import"));
    for text in html
        .match_indices("//")
        .map(|(at, _)| &html[at.saturating_sub(5)..at + 2])
    {
        assert!(!text.starts_with("http") || text == "http://", "{text}");
    }
    assert_eq!(
        html.matches("http://").count(),
        html.matches("http://www.w3.org/").count()
    );
}

#[test]
fn only_this_script_runs_and_it_writes_text_only() {
    let hash = base64::prelude::BASE64_STANDARD.encode(Sha256::digest(SCRIPT));
    let scenario = demo();
    let seasons = [winter(&scenario, 3, ask())];
    let html = written(&seasons, 0);
    assert!(
        html.contains(&format!("script-src 'sha256-{hash}';")),
        "page.js has changed: write {hash} into page.js.sha256"
    );
    assert!(html.contains("default-src 'none';") && html.contains("form-action 'none'"));
    assert_eq!(html.matches("<script>").count(), 1);
    for way in [
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
        "fetch(",
        "XMLHttpRequest",
        "sendBeacon",
        "WebSocket",
        "import(",
    ] {
        assert!(!SCRIPT.contains(way), "{way}");
    }
}

#[test]
fn hostile_texts_stay_text() {
    let evil = "</script><img src=x onerror='alert(1)'><b id=\\\"w1\\\">&amp;";
    let seen = "&lt;/script&gt;&lt;img src=x onerror=&#39;alert(1)&#39;&gt;&lt;b id=&quot;w1&quot;&gt;&amp;amp;";
    let mut text = DEMO.to_owned();
    for old in [
        "title = \"Oskerrow Water\"",
        "name = \"Tallow Ness\"",
        "name = \"Wall Seat\"",
        "name = \"slate knotling\"",
        "name = \"Hurdle Hard\"",
        "permission = \"warden, weekly list\"",
        "reason = \"breeding marsh birds\"",
        "name = \"lift-off\"",
    ] {
        assert!(text.contains(old), "the demo no longer has: {old}");
        let key = old.split(" = ").next().unwrap();
        text = text.replace(old, &format!("{key} = \"{evil}\""));
    }
    text = text.replace("low front light", "low <i>light</i>");
    let scenario = Scenario::parse("hostile.toml", &text).unwrap();
    let seasons = [winter(&scenario, 40, ask())];
    let html = written(&seasons, 3);
    assert!(
        html.matches(seen).count() > 50,
        "{}",
        html.matches(seen).count()
    );
    assert!(html.contains("low &lt;i&gt;light&lt;/i&gt;"));
    for bad in ["<img", "<i>light", "onerror='", "<b id="] {
        assert!(!html.contains(bad), "{bad}");
    }
    assert_eq!(html.matches("</script>").count(), 1);
    elements(&markup(&html).replace("<!DOCTYPE html>", ""));
    let drawn = wall(&seasons[0], None).unwrap();
    assert!(drawn.contains("&lt;img") && !drawn.contains("<img"));
    elements(&drawn);
}

#[test]
fn what_is_implausible_stands_above_what_follows_from_it() {
    let scenario = demo();
    let seasons = [winter(&scenario, 3, ask())];
    let html = written(&seasons, 0);
    let drawn = wall(&seasons[0], None).unwrap();
    assert!(scenario.warnings().is_empty() && !html.contains("Warnings of the scenario"));
    let text = DEMO.replacen("mean_level_m = 4.4", "mean_level_m = 0.1", 1);
    let scenario = Scenario::parse("implausible.toml", &text).unwrap();
    assert!(
        !scenario.warnings().is_empty(),
        "another slip is needed here"
    );
    let seasons = [winter(&scenario, 3, ask())];
    let html = written(&seasons, 0);
    let at = html.find("Warnings of the scenario").unwrap();
    assert!(at < html.find("<section id=\"calendar\">").unwrap());
    assert!(!drawn.contains("Warning: "));
    assert!(wall(&seasons[0], None).unwrap().contains("Warning: "));
}

#[test]
fn a_day_without_a_window_says_why() {
    let scenario = demo();
    let seasons = [winter(&scenario, 90, ask())];
    let html = written(&seasons, 0);
    for (at, report) in seasons[0].seats.iter().enumerate() {
        let from = html
            .find(&format!(
                "<details class=\"no\" data-c=\"{at}\" data-l=\"0\">"
            ))
            .unwrap();
        let list = &html[from..from + html[from..].find("</details>").unwrap()];
        let here = |outing: &&Outing<'_>| {
            outing.seat.id == report.seat.id && outing.subject.id == report.subject.id
        };
        let mut open: Vec<_> = seasons[0].outings.iter().filter(here).collect();
        open.dedup_by_key(|outing| outing.occasion.date);
        let mut dates: Vec<_> = open.iter().map(|outing| outing.occasion.date).collect();
        dates.sort();
        dates.dedup();
        assert_eq!(list.matches("<li data-d=").count(), 90 - dates.len());
        for date in dates {
            assert!(!list.contains(&format!("data-d=\"{date}\"")), "{date}");
        }
        for occasion in report.refused.iter().filter(|o| !o.refusals.is_empty()) {
            let first = &occasion.refusals[0];
            let day = format!("data-d=\"{}\"", occasion.date);
            if let Some(line) = list.split("<li ").find(|line| line.starts_with(&day)) {
                assert!(line.contains(first.condition.name()), "{line}");
            }
        }
    }
}

/// What the form lets through, the log's own reader takes; what lies beyond, neither does.
#[test]
fn the_field_sheet_asks_what_the_log_takes() {
    let scenario = demo();
    let seasons = [winter(&scenario, 3, ask())];
    let html = written(&seasons, 0);
    let found = elements(&markup(&html).replace("<!DOCTYPE html>", ""));
    let mut numbers = 0;
    for field in FIELDS.iter().filter(|field| field.name != "id") {
        let (_, attributes) = found
            .iter()
            .find(|(_, all)| all.contains(&("id".to_owned(), format!("f-{}", field.name))))
            .unwrap_or_else(|| panic!("{} is not asked for", field.name));
        let get = |key: &str| {
            let found = attributes.iter().find(|(name, _)| name == key);
            found.map(|(_, value)| value.clone())
        };
        assert_eq!(get("required").is_some(), field.required, "{}", field.name);
        let takes = |value: &str| {
            let mut draft = Draft::default();
            for (name, text) in [
                ("when", "2026-12-29T09:30+00:00"),
                ("place", "tallow-ness"),
                ("subject", "slate-knotling"),
                ("outcome", "absent"),
                (field.name, value),
            ] {
                draft.set(name, text).unwrap();
            }
            draft.entry_as_noted(&TimeZone::UTC).is_ok()
        };
        if let (Some(least), Some(most)) = (get("min"), get("max")) {
            numbers += 1;
            let step = if get("step").as_deref() == Some("1") {
                1.0
            } else {
                0.01
            };
            let beyond = |text: &str, by: f64| (text.parse::<f64>().unwrap() + by).to_string();
            assert!(takes(&least) && takes(&most), "{}", field.name);
            assert!(!takes(&beyond(&least, -step)), "{}", field.name);
            assert!(!takes(&beyond(&most, step)), "{}", field.name);
        }
    }
    assert_eq!(numbers, 12);
}

#[test]
fn the_wall_has_every_window_and_every_caution() {
    let scenario = demo();
    let season = winter(&scenario, 90, ask());
    let svg = wall(&season, None).unwrap();
    let found = elements(&svg);
    assert_eq!(found[0].0, "svg");
    let words = svg.split('<').filter_map(|part| part.split_once('>'));
    let words: Vec<&str> = words.map(|(_, text)| text).collect();
    let text = words.join(" ");
    for outing in &season.outings {
        let day = outing.occasion.date.strftime("%a %-d %b %Y").to_string();
        assert!(text.contains(&format!("{day}, seat {}", outing.seat.id)));
    }
    assert_eq!(
        text.matches("stand-off ").count(),
        season.outings.len(),
        "one line a window"
    );
    for caution in cautions::ALL {
        let first: Vec<&str> = caution.split(' ').take(6).collect();
        assert!(text.contains(&first.join(" ")), "{caution}");
    }
}
