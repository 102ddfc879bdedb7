//! The columns of one group while they grow.

use std::sync::Arc;

use arrow_array::builder::{BooleanBuilder, PrimitiveBuilder};
use arrow_array::types::{
    ArrowPrimitiveType, Float32Type, Int8Type, Int32Type, TimestampMillisecondType,
};
use arrow_array::{ArrayRef, DictionaryArray, RecordBatch, StringArray};
use arrow_schema::SchemaRef;
use wrackline_solar::LightSide;

use super::error::{Error, encode_error};
use super::names::{Dictionary, Names};
use super::schema;
use super::slice::Slice;

type Numbers = PrimitiveBuilder<Float32Type>;

/// The columns of one group while they grow, named as in the schema.
pub(super) struct Columns {
    pub(super) place: PrimitiveBuilder<Int32Type>,
    pub(super) seat: PrimitiveBuilder<Int32Type>,
    pub(super) subject: PrimitiveBuilder<Int32Type>,
    pub(super) instant_utc: PrimitiveBuilder<TimestampMillisecondType>,
    pub(super) instant_local: PrimitiveBuilder<TimestampMillisecondType>,
    pub(super) utc_offset_s: PrimitiveBuilder<Int32Type>,
    pub(super) sun_altitude_deg: Numbers,
    pub(super) sun_azimuth_deg: Numbers,
    pub(super) light_angle_deg: Numbers,
    pub(super) light_side: PrimitiveBuilder<Int8Type>,
    pub(super) illuminance_lx: Numbers,
    pub(super) moon_altitude_deg: Numbers,
    pub(super) moon_lit_fraction: Numbers,
    pub(super) tide_height_m: Numbers,
    pub(super) tide_rate_m_per_h: Numbers,
    pub(super) tide_state: PrimitiveBuilder<Int8Type>,
    pub(super) level_exceeded: PrimitiveBuilder<Int8Type>,
    pub(super) usable: BooleanBuilder,
    pub(super) limiting_condition: PrimitiveBuilder<Int8Type>,
}

impl Columns {
    pub(super) fn with_capacity(rows: usize) -> Self {
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
    pub(super) fn finish(
        mut self,
        names: &Names,
        schema: &SchemaRef,
    ) -> Result<RecordBatch, Error> {
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

/// Repeats a key for every row of a place.
pub(super) fn append_key(
    builder: &mut PrimitiveBuilder<Int32Type>,
    key: Option<i32>,
    count: usize,
) {
    match key {
        Some(key) => builder.append_value_n(key, count),
        None => builder.append_nulls(count),
    }
}

/// Appends words by their positions, run by run: most rows hold what the one before holds.
pub(super) fn append_words(
    builder: &mut PrimitiveBuilder<Int8Type>,
    words: impl Iterator<Item = Option<i8>>,
) {
    for_each_run(words, |word, count| match word {
        Some(word) => builder.append_value_n(word, count),
        None => builder.append_nulls(count),
    });
}

/// Hands over runs of equal values with their lengths.
pub(super) fn for_each_run<T: PartialEq>(
    mut values: impl Iterator<Item = T>,
    mut take: impl FnMut(T, usize),
) {
    let Some(mut value) = values.next() else {
        return;
    };
    let mut count = 1;
    for next in values {
        if next != value {
            take(std::mem::replace(&mut value, next), count);
            count = 0;
        }
        count += 1;
    }
    take(value, count);
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

/// No rows, but all the names.
pub(super) fn empty_batch(slice: &Slice<'_>) -> Result<RecordBatch, Error> {
    Columns::with_capacity(0).finish(&slice.names, &slice.schema)
}
