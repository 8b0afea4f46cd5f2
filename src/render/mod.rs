//! From values to documents, and from documents to text; JSON has its own mirror types.

pub mod checked;
pub mod code;
pub mod doc;
pub mod drive;
pub mod found;
pub mod html;
pub mod item;
pub mod json;
pub mod json_walk;
pub mod log;
pub mod markdown;
pub mod terminal;
pub mod text;
pub mod tree;
pub mod upkeep;
pub mod walk;
mod wrap;
