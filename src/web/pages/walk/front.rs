//! The pages of a walk: question, value, permission, confirming step, remedy, verdict.

use maud::{Markup, html};

use super::field::field;
use super::walked::Walked;
use crate::checks::{self, Input};
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::planner::{Action, Plan};
use crate::diagnosis::record::{
    self as walk_record, CANNOT, CONFIRMED, NOT_CONFIRMED, POSTPONED, nameplate_input,
};
use crate::diagnosis::reply;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Turn, Walk};
use crate::diagnosis::{across, why};
use crate::knowledge::{Access, FaultClass, Library, Question};
use crate::quantity::Kind;
use crate::render::doc::Document;
use crate::render::item::{minutes_words, push_cautions};
use crate::render::{across as other_classes, item, so_far, walk as render};
use crate::web::links::escaped;
use crate::web::page::{Page, document, whole_document};
use crate::web::pages::{Asked, record};
use crate::web::walk_state::{
    AGAIN, KEPT, Look, MAY, MAY_NOT, NOT_KNOWN, PROOF, Proof, RESERVED, WalkState,
};

/// What a page of the walk is made from.
pub struct Front<'a> {
    /// The request.
    pub asked: &'a Asked,
    /// The class.
    pub class: &'static FaultClass,
    /// The address.
    pub state: &'a WalkState,
}

