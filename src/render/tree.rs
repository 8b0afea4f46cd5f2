//! The decision tree of a class: numbered steps for people, graphs for drawing programs.

use std::fmt::Write;

use super::doc::{Block, Document, code, plain, quiet, strong};
use super::item::{minutes_words, push_cautions};
use super::tree_drawing;
use crate::diagnosis::case::Case;
use crate::diagnosis::tree::{Node, Tree};
use crate::knowledge::Library;

/// A step of the flattened tree.
pub(super) struct Place<'t> {
    number: usize,
    node: &'t Node,
}

/// The asking steps in the order in which a reader meets them.
pub(super) fn places(tree: &Tree) -> Vec<Place<'_>> {
    let mut found = Vec::new();
    let mut waiting = std::collections::VecDeque::from([&tree.root]);
    while let Some(node) = waiting.pop_front() {
        match node {
            Node::Ask { branches, .. } => {
                found.push(Place {
                    number: found.len() + 1,
                    node,
                });
                waiting.extend(branches.iter().map(|branch| &branch.then));
            }
            Node::Confirm { otherwise, .. } => {
                found.push(Place {
                    number: found.len() + 1,
                    node,
                });
                waiting.push_back(otherwise);
            }
            Node::Settled { .. } | Node::Leaf { .. } => {}
        }
    }
    found
}

pub(super) fn number_of(places: &[Place<'_>], node: &Node) -> Option<usize> {
    places
        .iter()
        .find(|place| std::ptr::eq(place.node, node))
        .map(|place| place.number)
}

/// The tree as numbered steps, every caution of its steps in front.
pub fn steps(library: &Library, case: &Case<'_>, tree: &Tree) -> Document {
    let places = places(tree);
    let mut document = Document::new();
    document.heading(1, format!("Decision tree: {}", case.class.title));
    document.text(format!(
        "Start at step 1. On average {} to the confirmed cause, the way into the cabinet and a price for live work included. Does it not fit? whytrip walk {}",
        minutes_words(tree.expected_minutes),
        case.class.id
    ));
    document.gap();
    push_cautions(&mut document, library, &cautions(case, tree));
    for place in &places {
        match place.node {
            Node::Ask {
                question,
                move_minutes,
                branches,
                ..
            } => {
                let question = case.questions[*question];
                document.heading(2, format!("{}. {}", place.number, question.ask));
                let way = if *move_minutes > 0.0 {
                    format!(", and {} to get there", minutes_words(*move_minutes))
                } else {
                    String::new()
                };
                document.paragraph(vec![
                    quiet(format!(
                        "{}; {}{way}. ",
                        question.access.word(),
                        minutes_words(question.minutes)
                    )),
                    code(&question.id),
                ]);
                for branch in branches {
                    let finding = &question.findings[branch.finding];
                    let mut spans =
                        vec![strong(format!("{} ", finding.text.trim_end_matches('.')))];
                    if let Some(when) = &finding.when {
                        spans.push(quiet(format!("({when}) ")));
                    }
                    spans.push(plain(format!("→ {}", then(case, &places, &branch.then))));
                    document.item(spans);
                }
            }
            Node::Confirm { step, otherwise } => {
                document.heading(
                    2,
                    format!("{}. Confirm: {}", place.number, case.cause_name(step.cause)),
                );
                document.item(vec![
                    strong("Not it "),
                    plain(format!("→ {}", then(case, &places, otherwise))),
                ]);
            }
            Node::Settled { .. } | Node::Leaf { .. } => {}
        }
    }
    document.heading(2, "How each cause is confirmed");
    for index in causes_of(tree) {
        if let Some(cause) = case.causes.get(index) {
            document.item(vec![
                strong(format!("{}: ", cause.name)),
                plain(&cause.confirm.how),
                quiet(format!(
                    " ({}, {})",
                    cause.confirm.access.word(),
                    minutes_words(cause.confirm.minutes)
                )),
            ]);
        }
    }
    document.push(Block::Drawing(tree_drawing::svg(case, tree)));
    document
}

fn then(case: &Case<'_>, places: &[Place<'_>], node: &Node) -> String {
    if let Some(number) = number_of(places, node) {
        return format!("step {number}");
    }
    let steps = match node {
        Node::Settled { cause } => return format!("that is it: {}", case.cause_name(*cause)),
        Node::Leaf { steps } => steps,
        Node::Ask { .. } | Node::Confirm { .. } => return String::new(),
    };
    if steps.is_empty() {
        return "hand over to a specialist".to_owned();
    }
    let names: Vec<&str> = steps
        .iter()
        .map(|step| case.cause_name(step.cause))
        .collect();
    format!(
        "confirm in this order: {}; then hand over",
        names.join(", ")
    )
}

