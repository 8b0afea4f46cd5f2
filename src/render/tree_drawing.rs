//! A decision tree as one drawing: steps from left to right, each branch with its finding, black on
//! white so that it survives a photocopy.

use std::fmt::Write;

use super::html::escaped;
use super::tree::{number_of, places};
use crate::diagnosis::case::Case;
use crate::diagnosis::tree::{Node, Tree};

/// Size of a box and of the gaps between boxes, px.
const BOX_WIDTH: usize = 190;
const LINE: usize = 15;
const COLUMN_GAP: usize = 130;
const ROW_GAP: usize = 10;
const MARGIN: usize = 10;
/// Characters that fit a line of a box and of a branch.
const BOX_CHARACTERS: usize = 27;
const BRANCH_CHARACTERS: usize = 20;
/// Most lines of a box.
const BOX_LINES: usize = 4;

/// A box of the drawing.
struct Drawn {
    left: usize,
    top: usize,
    lines: Vec<String>,
    is_end: bool,
    /// Boxes that it leads to, with the finding that does.
    to: Vec<(usize, String)>,
}

impl Drawn {
    fn height(&self) -> usize {
        self.lines.len() * LINE + 10
    }

    fn middle(&self) -> usize {
        self.top + self.height() / 2
    }
}

/// The drawing as SVG, with a title for readers that see no pictures.
pub fn svg(case: &Case<'_>, tree: &Tree) -> String {
    let mut boxes = Vec::new();
    let places = places(tree);
    let texts = Texts { case, places };
    let mut next_top = MARGIN;
    place(&texts, &tree.root, 0, &mut next_top, &mut boxes);
    let width = boxes.iter().map(|one| one.left + BOX_WIDTH).max();
    let width = width.unwrap_or(0) + MARGIN;
    let height = boxes.iter().map(|one| one.top + one.height()).max();
    let height = height.unwrap_or(0) + MARGIN;
    let mut out = format!(
        "<div class=\"tree\"><svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
width=\"{width}\" role=\"img\" style=\"background:#fff;color:#000\" \
font-family=\"sans-serif\" font-size=\"12\"><title>Decision tree: {}</title>\n",
        escaped(&case.class.title)
    );
    for one in &boxes {
        for (target, finding) in &one.to {
            edge(&mut out, one, &boxes[*target], finding);
        }
    }
    for one in &boxes {
        draw(&mut out, one);
    }
    out.push_str("</svg></div>\n");
    out
}

struct Texts<'t, 'k> {
    case: &'t Case<'k>,
    places: Vec<super::tree::Place<'t>>,
}

impl Texts<'_, '_> {
    fn of(&self, node: &Node) -> String {
        let number = number_of(&self.places, node).map_or(String::new(), |n| format!("{n}. "));
        match node {
            Node::Ask { question, .. } => {
                format!("{number}{}", self.case.questions[*question].ask)
            }
            Node::Confirm { step, .. } => {
                format!("{number}Confirm: {}", self.case.cause_name(step.cause))
            }
            Node::Settled { cause } => format!("That is it: {}", self.case.cause_name(*cause)),
            Node::Leaf { steps } => match steps.split_first() {
                None => "Hand over to a specialist".to_owned(),
                Some((first, rest)) => {
                    let first_of_many = if rest.is_empty() { "" } else { " first" };
                    format!(
                        "Confirm{first_of_many}: {}",
                        self.case.cause_name(first.cause)
                    )
                }
            },
        }
    }

    fn branches<'n>(&self, node: &'n Node) -> Vec<(String, &'n Node)> {
        match node {
            Node::Ask {
                question, branches, ..
            } => {
                let findings = &self.case.questions[*question].findings;
                let named = branches.iter().map(|branch| {
                    let id = findings[branch.finding].id.replace('-', " ");
                    (id, &branch.then)
                });
                named.collect()
            }
            Node::Confirm { otherwise, .. } => vec![("not it".to_owned(), otherwise.as_ref())],
            Node::Settled { .. } | Node::Leaf { .. } => Vec::new(),
        }
    }
}

