//! A document of meaningful blocks and spans, from which every output form is written.

use super::plot::Figure;
use super::table::Table;

/// What a piece of text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// Running text.
    Plain,
    /// What the eye should catch.
    Strong,
    /// An id or a command that can be typed.
    Code,
    /// A heading of the same page, by its words.
    Link,
    /// A quantity.
    Value,
    /// A side remark.
    Quiet,
}

/// A piece of text with its meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// The text.
    pub text: String,
    /// What it is.
    pub meaning: Meaning,
}

/// Running text.
pub fn plain(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Plain,
    }
}

/// Text that the eye should catch.
pub fn strong(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Strong,
    }
}

/// An id or command.
pub fn code(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Code,
    }
}

/// A pointer to the heading of the same page that has these words.
pub fn link(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Link,
    }
}

/// The name of a heading in a page's address: its letters and digits, the rest as hyphens.
pub fn anchor(heading: &str) -> String {
    let mut name = String::new();
    for c in heading.chars() {
        match c {
            c if c.is_alphanumeric() => name.extend(c.to_lowercase()),
            _ if name.ends_with('-') || name.is_empty() => {}
            _ => name.push('-'),
        }
    }
    name.trim_end_matches('-').to_owned()
}

/// A quantity.
pub fn value(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Value,
    }
}

/// A side remark.
pub fn quiet(text: impl Into<String>) -> Span {
    Span {
        text: text.into(),
        meaning: Meaning::Quiet,
    }
}

/// A block of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading; level 1 is the title.
    Heading(u8, Vec<Span>),
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// An item of a list.
    Item(Vec<Span>),
    /// A numbered item.
    Numbered(u32, Vec<Span>),
    /// A command to copy; never broken into lines.
    Command(String),
    /// A caution: signal word and text. Nothing may drop it.
    Caution {
        /// DANGER, WARNING or NOTE.
        signal: String,
        /// The caution.
        text: String,
    },
    /// A share as a bar with its words.
    Bar {
        /// What it is the share of.
        label: String,
        /// From 0 to 1.
        share: f64,
        /// The share in words.
        words: String,
    },
    /// A drawing as SVG of our own making; it repeats what the text says, so it is left out where
    /// none can be shown.
    Drawing(String),
    /// A table.
    Table(Table),
    /// A figure.
    Figure(Figure),
    /// An empty line.
    Gap,
}

/// A document.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Document {
    /// Its blocks in order.
    pub blocks: Vec<Block>,
}

impl Document {
    /// An empty document.
    pub fn new() -> Document {
        Document::default()
    }

    /// Adds a block.
    pub fn push(&mut self, block: Block) -> &mut Document {
        self.blocks.push(block);
        self
    }

    /// Adds a heading after an empty line, unless it comes first.
    pub fn heading(&mut self, level: u8, text: impl Into<String>) -> &mut Document {
        self.gap();
        self.push(Block::Heading(level, vec![strong(text)]))
    }

    /// Adds a paragraph.
    pub fn paragraph(&mut self, spans: Vec<Span>) -> &mut Document {
        self.push(Block::Paragraph(spans))
    }

    /// Adds a paragraph of running text.
    pub fn text(&mut self, text: impl Into<String>) -> &mut Document {
        self.paragraph(vec![plain(text)])
    }

    /// Adds a label with its text: `How: lift one lead …`.
    pub fn labelled(&mut self, label: &str, text: impl Into<String>) -> &mut Document {
        self.paragraph(vec![strong(format!("{label}: ")), plain(text)])
    }

    /// Adds a list item.
    pub fn item(&mut self, spans: Vec<Span>) -> &mut Document {
        self.push(Block::Item(spans))
    }

    /// Adds an empty line, unless there is one or nothing stands above.
    pub fn gap(&mut self) -> &mut Document {
        if !matches!(self.blocks.last(), None | Some(Block::Gap)) {
            self.blocks.push(Block::Gap);
        }
        self
    }

    /// Adds the blocks of another document.
    pub fn append(&mut self, other: Document) -> &mut Document {
        self.blocks.extend(other.blocks);
        self
    }
}
