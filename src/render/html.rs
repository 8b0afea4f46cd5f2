//! Writes a document as one HTML page: no script, no request to anywhere, good on paper.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::doc::{Block, Document, Meaning, Span, anchor};
use super::plot::cell_bar;
use super::table::Table;
use super::text::harmless;

const STYLE: &str = "body{font:16px/1.45 sans-serif;max-width:46em;margin:1em auto;padding:0 1em}\
h1{font-size:1.4em}h2{font-size:1.15em;margin-top:1.4em}\
.caution{border-left:.4em solid #000;padding:.2em .8em;margin:.6em 0}\
.quiet{opacity:.75}code{font-family:monospace}\
h3{font-size:1em;margin:1.2em 0 .2em}h4{font-size:.95em;margin:.6em 0 .1em}\
.tree{overflow-x:auto}ul,ol{margin:.3em 0;padding-left:1.3em}p{margin:.4em 0}\
@media print{.tree svg{width:100%;height:auto}@page{margin:14mm}body{font-size:11px;line-height:1.3;max-width:none;margin:0;padding:0}\
h2{margin:.7em 0 .2em}li,p{break-inside:avoid}h2,h3,h4{break-after:avoid}}";

/// The quiet look of pages with tables and figures, light or dark as the reader prefers.
pub const PAGE_STYLE: &str = include_str!("page.css");

/// Where an id or a command in a text leads: the address, and what the way there is called; none
/// where it leads nowhere.
pub type Lead<'a> = dyn Fn(&str) -> Option<Way> + 'a;

/// A way to another page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// Its address.
    pub address: String,
    /// What it is called.
    pub name: String,
}

/// How the blocks of a document are written.
struct Writer<'a> {
    targets: BTreeSet<String>,
    lead: &'a Lead<'a>,
    deeper: u8,
    bars: bool,
}

/// The document as a part of a page: ids and commands become the ways that `lead` knows, headings
/// stand so many levels deeper.
pub fn fragment(document: &Document, lead: &Lead<'_>, deeper: u8) -> String {
    let writer = Writer {
        targets: link_targets(document),
        lead,
        deeper,
        bars: true,
    };
    let mut part = String::new();
    writer.write(&mut part, document);
    part
}

/// The document as a page with this title.
pub fn to_html(document: &Document, title: &str) -> String {
    to_styled_html(document, title, STYLE)
}

/// The document as a page with this title and this style sheet.
pub fn to_styled_html(document: &Document, title: &str, style: &str) -> String {
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\
<title>{}</title><style>{style}</style></head><body>\n",
        escaped(title)
    );
    let writer = Writer {
        targets: link_targets(document),
        lead: &|_| None,
        deeper: 0,
        bars: false,
    };
    writer.write(&mut page, document);
    page.push_str("</body></html>\n");
    page
}

/// The headings that the page points to.
fn link_targets(document: &Document) -> BTreeSet<String> {
    let spans = |block: &Block| match block {
        Block::Heading(_, spans)
        | Block::Paragraph(spans)
        | Block::Item(spans)
        | Block::Numbered(_, spans) => spans.clone(),
        _ => Vec::new(),
    };
    document
        .blocks
        .iter()
        .flat_map(spans)
        .filter(|span| span.meaning == Meaning::Link)
        .map(|span| anchor(&span.text))
        .collect()
}

