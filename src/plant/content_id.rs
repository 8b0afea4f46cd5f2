//! An id that follows from what an incident says, for rows that come without one: the same row gives
//! the same id whenever it is read.

use ulid::Ulid;

use super::Record;

/// Milliseconds of the time it happened, then 80 bits of a hash of every field but id and time of
/// recording.
pub(super) fn of(record: &Record) -> Ulid {
    let mut bare = record.clone();
    bare.id = Ulid::nil();
    bare.recorded_at = bare.occurred_at;
    let text = serde_json::to_vec(&bare).unwrap_or_default();
    let milliseconds = u64::try_from(record.occurred_at.as_millisecond()).unwrap_or(0);
    let hash = fnv1a_128(&text);
    // All bits have a part in the 80 that are kept.
    Ulid::from_parts(milliseconds, hash ^ (hash >> 80))
}

/// The 128-bit FNV-1a hash.
fn fnv1a_128(bytes: &[u8]) -> u128 {
    bytes
        .iter()
        .fold(0x6c62_272e_07bb_0142_62b8_2175_6295_c58d, |hash, &byte| {
            (hash ^ u128::from(byte)).wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_vectors() {
        // Fowler, Noll, Vo, Eastlake: "The FNV Non-Cryptographic Hash Algorithm" (IETF draft
        // eastlake-fnv), test vectors of 128-bit FNV-1a (from memory).
        for (text, expected) in [
            ("", 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d_u128),
            ("a", 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964),
            ("foobar", 0x343e_1662_793c_64bf_6f0d_3597_ba44_6f18),
        ] {
            assert_eq!(fnv1a_128(text.as_bytes()), expected, "{text}");
        }
    }
}
