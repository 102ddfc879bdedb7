//! Records taken one by one: which count, which are left out and for what, and to which visit those
//! that count belong.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use jiff::ToSpan;
use jiff::civil::Date;
use wrackline_plan::scenario::{HALF_MONTHS, Problem, half_month_of};
use wrackline_plan::words::Unknown;

use super::left_out::{LeftOut, Number};
use super::meaning::{
    days, distance_km, in_one_half_month, kind, not_to_be_counted, observer, one_line, plain,
    presence, states_effort, uncertainty,
};
use super::question::{Error, Question};
use super::terms::{Term, Values};
use super::visits::{Key, Note, Visits, hash};
use super::when::Days;

/// Records around a place that are held at most: a busy reserve has a few hundred thousand. Our
/// choice.
const MOST_RECORDS: usize = 5_000_000;
/// Names that are kept to tell what could be meant. Our choice.
const MOST_NAMES: usize = 5_000;
/// Data sets that are told apart. Our choice.
const MOST_SETS: usize = 200;
/// The longest span of days that still says something of its half-months: two months. Our choice.
const LONGEST_DAYS: i32 = 62;

/// Everything that was taken.
pub(super) struct Collector<'q> {
    question: &'q Question,
    names: Vec<String>,
    pub(super) records: u64,
    pub(super) counted: u64,
    pub(super) of_animal: u64,
    pub(super) uncertainty_unstated: u64,
    pub(super) left_out: BTreeMap<LeftOut, Number>,
    pub(super) visits: Visits,
    /// Half-months in which a sighting that does not count may have been true.
    pub(super) seen_otherwise: [bool; HALF_MONTHS],
    /// Records by the data set and the licence they name.
    pub(super) sets: BTreeMap<(String, String), u64>,
    known_names: BTreeSet<String>,
    heard: bool,
    identifiers: HashSet<u64>,
    sightings: HashMap<u64, u64>,
    held: usize,
}

/// When and by whom an event was made.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    date: Date,
    observer: Option<u64>,
    effort: bool,
}

/// What one record came to.
enum Outcome {
    Counts,
    LeftOut(LeftOut, bool),
}

impl<'q> Collector<'q> {
    pub(super) fn new(question: &'q Question) -> Self {
        Self {
            question,
            names: question.names.iter().map(|name| plain(name)).collect(),
            records: 0,
            counted: 0,
            of_animal: 0,
            uncertainty_unstated: 0,
            left_out: BTreeMap::new(),
            visits: Visits::default(),
            seen_otherwise: [false; HALF_MONTHS],
            sets: BTreeMap::new(),
            known_names: BTreeSet::new(),
            heard: false,
            identifiers: HashSet::new(),
            sightings: HashMap::new(),
            held: 0,
        }
    }

    /// Takes a record.
    pub(super) fn take(&mut self, values: &Values<'_>) -> Result<(), Problem> {
        self.count(values, None)
    }

    /// Takes a record of an event that has a table of its own.
    pub(super) fn take_of_event(&mut self, values: &Values<'_>, id: &str) -> Result<(), Problem> {
        self.count(values, Some(id))
    }

    /// Takes a record of an event elsewhere.
    pub(super) fn is_far(&mut self) {
        self.records += 1;
        self.left_out.entry(LeftOut::Elsewhere).or_default().records += 1;
    }

    /// Looks at an event: `None` where it lies elsewhere, `Some(None)` where it is near, or may be,
    /// and makes no visit of itself.
    pub(super) fn event(&mut self, values: &Values<'_>) -> Result<Option<Option<Seen>>, Problem> {
        let looked = |this: &Self| -> Result<Option<Option<Seen>>, Problem> {
            let Some(is_near) = this.is_near(values)? else {
                return Ok(Some(None));
            };
            if !is_near {
                return Ok(None);
            }
            let uncertain = uncertainty(values)?.is_some_and(|m| m > this.question.coarsest_m);
            let date = days(values)?.and_then(in_one_half_month);
            let date = date.filter(|date| this.question.since.is_none_or(|since| *date >= since));
            Ok(Some(date.filter(|_| !uncertain).map(|date| Seen {
                date,
                observer: observer(values),
                effort: states_effort(values),
            })))
        };
        match looked(self) {
            // Its occurrences are counted when they come, each for itself.
            Err(_) if self.question.skip_unreadable => Ok(Some(None)),
            looked => looked,
        }
    }

