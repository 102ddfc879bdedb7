//! The rows of one group as columns.

use std::ops::Range;
use std::sync::Arc;

use arrow_array::RecordBatch;
use arrow_schema::SchemaRef;
use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{SideLimits, View, shadow_line_angle_deg};

use super::Table;
use super::columns::{Columns, append_key, append_words, for_each_run, side_word};
use super::costs::{Costs, Lap};
use super::error::Error;
use super::instants::LocalTimes;
use super::judge::{self, Moment, Timeline, Verdict};
use super::layout::Group;
use super::part::Part;
use super::rounded::{azimuths, decimals, digits};
use super::sky::{NO_SIDE_BELOW_DEG, Skies, SkyColumns, SkyStretch, step};
use super::slice::Slice;
use super::spot::Spot;
use super::tide::TideColumns;

/// What one thread keeps from group to group: room, and the last tide, which neighbouring places
/// often share.
#[derive(Debug, Default)]
pub(super) struct Worker {
    pub(super) costs: Costs,
    sky: SkyColumns,
    tide: TideColumns,
    /// The port and the instants that `tide` holds.
    tide_of: Option<(usize, Range<usize>)>,
    /// The instants of the group.
    instants: Vec<Timestamp>,
    numbers: Vec<f32>,
    angles: Vec<f64>,
}

impl Worker {
    /// Computes one group.
    pub(super) fn batch(
        &mut self,
        slice: &Slice<'_>,
        skies: &Skies,
        group: &Group,
    ) -> Result<RecordBatch, Error> {
        let mut lap = Lap::start();
        let sky: Result<Vec<Arc<SkyStretch>>, Error> = group
            .stretches()
            .map(|stretch| skies.get(slice.table, stretch))
            .collect();
        let sky = sky?;
        self.instants.clear();
        for stretch in &sky {
            self.instants.extend_from_slice(stretch.instants());
        }
        lap.end(&mut self.costs.prepare_sky);
        let mut columns = Columns::with_capacity(group.rows());
        let mut local = LocalTimes::default();
        for place in group.places.clone() {
            self.place(slice, &sky, group, place, &mut local, &mut columns)?;
        }
        let mut lap = Lap::start();
        let batch = columns.finish(&slice.names, &slice.schema);
        lap.end(&mut self.costs.rows);
        batch
    }

