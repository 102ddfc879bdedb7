//! The rows of one group as columns.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use arrow_array::builder::{BooleanBuilder, PrimitiveBuilder};
use arrow_array::types::{
    ArrowPrimitiveType, Float32Type, Int8Type, Int32Type, TimestampMillisecondType,
};
use arrow_array::{ArrayRef, DictionaryArray, RecordBatch, StringArray};
use arrow_schema::SchemaRef;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{LightSide, SideLimits, View, shadow_line_angle_deg};

use super::Table;
use super::error::Error;
use super::instants::timestamp;
use super::judge::{self, Moment, Timeline, Verdict};
use super::layout::Group;
use super::schema;
use super::sky::{SkyBlock, SkyColumns};
use super::spot::{Places, Spot};
use super::tide::TideColumns;
use wrackline_plan::scenario::Scenario;

/// The centre of the sun so far down, degrees, that light has no side: the end of civil twilight.
pub(super) const NO_SIDE_BELOW_DEG: f64 = -6.0;

/// Prepared skies kept for the groups to come.
const KEPT_SKIES: usize = 8;

/// Names that rows refer to by number, the same for all groups of a table.
#[derive(Debug)]
pub(super) struct Names {
    place: Dictionary,
    seat: Dictionary,
    subject: Dictionary,
}

#[derive(Debug)]
struct Dictionary {
    keys: Vec<Option<i32>>,
    words: ArrayRef,
}

impl Dictionary {
    fn new<'n>(names: impl Iterator<Item = Option<&'n str>>) -> Self {
        let mut known = std::collections::HashMap::new();
        let mut words = Vec::new();
        let keys = names
            .map(|name| {
                name.map(|name| {
                    *known.entry(name).or_insert_with(|| {
                        words.push(name);
                        words.len() as i32 - 1
                    })
                })
            })
            .collect();
        Self {
            keys,
            words: Arc::new(StringArray::from(words)),
        }
    }
}

impl Names {
    pub(super) fn new(places: &Places, scenario: Option<&Scenario>) -> Self {
        let spots = || places.spots.iter();
        let subject = |spot: &Spot| Some(scenario?.subjects()[spot.wish?.subject].id.as_str());
        Self {
            place: Dictionary::new(spots().map(|spot| Some(spot.place.as_str()))),
            seat: Dictionary::new(spots().map(|spot| spot.seat.as_deref())),
            subject: Dictionary::new(spots().map(subject)),
        }
    }
}

/// What the threads share: skies of stretches of instants, the newest last.
#[derive(Debug, Default)]
pub(super) struct Skies(Mutex<Vec<(usize, Arc<SkyBlock>)>>);

impl Skies {
    fn get(&self, table: &Table, group: &Group) -> Result<Arc<SkyBlock>, Error> {
        let start = group.instants.start;
        let find = || {
            let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let at = kept.iter().position(|(key, _)| *key == start)?;
            let found = kept.remove(at);
            let sky = Arc::clone(&found.1);
            kept.push(found);
            Some(sky)
        };
        if let Some(sky) = find() {
            return Ok(sky);
        }
        // Two threads may prepare the same sky at once: the work is doubled, the result is the same.
        let mut ms = Vec::with_capacity(group.instants.len());
        table
            .spec
            .instants
            .append_ms(group.instants.clone(), &mut ms);
        let instants = ms.into_iter().map(timestamp).collect();
        let sky = Arc::new(SkyBlock::new(instants, step(table))?);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= KEPT_SKIES {
            kept.remove(0);
        }
        kept.push((start, Arc::clone(&sky)));
        Ok(sky)
    }
}

fn step(table: &Table) -> Option<SignedDuration> {
    table
        .spec
        .instants
        .step_ms()
        .map(SignedDuration::from_millis)
}

/// Time that threads spent, added up over them: where a run's time goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Costs {
    /// Working out the paths of sun and moon, once for each stretch of instants.
    pub prepare_sky: Duration,
    /// Sun, moon and illuminance over each place.
    pub sky: Duration,
    /// The tide at each place.
    pub tide: Duration,
    /// Judging, rounding, and joining the columns.
    pub rows: Duration,
    /// Encoding the groups.
    pub encode: Duration,
    /// Writing them.
    pub write: Duration,
}

