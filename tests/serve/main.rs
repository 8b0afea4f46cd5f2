//! The pages over HTTP: the whole job, what may come in, and a browser that looks at them.

#[path = "../common/browser.rs"]
mod browser;
#[path = "../common/mod.rs"]
mod common;
mod doors;
mod job;
mod pages;
#[path = "../common/serving.rs"]
mod serving;
