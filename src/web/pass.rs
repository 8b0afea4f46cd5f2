//! The pass phrase for recording over a network: kept as a hash, compared slowly, tried seldom.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};

/// Shortest pass phrase, in characters. Source: NIST SP 800-63B-4, 3.1.1.2 (15 where the phrase is
/// the only factor).
pub const SHORTEST: usize = 15;
/// Longest pass phrase, so that hashing stays bounded. Source: same clause (at least 64 are to be
/// taken).
const LONGEST: usize = 256;
/// Failures of one address before it has to wait, and of all together (common practice, no source;
/// far below the 100 of NIST SP 800-63B-4, 3.2.2).
const MOST_FAILURES: usize = 5;
const MOST_FAILURES_OF_ALL: usize = 30;
/// How long failures count (common practice, no source).
const COUNTED_FOR: Duration = Duration::from_secs(15 * 60);

/// Why a pass phrase was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PassError {
    /// Too short.
    #[error("a pass phrase needs at least {SHORTEST} characters; this one has {0}")]
    TooShort(usize),
    /// Too long.
    #[error("a pass phrase has at most {LONGEST} characters")]
    TooLong,
    /// It can't be hashed here.
    #[error("the pass phrase can't be hashed: {0}")]
    Hash(String),
}

/// A pass phrase of which only the hash is known. Source of the way of hashing: RFC 9106 (Argon2id).
pub struct PassPhrase(String);

impl std::fmt::Debug for PassPhrase {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("PassPhrase")
    }
}

impl PassPhrase {
    /// The hash of a pass phrase.
    ///
    /// # Errors
    /// [`PassError`].
    pub fn new(phrase: &str) -> Result<PassPhrase, PassError> {
        let length = phrase.chars().count();
        if length < SHORTEST {
            return Err(PassError::TooShort(length));
        }
        if length > LONGEST {
            return Err(PassError::TooLong);
        }
        let hash = Argon2::default()
            .hash_password(phrase.as_bytes())
            .map_err(|error| PassError::Hash(error.to_string()))?;
        Ok(PassPhrase(hash.to_string()))
    }

    /// A new phrase of four groups, readable aloud: no letter that looks or sounds like another.
    ///
    /// # Errors
    /// When the system has no randomness.
    pub fn invent() -> Result<String, PassError> {
        const LETTERS: &[u8; 16] = b"acdefhjkmnprtwxy";
        let mut bytes = [0; 8];
        getrandom::fill(&mut bytes).map_err(|error| PassError::Hash(error.to_string()))?;
        let letters: Vec<char> = bytes
            .iter()
            .flat_map(|byte| [byte >> 4, byte & 15])
            .map(|half| char::from(LETTERS[usize::from(half)]))
            .collect();
        let groups: Vec<String> = letters
            .chunks(4)
            .map(|group| group.iter().collect())
            .collect();
        Ok(groups.join("-"))
    }

    /// Whether this is the phrase.
    pub fn is(&self, typed: &str) -> bool {
        typed.len() <= 4 * LONGEST
            && PasswordHash::new(&self.0).is_ok_and(|hash| {
                Argon2::default()
                    .verify_password(typed.trim().as_bytes(), &hash)
                    .is_ok()
            })
    }
}

/// Failed attempts, by address.
#[derive(Debug, Default)]
pub struct Attempts(Mutex<HashMap<IpAddr, Vec<Instant>>>);

impl Attempts {
    /// Whether this address has to wait before it may try again.
    pub fn must_wait(&self, address: IpAddr) -> bool {
        let mut failures = self.failures();
        for times in failures.values_mut() {
            times.retain(|at| at.elapsed() < COUNTED_FOR);
        }
        failures.retain(|_, times| !times.is_empty());
        let own = failures.get(&address).map_or(0, Vec::len);
        let all: usize = failures.values().map(Vec::len).sum();
        own >= MOST_FAILURES || all >= MOST_FAILURES_OF_ALL
    }

    /// Counts an attempt before it is looked at, so that many at once are counted too.
    pub fn begin(&self, address: IpAddr) {
        self.failures()
            .entry(address)
            .or_default()
            .push(Instant::now());
    }

    /// The attempt was good: the address starts anew.
    pub fn forget(&self, address: IpAddr) {
        self.failures().remove(&address);
    }

    fn failures(&self) -> std::sync::MutexGuard<'_, HashMap<IpAddr, Vec<Instant>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::net::Ipv4Addr;

    #[test]
    fn only_the_phrase_itself_opens() {
        let phrase = PassPhrase::new("belt under the press").expect("long enough");
        assert!(phrase.is("belt under the press"));
        assert!(phrase.is(" belt under the press\n"));
        for other in ["", "belt under the pres", "Belt under the press"] {
            assert!(!phrase.is(other), "{other}");
        }
        assert!(!format!("{phrase:?}").contains("belt"));
        assert_eq!(PassPhrase::new("short").err(), Some(PassError::TooShort(5)));
    }

    #[test]
    fn an_invented_phrase_is_long_enough_and_new() {
        let one = PassPhrase::invent().expect("randomness");
        let other = PassPhrase::invent().expect("randomness");
        assert_ne!(one, other);
        assert!(one.len() >= SHORTEST, "{one}");
    }

    #[test]
    fn five_failures_make_wait_and_a_good_one_starts_anew() {
        let attempts = Attempts::default();
        let here = IpAddr::from(Ipv4Addr::LOCALHOST);
        for _ in 0..MOST_FAILURES {
            assert!(!attempts.must_wait(here));
            attempts.begin(here);
        }
        assert!(attempts.must_wait(here));
        attempts.forget(here);
        assert!(!attempts.must_wait(here));
    }

    #[test]
    fn many_addresses_together_are_held_off_too() {
        let attempts = Attempts::default();
        for last in 0..MOST_FAILURES_OF_ALL {
            let last = u8::try_from(last).expect("small");
            attempts.begin(IpAddr::from(Ipv4Addr::new(10, 0, 0, last)));
        }
        assert!(attempts.must_wait(IpAddr::from(Ipv4Addr::new(10, 0, 1, 1))));
    }
}