impl Costs {
    pub(super) fn add(&mut self, other: &Self) {
        self.prepare_sky += other.prepare_sky;
        self.sky += other.sky;
        self.tide += other.tide;
        self.rows += other.rows;
        self.encode += other.encode;
        self.write += other.write;
    }
}

/// The time since the last look at a clock.
struct Lap(Instant);

impl Lap {
    fn start() -> Self {
        Self(Instant::now())
    }

    fn end(&mut self, cost: &mut Duration) {
        let now = Instant::now();
        *cost += now - self.0;
        self.0 = now;
    }
}

/// What one thread keeps from group to group: room, and the last tide, which neighbouring places often share.
#[derive(Debug, Default)]
pub(super) struct Worker {
    pub(super) costs: Costs,
    sky: SkyColumns,
    tide: TideColumns,
    /// The port and the first instant that `tide` holds.
    tide_of: Option<(usize, usize)>,
    numbers: Vec<f32>,
    angles: Vec<f64>,
}

impl Worker {
    /// Computes one group.
    pub(super) fn batch(
        &mut self,
        table: &Table,
        skies: &Skies,
        schema: &SchemaRef,
        group: &Group,
    ) -> Result<RecordBatch, Error> {
        let mut lap = Lap::start();
        let sky = skies.get(table, group)?;
        lap.end(&mut self.costs.prepare_sky);
        let mut columns = Columns::with_capacity(group.rows());
        let mut local = LocalTimes::default();
        for place in group.places.clone() {
            self.place(table, &sky, group, place, &mut local, &mut columns)?;
        }
        let mut lap = Lap::start();
        let batch = columns.finish(&table.names, schema);
        lap.end(&mut self.costs.rows);
        batch
    }

    fn place(
        &mut self,
        table: &Table,
        sky: &SkyBlock,
        group: &Group,
        place: usize,
        local: &mut LocalTimes,
        columns: &mut Columns,
    ) -> Result<(), Error> {
        let spec = &table.spec;
        let spot = &spec.places.spots[place];
        let instants = sky.instants();
        let count = instants.len();
        let mut lap = Lap::start();

        append_key(&mut columns.place, table.names.place.keys[place], count);
        append_key(&mut columns.seat, table.names.seat.keys[place], count);
        append_key(&mut columns.subject, table.names.subject.keys[place], count);
        local.of(spot.zone, &spec.places.zones[spot.zone].1, instants);
        columns.instant_utc.append_slice(&local.utc_ms);
        columns.instant_local.append_slice(&local.local_ms);
        columns.utc_offset_s.append_slice(&local.offset_s);

        lap.end(&mut self.costs.rows);

        sky.fill(&spot.observer, &mut self.sky)?;
        lap.end(&mut self.costs.sky);
        let sun = &self.sky.sun;
        let numbers = &mut self.numbers;
        let altitude = sun.iter().map(|sun| sun.altitude_deg);
        decimals(numbers, altitude, 4, &mut columns.sun_altitude_deg);
        azimuths(
            numbers,
            sun.iter().map(|sun| sun.azimuth_deg),
            4,
            &mut columns.sun_azimuth_deg,
        );
        digits(
            numbers,
            self.sky.illuminance_lx.iter().copied(),
            3,
            &mut columns.illuminance_lx,
        );
        let moon = self.sky.moon_altitude_deg.iter().copied();
        decimals(numbers, moon, 4, &mut columns.moon_altitude_deg);
        let lit = self.sky.lit_fraction.iter().copied();
        decimals(numbers, lit, 4, &mut columns.moon_lit_fraction);

        if let Some(bearing_deg) = spot.bearing_deg {
            let limits = SideLimits::default();
            self.angles.clear();
            for sun in sun {
                let angle = shadow_line_angle_deg(View {
                    sun_azimuth_deg: sun.azimuth_deg,
                    bearing_deg,
                });
                self.angles.push(angle);
                if sun.altitude_deg < NO_SIDE_BELOW_DEG {
                    columns.light_side.append_null();
                } else {
                    columns
                        .light_side
                        .append_value(side_word(limits.side(angle)));
                }
            }
            let angles = self.angles.iter().copied();
            decimals(numbers, angles, 3, &mut columns.light_angle_deg);
        } else {
            columns.light_angle_deg.append_nulls(count);
            columns.light_side.append_nulls(count);
        }

        if let Some(port) = spot.port {
            let key = Some((port, group.instants.start));
            lap.end(&mut self.costs.rows);
            if self.tide_of != key {
                self.tide_of = None;
                self.tide
                    .fill(
                        &spec.places.ports[port].port,
                        instants,
                        step(table),
                        spec.near_turn,
                    )
                    .map_err(|source| Error::Tide {
                        place: spot.place.clone(),
                        source,
                    })?;
                self.tide_of = key;
            }
            lap.end(&mut self.costs.tide);
            let height = self.tide.height_m.iter().copied();
            decimals(numbers, height, 4, &mut columns.tide_height_m);
            let rate = self.tide.rate_m_per_h.iter().copied();
            decimals(numbers, rate, 4, &mut columns.tide_rate_m_per_h);
            columns.tide_state.append_slice(&self.tide.state);
        } else {
            columns.tide_height_m.append_nulls(count);
            columns.tide_rate_m_per_h.append_nulls(count);
            columns.tide_state.append_nulls(count);
        }
        if spot.port.is_some() && spot.levels.any() {
            for height in &self.tide.height_m {
                columns
                    .level_exceeded
                    .append_value(spot.levels.exceeded(*height));
            }
        } else {
            columns.level_exceeded.append_nulls(count);
        }
        self.judge(table, spot, instants, columns)?;
        lap.end(&mut self.costs.rows);
        Ok(())
    }

