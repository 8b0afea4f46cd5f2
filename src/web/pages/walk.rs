//! The walk: one question a page, its state in the address.

use maud::{Markup, html};

use super::super::links::escaped;
use super::super::page::{Page, Reply, document, missing, whole_document};
use super::super::walk_state::{
    KEPT, Look, MAY, MAY_NOT, NOT_KNOWN, PROOF, Proof, RESERVED, StateError, WalkState,
};
use super::{Asked, record};
use crate::checks::{self, Input};
use crate::diagnosis::belief::AnswerError;
use crate::diagnosis::case::{Case, place};
use crate::diagnosis::planner::{Action, Plan};
use crate::diagnosis::record::{CANNOT, CONFIRMED, NOT_CONFIRMED, POSTPONED, nameplate_input};
use crate::diagnosis::reply;
use crate::diagnosis::verdict::Verdict;
use crate::diagnosis::walk::{Given, Turn, Walk};
use crate::diagnosis::{across, why};
use crate::knowledge::{Access, FaultClass, Library, Question};
use crate::quantity::{Kind, units_of};
use crate::render::doc::Document;
use crate::render::item::{minutes_words, push_cautions};
use crate::render::{across as other_classes, item, so_far, walk as render};
use crate::web::plant::Plant;

pub fn page(asked: &Asked) -> Reply {
    let plant = asked.site.plant();
    let Some(class) = plant.library.class(&asked.name) else {
        let near = plant.library.nearest_class(&asked.name);
        let near = near.map(|near| (format!("/walk/{}", escaped(near)), near.to_owned()));
        return missing(&format!("There is no fault class \"{}\"", asked.name), near).into();
    };
    let state = match WalkState::parse(&asked.query) {
        Ok(state) => state,
        Err(StateError::TooLong) => {
            return missing(
                "This address is longer than any walk",
                Some((format!("/walk/{}", class.id), class.title.clone())),
            )
            .into();
        }
    };
    let walked = walked(plant, class, &state);
    let front = Front {
        asked,
        class,
        state: &state,
    };
    match walked.and_then(|walked| front.show(&walked)) {
        Ok(page) => page.into(),
        Err(error) => missing(&format!("The walk can't be computed: {error}"), None).into(),
    }
}

/// A walk as far as its address is understood.
pub struct Walked {
    /// The walk with every answer that makes sense.
    pub walk: Walk<'static>,
    /// The first answer that does not: its key and why.
    wrong: Option<(String, String)>,
    /// The reading that is odd, and why.
    odd: Option<(String, String)>,
    /// Nameplate values that nobody knows.
    not_known: Vec<String>,
    /// Facts that this class has no use for.
    not_used: Vec<String>,
}

/// The walk that an address tells.
///
/// # Errors
/// When the class makes no model, which the knowledge check prevents.
pub fn walked(
    plant: &Plant,
    class: &'static FaultClass,
    state: &WalkState,
) -> Result<Walked, String> {
    let library = plant.library;
    let drive = state.drive.as_deref();
    let history = plant.histories(drive).remove(&class.id).unwrap_or_default();
    let case = Case::compile(library, class, history).map_err(|error| error.to_string())?;
    let mut walked = Walked {
        walk: Walk::new(case, Default::default()),
        wrong: None,
        odd: None,
        not_known: Vec::new(),
        not_used: Vec::new(),
    };
    for (access, refused) in [(Access::Live, "live"), (Access::Isolated, "isolated")] {
        walked.walk.allowed[place(access)] = !state.may_not.contains(refused);
    }
    let of_drive = drive.and_then(|id| {
        plant
            .read(|store| crate::plant::Store::drive(store, id))
            .ok()
    });
    let nameplate = of_drive.flatten().flatten().map(|drive| drive.nameplate);
    for (name, value) in nameplate.unwrap_or_default() {
        walked.take(library, &(name, value), &state.kept, true);
    }
    let is_nameplate = |key: &str| {
        walked.walk.case.question_index(key).is_none() && nameplate_input(key).is_some()
    };
    let (first, then): (Vec<_>, Vec<_>) =
        state.facts.iter().partition(|(key, _)| is_nameplate(key));
    for fact in first.into_iter().chain(then) {
        walked.take(library, fact, &state.kept, false);
    }
    Ok(walked)
}