/// The causes that the tree may end in, in the order of the class.
fn causes_of(tree: &Tree) -> std::collections::BTreeSet<usize> {
    fn collect(node: &Node, found: &mut std::collections::BTreeSet<usize>) {
        match node {
            Node::Ask { branches, .. } => {
                branches
                    .iter()
                    .for_each(|branch| collect(&branch.then, found));
            }
            Node::Confirm { step, otherwise } => {
                found.insert(step.cause);
                collect(otherwise, found);
            }
            Node::Settled { cause } => {
                found.insert(*cause);
            }
            Node::Leaf { steps } => found.extend(steps.iter().map(|step| step.cause)),
        }
    }
    let mut found = std::collections::BTreeSet::new();
    collect(&tree.root, &mut found);
    found
}

/// The cautions of every step of the tree, each once.
fn cautions(case: &Case<'_>, tree: &Tree) -> Vec<String> {
    let mut all: Vec<String> = case.class.cautions.clone();
    for place in places(tree) {
        if let Node::Ask { question, .. } = place.node {
            all.extend(case.questions[*question].cautions.iter().cloned());
        }
    }
    for index in causes_of(tree) {
        if let Some(cause) = case.causes.get(index) {
            all.extend(cause.cautions.iter().cloned());
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    all.retain(|id| seen.insert(id.clone()));
    all
}

/// A node of a graph: its name and text; and the edges from it.
struct Graph {
    nodes: Vec<(String, String)>,
    edges: Vec<(String, String, String)>,
}

fn graph(case: &Case<'_>, tree: &Tree) -> Graph {
    let places = places(tree);
    let mut graph = Graph {
        nodes: Vec::new(),
        edges: Vec::new(),
    };
    for place in &places {
        let name = format!("s{}", place.number);
        let branches: Vec<(&str, &Node)> = match place.node {
            Node::Ask {
                question, branches, ..
            } => {
                let question = case.questions[*question];
                graph
                    .nodes
                    .push((name.clone(), format!("{}. {}", place.number, question.ask)));
                branches
                    .iter()
                    .map(|branch| {
                        (
                            question.findings[branch.finding].text.as_str(),
                            &branch.then,
                        )
                    })
                    .collect()
            }
            Node::Confirm { step, otherwise } => {
                let text = format!("{}. Confirm: {}", place.number, case.cause_name(step.cause));
                graph.nodes.push((name.clone(), text));
                vec![("Not it", otherwise.as_ref())]
            }
            Node::Settled { .. } | Node::Leaf { .. } => Vec::new(),
        };
        for (index, (label, node)) in branches.into_iter().enumerate() {
            let target = match number_of(&places, node) {
                Some(number) => format!("s{number}"),
                None => {
                    let leaf = format!("{name}e{index}");
                    graph.nodes.push((leaf.clone(), then(case, &places, node)));
                    leaf
                }
            };
            graph.edges.push((name.clone(), target, label.to_owned()));
        }
    }
    graph
}

/// The tree in the DOT language, with the cautions as a comment and as the graph's label.
pub fn dot(library: &Library, case: &Case<'_>, tree: &Tree) -> String {
    let quoted = |text: &str| text.replace('\\', "\\\\").replace('"', "\\\"");
    let graph = graph(case, tree);
    let mut text = format!("digraph \"{}\" {{\n", quoted(&case.class.title));
    let _ = writeln!(text, "  node [shape=box, fontname=\"sans-serif\"];");
    let _ = writeln!(
        text,
        "  labelloc=t;\n  label=\"{}\";",
        quoted(&caution_text(library, case, tree))
    );
    for (name, label) in &graph.nodes {
        let _ = writeln!(text, "  {name} [label=\"{}\"];", quoted(label));
    }
    for (from, to, label) in &graph.edges {
        let _ = writeln!(text, "  {from} -> {to} [label=\"{}\"];", quoted(label));
    }
    text.push_str("}\n");
    text
}

/// The tree as a Mermaid flow chart, the cautions as its first node.
pub fn mermaid(library: &Library, case: &Case<'_>, tree: &Tree) -> String {
    let quoted = |text: &str| text.replace('"', "'");
    let graph = graph(case, tree);
    let mut text = "flowchart TD\n".to_owned();
    let _ = writeln!(
        text,
        "  c0[\"{}\"] --> s1",
        quoted(&caution_text(library, case, tree))
    );
    for (name, label) in &graph.nodes {
        let _ = writeln!(text, "  {name}[\"{}\"]", quoted(label));
    }
    for (from, to, label) in &graph.edges {
        let _ = writeln!(text, "  {from} -->|\"{}\"| {to}", quoted(label));
    }
    text
}

fn caution_text(library: &Library, case: &Case<'_>, tree: &Tree) -> String {
    let mut document = Document::new();
    push_cautions(&mut document, library, &cautions(case, tree));
    document
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Caution { signal, text } => Some(format!("{signal}: {text}")),
            _ => None,
        })
        .collect::<Vec<_>>()
        .join(" ")
}
