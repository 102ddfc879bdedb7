//! Any bytes as occurrence records, a table or an archive: what they say of an animal, within its
//! bounds, or why they say nothing. Never a panic, never memory without end.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wrackline_gather::presence::{Question, Source, presence};

fuzz_target!(|bytes: &[u8]| {
    for skip_unreadable in [false, true] {
        let question = Question {
            skip_unreadable,
            shortest_list: 1,
            fewest_visits: 1,
            ..Question::new(10.0, 20.0, vec!["Avis ficta".to_owned()])
        };
        let Ok(told) = presence(&question, [Ok(Source::of_bytes("fuzz", bytes))]) else {
            continue;
        };
        let wide = told.year.wide_by_half_month();
        for (half, guarded) in told.year.half_months.iter().zip(wide) {
            let interval = half.share.interval;
            assert!(0.0 <= interval.low && interval.low <= half.share.mean);
            assert!(half.share.mean <= interval.high && interval.high <= 1.0);
            assert!(guarded || half.count.with == 0);
        }
    }
});
