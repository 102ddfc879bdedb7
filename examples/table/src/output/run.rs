//! The threads that compute groups, and the order in which these are handed over.

use std::collections::BTreeMap;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use crate::costs::Costs;
use crate::encode::{Encoded, Encoder};
use crate::error::Error;
use crate::fill::Worker;
use crate::sky::Skies;
use crate::slice::Slice;

/// Groups on their way from the threads that compute them to the one that writes them.
#[derive(Default)]
struct Belt {
    /// The next group to be computed.
    next: usize,
    /// The group that is to be written next.
    wanted: usize,
    ready: BTreeMap<usize, Result<Encoded, Error>>,
    stopped: bool,
    costs: Costs,
}

fn lock(belt: &Mutex<Belt>) -> MutexGuard<'_, Belt> {
    belt.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What the threads of a run share.
pub(super) struct Run<'r> {
    pub(super) slice: &'r Slice<'r>,
    pub(super) encoder: &'r dyn Encoder,
    pub(super) threads: usize,
}

impl Run<'_> {
    /// Computes the groups from `first` on and hands them over in order, until one is refused;
    /// tells whether all went through.
    pub(super) fn compute(
        &self,
        first: usize,
        costs: &mut Costs,
        take: &mut dyn FnMut(usize, Encoded) -> Result<bool, Error>,
    ) -> Result<bool, Error> {
        let groups = self.slice.layout.groups();
        let skies = Skies::default();
        let belt = Mutex::new(Belt {
            next: first,
            wanted: first,
            ..Belt::default()
        });
        let (moved, made) = (Condvar::new(), Condvar::new());
        let whole = std::thread::scope(|scope| {
            for _ in 0..self.threads {
                scope.spawn(|| self.work(&skies, &belt, &moved, &made));
            }
            let stop = |result| {
                lock(&belt).stopped = true;
                moved.notify_all();
                result
            };
            for index in first..groups {
                let mut held = made
                    .wait_while(lock(&belt), |belt| !belt.ready.contains_key(&index))
                    .unwrap_or_else(PoisonError::into_inner);
                let ready = held.ready.remove(&index);
                held.wanted = index + 1;
                drop(held);
                moved.notify_all();
                let Some(encoded) = ready else { continue };
                match encoded.and_then(|encoded| take(index, encoded)) {
                    Ok(true) => {}
                    Ok(false) => return stop(Ok(index + 1 == groups)),
                    Err(error) => return stop(Err(error)),
                }
            }
            Ok(true)
        });
        costs.add(&lock(&belt).costs);
        whole
    }

    /// One thread: takes up the next group until there is none. Only two groups more than there are
    /// threads are in hand, so that a slow reader does not fill the memory.
    fn work(&self, skies: &Skies, belt: &Mutex<Belt>, moved: &Condvar, made: &Condvar) {
        let groups = self.slice.layout.groups();
        let in_hand = self.threads + 2;
        let mut worker = Worker::default();
        loop {
            let mut held = moved
                .wait_while(lock(belt), |belt| {
                    !belt.stopped && belt.next < groups && belt.next >= belt.wanted + in_hand
                })
                .unwrap_or_else(PoisonError::into_inner);
            if held.stopped || held.next >= groups {
                held.costs.add(&worker.costs);
                return;
            }
            let index = held.next;
            held.next += 1;
            drop(held);
            let group = self.slice.layout.group(index);
            let batch = worker.batch(self.slice, skies, &group);
            let begun = Instant::now();
            let encoded = batch.and_then(|batch| self.encoder.group(&batch));
            worker.costs.encode += begun.elapsed();
            lock(belt).ready.insert(index, encoded);
            made.notify_all();
        }
    }
}