impl Front<'_> {
    fn library(&self) -> &'static Library {
        self.asked.site.plant().library
    }

    /// The page, and whether it is the same for everybody: a form that records is not.
    ///
    /// # Errors
    /// When the walk can't be computed.
    pub fn show(&self, walked: &Walked) -> Result<(Page, bool), String> {
        let misfit = |error: AnswerError| error.to_string();
        let for_all = |page: Result<Page, String>| Ok((page?, true));
        let walk = &walked.walk;
        // An answer that makes no sense, or an odd one, is asked again with what was typed.
        let again = walked
            .wrong
            .as_ref()
            .or(walked.odd.as_ref())
            .map(|(key, _)| key.as_str())
            .or(self.state.again.as_deref());
        if let Some(key) = again {
            if let Some(access) = self.not_granted(access_of(walk, key)) {
                return for_all(self.leave(walked, access));
            }
            if let Some(index) = walk.case.question_index(key) {
                return for_all(self.question(walked, index, None, None));
            }
            if let Some(cause) = walk.case.cause_index(key) {
                return for_all(self.confirm(walked, cause));
            }
            if let Some(input) = nameplate_input(key) {
                return for_all(self.nameplate(walked, input));
            }
        }
        let turn = self.asked.site.plant().turns.turn(walk).map_err(misfit)?;
        let needed = match &turn {
            Turn::Ask { question, .. } => walk.case.questions[*question].access,
            Turn::Confirm { cause, .. } => walk.case.causes[*cause].confirm.access,
            Turn::Settled { .. } | Turn::HandOver { .. } => Access::Observe,
        };
        if let Some(access) = self.not_granted(needed) {
            return for_all(self.leave(walked, access));
        }
        match turn {
            Turn::Ask {
                question,
                confirms,
                plan,
            } => {
                let missing =
                    reply::missing_nameplate(walk.case.questions[question], &walk.nameplate);
                let open = missing
                    .into_iter()
                    .find(|input| !walked.not_known.iter().any(|name| name == input.name));
                match open {
                    Some(input) => for_all(self.nameplate(walked, input)),
                    None => for_all(self.question(walked, question, confirms, Some(&plan))),
                }
            }
            Turn::Confirm { cause, .. } => for_all(self.confirm(walked, cause)),
            Turn::Settled { cause } => match self.state.proof {
                None => for_all(self.put_right(walked, cause)),
                Some(proof) => {
                    let page = self.ended(walked, Some(cause), proof == Proof::Passed)?;
                    Ok((page, false))
                }
            },
            Turn::HandOver { .. } => Ok((self.ended(walked, None, false)?, false)),
        }
    }

    /// The access, if it needs a leave that was not given.
    fn not_granted(&self, access: Access) -> Option<Access> {
        let asks = matches!(access, Access::Live | Access::Isolated);
        (asks && !self.state.may.contains(access.word())).then_some(access)
    }

    /// A page of the walk: where we are above it, where we stand and what was answered below it.
    fn framed(&self, walked: &Walked, title: &str, body: Markup) -> Result<Page, String> {
        let walk = &walked.walk;
        let standing = render::standing(walk, None).map_err(|error| error.to_string())?;
        let is_first = walk.steps.is_empty();
        // Once a cause is confirmed, what was likely before it would only confuse.
        let is_open = walk.confirmed().is_none();
        let body = html! {
            p.where {
                a href={ "/show/" (escaped(&self.class.id)) } { (self.class.title) }
                @if let Some(drive) = &self.state.drive {
                    " · " a href={ "/drive/" (escaped(drive)) } { (drive) }
                }
            }
            (body)
            @if is_first { (self.introduction(walked)) }
            @if is_open {
                section aria-labelledby="stand" {
                    h2 #stand { "Where we stand" }
                    div.bars { (document(self.library(), &standing)) }
                }
            }
            (self.so_far(walked))
            @if !walked.not_used.is_empty() {
                p.quiet { "Not used by this class: " (walked.not_used.join(", ")) "." }
            }
            p.quiet { "This page's address holds the whole walk: go back, bookmark it, or send it to whoever takes over." }
        };
        Ok(Page::new(title, body))
    }

    /// The meaning of the class and what to look at first, on the first page.
    fn introduction(&self, walked: &Walked) -> Markup {
        let mut about = Document::new();
        about.text(&self.class.meaning);
        about.labelled("Look first", &self.class.first_look);
        if !walked.walk.case.history.is_empty() {
            about.text("The order of questions counts what your log says happens here.");
        }
        html! {
            section aria-labelledby="about" {
                h2 #about { "About this class" }
                (document(self.library(), &about))
            }
        }
    }

    /// The cautions of the class that the first step does not bring itself.
    fn class_cautions(&self, own: &[String]) -> Markup {
        let mut ids = self.class.cautions.clone();
        ids.retain(|id| !own.contains(id));
        let mut cautions = Document::new();
        push_cautions(&mut cautions, self.library(), &ids);
        document(self.library(), &cautions)
    }

    fn so_far(&self, walked: &Walked) -> Markup {
        let walk = &walked.walk;
        // The sum of no minutes at all is a negative zero.
        let minutes = walk.minutes().round() + 0.0;
        let plan = |turn: &Turn| match turn {
            Turn::Ask { plan, .. } | Turn::Confirm { plan, .. } => Some(plan.expected_minutes),
            Turn::Settled { .. } | Turn::HandOver { .. } => None,
        };
        let expected = self.asked.site.plant().turns.turn(walk).ok();
        let expected = expected.as_ref().and_then(plan);
        html! {
            section aria-labelledby="so-far" {
                h2 #so-far { "Answered so far" }
                @if walk.steps.is_empty() { p { "Nothing yet." } }
                @else {
                    ol.answers {
                        @for (index, step) in walk.steps.iter().enumerate() {
                            @let (ask, answer) = so_far::step_words(walk, index);
                            @let key = key_of(walk, &step.given);
                            li {
                                (ask) " " strong { (answer) } " "
                                a.change href=(self.asking_again(&key)) {
                                    "Change" span.unseen { ": " (ask) }
                                }
                            }
                        }
                    }
                }
                p.quiet {
                    "Minutes spent: " (minutes) "."
                    @if let Some(expected) = expected {
                        " Expected from here to the confirmed cause: about " (minutes_words(expected)) "."
                    }
                }
                @if let Some((key, _)) = self.state.facts.last() {
                    p { a.go href=(self.state.without(key).address(&self.class.id)) { "Back one answer" } }
                }
            }
        }
    }

    fn asking_again(&self, key: &str) -> String {
        let mut state = self.state.at_rest();
        state.again = Some(key.to_owned());
        state.proof = None;
        state.address(&self.class.id)
    }

    fn action(&self) -> String {
        format!("/walk/{}", escaped(&self.class.id))
    }

    /// The rest of the walk as hidden fields: those before the answer's place and those behind it, so
    /// that a changed answer stays where it was.
    fn hidden(&self, key: &str) -> (Markup, Markup) {
        let state = self.state.at_rest();
        let pairs = state.pairs();
        let is_answer = !RESERVED.contains(&key);
        let at = pairs.iter().position(|(name, _)| is_answer && *name == key);
        let (before, behind) = match at {
            Some(at) => (&pairs[..at], &pairs[at + 1..]),
            None => (pairs.as_slice(), &[][..]),
        };
        let fields = |pairs: &[(&str, &str)]| {
            html! {
                @for (name, value) in pairs.iter().filter(|(name, value)| *name != PROOF && !(*name == KEPT && *value == key)) {
                    input type="hidden" name=(name) value=(value);
                }
            }
        };
        (fields(before), fields(behind))
    }

    /// A form of buttons; each gives the answer `key=value`.
    fn buttons(&self, key: &str, choices: &[(&str, &str)], more: &[(&str, &str)]) -> Markup {
        let (before, behind) = self.hidden(key);
        html! {
            form.answers action=(self.action()) method="get" {
                (before)
                @for (value, text) in choices {
                    button.answer type="submit" name=(key) value=(value) { (text) }
                }
                (behind)
                @for (name, value) in more { input type="hidden" name=(name) value=(value); }
            }
        }
    }

    fn question(
        &self,
        walked: &Walked,
        index: usize,
        confirms: Option<usize>,
        plan: Option<&Plan>,
    ) -> Result<Page, String> {
        let walk = &walked.walk;
        let question = walk.case.questions[index];
        let by_reading = question.measure.is_some()
            && reply::missing_nameplate(question, &walk.nameplate).is_empty();
        let body = render::question_body(self.library(), walk, index, confirms, plan);
        let number = self
            .state
            .facts
            .iter()
            .position(|(key, _)| *key == question.id)
            .map_or(walk.steps.len() + 1, |at| at + 1);
        let wrong = |found: &Option<(String, String)>| {
            found
                .as_ref()
                .filter(|(key, _)| *key == question.id)
                .map(|(_, reason)| reason.clone())
        };
        let (wrong, odd) = (wrong(&walked.wrong), wrong(&walked.odd));
        let typed = self
            .state
            .facts
            .iter()
            .find(|(key, _)| *key == question.id)
            .map_or("", |(_, value)| value.as_str());
        let is_again = wrong.is_none() && self.state.again.as_deref() == Some(question.id.as_str());
        let answers = if by_reading {
            self.reading_form(question, typed, wrong.as_deref(), odd.as_deref())
        } else {
            self.finding_form(question, wrong.as_deref())
        };
        let page = html! {
            h1 #question { (number) ". " (question.ask) }
            @if walk.steps.is_empty() { (self.class_cautions(&question.cautions)) }
            (document(self.library(), &body))
            @if question.measure.is_some() && !by_reading {
                p { "Without the nameplate value the sum can't be made: compare with the drive's own manual and choose." }
            }
            (answers)
            (self.buttons(&question.id, &[(CANNOT, "Can't measure or see it now")], &[]))
            @if is_again {
                p { a.go href=(self.state.at_rest().address(&self.class.id)) { "Leave the answer as it was" } }
            }
            (self.why(walked, index, plan))
            (self.doubt(walked)?)
        };
        self.framed(walked, &question.ask, page)
    }

    fn reading_form(
        &self,
        question: &Question,
        typed: &str,
        wrong: Option<&str>,
        odd: Option<&str>,
    ) -> Markup {
        let inputs = readings_of(question);
        let (before, behind) = self.hidden(&question.id);
        let parts: Vec<&str> = match inputs.len() {
            1 => vec![typed],
            _ => typed.split(" | ").collect(),
        };
        let can_overrange = inputs.iter().any(|input| reads_over_range(input));
        html! {
            @if let Some(reason) = wrong {
                p.error #error role="alert" { "Not taken: " (reason) }
            }
            @if let Some(doubt) = odd {
                p.error #error role="alert" {
                    "That is odd: " (doubt) ". Look at the meter, its range and the terminals."
                }
                (self.buttons(&question.id, &[(typed, "It is right: keep it")], &[(KEPT, &question.id)]))
            }
            form.reading action=(self.action()) method="get" {
                (before)
                @for (at, input) in inputs.iter().enumerate() {
                    @let id = format!("reading-{at}");
                    @let value = parts.get(at).copied().unwrap_or_default();
                    (field(input, &id, &question.id, value, wrong.or(odd).is_some(), true))
                }
                (behind)
                button.answer type="submit" { "Take this reading" }
            }
            @if can_overrange && inputs.len() == 1 {
                (self.buttons(&question.id, &[("OL", "The meter shows over range (OL)")], &[]))
            }
        }
    }

    fn finding_form(&self, question: &Question, wrong: Option<&str>) -> Markup {
        let sure: Vec<(&str, &str)> = question
            .findings
            .iter()
            .map(|finding| (finding.id.as_str(), finding.text.as_str()))
            .collect();
        let unsure: Vec<(String, String)> = question
            .findings
            .iter()
            .flat_map(|finding| {
                [("fairly", "fairly sure"), ("guess", "a guess")].map(|(word, words)| {
                    (
                        format!("{} {word}", finding.id),
                        format!("{} ({words})", finding.text),
                    )
                })
            })
            .collect();
        let unsure: Vec<(&str, &str)> = unsure
            .iter()
            .map(|(value, text)| (value.as_str(), text.as_str()))
            .collect();
        html! {
            @if let Some(reason) = wrong {
                p.error #error role="alert" { "Not taken: " (reason) }
            }
            div role="group" aria-labelledby="question" {
                (self.buttons(&question.id, &sure, &[]))
            }
            details {
                summary { "Not quite sure?" }
                p { "An answer that you are not sure of counts less." }
                (self.buttons(&question.id, &unsure, &[]))
            }
        }
    }

    /// Why this question: in full if that was asked for, else the way there.
    fn why(&self, walked: &Walked, index: usize, plan: Option<&Plan>) -> Markup {
        let walk = &walked.walk;
        let Some(plan) = plan else {
            return html! {};
        };
        if self.state.look != Some(Look::Why) {
            let mut state = self.state.clone();
            state.look = Some(Look::Why);
            return html! { p { a.go href=(state.address(&self.class.id)) { "Why this question?" } } };
        }
        let told = why::why(
            &walk.case.model,
            &walk.situation(),
            plan,
            Action::Ask(index),
        );
        html! {
            section aria-labelledby="why" {
                h2 #why { "Why this question" }
                @if let Ok(Some(why)) = told {
                    (document(self.library(), &render::why(walk, index, plan, &why)))
                }
                p { a.go href={ "/show/" (escaped(&walk.case.questions[index].id)) } { "More about this question" } }
            }
        }
    }

    /// Answers that do not fit together.
    fn doubt(&self, walked: &Walked) -> Result<Markup, String> {
        let misfit = |error: AnswerError| error.to_string();
        let walk = &walked.walk;
        let Some(found) = walk.new_contradiction().map_err(misfit)? else {
            return Ok(html! {});
        };
        let mut doubtful = Vec::new();
        for (index, _) in &found.most_doubted {
            let leader = walk.without(*index).belief().map_err(misfit)?.leader();
            doubtful.push((*index, walk.case.cause_name(leader)));
        }
        Ok(html! {
            section.doubt aria-labelledby="doubt" {
                h2 #doubt { "A doubt" }
                p { (so_far::doubt_reason(walk, &found)) " One of these may be a slip; look again before going on." }
                ul {
                    @for (index, leader) in &doubtful {
                        @let (ask, answer) = so_far::step_words(walk, *index);
                        li {
                            (ask) " " strong { (answer) } ". Without it \"" (leader) "\" would lead. "
                            a.change href=(self.asking_again(&key_of(walk, &walk.steps[*index].given))) { "Answer again" }
                        }
                    }
                }
            }
        })
    }

    /// A nameplate value that the next sum needs.
    fn nameplate(&self, walked: &Walked, input: &'static Input) -> Result<Page, String> {
        let (before, behind) = self.hidden(input.name);
        let fact = self.state.facts.iter().find(|(key, _)| key == input.name);
        let typed = fact.map_or("", |(_, value)| value.as_str());
        let wrong = walked.wrong.as_ref().filter(|(key, _)| key == input.name);
        let page = html! {
            h1 #question { (item::capital(input.what)) }
            p { "To say what the next reading should be. It stands on a nameplate, a label or in the drive's own manual." }
            @if let Some((_, reason)) = wrong {
                p.error #error role="alert" { "Not taken: " (reason) }
            }
            form.reading action=(self.action()) method="get" {
                (before)
                (field(input, "reading-0", input.name, typed, wrong.is_some(), true))
                (behind)
                button.answer type="submit" { "Take this value" }
            }
            (self.buttons(input.name, &[(NOT_KNOWN, "Not known")], &[]))
        };
        self.framed(walked, input.what, page)
    }

    /// Whether somebody here may do what comes next.
    fn leave(&self, walked: &Walked, access: Access) -> Result<Page, String> {
        let mut cautions = Document::new();
        let ids: Vec<String> = access
            .cautions()
            .iter()
            .map(|id| (*id).to_owned())
            .collect();
        push_cautions(&mut cautions, self.library(), &ids);
        let word = access.word();
        let ask = render::access_question(access);
        // A question that was to be asked again still is, once there is leave.
        let again: Vec<(&str, &str)> = self
            .state
            .again
            .iter()
            .map(|key| (AGAIN, key.as_str()))
            .collect();
        let page = html! {
            h1 #question { (ask) }
            (document(self.library(), &cautions))
            p { "The next step is worked on " (item::access_words(access)) "." }
            (self.buttons(MAY, &[(word, "Yes")], &again))
            (self.buttons(MAY_NOT, &[(word, "No: leave such steps out")], &[]))
        };
        self.framed(walked, ask, page)
    }

    fn confirm(&self, walked: &Walked, cause: usize) -> Result<Page, String> {
        let walk = &walked.walk;
        let known = walk.case.causes[cause];
        let body = render::confirm_body(self.library(), walk, cause);
        let page = html! {
            h1 #question { (walk.steps.len() + 1) ". Confirm: " (known.name) }
            (document(self.library(), &body))
            div role="group" aria-labelledby="question" {
                (self.buttons(&known.id, &[
                    (CONFIRMED, "Yes, that is it"),
                    (NOT_CONFIRMED, "No, it is not that"),
                    (POSTPONED, "It can't be done now"),
                ], &[]))
            }
            (self.doubt(walked)?)
        };
        self.framed(walked, &known.name, page)
    }

    fn put_right(&self, walked: &Walked, cause: usize) -> Result<Page, String> {
        let known = walked.walk.case.causes[cause];
        let remedy = render::remedy(self.library(), &walked.walk, cause);
        let is_confirmed = self
            .state
            .facts
            .iter()
            .any(|(key, value)| *key == known.id && value == CONFIRMED);
        let confirmed: &[(&str, &str)] = match is_confirmed {
            true => &[],
            false => &[(known.id.as_str(), CONFIRMED)],
        };
        let page = html! {
            (document_with_title(self.library(), &remedy))
            h2 { "How did it go?" }
            (self.buttons(PROOF, &[
                (Proof::Passed.word(), "Put right, and the proof passed"),
                (Proof::Later.word(), "Not yet put right or proved"),
            ], confirmed))
            (self.buttons(&known.id, &[(NOT_CONFIRMED, "Put right, but the trouble came back")], &[]))
        };
        self.framed(walked, &known.name, page)
    }

    fn ended(&self, walked: &Walked, cause: Option<usize>, proved: bool) -> Result<Page, String> {
        let misfit = |error: AnswerError| error.to_string();
        let library = self.library();
        let walk = &walked.walk;
        let verdict = render::verdict(library, walk).map_err(misfit)?;
        let mut page = html! { (whole_document(library, &verdict)) };
        if cause.is_none() && walk.verdict().map_err(misfit)? == Verdict::Unresolved {
            let plant = self.asked.site.plant();
            let histories = plant.histories(self.state.drive.as_deref());
            let history = |class: &str| histories.get(class).cloned().unwrap_or_default();
            let facts = other_classes::facts_of(walk);
            let weighed = across::rank(library, &facts, &Default::default(), &history);
            let others = other_classes::other_classes(library, walk, &weighed);
            page = html! { (page) (document(library, &others)) };
        }
        let page = html! { (page) (record::of_walk(self.asked, self.class, self.state, proved)) };
        self.framed(walked, "Verdict", page)
    }
}