    /// Notes that an event was made, whatever was seen.
    pub(super) fn visited(&mut self, id: &str, seen: &Seen) {
        let Seen {
            date,
            observer,
            effort,
        } = *seen;
        let note = Note {
            date,
            observer,
            kind: None,
            with: false,
            declared: true,
            effort,
        };
        self.visits
            .note(Key::Event(hash((id, date))), note, self.kinds());
    }

    /// Takes a record that cannot be read: a problem, unless such are to be left out.
    pub(super) fn unreadable(&mut self, problem: Problem) -> Result<(), Problem> {
        if !self.question.skip_unreadable {
            return Err(problem);
        }
        self.records += 1;
        self.leave_out(LeftOut::Unreadable, false);
        Ok(())
    }

    fn count(&mut self, values: &Values<'_>, event: Option<&str>) -> Result<(), Problem> {
        self.records += 1;
        match self.judge(values, event) {
            Ok(Outcome::Counts) => self.counted += 1,
            Ok(Outcome::LeftOut(why, of_animal)) => self.leave_out(why, of_animal),
            Err(_) if self.question.skip_unreadable => self.leave_out(LeftOut::Unreadable, false),
            Err(problem) => return Err(problem),
        }
        Ok(())
    }

    fn leave_out(&mut self, why: LeftOut, of_animal: bool) {
        let number = self.left_out.entry(why).or_default();
        number.records += 1;
        number.of_animal += u64::from(of_animal);
    }

    /// Whether a record lies within the radius; `None` where it has no position.
    fn is_near(&self, values: &Values<'_>) -> Result<Option<bool>, Problem> {
        let degrees = |term, most: f64| -> Result<Option<f64>, Problem> {
            let Some(text) = values.get(term) else {
                return Ok(None);
            };
            let read = text.parse().ok().filter(|deg: &f64| deg.abs() <= most);
            let remedy = || format!("give decimal degrees from -{most} to {most}");
            let wrong = || values.problem(term, "is no position", &remedy());
            read.map(Some).ok_or_else(wrong)
        };
        let latitude = degrees(Term::Latitude, 90.0)?;
        let longitude = degrees(Term::Longitude, 180.0)?;
        Ok(latitude
            .zip(longitude)
            .map(|(latitude_deg, longitude_deg)| {
                let question = self.question;
                let here = [question.latitude_deg, question.longitude_deg];
                distance_km(here, [latitude_deg, longitude_deg]) <= question.radius_km
            }))
    }

    fn judge(&mut self, values: &Values<'_>, event: Option<&str>) -> Result<Outcome, Problem> {
        let out = |why| Ok(Outcome::LeftOut(why, false));
        match self.is_near(values)? {
            None => return out(LeftOut::NoPosition),
            Some(false) => return out(LeftOut::Elsewhere),
            Some(true) => {}
        }
        let Some(name) = values.either(Term::ScientificName, Term::VernacularName) else {
            return out(LeftOut::NoName);
        };
        let animal = self.is_the_animal(values);
        let kind = kind(name);
        let present = match presence(values)? {
            Ok(present) => present,
            Err(why) => return Ok(Outcome::LeftOut(why, animal)),
        };
        let out = |why| Ok(Outcome::LeftOut(why, animal));
        if let Some(why) = not_to_be_counted(values) {
            return out(why);
        }
        let Some(days) = days(values)? else {
            return out(LeftOut::NoDate);
        };
        if self.question.since.is_some_and(|since| days.first < since) {
            return out(LeftOut::TooOld);
        }
        let uncertainty_m = uncertainty(values)?;
        let coarse = uncertainty_m.is_some_and(|m| m > self.question.coarsest_m);
        let left_out = match in_one_half_month(days) {
            _ if coarse => Err(LeftOut::CoarsePosition),
            None => Err(LeftOut::CoarseDate),
            Some(date) => Ok(date),
        };
        let date = match left_out {
            Ok(date) => date,
            Err(why) => {
                if animal && present && why.may_be_true() {
                    self.may_have_been(days);
                }
                return out(why);
            }
        };
        if self.is_a_duplicate(values, kind, present) {
            return out(LeftOut::Duplicate);
        }
        self.held += 1;
        self.uncertainty_unstated += u64::from(uncertainty_m.is_none());
        self.of_animal += u64::from(animal);
        self.note_set(values);
        let observer = observer(values);
        let key = match (event, values.get(Term::EventId), observer) {
            (Some(id), _, _) => Key::Event(hash((id, date))),
            (None, Some(id), _) => Key::Event(hash((values.get(Term::DatasetName), id, date))),
            (None, None, Some(observer)) => Key::Observer(observer, date),
            (None, None, None) => Key::Day(date),
        };
        let note = Note {
            date,
            observer,
            kind: present.then_some(kind),
            with: animal && present,
            declared: event.is_some() || !present,
            effort: states_effort(values),
        };
        self.visits.note(key, note, self.kinds());
        Ok(Outcome::Counts)
    }

