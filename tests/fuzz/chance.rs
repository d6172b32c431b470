//! Chance that can be repeated: numbers drawn from a seed (the splitmix64 generator), and the changes made with them to a
//! text or a file.

/// Numbers from a seed.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `end`; 0 where nothing is below it.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end.max(1)).unwrap()).unwrap()
    }

    pub(crate) fn one_of<'a, T: ?Sized>(&mut self, of: &[&'a T]) -> &'a T {
        of[self.below(of.len())]
    }

    /// Once in so many times.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }
}

/// No input grows beyond this.
const LONGEST: usize = 1 << 16;

/// Changes an input in one to eight places, with words of its trade and pieces of another input.
pub(crate) fn changed(chance: &mut Chance, from: &[u8], other: &[u8], words: &[&str]) -> Vec<u8> {
    let mut bytes = from.to_vec();
    for _ in 0..=chance.below(8).min(chance.below(8)) {
        change(chance, &mut bytes, other, words);
    }
    bytes.truncate(LONGEST);
    bytes
}

fn change(chance: &mut Chance, bytes: &mut Vec<u8>, other: &[u8], words: &[&str]) {
    let at = chance.below(bytes.len() + 1);
    let end = (at + 1 + chance.below(12)).min(bytes.len()).max(at);
    match chance.below(10) {
        0..=2 => put(bytes, at, at, chance.one_of(words).as_bytes()),
        3 => put(bytes, at, end, chance.one_of(words).as_bytes()),
        4 => put(bytes, at, end, b""),
        5 => {
            let piece = bytes[at..end].to_vec();
            let most = if chance.once_in(20) { 2_000 } else { 3 };
            let times = 1 + chance.below(most);
            put(bytes, at, at, &piece.repeat(times));
        }
        6 => {
            let from = chance.below(other.len() + 1);
            let to = (from + chance.below(40)).min(other.len());
            put(bytes, at, end, &other[from..to]);
        }
        7 => digit(chance, bytes, at),
        8 => bytes.iter_mut().skip(at).take(1).for_each(|byte| *byte ^= 1 << chance.below(8)),
        _ => bytes.iter_mut().skip(at).take(1).for_each(|byte| *byte = chance.next().to_le_bytes()[0]),
    }
}

/// The next figure becomes another one.
fn digit(chance: &mut Chance, bytes: &mut [u8], at: usize) {
    if let Some(byte) = bytes.iter_mut().skip(at).find(|byte| byte.is_ascii_digit()) {
        *byte = b'0' + chance.next().to_le_bytes()[0] % 10;
    }
}

fn put(bytes: &mut Vec<u8>, from: usize, to: usize, piece: &[u8]) {
    if bytes.len() + piece.len() <= 2 * LONGEST {
        bytes.splice(from..to, piece.iter().copied());
    }
}
