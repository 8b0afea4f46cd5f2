//! What several test files share.

pub mod generated;
pub mod solver;
pub mod vectors;