    fn judge(
        &self,
        table: &Table,
        spot: &Spot,
        instants: &[Timestamp],
        columns: &mut Columns,
    ) -> Result<(), Error> {
        let spec = &table.spec;
        let timeline = match (&spec.scenario, spot.wish, instants) {
            (Some(scenario), Some(wish), [first, .., last] | [first @ last]) => {
                let end = last
                    .saturating_add(SignedDuration::from_millis(1))
                    .unwrap_or(*last);
                Some(Timeline::new(scenario, spot, wish, *first..end)?)
            }
            _ => None,
        };
        for (index, at) in instants.iter().enumerate() {
            let verdict = match &timeline {
                Some(timeline) => timeline.at(*at),
                None => {
                    let moment = Moment {
                        sun_altitude_deg: self.sky.sun[index].altitude_deg,
                        light_angle_deg: spot.bearing_deg.map(|_| self.angles[index]),
                        tide_height_m: spot.port.map(|_| self.tide.height_m[index]),
                    };
                    judge::at_once(spot, spec.light.as_ref(), &moment)
                }
            };
            match verdict {
                Verdict::Unjudged => {
                    columns.usable.append_null();
                    columns.limiting_condition.append_null();
                }
                Verdict::Usable => {
                    columns.usable.append_value(true);
                    columns.limiting_condition.append_null();
                }
                Verdict::Limited(condition) => {
                    columns.usable.append_value(false);
                    columns
                        .limiting_condition
                        .append_value(judge::word(condition));
                }
            }
        }
        Ok(())
    }
}

/// The position of a side among the words of its column.
pub(super) fn side_word(side: LightSide) -> i8 {
    match side {
        LightSide::Front => 0,
        LightSide::Shoulder => 1,
        LightSide::Side => 2,
        LightSide::Rim => 3,
        LightSide::IntoTheSun => 4,
    }
}

/// The instants of a block on the clock of one zone.
#[derive(Debug, Default)]
struct LocalTimes {
    zone: Option<usize>,
    utc_ms: Vec<i64>,
    local_ms: Vec<i64>,
    offset_s: Vec<i32>,
}

