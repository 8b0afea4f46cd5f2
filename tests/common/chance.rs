//! Numbers that look drawn by chance and are the same in every run.

/// The state of the generator (xorshift, Marsaglia 2003).
pub struct Chance(pub u64);

impl Chance {
    /// A number from 0 up to 1.
    pub fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[(self.share() * all.len() as f64) as usize % all.len()]
    }
}