impl Walked {
    /// Takes one fact; what the register says may not be right, and stops nothing.
    fn take(
        &mut self,
        library: &Library,
        fact: &(String, String),
        kept: &std::collections::BTreeSet<String>,
        from_register: bool,
    ) {
        use crate::diagnosis::record::{Known, understand};
        let (key, value) = fact;
        if value == NOT_KNOWN && nameplate_input(key).is_some() {
            self.not_known.push(key.clone());
            return;
        }
        match understand(library, &self.walk, fact) {
            Ok(Known::Nameplate(name, given)) => {
                self.walk.nameplate.insert(name, given);
            }
            Ok(Known::NotUsed(key)) => self.not_used.push(key),
            Ok(Known::Answer(given)) => {
                let doubt = match &given {
                    Given::Found { reply, .. } if !kept.contains(key) => {
                        reply.evaluation.as_ref().and_then(|sum| sum.doubt.clone())
                    }
                    _ => None,
                };
                match doubt {
                    Some(doubt) => self.odd = self.odd.take().or(Some((key.clone(), doubt))),
                    None => self.walk = self.walk.answered(given, false),
                }
            }
            Err(_) if from_register => {}
            Err(error) => {
                let reason = match error {
                    crate::diagnosis::record::FactError::Value { reason, .. } => reason,
                    other => other.to_string(),
                };
                self.wrong = self.wrong.take().or(Some((key.clone(), reason)));
            }
        }
    }
}

/// What a page of the walk is made from.
struct Front<'a> {
    asked: &'a Asked,
    class: &'static FaultClass,
    state: &'a WalkState,
}

impl Front<'_> {
    fn library(&self) -> &'static Library {
        self.asked.site.plant().library
    }

    fn show(&self, walked: &Walked) -> Result<Page, String> {
        let misfit = |error: AnswerError| error.to_string();
        let walk = &walked.walk;
        // An answer that makes no sense, or an odd one, is asked again with what was typed.
        let again = walked
            .wrong
            .as_ref()
            .or(walked.odd.as_ref())
            .map(|(key, _)| key.as_str())
            .or(self.state.again.as_deref());
        if let Some(key) = again {
            if let Some(index) = walk.case.question_index(key) {
                return self.question(walked, index, None, None);
            }
            if let Some(cause) = walk.case.cause_index(key) {
                return self.confirm(walked, cause);
            }
            if let Some(input) = nameplate_input(key) {
                return self.nameplate(walked, input);
            }
        }
        let turn = self.asked.site.plant().turns.turn(walk).map_err(misfit)?;
        let needed = match &turn {
            Turn::Ask { question, .. } => walk.case.questions[*question].access,
            Turn::Confirm { cause, .. } => walk.case.causes[*cause].confirm.access,
            Turn::Settled { .. } | Turn::HandOver { .. } => Access::Observe,
        };
        if matches!(needed, Access::Live | Access::Isolated)
            && !self.state.may.contains(needed.word())
        {
            return self.leave(walked, needed);
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
                    Some(input) => self.nameplate(walked, input),
                    None => self.question(walked, question, confirms, Some(&plan)),
                }
            }
            Turn::Confirm { cause, .. } => self.confirm(walked, cause),
            Turn::Settled { cause } => match self.state.proof {
                None => self.put_right(walked, cause),
                Some(proof) => self.ended(walked, Some(cause), proof == Proof::Passed),
            },
            Turn::HandOver { .. } => self.ended(walked, None, false),
        }
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
        let page = html! {
            h1 #question { (ask) }
            (document(self.library(), &cautions))
            p { "The next step is worked on " (item::access_words(access)) "." }
            (self.buttons(MAY, &[(word, "Yes")], &[]))
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
    crate::diagnosis::record::pair(walk, given).0
}

