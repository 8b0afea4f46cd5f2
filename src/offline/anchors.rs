//! How the places of the page are called in its address. A class has its own id, as people will pass
//! it on; everything else says first what it is.

/// A class.
pub fn class(id: &str) -> String {
    id.to_owned()
}

/// The decision tree of a class.
pub fn tree(class: &str) -> String {
    format!("{class}.tree")
}

/// A step of the tree of the class with this number; short, as there are thousands of them.
pub fn step(class: usize, step: usize) -> String {
    format!("t{class}.{step}")
}

/// A cause.
pub fn cause(id: &str) -> String {
    format!("c.{id}")
}

/// A question.
pub fn question(id: &str) -> String {
    format!("q.{id}")
}

/// A check.
pub fn check(name: &str) -> String {
    format!("check.{name}")
}

/// A caution.
pub fn caution(id: &str) -> String {
    format!("caution.{id}")
}

/// A source.
pub fn source(id: &str) -> String {
    format!("source.{id}")
}
