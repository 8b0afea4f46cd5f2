//! Writes a document for a terminal: wrapped, styled by the skin, or plain.

use termimad::crossterm::style::{Attribute, Color};
use termimad::minimad::{Composite, CompositeStyle, Compound, Line, Text};
use termimad::{CompoundStyle, FmtText, MadSkin};

use super::doc::{Block, Document, Meaning, Span};
use super::text::{ascii, harmless};
use super::wrap::{Pieces, wrap};

/// How the output stream wants its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns to wrap at; none leaves lines as they are.
    pub width: Option<usize>,
    /// Whether colours and bold may be used.
    pub colour: bool,
    /// Whether only ASCII may be used.
    pub ascii: bool,
}

/// Width of a bar in characters; half of it on a narrow screen.
const BAR: usize = 10;
/// Below this many columns a screen is narrow.
const NARROW: usize = 60;

/// The document as text for a terminal or a pipe.
pub fn to_text(document: &Document, style: Style) -> String {
    let skin = skin(style);
    let lines: Vec<StyledLine> = document
        .blocks
        .iter()
        .flat_map(|block| block_lines(block, style))
        .collect();
    let text = Text {
        lines: lines.iter().map(StyledLine::as_line).collect(),
    };
    let text = FmtText::from_text(&skin, text, None).to_string();
    // Trailing spaces only disturb whoever copies a line.
    let trimmed: Vec<&str> = text.lines().map(str::trim_end).collect();
    let mut joined = trimmed.join("\n");
    joined.push('\n');
    joined
}

/// A finished line: its texts are safe to show and fit the width.
struct StyledLine {
    style: CompositeStyle,
    pieces: Pieces,
}

impl StyledLine {
    fn as_line(&self) -> Line<'_> {
        let compounds = self
            .pieces
            .iter()
            .map(|(text, meaning)| match meaning {
                Meaning::Plain => Compound::raw_str(text),
                Meaning::Strong | Meaning::Value => Compound::raw_str(text).bold(),
                Meaning::Code | Meaning::Link => Compound::raw_str(text).code(),
                Meaning::Quiet => Compound::raw_str(text).italic(),
            })
            .collect();
        Line::Normal(Composite {
            style: self.style,
            compounds,
        })
    }
}

/// The lines of a block, wrapped with the indent that its kind wants.
fn block_lines(block: &Block, style: Style) -> Vec<StyledLine> {
    let clean = |text: &str| {
        let harmless = harmless(text);
        if style.ascii {
            ascii(&harmless)
        } else {
            harmless
        }
    };
    let pieces = |spans: &[Span]| -> Pieces {
        spans
            .iter()
            .map(|span| (clean(&span.text), span.meaning))
            .collect()
    };
    let of = |kind: CompositeStyle, all: &Pieces, first: usize, rest: usize| -> Vec<StyledLine> {
        let lines = match style.width {
            Some(width) => wrap(all, width.max(20), first, rest),
            None => vec![all.clone()],
        };
        lines
            .into_iter()
            .enumerate()
            .map(|(index, mut pieces)| {
                // The mark of a list item stands before its first line only.
                let follows = index > 0 && matches!(kind, CompositeStyle::ListItem(_));
                let kind = if follows {
                    CompositeStyle::Paragraph
                } else {
                    kind
                };
                if index > 0 && rest > 0 && kind == CompositeStyle::Paragraph {
                    pieces.insert(0, (" ".repeat(rest), Meaning::Plain));
                }
                StyledLine {
                    style: kind,
                    pieces,
                }
            })
            .collect()
    };
    match block {
        Block::Heading(level, own) => of(
            CompositeStyle::Header((*level).clamp(1, 3)),
            &pieces(own),
            0,
            0,
        ),
        Block::Paragraph(own) => of(CompositeStyle::Paragraph, &pieces(own), 0, 0),
        Block::Item(own) => of(CompositeStyle::ListItem(0), &pieces(own), 2, 2),
        Block::Numbered(index, own) => {
            let mark = format!("{index}) ");
            let indent = mark.chars().count();
            let mut all = vec![(mark, Meaning::Strong)];
            all.extend(pieces(own));
            of(CompositeStyle::Paragraph, &all, 0, indent)
        }
        Block::Command(text) => {
            // To be copied: never broken.
            let all = vec![(clean(text), Meaning::Code)];
            vec![StyledLine {
                style: CompositeStyle::Paragraph,
                pieces: all,
            }]
        }
        Block::Caution { signal, text } => {
            let all = vec![
                (format!("{}: ", clean(signal)), Meaning::Strong),
                (clean(text), Meaning::Plain),
            ];
            of(CompositeStyle::Quote, &all, 2, 2)
        }
        Block::Bar {
            label,
            share,
            words,
        } => {
            let length = if style.width.is_some_and(|width| width < NARROW) {
                BAR / 2
            } else {
                BAR
            };
            let filled = (share.clamp(0.0, 1.0) * length as f64).round() as usize;
            let bar = format!("{}{}", "█".repeat(filled), "░".repeat(length - filled));
            let all = vec![
                (clean(&bar), Meaning::Plain),
                (format!(" {:<13} ", clean(words)), Meaning::Quiet),
                (clean(label), Meaning::Plain),
            ];
            of(CompositeStyle::Paragraph, &all, 0, length + 15)
        }
        Block::Drawing(_) => Vec::new(),
        Block::Table(table) => laid_out(table.map(clean).lines(style.width), clean),
        Block::Figure(figure) => laid_out(figure.lines(style.width, clean), clean),
        Block::Gap => {
            vec![StyledLine {
                style: CompositeStyle::Paragraph,
                pieces: Vec::new(),
            }]
        }
    }
}

