//! Readings with units: parse what people type, show what they expect.
//!
//! A [`Quantity`] is one of the kinds a technician meets, each on its `uom` type. [`parse`] reads
//! what is typed from a meter (`480V`, `0,4 kA`, `2 MΩ`), [`Reading`] keeps how finely it was read,
//! and [`Display`](std::fmt::Display) picks a readable prefix.

mod format;
mod kind;
mod number;
mod parse;
mod units;

pub use format::{significant, with_unit};
pub use kind::{Kind, Quantity};
pub use parse::{Bound, ParseError, Reading, example as example_of, parse, parse_list};
pub use units::{Unit, of as units_of};
