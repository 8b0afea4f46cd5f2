//! What several test files share.
#![allow(dead_code)] // Each test file uses its own part.

pub mod generated;
pub mod solver;
pub mod vectors;
