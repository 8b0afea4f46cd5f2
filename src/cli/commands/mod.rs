//! One file a command, each with its arguments and its run.

pub mod check;
pub mod completions;
pub mod knowledge;
pub mod show;
pub mod walk;