impl LocalTimes {
    fn of(&mut self, number: usize, zone: &TimeZone, instants: &[Timestamp]) {
        if self.zone.replace(number) == Some(number) {
            return;
        }
        self.utc_ms.clear();
        self.local_ms.clear();
        self.offset_s.clear();
        let Some(first) = instants.first() else {
            return;
        };
        let mut offset = zone.to_offset(*first).seconds();
        let mut transitions = zone.following(*first).peekable();
        for at in instants {
            while let Some(next) = transitions.next_if(|next| next.timestamp() <= *at) {
                offset = next.offset().seconds();
            }
            let utc_ms = at.as_millisecond();
            self.utc_ms.push(utc_ms);
            self.local_ms.push(utc_ms + i64::from(offset) * 1000);
            self.offset_s.push(offset);
        }
    }
}

fn append_key(builder: &mut PrimitiveBuilder<Int32Type>, key: Option<i32>, count: usize) {
    match key {
        Some(key) => builder.append_value_n(key, count),
        None => builder.append_nulls(count),
    }
}

/// Adding and taking away this number rounds a smaller one to a whole number, ties to even, without a branch.
const WHOLE: f64 = 6_755_399_441_055_744.0;

/// A number rounded to decimals; the nearest single-precision number prints as that decimal again.
pub(super) fn round_decimals(value: f64, places: i32) -> f32 {
    let scale = 10f64.powi(places);
    (((value * scale + WHOLE) - WHOLE) / scale) as f32
}

/// A positive number rounded to significant digits; zero stays zero.
pub(super) fn round_digits(value: f64, digits: i32) -> f32 {
    if value <= 0.0 {
        return 0.0;
    }
    let scale = 10f64.powi(digits - 1 - value.log10().floor() as i32);
    (((value * scale + WHOLE) - WHOLE) / scale) as f32
}

type Numbers = PrimitiveBuilder<Float32Type>;

fn decimals(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    let scale = 10f64.powi(places);
    room.clear();
    room.extend(values.map(|value| (((value * scale + WHOLE) - WHOLE) / scale) as f32));
    out.append_slice(room);
}

/// Azimuths: what rounds to a full circle is north.
fn azimuths(
    room: &mut Vec<f32>,
    values: impl Iterator<Item = f64>,
    places: i32,
    out: &mut Numbers,
) {
    room.clear();
    room.extend(values.map(|value| {
        let rounded = round_decimals(value, places);
        if rounded >= 360.0 { 0.0 } else { rounded }
    }));
    out.append_slice(room);
}

fn digits(room: &mut Vec<f32>, values: impl Iterator<Item = f64>, digits: i32, out: &mut Numbers) {
    room.clear();
    room.extend(values.map(|value| round_digits(value, digits)));
    out.append_slice(room);
}

/// The columns of one group while they grow, named as in the schema.
struct Columns {
    place: PrimitiveBuilder<Int32Type>,
    seat: PrimitiveBuilder<Int32Type>,
    subject: PrimitiveBuilder<Int32Type>,
    instant_utc: PrimitiveBuilder<TimestampMillisecondType>,
    instant_local: PrimitiveBuilder<TimestampMillisecondType>,
    utc_offset_s: PrimitiveBuilder<Int32Type>,
    sun_altitude_deg: Numbers,
    sun_azimuth_deg: Numbers,
    light_angle_deg: Numbers,
    light_side: PrimitiveBuilder<Int8Type>,
    illuminance_lx: Numbers,
    moon_altitude_deg: Numbers,
    moon_lit_fraction: Numbers,
    tide_height_m: Numbers,
    tide_rate_m_per_h: Numbers,
    tide_state: PrimitiveBuilder<Int8Type>,
    level_exceeded: PrimitiveBuilder<Int8Type>,
    usable: BooleanBuilder,
    limiting_condition: PrimitiveBuilder<Int8Type>,
}

