//! The search: how often it is right, how it stands slips and any input, and what its answers say.

mod against_plain;
mod answers;
mod any_input;
#[path = "../common/chance.rs"]
mod chance;
#[path = "../common/rows.rs"]
mod described;
#[path = "../common/fifths.rs"]
mod fifths;
mod held_out;
mod phrases;
mod quality;
mod tuning;
