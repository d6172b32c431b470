//! The container of `.xls` workbooks and of locked ones: named streams in chains of sectors (MS-CFB, Compound File Binary
//! File Format). It has no checksums.

/// First bytes of every compound file.
pub(super) const SIGNATURE: &[u8] = b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";

/// Sector numbers from here on are no sectors but marks.
const MARKS: u32 = 0xFFFF_FFFA;

/// Streams shorter than this lie in the small sectors.
const SMALL_STREAM: usize = 4_096;
const SMALL_SECTOR: usize = 64;

/// Places of a file's sector table that its header holds itself.
const HEADER_PLACES: std::ops::Range<usize> = 76..512;

/// A compound file over bytes in memory.
pub(super) struct Compound<'a> {
    bytes: &'a [u8],
    sector: usize,
    table: Vec<u32>,
    small_table: Vec<u32>,
    small: Vec<u8>,
    entries: Vec<Entry>,
}

struct Entry {
    name: String,
    start: u32,
    size: usize,
}

impl<'a> Compound<'a> {
    /// Reads the directory. `None` where the file is cut short or damaged.
    pub(super) fn open(bytes: &'a [u8]) -> Option<Self> {
        let sector = match (bytes.starts_with(SIGNATURE), short(bytes, 30)?) {
            (true, 9) => 512,
            (true, 12) => 4_096,
            _ => return None,
        };
        let mut file =
            Self { bytes, sector, table: Vec::new(), small_table: Vec::new(), small: Vec::new(), entries: Vec::new() };
        file.table = file.sector_table()?;
        let directory = file.chain(long(bytes, 48)?)?;
        file.entries = directory.chunks_exact(128).filter_map(|entry| file.entry(entry)).collect();
        if long(bytes, 64)? > 0 {
            file.small_table = numbers(&file.chain(long(bytes, 60)?)?).collect();
            file.small = file.chain(file.entries.first()?.start)?;
        }
        Some(file)
    }

    /// Whether a stream or storage of that name is there.
    pub(super) fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|entry| entry.name.eq_ignore_ascii_case(name))
    }

    /// A stream whole; `None` where it is not there or shorter than it says.
    pub(super) fn stream(&self, name: &str) -> Option<Vec<u8>> {
        let entry = self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name))?;
        let mut content =
            if entry.size < SMALL_STREAM { self.small_chain(entry.start)? } else { self.chain(entry.start)? };
        if content.len() < entry.size {
            return None;
        }
        content.truncate(entry.size);
        Some(content)
    }

    /// The table that says which sector follows which. Its own sectors are listed in the header, and beyond in a chain.
    fn sector_table(&self) -> Option<Vec<u32>> {
        let mut places: Vec<u32> = numbers(self.bytes.get(HEADER_PLACES)?).collect();
        let mut next = long(self.bytes, 68)?;
        let mut steps = 0;
        while next < MARKS {
            steps += 1;
            let mut more: Vec<u32> = numbers(self.sector(next)?).collect();
            next = more.pop()?;
            places.extend(more);
            if steps > self.bytes.len() / self.sector {
                return None;
            }
        }
        let mut table = Vec::new();
        for place in places.into_iter().filter(|place| *place < MARKS) {
            table.extend(numbers(self.sector(place)?));
        }
        Some(table)
    }

    fn entry(&self, entry: &[u8]) -> Option<Entry> {
        let letters = (0..64).step_by(2).map_while(|at| short(entry, at)).take_while(|letter| *letter != 0);
        let name = char::decode_utf16(letters).map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).collect();
        Some(Entry { name, start: long(entry, 116)?, size: usize::try_from(long(entry, 120)?).ok()? })
            .filter(|entry: &Entry| !entry.name.is_empty() && entry.size <= self.bytes.len())
    }

    /// One sector; the last of a file may be cut off where its stream ends.
    fn sector(&self, number: u32) -> Option<&'a [u8]> {
        let start = usize::try_from(number).ok()?.checked_add(1)?.checked_mul(self.sector)?;
        let end = start.checked_add(self.sector)?.min(self.bytes.len());
        self.bytes.get(start..end).filter(|sector| !sector.is_empty())
    }

    fn chain(&self, start: u32) -> Option<Vec<u8>> {
        let mut content = Vec::new();
        let mut next = start;
        while next < MARKS {
            content.extend_from_slice(self.sector(next)?);
            if content.len() > self.bytes.len() {
                return None;
            }
            next = *self.table.get(usize::try_from(next).ok()?)?;
        }
        Some(content)
    }

    fn small_chain(&self, start: u32) -> Option<Vec<u8>> {
        let mut content = Vec::new();
        let mut next = start;
        while next < MARKS {
            let at = usize::try_from(next).ok()?;
            let begin = at.checked_mul(SMALL_SECTOR)?;
            content.extend_from_slice(self.small.get(begin..self.small.len().min(begin.checked_add(SMALL_SECTOR)?))?);
            if content.len() > self.bytes.len() {
                return None;
            }
            next = *self.small_table.get(at)?;
        }
        Some(content)
    }
}

/// Two bytes, low one first.
pub(super) fn short(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at.checked_add(2)?)?.try_into().ok()?))
}

/// Four bytes, low one first.
pub(super) fn long(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

fn numbers(bytes: &[u8]) -> impl Iterator<Item = u32> + '_ {
    bytes.chunks_exact(4).filter_map(|four| long(four, 0))
}