/// A field for a reading with its unit beside it, and another unit where the kind has several.
pub fn field(
    input: &'static Input,
    id: &str,
    name: &str,
    value: &str,
    is_wrong: bool,
    with_unit: bool,
) -> Markup {
    let units = units_of(input.kind);
    let example = checks::example(input);
    // The number alone, if its unit is one of the list; else everything that was typed.
    let known = value
        .rsplit_once(' ')
        .filter(|(_, unit)| units.contains(unit));
    let (number, unit) = known.unwrap_or((value, input.unit));
    html! {
        div.field {
            label for=(id) { (item::capital(input.what)) }
            div.with-unit {
                @if input.choices.is_empty() {
                    input id=(id) type="text" inputmode="decimal" name=(name) value=(number)
                        maxlength="80" autocomplete="off"
                        aria-describedby={ @if is_wrong { "error " } (id) "-hint" }
                        aria-invalid=[is_wrong.then_some("true")];
                    @if with_unit && units.len() > 1 {
                        select name="unit" aria-label={ "Unit of: " (input.what) } {
                            @for one in &units {
                                option value=(one) selected[*one == unit] { (one) }
                            }
                        }
                    } @else if !input.unit.is_empty() {
                        span.unit { (input.unit) }
                    }
                } @else {
                    select id=(id) name=(name) {
                        @for choice in input.choices {
                            option value=(choice) selected[*choice == value] { (choice) }
                        }
                    }
                }
            }
            @if input.choices.is_empty() {
                p.hint id={ (id) "-hint" } { "Such as " (example) "; " (input.limits.0) " to " (input.limits.1) "." }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::builtin;
    use crate::web::site::{Doors, Site};
    use crate::web::visit::Visitor;
    use jiff::Timestamp;
    use jiff::tz::TimeZone;
    use proptest::prelude::*;
    use std::net::{IpAddr, Ipv4Addr};
    use std::sync::OnceLock;

    fn site() -> &'static Site {
        static SITE: OnceLock<Site> = OnceLock::new();
        SITE.get_or_init(|| {
            let library: &'static Library =
                Box::leak(Box::new(builtin::knowledge().expect("the knowledge opens")));
            let searcher = builtin::searcher(library).expect("the index opens");
            let nowhere = std::env::temp_dir().join("no-log-is-here");
            let clock = || Timestamp::UNIX_EPOCH;
            let plant = Plant::new(library, searcher, nowhere, clock, TimeZone::UTC);
            Site::new(plant, Doors::default())
        })
    }

    fn asked(class: &str, query: &str) -> Asked {
        let here = IpAddr::from(Ipv4Addr::LOCALHOST);
        let visitor = Visitor::read(site(), &Default::default(), here).expect("randomness");
        Asked {
            site: site().clone(),
            visitor,
            name: class.to_owned(),
            query: query.to_owned(),
            pairs: Vec::new(),
        }
    }

    fn text(class: &str, query: &str) -> String {
        match page(&asked(class, query)) {
            Reply::Page(page) => page.body.into_string(),
            Reply::Go(address) => address,
            Reply::Part(part) => part.into_string(),
        }
    }

    #[test]
    fn no_id_of_the_knowledge_is_a_word_of_the_address() {
        let library = site().plant().library;
        for word in RESERVED {
            assert!(library.question(word).is_none(), "{word}");
            assert!(library.cause(word).is_none(), "{word}");
            assert!(nameplate_input(word).is_none(), "{word}");
        }
    }

    #[test]
    fn every_caution_stands_above_the_answers() {
        let library = site().plant().library;
        let mut seen = std::collections::BTreeSet::new();
        for class in library.classes() {
            let case = Case::compile(library, class, Default::default()).expect("a model");
            let questions = case.questions.iter().map(|one| (&one.id, &one.cautions));
            let causes = case.causes.iter().map(|one| (&one.id, &one.cautions));
            let all = questions.chain(causes);
            for (id, cautions) in all.filter(|(id, _)| seen.insert((*id).clone())) {
                let shown = text(&class.id, &format!("again={id}"));
                let (above, _) = shown
                    .split_once("<button")
                    .unwrap_or_else(|| panic!("{id} has no answer"));
                for caution in cautions {
                    let caution = library.caution(caution).expect("a caution");
                    let words = crate::render::html::escaped(&caution.text);
                    assert!(
                        above.contains(&words),
                        "{}: {id} lacks {}",
                        class.id,
                        caution.id
                    );
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// Whatever an address says of a class, a page comes.
        #[test]
        fn any_address_is_a_page(
            class in 0usize..70,
            facts in prop::collection::vec((0usize..500, 0usize..12, "[ -~]{0,12}"), 0..8),
            noise in ".{0,60}",
        ) {
            let library = site().plant().library;
            let class = library.classes().nth(class).expect("seventy classes");
            let case = Case::compile(library, class, Default::default()).expect("a model");
            let mut query = form_urlencoded::Serializer::new(String::new());
            for (question, finding, typed) in &facts {
                let index = question % case.questions.len();
                let question = case.questions[index];
                let value = match question.findings.get(*finding) {
                    Some(found) => found.id.as_str(),
                    None => typed.as_str(),
                };
                query.append_pair(&question.id, value);
            }
            let query = format!("{}&{noise}", query.finish());
            let shown = text(&class.id, &query);
            prop_assert!(shown.contains("<h1"), "{}", shown);
        }
    }
}
