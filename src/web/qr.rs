//! Codes that a phone's camera reads (ISO/IEC 18004), as a drawing and as text for a terminal.

use std::fmt::Write;

use fast_qr::{ECL, QRBuilder, QRCode};

/// White modules around a code. Source: ISO/IEC 18004:2015, 6.3.8 (clause from memory).
const QUIET_ZONE: usize = 4;

/// A quarter of a scratched or greasy label may be lost. Source: ISO/IEC 18004:2015,
/// 6.5.1, level Q (clause from memory).
fn code(text: &str) -> Option<QRCode> {
    QRBuilder::new(text).ecl(ECL::Q).build().ok()
}

fn is_dark(code: &QRCode, x: usize, y: usize) -> bool {
    (x < code.size && y < code.size) && code[y][x].value()
}

/// The code as SVG, black on white on any background; none if the text is too long for a code.
pub fn svg(text: &str, label: &str) -> Option<String> {
    let code = code(text)?;
    let side = code.size + 2 * QUIET_ZONE;
    let mut path = String::new();
    for y in 0..code.size {
        let mut x = 0;
        while x < code.size {
            let from = x;
            while is_dark(&code, x, y) {
                x += 1;
            }
            if x > from {
                // Writing to a string does not fail.
                let _ = write!(
                    path,
                    "M{} {}h{}v1h-{}z",
                    from + QUIET_ZONE,
                    y + QUIET_ZONE,
                    x - from,
                    x - from
                );
            }
            x += 1;
        }
    }
    let label = crate::render::html::escaped(label);
    Some(format!(
        "<svg class=\"code\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" \
role=\"img\" aria-label=\"{label}\" shape-rendering=\"crispEdges\">\
<rect width=\"{side}\" height=\"{side}\" fill=\"#fff\"/><path d=\"{path}\" fill=\"#000\"/></svg>"
    ))
}

/// The code for a terminal, two rows a line; none if the text is too long for a code. Light modules
/// are drawn, so that it reads on a dark background; the quiet zone makes it read on a light one.
pub fn text(text: &str) -> Option<String> {
    let code = code(text)?;
    let last = code.size + 2 * QUIET_ZONE;
    let is_light = |x: usize, y: usize| {
        let inside = |at: usize| at.checked_sub(QUIET_ZONE);
        match (inside(x), inside(y)) {
            (Some(x), Some(y)) => !is_dark(&code, x, y),
            _ => true,
        }
    };
    let mut lines = String::new();
    for y in (0..last).step_by(2) {
        for x in 0..last {
            lines.push(
                match (is_light(x, y), y + 1 >= last || is_light(x, y + 1)) {
                    (true, true) => '█',
                    (true, false) => '▀',
                    (false, true) => '▄',
                    (false, false) => ' ',
                },
            );
        }
        lines.push('\n');
    }
    Some(lines)
}
