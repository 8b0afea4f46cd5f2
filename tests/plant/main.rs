//! The plant: its drives, its own codes, and its log through kills, full disks, other hands and copies.

mod code;
#[path = "../common/mod.rs"]
mod common;
mod drive;
mod file;
mod incidents;
mod log;
mod log_faults;
mod log_kept;
mod log_stats;
mod statistics_values;