    fn may_have_been(&mut self, days: Days) {
        if (days.last - days.first).get_days() > LONGEST_DAYS {
            return;
        }
        let all = days
            .first
            .series(1.day())
            .take_while(|day| *day <= days.last);
        for day in all {
            self.seen_otherwise[half_month_of(day)] = true;
        }
    }

    fn is_the_animal(&mut self, values: &Values<'_>) -> bool {
        let scientific = values.get(Term::ScientificName).map(plain);
        let vernacular = values.get(Term::VernacularName).map(plain);
        let is = |wanted: &String| {
            let begins = |name: &String| {
                let rest = name.strip_prefix(wanted.as_str());
                rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            };
            vernacular.as_ref() == Some(wanted) || scientific.as_ref().is_some_and(begins)
        };
        let animal = self.names.iter().any(is);
        self.heard |= animal;
        if !animal && self.known_names.len() < MOST_NAMES {
            let known = [Term::VernacularName, Term::ScientificName].map(|term| values.get(term));
            self.known_names
                .extend(known.into_iter().flatten().map(one_line));
        }
        animal
    }

    /// Whether the same was said before: under the same identifier, or of the same animal on the
    /// same day at the same position by the same observer in another data set.
    fn is_a_duplicate(&mut self, values: &Values<'_>, kind: u64, present: bool) -> bool {
        let told = |terms: &[Term]| {
            let values: Vec<_> = terms.iter().map(|term| values.get(*term)).collect();
            hash(values)
        };
        if let Some(id) = values.get(Term::OccurrenceId)
            && !self.identifiers.insert(hash(id))
        {
            return true;
        }
        let sighting = hash((
            kind,
            present,
            told(&[
                Term::EventDate,
                Term::Year,
                Term::Month,
                Term::Day,
                Term::Latitude,
                Term::Longitude,
                Term::RecordedBy,
            ]),
        ));
        // Without an identifier, all that it says must be the same.
        if values.get(Term::OccurrenceId).is_none() {
            let all = hash(("all", sighting, told(Term::ALL)));
            if !self.identifiers.insert(all) {
                return true;
            }
        }
        let set = told(&[Term::DatasetName]);
        let by_somebody = values.get(Term::RecordedBy).is_some();
        by_somebody && *self.sightings.entry(sighting).or_insert(set) != set
    }

    fn note_set(&mut self, values: &Values<'_>) {
        let named = |term| one_line(values.get(term).unwrap_or_default());
        let mut set = (named(Term::DatasetName), named(Term::License));
        if self.sets.len() >= MOST_SETS && !self.sets.contains_key(&set) {
            set = ("others".to_owned(), String::new());
        }
        *self.sets.entry(set).or_default() += 1;
    }

    /// What is wrong with all of them together.
    pub(super) fn complain(&self) -> Result<(), Error> {
        let radius_km = self.question.radius_km;
        if self.held > MOST_RECORDS {
            return Err(Error::TooMany {
                most: MOST_RECORDS,
                radius_km,
            });
        }
        let elsewhere = [LeftOut::Elsewhere, LeftOut::NoPosition, LeftOut::Unreadable];
        let elsewhere = elsewhere.iter().filter_map(|why| self.left_out.get(why));
        let near = self.records - elsewhere.map(|number| number.records).sum::<u64>();
        if near == 0 {
            return Err(Error::Elsewhere {
                records: self.records,
                radius_km,
            });
        }
        if !self.heard {
            let name = self.question.names.join(", ");
            let among = format!("in the records within {radius_km} km of the place");
            let known = self.known_names.iter().map(String::as_str);
            let first = self
                .question
                .names
                .first()
                .map_or(name.as_str(), String::as_str);
            return Err(Error::Unheard(Unknown::new("animal", first, among, known)));
        }
        Ok(())
    }

    /// Kinds of animals that a visit keeps: as many as make it a list, and two, which tell whether
    /// anything else was seen.
    fn kinds(&self) -> usize {
        self.question.shortest_list.max(2)
    }

    /// Whether there is no room for another record.
    pub(super) fn is_full(&self) -> bool {
        self.held > MOST_RECORDS
    }
}
