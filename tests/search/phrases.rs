//! Every phrase that a class gives as its own, and its title, finds that class first.

use whytrip::diagnosis::catalogue::BuiltInChecks;
use whytrip::search::{HitKind, Searcher};
use whytrip::{builtin, knowledge::Library};

fn lost(library: &Library, searcher: &Searcher) -> Vec<String> {
    let mut lost = Vec::new();
    for class in library.classes() {
        for phrase in class.phrases.iter().chain([&class.title]) {
            let found = searcher.find(phrase, 5).expect("the index opens");
            let first = found.hits.iter().find(|hit| hit.kind == HitKind::Class);
            if first.is_none_or(|hit| hit.id != class.id) {
                let first = first.map_or("nothing", |hit| hit.id.as_str());
                lost.push(format!("{}: \"{phrase}\" finds {first}", class.id));
            }
        }
    }
    lost
}

#[test]
fn own_phrases_find_their_class_first() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let searcher = builtin::searcher(&library).expect("the index opens");
    assert!(library.classes().count() >= 16, "the knowledge is missing");
    let lost = lost(&library, &searcher);
    assert!(lost.is_empty(), "{} lost:\n{}", lost.len(), lost.join("\n"));
}

#[test]
fn an_index_built_in_memory_answers_like_the_embedded_one() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let embedded = builtin::searcher(&library).expect("the index opens");
    let in_memory = Searcher::over(&library, &BuiltInChecks).expect("the index can be built");
    for words in [
        "OV when slowing down",
        "mtoor overlaod",
        "Erdschluss nach Regen",
        "3210h",
        "F7",
    ] {
        let one = embedded.find(words, 10).expect("the index opens");
        let other = in_memory.find(words, 10).expect("the index opens");
        assert_eq!(one, other, "{words}");
    }
}
