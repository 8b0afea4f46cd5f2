//! A sorted table of byte strings, read in place by binary search.
//!
//! Layout, in numbers of four bytes, little endian: how many entries; how long every value is, or
//! [`VARIES`]; for each entry the end of its key and, if values vary, of its value, counted from the start of
//! the texts. Then key and value of each entry, one after another.

/// Stands where values are not all of one length.
const VARIES: u32 = u32::MAX;
/// Bytes of a number.
const NUMBER: usize = 4;

/// A table inside a larger block of bytes. Damaged bytes give missing entries, never a panic.
#[derive(Clone, Copy, Debug, Default)]
pub struct Table<'a> {
    ends: &'a [u8],
    texts: &'a [u8],
    /// The length of every value, if it is the same.
    width: Option<usize>,
}

impl<'a> Table<'a> {
    /// Reads a table that [`encode`] wrote.
    pub fn open(bytes: &'a [u8]) -> Option<Table<'a>> {
        let (count, rest) = bytes.split_first_chunk::<NUMBER>()?;
        let (width, rest) = rest.split_first_chunk::<NUMBER>()?;
        let width = Some(u32::from_le_bytes(*width)).filter(|width| *width != VARIES);
        let width = width.map(|width| width as usize);
        let slots = NUMBER * if width.is_some() { 1 } else { 2 };
        let length = (u32::from_le_bytes(*count) as usize).checked_mul(slots)?;
        let (ends, texts) = rest.split_at_checked(length)?;
        Some(Table { ends, texts, width })
    }

    /// Number of entries.
    pub fn len(&self) -> usize {
        let numbers = self.ends.len() / NUMBER;
        if self.width.is_some() {
            numbers
        } else {
            numbers / 2
        }
    }

    /// The key and the value at a place.
    pub fn at(&self, place: usize) -> Option<(&'a [u8], &'a [u8])> {
        let before = place.checked_sub(1);
        let (start, middle, end) = match self.width {
            Some(width) => {
                let end = |place| self.end(place)?.checked_add(width);
                let start = before.map_or(Some(0), end)?;
                (start, self.end(place)?, end(place)?)
            }
            None => {
                let start = before.map_or(Some(0), |before| self.end(before * 2 + 1))?;
                (start, self.end(place * 2)?, self.end(place * 2 + 1)?)
            }
        };
        Some((self.texts.get(start..middle)?, self.texts.get(middle..end)?))
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&'a [u8]> {
        let place = self.first_from(key.as_bytes());
        self.at(place)
            .filter(|(found, _)| *found == key.as_bytes())
            .map(|(_, value)| value)
    }

    /// The place of the first key that is not before `key`.
    pub fn first_from(&self, key: &[u8]) -> usize {
        let (mut low, mut high) = (0, self.len());
        while low < high {
            let middle = low.midpoint(high);
            match self.at(middle) {
                Some((found, _)) if found < key => low = middle + 1,
                _ => high = middle,
            }
        }
        low
    }

    fn end(&self, slot: usize) -> Option<usize> {
        let bytes = self.ends.get(slot * NUMBER..)?.first_chunk::<NUMBER>()?;
        Some(u32::from_le_bytes(*bytes) as usize)
    }
}

/// Writes a table; the entries must be sorted by key, or in the order in which [`Table::at`] is to
/// find them.
pub fn encode<K: AsRef<[u8]>, V: AsRef<[u8]>>(entries: &[(K, V)]) -> Vec<u8> {
    let width = |(_, value): &(K, V)| value.as_ref().len() as u32;
    let first = entries.first().map_or(0, width);
    let same = entries.iter().all(|entry| width(entry) == first);
    let mut bytes = (entries.len() as u32).to_le_bytes().to_vec();
    bytes.extend(if same { first } else { VARIES }.to_le_bytes());
    let mut end = 0;
    for (key, value) in entries {
        end += key.as_ref().len() as u32;
        bytes.extend(end.to_le_bytes());
        end += value.as_ref().len() as u32;
        if !same {
            bytes.extend(end.to_le_bytes());
        }
    }
    for (key, value) in entries {
        bytes.extend(key.as_ref());
        bytes.extend(value.as_ref());
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_what_was_written_and_nothing_else() {
        let bytes = encode(&[("bus", "1"), ("bus high", "22"), ("motor", "")]);
        let table = Table::open(&bytes).unwrap();
        assert_eq!(table.get("bus"), Some(&b"1"[..]));
        assert_eq!(table.get("bus high"), Some(&b"22"[..]));
        assert_eq!(table.get("motor"), Some(&b""[..]));
        assert_eq!(table.get("bu"), None);
        assert_eq!(table.first_from(b"bus "), 1);
        assert_eq!(table.at(3), None);
    }

    #[test]
    fn damaged_bytes_are_not_read() {
        // Values of one length, and of several.
        for last in ["2", "22"] {
            let bytes = encode(&[("bus", "1"), ("motor", last)]);
            let whole = Table::open(&bytes).unwrap();
            assert_eq!(whole.get("motor"), Some(last.as_bytes()));
            assert_eq!(whole.at(2), None);
            for length in 0..bytes.len() {
                if let Some(table) = Table::open(&bytes[..length]) {
                    assert_eq!(table.get("motor"), None);
                }
            }
            for place in 0..bytes.len() {
                for other in [0, 1, 255] {
                    let mut damaged = bytes.clone();
                    damaged[place] = other;
                    if let Some(table) = Table::open(&damaged) {
                        let read = (0..table.len().min(9)).filter_map(|place| table.at(place));
                        assert!(
                            read.count() <= 9 && table.get("motor").is_none_or(|v| v.len() < 99)
                        );
                    }
                }
            }
        }
    }
}
