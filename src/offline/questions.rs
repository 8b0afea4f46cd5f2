//! The questions: what is observed, measured or tried, and what each outcome is called.

use super::anchors;
use super::markup::escaped;
use super::markup::{
    aside, cautions, chapter as chapter_of, effort, group, heading, item, labelled, link, links,
    list, quiet,
};
use crate::knowledge::{Access, Library, Question};
use crate::render::item::{access_words, capital};

/// The chapter.
pub fn chapter(library: &Library) -> String {
    let mut body = String::new();
    for access in Access::ALL {
        let of_access = library.questions().filter(|one| one.access == access);
        let mut questions: Vec<&Question> = of_access.collect();
        if questions.is_empty() {
            continue;
        }
        questions.sort_by_key(|question| question.ask.to_lowercase());
        body.push_str(&group(&capital(access_words(access))));
        for question in questions {
            let anchor = anchors::question(&question.id);
            body.push_str(&item(&anchor, &question.ask, &text(library, question)));
        }
    }
    chapter_of("questions", "Questions and measurements", &body)
}

fn text(library: &Library, question: &Question) -> String {
    let mut text = cautions(library, &question.cautions);
    text.push_str(&effort(question.minutes, question.access));
    text.push_str(&labelled("How", &question.how));
    text.push_str(&labelled("Tells", &question.tells));
    if question.before_power_off {
        text.push_str(&quiet(
            "Look before the drive is switched off: afterwards it is gone.",
        ));
    }
    text.push_str(&heading("Findings"));
    let findings = question.findings.iter().map(|finding| {
        let when = finding.when.as_deref();
        let when = when.map_or(String::new(), |when| {
            format!(" {}", aside(&format!("({when})")))
        });
        escaped(&finding.text) + &when
    });
    text.push_str(&list("", findings));
    if let Some(measure) = &question.measure {
        text.push_str(&quiet(&format!("Limits: {}.", measure.source)));
        let words = format!("Compute it: {}", measure.check.replace('-', " "));
        text.push_str(&links([link(&anchors::check(&measure.check), &words, "")]));
    }
    text
}
