//! Notes which checks a test ran on which inputs, so that other ways to compute them can be asked the
//! same.
#![allow(dead_code, reason = "most tests only note, one looks them up")]

use std::cell::RefCell;

/// A check by name with its inputs as typed.
pub type Asked = (String, Vec<(String, String)>);

thread_local! {
    static ASKED: RefCell<Vec<Asked>> = const { RefCell::new(Vec::new()) };
}

/// Notes one run.
pub fn note(name: &str, typed: &[(&str, &str)]) {
    let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
    let asked = (name.to_owned(), typed.iter().map(owned).collect());
    ASKED.with_borrow_mut(|all| all.push(asked));
}

/// All runs of this thread so far.
pub fn all() -> Vec<Asked> {
    ASKED.with_borrow(Clone::clone)
}