impl Columns {
    fn with_capacity(rows: usize) -> Self {
        fn room<T: ArrowPrimitiveType>(rows: usize) -> PrimitiveBuilder<T> {
            PrimitiveBuilder::with_capacity(rows)
        }
        Self {
            place: room(rows),
            seat: room(rows),
            subject: room(rows),
            instant_utc: room(rows),
            instant_local: room(rows),
            utc_offset_s: room(rows),
            sun_altitude_deg: room(rows),
            sun_azimuth_deg: room(rows),
            light_angle_deg: room(rows),
            light_side: room(rows),
            illuminance_lx: room(rows),
            moon_altitude_deg: room(rows),
            moon_lit_fraction: room(rows),
            tide_height_m: room(rows),
            tide_rate_m_per_h: room(rows),
            tide_state: room(rows),
            level_exceeded: room(rows),
            usable: BooleanBuilder::with_capacity(rows),
            limiting_condition: room(rows),
        }
    }

    /// Joins the columns in the order of [`schema::COLUMNS`].
    fn finish(mut self, names: &Names, schema: &SchemaRef) -> Result<RecordBatch, Error> {
        fn done<T: ArrowPrimitiveType>(mut builder: PrimitiveBuilder<T>) -> ArrayRef {
            Arc::new(builder.finish())
        }
        fn named(
            mut keys: PrimitiveBuilder<Int32Type>,
            names: &Dictionary,
        ) -> Result<ArrayRef, Error> {
            let array = DictionaryArray::try_new(keys.finish(), Arc::clone(&names.words));
            Ok(Arc::new(array.map_err(encode_error)?))
        }
        fn worded(mut keys: PrimitiveBuilder<Int8Type>, words: &[&str]) -> Result<ArrayRef, Error> {
            let words = Arc::new(StringArray::from(words.to_vec()));
            let array = DictionaryArray::try_new(keys.finish(), words);
            Ok(Arc::new(array.map_err(encode_error)?))
        }
        let columns = vec![
            named(self.place, &names.place)?,
            named(self.seat, &names.seat)?,
            named(self.subject, &names.subject)?,
            Arc::new(self.instant_utc.finish().with_timezone("UTC")),
            done(self.instant_local),
            done(self.utc_offset_s),
            done(self.sun_altitude_deg),
            done(self.sun_azimuth_deg),
            done(self.light_angle_deg),
            worded(self.light_side, schema::SIDES)?,
            done(self.illuminance_lx),
            done(self.moon_altitude_deg),
            done(self.moon_lit_fraction),
            done(self.tide_height_m),
            done(self.tide_rate_m_per_h),
            worded(self.tide_state, schema::STATES)?,
            worded(self.level_exceeded, schema::LEVELS)?,
            Arc::new(self.usable.finish()),
            worded(self.limiting_condition, schema::CONDITIONS)?,
        ];
        RecordBatch::try_new(Arc::clone(schema), columns).map_err(encode_error)
    }
}

pub(super) fn encode_error(error: impl std::fmt::Display) -> Error {
    Error::Encode(error.to_string())
}

/// The groups of a table in order, for programs that go on with the rows themselves; computed one by one on the caller's thread.
#[derive(Debug)]
pub struct Batches<'t> {
    table: &'t Table,
    schema: SchemaRef,
    skies: Skies,
    worker: Worker,
    next: usize,
}

impl Table {
    /// The groups of the table as Arrow record batches, with the columns of [`schema::COLUMNS`].
    pub fn batches(&self) -> Batches<'_> {
        Batches {
            table: self,
            schema: schema::arrow(super::output::metadata(self)),
            skies: Skies::default(),
            worker: Worker::default(),
            next: 0,
        }
    }
}

impl Iterator for Batches<'_> {
    type Item = Result<RecordBatch, Error>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.next >= self.table.groups() {
            return None;
        }
        let group = self.table.layout.group(self.next);
        self.next += 1;
        Some(
            self.worker
                .batch(self.table, &self.skies, &self.schema, &group),
        )
    }
}

/// No rows, but all the names.
pub(super) fn empty_batch(table: &Table, schema: &SchemaRef) -> Result<RecordBatch, Error> {
    Columns::with_capacity(0).finish(&table.names, schema)
}
