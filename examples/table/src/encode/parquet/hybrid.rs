//! Small whole numbers as Parquet writes levels and the numbers of words: runs of one number, and
//! between them numbers side by side in as many bits as the greatest needs.

/// Numbers that stand side by side come in eights.
const EIGHT: usize = 8;

/// Takes numbers run by run.
#[derive(Debug)]
pub(super) struct Hybrid {
    bits: u32,
    /// The run that may still grow.
    number: u32,
    count: usize,
    /// Numbers that do not yet make eight.
    waiting: Vec<u32>,
    /// Whole eights, packed, which have no head yet.
    packed: Vec<u8>,
    eights: usize,
    out: Vec<u8>,
}

impl Hybrid {
    /// For numbers up to a greatest.
    pub(super) fn up_to(greatest: u32) -> Self {
        Self {
            bits: u32::BITS - greatest.leading_zeros(),
            number: 0,
            count: 0,
            waiting: Vec::with_capacity(EIGHT),
            packed: Vec::new(),
            eights: 0,
            out: Vec::new(),
        }
    }

    /// Bits that each number takes.
    pub(super) fn bits(&self) -> u32 {
        self.bits
    }

    /// The same number so many times.
    pub(super) fn repeat(&mut self, number: u32, count: usize) {
        if number != self.number {
            self.settle();
            self.number = number;
        }
        self.count += count;
    }

    /// Writes the run that has come to its end.
    fn settle(&mut self) {
        let mut count = std::mem::take(&mut self.count);
        if !self.waiting.is_empty() {
            let more = count.min(EIGHT - self.waiting.len());
            self.wait(more);
            count -= more;
        }
        if count >= EIGHT {
            self.end_eights();
            put_varint((count as u64) << 1, &mut self.out);
            let bytes = self.number.to_le_bytes();
            let used = self.bits.div_ceil(8) as usize;
            self.out.extend_from_slice(&bytes[..used]);
        } else {
            self.wait(count);
        }
    }

    /// Sets numbers beside those that wait: never more than eight in all.
    fn wait(&mut self, count: usize) {
        self.waiting.extend(std::iter::repeat_n(self.number, count));
        if self.waiting.len() == EIGHT {
            let numbers = self.waiting.drain(..).map(u64::from);
            pack(numbers, self.bits, &mut self.packed);
            self.eights += 1;
        }
    }

    fn end_eights(&mut self) {
        if self.eights > 0 {
            put_varint((self.eights as u64) << 1 | 1, &mut self.out);
            self.out.append(&mut self.packed);
            self.eights = 0;
        }
    }

    /// All of it. What fills up the last eight is not counted by a reader, who knows how many
    /// numbers there are.
    pub(super) fn finish(mut self) -> Vec<u8> {
        self.settle();
        if !self.waiting.is_empty() {
            self.number = 0;
            self.wait(EIGHT - self.waiting.len());
        }
        self.end_eights();
        self.out
    }
}

/// Numbers side by side, the first in the lowest bits; the last byte is filled up with zeros.
pub(super) fn pack(numbers: impl Iterator<Item = u64>, bits: u32, out: &mut Vec<u8>) {
    let (mut held, mut filled) = (0u128, 0);
    for number in numbers {
        held |= u128::from(number) << filled;
        filled += bits;
        while filled >= u8::BITS {
            out.push(held as u8);
            held >>= u8::BITS;
            filled -= u8::BITS;
        }
    }
    if filled > 0 {
        out.push(held as u8);
    }
}

/// A number in groups of seven bits, the lowest first.
pub(super) fn put_varint(mut number: u64, out: &mut Vec<u8>) {
    while number >= 0x80 {
        out.push(number as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
}

#[cfg(test)]
mod tests {
    use super::{Hybrid, pack, put_varint};

    fn written(greatest: u32, runs: &[(u32, usize)]) -> Vec<u8> {
        let mut hybrid = Hybrid::up_to(greatest);
        for &(number, count) in runs {
            hybrid.repeat(number, count);
        }
        hybrid.finish()
    }

    /// "Run Length Encoding / Bit-Packing Hybrid" and its example of bit packing, in
    /// "Encodings" of the Apache Parquet format.
    #[test]
    fn numbers_are_laid_as_the_format_says() {
        let mut packed = Vec::new();
        pack(0..8, 3, &mut packed);
        assert_eq!(packed, [0b1000_1000, 0b1100_0110, 0b1111_1010]);
        let mut numbers: Vec<(u32, usize)> = (0..8).map(|number| (number, 1)).collect();
        assert_eq!(written(7, &numbers), [3, 0x88, 0xc6, 0xfa]);
        // A run of its own begins where eight are full.
        numbers.push((7, 9));
        assert_eq!(written(7, &numbers), [3, 0x88, 0xc6, 0xfa, 18, 7]);
        // The longest known run: one head of two bytes, one number of two bytes.
        assert_eq!(written(300, &[(300, 60), (300, 40)]), [0xc8, 1, 44, 1]);
        // Three ones wait for five of the zeros that follow.
        assert_eq!(written(1, &[(1, 3), (0, 20)]), [3, 0b111, 30, 0]);
        // What is left is filled up to eight.
        assert_eq!(written(1, &[(1, 3)]), [3, 0b111]);
        // A single word needs no bits.
        assert_eq!(written(0, &[(0, 50)]), [100]);
        assert_eq!(written(0, &[(0, 5)]), [3]);
        assert!(written(5, &[]).is_empty());
        let mut out = Vec::new();
        put_varint(624_485, &mut out);
        assert_eq!(out, [0xe5, 0x8e, 0x26]);
    }
}
