//! Random numbers that anyone can draw again, years later and without this program.
//!
//! A seed and a name (what is drawn: `lot 7, thickness`) fix a stream of numbers. Block j of the stream, j = 1, 2, 3, ..., is the
//! SHA-256 of the text `seed/name/j`. Its 64 hexadecimal digits are four words of 16; each word, without its last 11 bits and
//! divided by 2^53, is one number from 0 to under 1. So block 1 holds the first four numbers, block 2 the next four. In Python:
//!
//! ```text
//! digits = hashlib.sha256(b"20310/lot-1/1").hexdigest()
//! [(int(digits[i:i+16], 16) >> 11) / 2**53 for i in (0, 16, 32, 48)]
//! ```
//!
//! The stream is for locations and simulations. It is no secret: who knows the seed knows the numbers.

use sha2::{Digest, Sha256};

use super::normal::normal_at;

/// A stream of random numbers, fixed by its seed and name.
///
/// ```
/// use slabtally::statistics::Draws;
/// // sha256 of "20310/lot-1/1" begins 9c59c94163044477 0050f8483a1d6ffb: 0x9c59c94163044477 >> 11, over 2^53, is 0.6107...
/// let mut draws = Draws::new("20310", "lot-1");
/// assert_eq!(draws.next(), 0.610_745_027_984_209_3);
/// assert_eq!(draws.next(), 0.001_235_501_893_565_804_6);
/// ```
#[derive(Clone, Debug)]
pub struct Draws {
    stem: String,
    block: u64,
    words: [u64; 4],
    used: usize,
}

impl Draws {
    /// The stream of a seed and a name.
    #[must_use]
    pub fn new(seed: &str, name: &str) -> Self {
        Self { stem: format!("{seed}/{name}/"), block: 0, words: [0; 4], used: 4 }
    }

    /// The next number, from 0 to under 1.
    #[expect(clippy::should_implement_trait, reason = "the stream never ends: an iterator's option would say it might")]
    pub fn next(&mut self) -> f64 {
        if self.used == self.words.len() {
            self.block += 1;
            self.words = words(&format!("{}{}", self.stem, self.block));
            self.used = 0;
        }
        let word = self.words[self.used];
        self.used += 1;
        fraction(word)
    }

    /// The next number of a standard normal population: the point of the normal curve below which the next number's share lies.
    /// A number that is exactly 0 has no such point and is passed over.
    pub fn next_normal(&mut self) -> f64 {
        loop {
            if let Some(point) = normal_at(self.next()) {
                return point;
            }
        }
    }
}

fn words(text: &str) -> [u64; 4] {
    let mut words = [0; 4];
    for (word, bytes) in words.iter_mut().zip(Sha256::digest(text.as_bytes()).chunks(8)) {
        *word = bytes.iter().fold(0, |word, &byte| word << 8 | u64::from(byte));
    }
    words
}

/// The first 53 bits over 2^53: two halves, each exact in floating point.
fn fraction(word: u64) -> f64 {
    let upper = u32::try_from(word >> 32).unwrap_or(u32::MAX);
    let lower = u32::try_from((word & 0xffff_ffff) >> 11).unwrap_or(u32::MAX);
    f64::from(upper) / 2_f64.powi(32) + f64::from(lower) / 2_f64.powi(53)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Computed with Python 3, hashlib and scipy.stats.norm.ppf, as the head of this file says.
    #[test]
    fn anyone_draws_the_same_numbers() {
        let mut draws = Draws::new("20310", "lot-1");
        let drawn: Vec<f64> = (0..8).map(|_| draws.next()).collect();
        assert_eq!(
            drawn,
            [
                0.610_745_027_984_209_3,
                0.001_235_501_893_565_804_6,
                0.783_244_179_245_534_4,
                0.920_088_476_091_061_7,
                0.049_615_037_594_526_123,
                0.319_218_836_183_820_96,
                0.521_004_138_194_827_5,
                0.078_391_992_748_420_13,
            ]
        );
        let mut draws = Draws::new("20310", "lot-1");
        let normal: Vec<f64> = (0..8).map(|_| draws.next_normal()).skip(4).collect();
        let python =
            [-1.648_597_724_682_034_2, -0.469_884_313_135_421, 0.052_673_914_207_335_15, -1.415_971_033_752_405_2];
        assert!(normal.iter().zip(python).all(|(own, other)| (own - other).abs() < 1e-9), "{normal:?}");
    }

    #[test]
    fn the_numbers_are_spread_evenly() {
        let mut draws = Draws::new("1", "evenly");
        let mut tenths = [0_u32; 10];
        for _ in 0..20_000 {
            let drawn = draws.next() * 10.0;
            *tenths.iter_mut().zip(0_u32..).filter(|(_, i)| f64::from(*i) <= drawn).last().unwrap().0 += 1;
        }
        // Chi-square with 9 degrees of freedom exceeds 27.9 once in a thousand seeds.
        let chi: f64 = tenths.iter().map(|&n| (f64::from(n) - 2_000.0).powi(2) / 2_000.0).sum();
        assert!(chi < 27.9, "{tenths:?}");
    }

    #[test]
    fn normal_numbers_have_mean_zero_and_deviation_one() {
        let mut draws = Draws::new("1", "normally");
        let drawn: Vec<f64> = (0..20_000).map(|_| draws.next_normal()).collect();
        let mean = drawn.iter().sum::<f64>() / 20_000.0;
        let square = drawn.iter().map(|x| x * x).sum::<f64>() / 20_000.0;
        assert!(mean.abs() < 0.025 && (square - 1.0).abs() < 0.04, "{mean}, {square}");
    }

    proptest! {
        #[test]
        fn another_name_or_seed_is_another_stream(seed in 0_u64..1_000_000, name in "[a-z]{1,8}") {
            let first = |seed: u64, name: &str| Draws::new(&seed.to_string(), name).next().to_bits();
            prop_assert!((0.0..1.0).contains(&f64::from_bits(first(seed, &name))));
            prop_assert_ne!(first(seed, &name), first(seed + 1, &name));
            prop_assert_ne!(first(seed, &name), first(seed, &format!("{name}x")));
        }
    }
}