/// Places a node and all that follows; an end takes the next free row, a step the middle of what
/// follows from it.
fn place(
    texts: &Texts<'_, '_>,
    node: &Node,
    column: usize,
    next_top: &mut usize,
    boxes: &mut Vec<Drawn>,
) -> usize {
    let index = boxes.len();
    let branches = texts.branches(node);
    boxes.push(Drawn {
        left: MARGIN + column * (BOX_WIDTH + COLUMN_GAP),
        top: *next_top,
        lines: wrapped(&texts.of(node)),
        is_end: branches.is_empty(),
        to: Vec::new(),
    });
    let start = *next_top;
    for (finding, then) in &branches {
        // Branches that end alike share one box.
        let end = texts
            .branches(then)
            .is_empty()
            .then(|| wrapped(&texts.of(then)));
        let twin = boxes[index].to.iter().position(|(target, _)| {
            boxes[*target].is_end && end.as_ref() == Some(&boxes[*target].lines)
        });
        if let Some(twin) = twin {
            let label = &mut boxes[index].to[twin].1;
            label.push_str(", ");
            label.push_str(finding);
            continue;
        }
        let target = place(texts, then, column + 1, next_top, boxes);
        boxes[index].to.push((target, finding.clone()));
    }
    let height = boxes[index].height();
    if let (Some((first, _)), Some((last, _))) = (boxes[index].to.first(), boxes[index].to.last()) {
        let middle = (boxes[*first].middle() + boxes[*last].middle()) / 2;
        boxes[index].top = middle.saturating_sub(height / 2).max(start);
    }
    *next_top = (*next_top).max(boxes[index].top + height + ROW_GAP);
    index
}

fn draw(out: &mut String, one: &Drawn) {
    // Steps have sharp corners, ends round ones and a heavier line: no colour is needed.
    let (radius, stroke) = if one.is_end { (8, "1.6") } else { (0, "1") };
    let _ = writeln!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{BOX_WIDTH}\" height=\"{}\" rx=\"{radius}\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"{stroke}\"/>",
        one.left,
        one.top,
        one.height()
    );
    for (row, line) in one.lines.iter().enumerate() {
        let _ = writeln!(
            out,
            "<text x=\"{}\" y=\"{}\">{}</text>",
            one.left + 6,
            one.top + 16 + row * LINE,
            escaped(line)
        );
    }
}

fn edge(out: &mut String, from: &Drawn, to: &Drawn, finding: &str) {
    let (start, end) = (from.left + BOX_WIDTH, to.left);
    let bend = start + 14;
    let _ = writeln!(
        out,
        "<path d=\"M{start} {} H{bend} V{} H{end}\" fill=\"none\" stroke=\"#000\"/>",
        from.middle(),
        to.middle()
    );
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-style=\"italic\" font-size=\"11\">{}</text>",
        bend + 3,
        to.middle().saturating_sub(3),
        escaped(&cut(finding, BRANCH_CHARACTERS))
    );
}

fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().map_or(0, |line| line.chars().count());
        if line > 0 && line + 1 + word.chars().count() > BOX_CHARACTERS {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&cut(word, BOX_CHARACTERS));
        }
    }
    if lines.len() > BOX_LINES {
        lines.truncate(BOX_LINES);
        if let Some(last) = lines.last_mut() {
            let kept: String = last.chars().take(BOX_CHARACTERS - 1).collect();
            *last = format!("{}…", kept.trim_end());
        }
    }
    lines
}

/// The text, cut with an ellipsis where it is longer.
fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most - 1).collect();
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_wrapped_and_cut() {
        let lines = wrapped(&"measure between the terminals ".repeat(9));
        assert_eq!(lines.len(), BOX_LINES);
        assert!(
            lines
                .iter()
                .all(|line| line.chars().count() <= BOX_CHARACTERS)
        );
        assert!(lines[BOX_LINES - 1].ends_with('…'));
        assert_eq!(cut("short", 20), "short");
    }
}
