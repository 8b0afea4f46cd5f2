//! Each fifth of every class's own phrases in turn left out of the knowledge.

use whytrip::builtin;
use whytrip::knowledge::{Library, Loaded};

pub const FIFTHS: usize = 5;

/// A phrase that was left out.
pub struct LeftOut {
    pub class: String,
    pub phrase: String,
}

/// The knowledge without a fifth of the phrases, and those phrases.
pub fn without(fifth: usize) -> (Library, Vec<LeftOut>) {
    let library = builtin::knowledge().expect("the knowledge opens");
    let mut classes = library.as_loaded().classes;
    let mut left_out = Vec::new();
    for (number, class) in classes.iter_mut().enumerate() {
        let all = std::mem::take(&mut class.item.phrases);
        for (nth, phrase) in all.into_iter().enumerate() {
            if (number + nth) % FIFTHS == fifth {
                let class = class.item.id.clone();
                left_out.push(LeftOut { class, phrase });
            } else {
                class.item.phrases.push(phrase);
            }
        }
    }
    let fewer = Loaded {
        classes,
        ..Loaded::default()
    };
    (library.with_overlay(fewer), left_out)
}
