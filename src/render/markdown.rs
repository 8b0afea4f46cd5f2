//! Writes a document as Markdown, for a page in a folder or a maintenance system.

use super::doc::{Block, Document, Meaning, Span, anchor};
use super::text::harmless;

/// The document as Markdown; text from elsewhere is escaped.
pub fn to_markdown(document: &Document) -> String {
    let mut text = String::new();
    let mut in_list = false;
    for block in &document.blocks {
        let is_item = matches!(block, Block::Item(_) | Block::Numbered(..));
        if in_list && !is_item {
            text.push('\n');
        }
        in_list = is_item;
        match block {
            Block::Heading(level, spans) => {
                let marks = "#".repeat(usize::from((*level).clamp(1, 6)));
                text.push_str(&format!("{marks} {}\n\n", words(spans)));
            }
            Block::Paragraph(spans) => text.push_str(&format!("{}\n\n", inline(spans))),
            Block::Item(spans) => text.push_str(&format!("- {}\n", inline(spans))),
            Block::Numbered(index, spans) => {
                text.push_str(&format!("{index}. {}\n", inline(spans)))
            }
            Block::Command(command) => {
                text.push_str(&format!(
                    "```\n{}\n```\n\n",
                    harmless(command).replace("```", "")
                ));
            }
            Block::Caution {
                signal,
                text: caution,
            } => {
                text.push_str(&format!(
                    "> **{}:** {}\n\n",
                    escaped(signal),
                    escaped(caution)
                ));
            }
            Block::Bar {
                label,
                share,
                words,
            } => text.push_str(&format!(
                "- {} ({}, {:.0} %)\n",
                escaped(label),
                escaped(words),
                share * 100.0
            )),
            Block::Table(table) => {
                let row = |cells: &Vec<String>| {
                    let cells: Vec<String> = cells.iter().map(|cell| escaped(cell)).collect();
                    format!("| {} |\n", cells.join(" | "))
                };
                text.push_str(&row(&table.head));
                let marks =
                    (0..table.head.len()).map(|index| if index == 0 { "---" } else { "---:" });
                text.push_str(&format!("| {} |\n", marks.collect::<Vec<_>>().join(" | ")));
                text.extend(table.rows.iter().map(row));
                text.push('\n');
            }
            Block::Figure(figure) => {
                for line in figure.words() {
                    text.push_str(&format!("- {}\n", escaped(&line)));
                }
                text.push('\n');
            }
            Block::Drawing(_) | Block::Gap => {}
        }
    }
    text.trim_end().to_owned() + "\n"
}

fn words(spans: &[Span]) -> String {
    spans.iter().map(|span| escaped(&span.text)).collect()
}

fn inline(spans: &[Span]) -> String {
    spans
        .iter()
        .map(|span| {
            let plain = escaped(&span.text);
            let (before, inner, after) = around(&plain);
            match span.meaning {
                _ if inner.is_empty() => plain.clone(),
                Meaning::Plain | Meaning::Quiet => plain.clone(),
                Meaning::Strong | Meaning::Value => format!("{before}**{inner}**{after}"),
                Meaning::Link => format!("{before}[{inner}](#{}){after}", anchor(&span.text)),
                Meaning::Code => {
                    let code = harmless(&span.text).replace('`', "'");
                    let (before, inner, after) = around(&code);
                    format!("{before}`{inner}`{after}")
                }
            }
        })
        .collect()
}

/// The spaces around a text stay outside its marks.
fn around(text: &str) -> (&str, &str, &str) {
    let start = text.len() - text.trim_start().len();
    let inner = text.trim();
    (&text[..start], inner, &text[start + inner.len()..])
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in harmless(text).chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::doc::{code, plain, strong};

    #[test]
    fn text_from_elsewhere_is_not_markup() {
        let mut document = Document::new();
        document.heading(1, "A *note*");
        document.paragraph(vec![strong("How: "), plain("<b> [x](y) "), code("a`b")]);
        assert_eq!(
            to_markdown(&document),
            "# A \\*note\\*\n\n**How:** \\<b\\> \\[x\\](y) `a'b`\n"
        );
    }
}
