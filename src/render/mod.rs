//! From values to documents, and from documents to text; JSON has its own mirror types.

pub mod across;
pub mod checked;
pub mod decode;
pub mod doc;
pub mod found;
pub mod html;
pub mod item;
pub mod json;
pub mod json_walk;
pub mod learned;
pub mod log;
pub mod markdown;
pub mod plot;
pub mod report;
pub mod so_far;
pub mod statistics;
pub mod statistics_csv;
pub mod statistics_json;
mod statistics_words;
pub mod table;
pub mod terminal;
pub mod text;
pub mod tree;
pub mod tree_drawing;
pub mod walk;
mod wrap;
