//! A field for a reading or a value.

use maud::{Markup, html};

use crate::checks::{self, Input};
use crate::quantity::units_of;
use crate::render::item;

/// A field for a reading with its unit beside it, and another unit where the kind has several.
pub fn field(
    input: &'static Input,
    id: &str,
    name: &str,
    value: &str,
    is_wrong: bool,
    with_unit: bool,
) -> Markup {
    let units: Vec<&str> = units_of(input.kind)
        .filter(|unit| unit.shown && !unit.symbol.is_empty())
        .map(|unit| unit.symbol)
        .collect();
    let example = checks::example(input);
    // The number alone, if its unit is one of the list; else everything that was typed.
    let known = value
        .rsplit_once(' ')
        .filter(|(_, unit)| units.contains(unit));
    let (number, unit) = known.unwrap_or((value, input.unit));
    html! {
        div.field {
            label for=(id) { (item::capital(input.what)) }
            div.with-unit {
                @if input.choices.is_empty() {
                    input id=(id) type="text" inputmode="decimal" name=(name) value=(number)
                        maxlength="80" autocomplete="off"
                        aria-describedby={ @if is_wrong { "error " } (id) "-hint" }
                        aria-invalid=[is_wrong.then_some("true")];
                    @if with_unit && units.len() > 1 {
                        select name="unit" aria-label={ "Unit of: " (input.what) } {
                            @for one in &units {
                                option value=(one) selected[*one == unit] { (one) }
                            }
                        }
                    } @else if !input.unit.is_empty() {
                        span.unit { (input.unit) }
                    }
                } @else {
                    select id=(id) name=(name) {
                        @for choice in input.choices {
                            option value=(choice) selected[*choice == value] { (choice) }
                        }
                    }
                }
            }
            @if input.choices.is_empty() {
                p.hint id={ (id) "-hint" } { "Such as " (example) "; " (input.limits.0) " to " (input.limits.1) "." }
            }
        }
    }
}
