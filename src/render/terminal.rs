//! Writes a document for a terminal: wrapped, styled by the skin, or plain.

use termimad::crossterm::style::{Attribute, Color};
use termimad::minimad::{Composite, CompositeStyle, Compound, Line, Text};
use termimad::{CompoundStyle, FmtText, MadSkin};

use super::doc::{Block, Document, Meaning, Span};
use super::text::{ascii, harmless};

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

/// Width of a bar in characters.
const BAR: usize = 10;
/// Below this many columns a bar stands on a line of its own.
const NARROW: usize = 60;

/// The document as text for a terminal or a pipe.
pub fn to_text(document: &Document, style: Style) -> String {
    let skin = skin(style);
    let clean = |text: &str| {
        let harmless = harmless(text);
        if style.ascii {
            ascii(&harmless)
        } else {
            harmless
        }
    };
    let blocks: Vec<CleanBlock> = document
        .blocks
        .iter()
        .map(|block| clean_block(block, style, &clean))
        .collect();
    let lines: Vec<Line<'_>> = blocks.iter().map(CleanBlock::line).collect();
    let width = style.width.map(|width| width.max(20));
    let text = FmtText::from_text(&skin, Text { lines }, width).to_string();
    // Trailing spaces only disturb whoever copies a line.
    let trimmed: Vec<&str> = text.lines().map(str::trim_end).collect();
    let mut joined = trimmed.join("\n");
    joined.push('\n');
    joined
}

/// A block whose texts are safe to show.
struct CleanBlock {
    style: Option<CompositeStyle>,
    spans: Vec<(String, Meaning)>,
}

impl CleanBlock {
    fn line(&self) -> Line<'_> {
        let compounds = self
            .spans
            .iter()
            .map(|(text, meaning)| match meaning {
                Meaning::Plain => Compound::raw_str(text),
                Meaning::Strong => Compound::raw_str(text).bold(),
                Meaning::Code => Compound::raw_str(text).code(),
                Meaning::Value => Compound::raw_str(text).bold(),
                Meaning::Quiet => Compound::raw_str(text).italic(),
            })
            .collect();
        match self.style {
            Some(style) => Line::Normal(Composite { style, compounds }),
            None => Line::Normal(Composite {
                style: CompositeStyle::Paragraph,
                compounds: Vec::new(),
            }),
        }
    }
}

fn clean_block(block: &Block, style: Style, clean: &dyn Fn(&str) -> String) -> CleanBlock {
    let spans = |spans: &[Span]| -> Vec<(String, Meaning)> {
        spans
            .iter()
            .map(|span| (clean(&span.text), span.meaning))
            .collect()
    };
    let of = |style, spans| CleanBlock {
        style: Some(style),
        spans,
    };
    match block {
        Block::Heading(level, own) => of(CompositeStyle::Header((*level).clamp(1, 3)), spans(own)),
        Block::Paragraph(own) => of(CompositeStyle::Paragraph, spans(own)),
        Block::Item(own) => of(CompositeStyle::ListItem(0), spans(own)),
        Block::Numbered(index, own) => {
            let mut all = vec![(format!("{index}) "), Meaning::Strong)];
            all.extend(spans(own));
            of(CompositeStyle::Paragraph, all)
        }
        Block::Caution { signal, text } => of(
            CompositeStyle::Quote,
            vec![
                (format!("{}: ", clean(signal)), Meaning::Strong),
                (clean(text), Meaning::Plain),
            ],
        ),
        Block::Bar {
            label,
            share,
            words,
        } => {
            let filled = (share.clamp(0.0, 1.0) * BAR as f64).round() as usize;
            let bar = format!("{}{}", "█".repeat(filled), "░".repeat(BAR - filled));
            let narrow = style.width.is_some_and(|width| width < NARROW);
            let words = if narrow {
                format!("{words:<13}")
            } else {
                format!("{words:<15}")
            };
            of(
                CompositeStyle::Paragraph,
                vec![
                    (clean(&bar), Meaning::Plain),
                    (clean(&format!(" {words} ")), Meaning::Quiet),
                    (clean(label), Meaning::Plain),
                ],
            )
        }
        Block::Gap => CleanBlock {
            style: None,
            spans: Vec::new(),
        },
    }
}

/// Our own plain look: weight before colour, and colour only repeats what the words say.
fn skin(style: Style) -> MadSkin {
    let mut skin = MadSkin::no_style();
    if style.colour {
        let strong = CompoundStyle::with_attr(Attribute::Bold);
        skin.bold = strong.clone();
        skin.inline_code = CompoundStyle::with_fg(Color::Cyan);
        skin.italic = CompoundStyle::with_attr(Attribute::Dim);
        for header in &mut skin.headers {
            header.compound_style = strong.clone();
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
