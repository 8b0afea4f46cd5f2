//! The program as a whole: what it finds, shows, decodes and prints, its README, its knowledge and its own
//! order.

#[path = "../common/mod.rs"]
mod common;
mod decode;
mod find;
mod json_documents;
mod knowledge_check;
mod knowledge_gates;
mod output_modes;
mod pages;
mod readme;
mod show;
mod standards;
mod tidy;