fn document_with_title(library: &Library, remedy: &Document) -> Markup {
    // The remedy's own heading is the page's.
    let mut raised = remedy.clone();
    if let Some(crate::render::doc::Block::Heading(level, _)) = raised.blocks.first_mut() {
        *level = 1;
    }
    whole_document(library, &raised)
}

/// What a question or the confirming step of a cause needs of the machine.
fn access_of(walk: &Walk<'_>, key: &str) -> Access {
    let question = walk.case.question_index(key);
    let of_question = question.map(|index| walk.case.questions[index].access);
    let of_cause = || {
        let cause = walk.case.cause_index(key)?;
        Some(walk.case.causes[cause].confirm.access)
    };
    of_question.or_else(of_cause).unwrap_or(Access::Observe)
}

/// The inputs of a question's check that are read now.
fn readings_of(question: &Question) -> Vec<&'static Input> {
    let Some(measure) = &question.measure else {
        return Vec::new();
    };
    let Some(check) = reply::check_of(measure) else {
        return Vec::new();
    };
    measure
        .inputs
        .iter()
        .filter_map(|name| check.inputs.iter().find(|input| input.name == *name))
        .collect()
}

/// Whether over range says something: an open circuit, or a diode that blocks.
fn reads_over_range(input: &'static Input) -> bool {
    let most = checks::limits(input).map_or(f64::INFINITY, |(_, most)| most.si());
    match input.kind {
        Kind::Resistance => true,
        Kind::Voltage => most <= DIODE_RANGE,
        _ => false,
    }
}

/// A voltage input up to this is read in a meter's diode range, in volts (common practice, no source).
const DIODE_RANGE: f64 = 10.0;

fn key_of(walk: &Walk<'_>, given: &Given) -> String {
    walk_record::pair(walk, given).0
}