/// Lines whose layout is made already; their bars are cleaned too.
fn laid_out(lines: Vec<Pieces>, clean: impl Fn(&str) -> String) -> Vec<StyledLine> {
    lines
        .into_iter()
        .map(|pieces| StyledLine {
            style: CompositeStyle::Paragraph,
            pieces: pieces
                .into_iter()
                .map(|(text, meaning)| (clean(&text), meaning))
                .collect(),
        })
        .collect()
}

/// Our own plain look: weight before colour, and colour only repeats what the words say.
fn skin(style: Style) -> MadSkin {
    let mut skin = MadSkin::no_style();
    if style.colour {
        let strong = CompoundStyle::with_attr(Attribute::Bold);
        skin.bold = strong;
        skin.inline_code = CompoundStyle::with_fg(Color::Cyan);
        skin.italic = CompoundStyle::with_attr(Attribute::Dim);
        for header in &mut skin.headers {
            header.compound_style = strong;
        }
        skin.headers[0].add_attr(Attribute::Underlined);
        skin.quote_mark.set_fg(Color::Yellow);
        skin.bullet.set_fg(Color::Cyan);
    }
    skin.bullet.set_char('•');
    if style.ascii {
        skin.limit_to_ascii();
        skin.bullet.set_char('-');
    }
    skin
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::doc::{code, plain, strong};

    fn sample() -> Document {
        let mut document = Document::new();
        document.heading(1, "DC bus 566 V");
        document.push(Block::Caution {
            signal: "DANGER".to_owned(),
            text: "Live parts. ".repeat(12),
        });
        document.paragraph(vec![
            strong("How: "),
            plain("√2 × 400 V *not markdown* `raw`"),
        ]);
        document.item(vec![code("walk ground-fault")]);
        document.push(Block::Bar {
            label: "Ramp too short".into(),
            share: 0.5,
            words: "likely".into(),
        });
        document
    }

    #[test]
    fn wraps_at_the_width_and_keeps_every_caution() {
        for width in [45, 80] {
            let style = Style {
                width: Some(width),
                colour: false,
                ascii: false,
            };
            let text = to_text(&sample(), style);
            assert!(
                text.lines().all(|line| line.chars().count() <= width),
                "{text}"
            );
            assert_eq!(
                text.matches("Live parts.").count() + text.matches("Live\n").count(),
                12,
                "{text}"
            );
            assert!(text.contains("*not markdown* `raw`"), "{text}");
            assert!(!text.contains('\u{1b}'), "{text:?}");
        }
    }

    #[test]
    fn plain_ascii_where_nothing_else_shows() {
        let text = to_text(
            &sample(),
            Style {
                width: None,
                colour: false,
                ascii: true,
            },
        );
        assert!(text.is_ascii(), "{text}");
        assert!(text.contains("sqrt2 x 400 V"), "{text}");
    }
}
