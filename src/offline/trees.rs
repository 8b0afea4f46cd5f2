//! The decision tree of each class, short enough to carry: every finding leads to the next step, causes
//! stand as the letters that they have in the list of the class.

use std::collections::{BTreeSet, VecDeque};
use std::sync::Mutex;
use std::thread;

use super::PageError;
use super::anchors;
use super::markup::escaped;
use super::markup::{cautions, link, list, quiet, warning};
use crate::diagnosis::case::{Case, History};
use crate::diagnosis::situation::Situation;
use crate::diagnosis::tree::{Branch, Node, Step, Tree, compile};
use crate::knowledge::{FaultClass, Library, Question};
use crate::render::item::minutes_words;

/// Chance below which a branch becomes a list of causes: a phone shows fewer steps at a time than a
/// page in a cabinet door (common practice, no source).
const REACH: f64 = 0.17;

/// The trees of all classes in their order. Planning takes far longer than all the rest of the page,
/// so every core has a share of it.
///
/// # Errors
/// The first class that gives no tree.
pub fn all(library: &Library) -> Result<Vec<String>, PageError> {
    let classes: Vec<&FaultClass> = library.classes().collect();
    let next = Mutex::new(0..classes.len());
    let take = || next.lock().ok().and_then(|mut next| next.next());
    let work = || {
        let mut done = Vec::new();
        while let Some(number) = take() {
            done.push((number, tree(library, number, classes[number])));
        }
        done
    };
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, Result<String, PageError>)> = thread::scope(|scope| {
        let others: Vec<_> = (1..cores).map(|_| scope.spawn(work)).collect();
        let own = work();
        let joined = others.into_iter().filter_map(|other| other.join().ok());
        joined.flatten().chain(own).collect()
    });
    done.sort_by_key(|(number, _)| *number);
    done.into_iter().map(|(_, tree)| tree).collect()
}

fn tree(library: &Library, number: usize, class: &FaultClass) -> Result<String, PageError> {
    let misfit = |reason: String| PageError::Tree {
        class: class.id.clone(),
        reason,
    };
    let case = Case::compile(library, class, History::default())
        .map_err(|error| misfit(error.to_string()))?;
    let tree = compile(&case.model, &Situation::at_start(&case.model), REACH)
        .map_err(|error| misfit(error.to_string()))?;
    Ok(Writer::new(library, &case, number, &tree).text())
}

/// A tree that is being written.
struct Writer<'t> {
    library: &'t Library,
    case: &'t Case<'t>,
    class: usize,
    tree: &'t Tree,
    /// The steps in the order in which a reader meets them.
    steps: Vec<&'t Node>,
    /// The causes that the tree may end in, in the order of the class.
    causes: BTreeSet<usize>,
}

impl<'t> Writer<'t> {
    fn new(library: &'t Library, case: &'t Case<'t>, class: usize, tree: &'t Tree) -> Self {
        let mut writer = Writer {
            library,
            case,
            class,
            tree,
            steps: Vec::new(),
            causes: BTreeSet::new(),
        };
        let mut waiting = VecDeque::from([&tree.root]);
        while let Some(node) = waiting.pop_front() {
            match node {
                Node::Ask { branches, .. } => {
                    writer.steps.push(node);
                    waiting.extend(branches.iter().map(|branch| &branch.then));
                }
                Node::Confirm { step, otherwise } => {
                    writer.steps.push(node);
                    writer.causes.insert(step.cause);
                    waiting.push_back(otherwise);
                }
                Node::Settled { cause } => {
                    writer.causes.insert(*cause);
                }
                Node::Leaf { steps } => writer.causes.extend(steps.iter().map(|one| one.cause)),
            }
        }
        writer
    }

    fn text(&self) -> String {
        let mut text = cautions(self.library, &self.cautions());
        let minutes = minutes_words(self.tree.expected_minutes);
        text.push_str(&quiet(&format!(
            "On average {minutes} to the confirmed cause. Letters are the causes listed above: confirm them in this order; if none is it, hand over to a specialist. The cautions at the top hold as well."
        )));
        for (at, node) in self.steps.iter().enumerate() {
            text.push_str(&self.step(at + 1, node));
        }
        text
    }