impl Writer<'_> {
    fn write(&self, page: &mut String, document: &Document) {
        let mut open: Option<&str> = None;
        for block in &document.blocks {
            let list = match block {
                Block::Item(_) | Block::Bar { .. } => Some("ul"),
                Block::Numbered(..) => Some("ol"),
                _ => None,
            };
            if open != list {
                if let Some(tag) = open {
                    page.push_str(&format!("</{tag}>\n"));
                }
                if let Some(tag) = list {
                    page.push_str(&format!("<{tag}>\n"));
                }
                open = list;
            }
            self.block(page, block);
        }
        if let Some(tag) = open {
            page.push_str(&format!("</{tag}>\n"));
        }
    }

    fn block(&self, page: &mut String, block: &Block) {
        // Writing to a string does not fail.
        let _ = match block {
            Block::Heading(level, spans) => {
                let level = (*level + self.deeper).clamp(1, 6);
                let name = anchor(
                    &spans
                        .iter()
                        .map(|span| span.text.as_str())
                        .collect::<String>(),
                );
                let id = match self.targets.contains(&name) {
                    true => format!(" id=\"{}\"", escaped(&name)),
                    false => String::new(),
                };
                writeln!(page, "<h{level}{id}>{}</h{level}>", plain_inline(spans))
            }
            Block::Paragraph(spans) => writeln!(page, "<p>{}</p>", self.inline(spans)),
            Block::Item(spans) => writeln!(page, "<li>{}</li>", self.inline(spans)),
            Block::Numbered(index, spans) => {
                writeln!(page, "<li value=\"{index}\">{}</li>", self.inline(spans))
            }
            Block::Command(text) => match (self.lead)(text.trim()) {
                Some(way) => writeln!(page, "<p>{}</p>", anchored(&way)),
                None => writeln!(page, "<pre><code>{}</code></pre>", escaped(text)),
            },
            Block::Caution { signal, text } => writeln!(
                page,
                "<p class=\"caution\"><strong>{}:</strong> {}</p>",
                escaped(signal),
                escaped(text)
            ),
            Block::Bar {
                label,
                share,
                words,
            } => {
                let bar = match self.bars {
                    true => cell_bar(*share),
                    false => String::new(),
                };
                writeln!(
                    page,
                    "<li>{} <span class=\"quiet\">({}, {:.0} %)</span>{bar}</li>",
                    escaped(label),
                    escaped(words),
                    share * 100.0
                )
            }
            Block::Drawing(svg) => writeln!(page, "{svg}"),
            Block::Table(table) => write_table(page, table),
            Block::Figure(figure) => write!(page, "{}", figure.to_svg()),
            Block::Gap => Ok(()),
        };
    }

    fn inline(&self, spans: &[Span]) -> String {
        spans
            .iter()
            .map(|span| {
                let text = escaped(&span.text);
                match span.meaning {
                    Meaning::Plain => text,
                    Meaning::Strong | Meaning::Value => format!("<strong>{text}</strong>"),
                    Meaning::Code => match (self.lead)(&span.text) {
                        Some(way) => anchored(&way),
                        None => format!("<code>{text}</code>"),
                    },
                    Meaning::Link => {
                        format!("<a href=\"#{}\">{text}</a>", escaped(&anchor(&span.text)))
                    }
                    Meaning::Quiet => format!("<span class=\"quiet\">{text}</span>"),
                }
            })
            .collect()
    }
}

fn anchored(way: &Way) -> String {
    format!(
        "<a href=\"{}\">{}</a>",
        escaped(&way.address),
        escaped(&way.name)
    )
}

fn write_table(page: &mut String, table: &Table) -> std::fmt::Result {
    page.push_str("<div class=\"table\"><table><thead><tr>");
    for cell in &table.head {
        write!(page, "<th>{}</th>", escaped(cell))?;
    }
    if !table.bars.is_empty() {
        page.push_str("<th class=\"bars\"></th>");
    }
    page.push_str("</tr></thead><tbody>\n");
    for (index, row) in table.rows.iter().enumerate() {
        page.push_str("<tr>");
        for (cell, head) in row.iter().zip(&table.head) {
            let (cell, head) = (escaped(cell), escaped(head));
            write!(page, "<td data-head=\"{head}\">{cell}</td>")?;
        }
        if let Some(share) = table.bars.get(index) {
            write!(page, "<td class=\"bars\">{}</td>", cell_bar(*share))?;
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody></table></div>\n");
    Ok(())
}

fn plain_inline(spans: &[Span]) -> String {
    spans.iter().map(|span| escaped(&span.text)).collect()
}

/// Text from elsewhere as HTML shows it literally.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in harmless(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::doc::link;

    #[test]
    fn text_from_elsewhere_is_not_markup_and_no_caution_is_lost() {
        let mut document = Document::new();
        document.text("<script>alert(1)</script> & \"x\"");
        document.push(Block::Caution {
            signal: "DANGER".into(),
            text: "Live parts.".into(),
        });
        let page = to_html(&document, "a<b");
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;x&quot;"));
        assert!(page.contains("<title>a&lt;b</title>"));
        assert!(page.contains("<strong>DANGER:</strong> Live parts."));
        assert!(!page.contains("http"));
    }

    #[test]
    fn a_link_leads_to_its_heading() {
        let mut document = Document::new();
        document.paragraph(vec![link("bus-at-rest")]);
        document.heading(2, "bus-at-rest");
        document.heading(2, "Other");
        let page = to_html(&document, "page");
        assert!(page.contains("<a href=\"#bus-at-rest\">bus-at-rest</a>"));
        assert!(page.contains("<h2 id=\"bus-at-rest\">bus-at-rest</h2>"));
        assert!(page.contains("<h2>Other</h2>"));
    }
}