    fn place(
        &mut self,
        slice: &Slice<'_>,
        sky: &[Arc<SkyStretch>],
        group: &Group,
        place: usize,
        local: &mut LocalTimes,
        columns: &mut Columns,
    ) -> Result<(), Error> {
        let (table, names) = (slice.table, &slice.names);
        let spec = &table.spec;
        let spot = &spec.places.spots[place];
        let count = self.instants.len();
        let mut lap = Lap::start();

        append_key(&mut columns.place, names.place.key(place), count);
        append_key(&mut columns.seat, names.seat.key(place), count);
        append_key(&mut columns.subject, names.subject.key(place), count);
        local.of(spot.zone, &spec.places.zones[spot.zone].1, &self.instants);
        columns.instant_utc.append_slice(&local.utc_ms);
        columns.instant_local.append_slice(&local.local_ms);
        columns.utc_offset_s.append_slice(&local.offset_s);

        lap.end(&mut self.costs.rows);

        self.sky.resize(count);
        let mut done = 0;
        for stretch in sky {
            stretch.fill(&spot.observer, &mut self.sky, done)?;
            done += stretch.instants().len();
        }
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
        let moon = self.sky.moon.iter().map(|moon| moon.altitude_deg);
        decimals(numbers, moon, 4, &mut columns.moon_altitude_deg);
        let lit = self.sky.moon.iter().map(|moon| moon.lit_fraction);
        decimals(numbers, lit, 4, &mut columns.moon_lit_fraction);

        if let Some(bearing_deg) = spot.bearing_deg {
            self.angles.clear();
            for sun in sun {
                let angle = shadow_line_angle_deg(View {
                    light_azimuth_deg: sun.azimuth_deg,
                    bearing_deg,
                })
                .map_err(|error| Error::Encode(error.to_string()))?;
                self.angles.push(angle);
            }
            let limits = SideLimits::default();
            let sides = sun.iter().zip(&self.angles).map(|(sun, angle)| {
                (sun.altitude_deg >= NO_SIDE_BELOW_DEG).then(|| side_word(limits.side(*angle)))
            });
            append_words(&mut columns.light_side, sides);
            let angles = self.angles.iter().copied();
            decimals(numbers, angles, 3, &mut columns.light_angle_deg);
        } else {
            columns.light_angle_deg.append_nulls(count);
            columns.light_side.append_nulls(count);
        }

        if let Some(port) = spot.port {
            let key = Some((port, group.instants.clone()));
            lap.end(&mut self.costs.rows);
            if self.tide_of != key {
                self.tide_of = None;
                self.tide.resize(count);
                let port = &spec.places.ports[port].port;
                let mut done = 0;
                for stretch in sky {
                    let instants = stretch.instants();
                    self.tide
                        .fill(port, instants, step(table), spec.near_turn, done)
                        .map_err(|source| Error::Tide {
                            place: spot.place.clone(),
                            source: Box::new(source),
                        })?;
                    done += instants.len();
                }
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
            let heights = self.tide.height_m.iter();
            let exceeded = heights.map(|height| Some(spot.levels.exceeded(*height)));
            append_words(&mut columns.level_exceeded, exceeded);
        } else {
            columns.level_exceeded.append_nulls(count);
        }
        let mut done = 0;
        for stretch in sky {
            self.judge(table, spot, stretch.instants(), done, columns)?;
            done += stretch.instants().len();
        }
        lap.end(&mut self.costs.rows);
        Ok(())
    }

    fn judge(
        &self,
        table: &Table,
        spot: &Spot,
        instants: &[Timestamp],
        done: usize,
        columns: &mut Columns,
    ) -> Result<(), Error> {
        let spec = &table.spec;
        let timeline = match (&spec.scenario, spot.wish, instants) {
            (Some(scenario), Some(wish), [first, .., last] | [first @ last]) => {
                let end = last
                    .saturating_add(SignedDuration::from_millis(1))
                    .unwrap_or(*last);
                {
                    let told = spec.experience.as_ref();
                    Some(Timeline::new(scenario, told, spot, wish, *first..end)?)
                }
            }
            _ => None,
        };
        let verdicts = (done..).zip(instants).map(|(index, at)| match &timeline {
            Some(timeline) => timeline.at(*at),
            None => {
                let moment = Moment {
                    sun_altitude_deg: self.sky.sun[index].altitude_deg,
                    light_angle_deg: spot.bearing_deg.map(|_| self.angles[index]),
                    tide_height_m: spot.port.map(|_| self.tide.height_m[index]),
                };
                judge::at_once(spot, spec.light.as_ref(), &moment)
            }
        });
        for_each_run(verdicts, |verdict, count| match verdict {
            Verdict::Unjudged => {
                columns.usable.append_nulls(count);
                columns.limiting_condition.append_nulls(count);
            }
            Verdict::Usable => {
                columns.usable.append_n(count, true);
                columns.limiting_condition.append_nulls(count);
            }
            Verdict::Limited(condition) => {
                columns.usable.append_n(count, false);
                let word = judge::word(condition);
                columns.limiting_condition.append_value_n(word, count);
            }
        });
        Ok(())
    }
}

/// The groups of a part in order, for programs that go on with the rows themselves; computed one by
/// one on the caller's thread.
#[derive(Debug)]
pub struct Batches<'t> {
    slice: Slice<'t>,
    skies: Skies,
    worker: Worker,
    next: usize,
}

impl Table {
    /// The groups of the table as Arrow record batches, with the columns of
    /// [`COLUMNS`](super::schema::COLUMNS).
    pub fn batches(&self) -> Batches<'_> {
        Batches::of(self.slice(&self.whole()))
    }

    /// The groups of a part.
    ///
    /// # Errors
    /// A part of another table.
    pub fn batches_of(&self, part: &Part) -> Result<Batches<'_>, Error> {
        self.check_part(part)?;
        Ok(Batches::of(self.slice(part)))
    }
}

impl<'t> Batches<'t> {
    fn of(slice: Slice<'t>) -> Self {
        Self {
            slice,
            skies: Skies::default(),
            worker: Worker::default(),
            next: 0,
        }
    }

    /// The schema of the batches.
    pub fn schema(&self) -> SchemaRef {
        Arc::clone(&self.slice.schema)
    }
}

impl Iterator for Batches<'_> {
    type Item = Result<RecordBatch, Error>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.next >= self.slice.layout.groups() {
            return None;
        }
        let group = self.slice.layout.group(self.next);
        self.next += 1;
        Some(self.worker.batch(&self.slice, &self.skies, &group))
    }
}
