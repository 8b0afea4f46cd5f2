//! From values to documents, and from documents to text; JSON has its own mirror types.

pub mod check;
pub mod checked;
pub mod doc;
pub mod found;
pub mod html;
pub mod item;
pub mod json;
pub mod json_walk;
pub mod log;
pub mod markdown;
pub mod sheet;
pub mod terminal;
pub mod text;
pub mod tree;
pub mod walk;
mod wrap;