    fn step(&self, number: usize, node: &Node) -> String {
        let anchor = anchors::step(self.class, number);
        let (to, title, access, cautions, ways) = match node {
            Node::Ask {
                question, branches, ..
            } => {
                let question = self.case.questions[*question];
                let ways = branches.iter().map(|branch| self.way(question, branch));
                (
                    anchors::question(&question.id),
                    question.ask.clone(),
                    question.access.word(),
                    &question.cautions[..],
                    ways.collect(),
                )
            }
            Node::Confirm { step, otherwise } => {
                let Some(cause) = self.case.causes.get(step.cause) else {
                    return String::new();
                };
                (
                    anchors::cause(&cause.id),
                    format!("Confirm {}: {}", letter(step.cause), cause.name),
                    cause.confirm.access.word(),
                    &cause.cautions[..],
                    vec![self.lead("Not it", otherwise)],
                )
            }
            Node::Settled { .. } | Node::Leaf { .. } => return String::new(),
        };
        format!(
            "<h6 id=\"{anchor}\">{}</h6>\n{}{}",
            link(&to, &format!("{number}. {title}"), access),
            reminder(self.library, cautions),
            list("ways", ways)
        )
    }

    fn way(&self, question: &Question, branch: &Branch) -> String {
        let finding = &question.findings[branch.finding];
        let text = finding.text.trim_end_matches('.');
        match &finding.when {
            Some(when) => self.lead(&format!("{text} ({when})"), &branch.then),
            None => self.lead(text, &branch.then),
        }
    }

    /// A finding with what follows from it; a further step is a link.
    fn lead(&self, finding: &str, then: &Node) -> String {
        let further = self.steps.iter().position(|step| std::ptr::eq(*step, then));
        let finding = escaped(finding);
        let follows = match (further, then) {
            (Some(at), _) => {
                let anchor = anchors::step(self.class, at + 1);
                return format!("<a href=\"#{anchor}\">{finding} <b>→ {}</b></a>", at + 1);
            }
            (None, Node::Settled { cause }) => letter(*cause),
            (None, Node::Leaf { steps }) => self.order(steps),
            (None, _) => String::new(),
        };
        format!("{finding} <b>→ {follows}</b>")
    }

    fn order(&self, steps: &[Step]) -> String {
        let letters: Vec<String> = steps.iter().map(|step| letter(step.cause)).collect();
        match letters.is_empty() {
            true => "hand over to a specialist".to_owned(),
            false => letters.join(", "),
        }
    }

    /// The cautions of every step of the tree, each once; those of the class stand at its top.
    fn cautions(&self) -> Vec<String> {
        let asked = self.steps.iter().filter_map(|node| match node {
            Node::Ask { question, .. } => Some(&self.case.questions[*question].cautions),
            _ => None,
        });
        let confirmed = self
            .causes
            .iter()
            .filter_map(|index| self.case.causes.get(*index));
        let all = asked
            .chain(confirmed.map(|cause| &cause.cautions))
            .flatten();
        let mut seen: BTreeSet<&String> = self.case.class.cautions.iter().collect();
        all.filter(|id| seen.insert(*id)).cloned().collect()
    }
}

/// The letter that stands for a cause by its place in the list of the class: A to Z, then AA.
pub fn letter(at: usize) -> String {
    let own = char::from(b'A' + (at % 26) as u8);
    match at / 26 {
        0 => own.to_string(),
        more => letter(more - 1) + &own.to_string(),
    }
}

/// Which of the cautions in front of the tree stand before this step.
fn reminder(library: &Library, ids: &[String]) -> String {
    let named: Vec<String> = ids
        .iter()
        .filter_map(|id| library.caution(id))
        .map(|caution| format!("{} {}", caution.signal, caution.id.replace('-', " ")))
        .collect();
    match named.is_empty() {
        true => String::new(),
        false => warning("First read above", &format!("{}.", named.join("; "))),
    }
}
