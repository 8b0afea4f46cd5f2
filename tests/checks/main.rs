//! The checks: as typed at a terminal, against standards, trade tables and worked examples, and by their
//! properties.

#[path = "../common/asked.rs"]
mod asked;
#[path = "../common/mod.rs"]
mod common;
mod properties_application;
mod properties_machine;
mod properties_power;
mod reference_runs;
mod typed;
mod values_machine;
mod values_power;
