//! One file a command, each with its arguments and its run.

pub mod check;
pub mod code;
pub mod completions;
pub mod decode;
pub mod drive;
pub mod export_page;
pub mod find;
pub mod knowledge;
pub mod log;
pub mod serve;
pub mod show;
pub mod tree;
pub mod walk;
