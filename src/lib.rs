//! whytrip: from what a stopped drive shows to the confirmed cause.
//!
//! Read the modules in the order in which a case flows through them: [`quantity`] (readings with
//! units), [`knowledge`] (what is known about faults), [`checks`] (the sums), [`diagnosis`] (the
//! walk).

#![forbid(unsafe_code)]

pub mod builtin;
pub mod checks;
pub mod cli;
pub mod diagnosis;
pub mod gates;
pub mod knowledge;
pub mod offline;
pub mod plant;
pub mod quantity;
pub mod render;
pub mod search;
pub mod standards;
pub mod web;
