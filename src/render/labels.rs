//! A sheet of labels for cabinet doors, to print and cut.

use std::fmt::Write;

use super::html::escaped;

/// A label.
#[derive(Clone, Debug)]
pub struct Label {
    /// The drive's id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Where it is.
    pub place: String,
    /// What the code holds.
    pub address: String,
    /// The code as SVG.
    pub code: String,
}

const STYLE: &str = "body{font:11pt/1.3 sans-serif;margin:8mm;color:#000;background:#fff}\
.labels{display:grid;grid-template-columns:repeat(auto-fill,minmax(85mm,1fr));gap:6mm}\
.label{display:flex;gap:4mm;align-items:center;border:.3mm dashed #777;padding:4mm;break-inside:avoid}\
.label svg{flex:none;width:32mm;height:32mm}.label h2{font-size:15pt;margin:0 0 1mm;overflow-wrap:anywhere}\
.label p{margin:0 0 1mm;overflow-wrap:anywhere}.label .address{font-size:7pt}\
@page{margin:8mm}@media print{body{margin:0}h1{display:none}}";

/// The sheet as one HTML page.
pub fn sheet(labels: &[Label]) -> String {
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\
<title>Labels</title><style>{STYLE}</style></head><body>\n<h1>Labels</h1>\n<div class=\"labels\">\n"
    );
    for label in labels {
        let mut lines = String::new();
        for text in [&label.name, &label.place] {
            if !text.is_empty() {
                // Writing to a string does not fail.
                let _ = write!(lines, "<p>{}</p>", escaped(text));
            }
        }
        let _ = writeln!(
            page,
            "<section class=\"label\">{}<div><h2>{}</h2>{lines}<p class=\"address\">{}</p></div></section>",
            label.code,
            escaped(&label.id),
            escaped(&label.address)
        );
    }
    page.push_str("</div></body></html>\n");
    page
}
