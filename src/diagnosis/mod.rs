//! The guided walk: belief, evidence, choice of the next question, explanation.
//!
//! Everything here is a pure function on values: no input or output, no clock, no randomness. The
//! same knowledge and the same answers always give the same plan, which is why a printed decision
//! tree and a live walk agree.
//!
//! | file | idea |
//! |---|---|
//! | [`scope`] | which causes and questions belong to a class |
//! | [`case`] | a class as a model: words to numbers |
//! | [`reply`] | what a user answers, judged by a check |
//! | [`walk`] | the answers so far, and what comes next |
//! | [`turn`] | the planner's step, or a cause that a finding has settled |
//! | [`across`] | what is known, weighed over every class
//! | [`record`] | the one text form of a walk |
//! | [`replay`] | a recorded case, answered from its facts |
//! | [`moves`] | accesses, what moving between them costs, what working there risks |
//! | [`settings`] | every number that is a choice |
//! | [`model`] | causes, questions, moves as numbers, validated once |
//! | [`levels`] | authors' words (*often*, *usually*) to numbers |
//! | [`learning`] | what the plant's log does to the priors |
//! | [`normal`] | the normal distribution |
//! | [`reading`] | a reading near a limit counts for both findings |
//! | [`belief`] | answers to shares |
//! | [`contradiction`] | answers that do not fit together |
//! | [`situation`] | where a walk stands |
//! | [`planner`] | the next step, priced in minutes |
//! | [`why`] | the numbers that explain a step |
//! | [`tree`] | the whole plan of a class, for printing |
//! | [`verdict`] | how a walk ended |

pub mod across;
pub mod belief;
pub mod case;
pub mod catalogue;
pub mod contradiction;
pub mod learning;
pub mod levels;
pub mod model;
pub mod moves;
pub mod normal;
pub mod planner;
pub mod reading;
pub mod record;
pub mod replay;
pub mod reply;
pub mod scope;
pub mod settings;
pub mod situation;
pub mod tree;
pub mod turn;
pub mod verdict;
pub mod walk;
pub mod why;

mod board;
mod confirm_only;
mod exact;
mod look_ahead;
mod pairs;
mod runs;
mod shortlist;

pub use belief::{Answer, AnswerError, Belief};
pub use model::{Cause, Confirm, Model, ModelError, Question};
pub use moves::{Access, Moves};
pub use planner::{Action, Plan, Priced, plan};
pub use settings::Settings;
pub use situation::Situation;
