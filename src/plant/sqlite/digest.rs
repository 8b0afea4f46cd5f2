//! A digest of a revision's fields, to tell whether a bit of it flipped on the disk.

use rusqlite::types::{ToSqlOutput, Value, ValueRef};

/// The 64-bit FNV-1a hash of a record: of each field that isn't null, its name and its value.
///
/// A column that a later format adds is null in older records, so their digest stays the same.
pub(super) fn digest<'a>(fields: impl Iterator<Item = (&'static str, &'a ToSqlOutput<'a>)>) -> i64 {
    let mut hash = Fnv1a::default();
    for (name, value) in fields {
        match value {
            ToSqlOutput::Borrowed(ValueRef::Text(text)) => hash.field(name, text),
            ToSqlOutput::Owned(Value::Text(text)) => hash.field(name, text.as_bytes()),
            ToSqlOutput::Owned(Value::Integer(number)) => {
                hash.field(name, number.to_string().as_bytes())
            }
            _ => {}
        }
    }
    i64::from_be_bytes(hash.0.to_be_bytes())
}

struct Fnv1a(u64);

impl Default for Fnv1a {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Fnv1a {
    fn bytes(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }

    fn field(&mut self, name: &str, value: &[u8]) {
        self.bytes(name.as_bytes());
        self.bytes(&[0]);
        self.bytes(value);
        self.bytes(&[0]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_vectors() {
        // Fowler, Noll, Vo, Eastlake: "The FNV Non-Cryptographic Hash Algorithm" (IETF draft
        // eastlake-fnv), test vectors of 64-bit FNV-1a (from memory).
        for (text, expected) in [
            ("", 0xcbf2_9ce4_8422_2325_u64),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            let mut hash = Fnv1a::default();
            hash.bytes(text.as_bytes());
            assert_eq!(hash.0, expected, "{text}");
        }
    }

    #[test]
    fn every_field_tells_and_null_does_not() {
        let text = |text: &'static str| ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes()));
        let null = ToSqlOutput::Owned(Value::Null);
        let (a, ab, b) = (text("a"), text("ab"), text("b"));
        let of = |fields: &[(&'static str, &ToSqlOutput<'_>)]| digest(fields.iter().copied());
        assert_ne!(
            of(&[("words", &a), ("done", &b)]),
            of(&[("words", &b), ("done", &a)])
        );
        assert_ne!(of(&[("words", &ab)]), of(&[("words", &a), ("done", &b)]));
        assert_eq!(of(&[("words", &a), ("proof", &null)]), of(&[("words", &a)]));
    }
}
