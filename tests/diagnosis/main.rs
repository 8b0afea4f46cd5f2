//! The planner and the belief it moves: against published figures, an exact solver, recorded vectors and
//! its own properties.

mod explained;
mod measure;
mod normal;
mod planner;
mod properties;
mod published;
mod shipped;
mod support;
mod vectors;
