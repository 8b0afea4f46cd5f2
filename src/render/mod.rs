//! From values to documents, and from documents to text; JSON has its own mirror types.

pub mod doc;
pub mod terminal;
pub mod text;
